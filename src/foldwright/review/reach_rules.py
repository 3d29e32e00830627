"""Rule B30: the battery goes in and comes out without board being cut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.coming_off import taken_off
from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.review.extents import box_of, extents
from foldwright.review.in_the_way import first_met
from foldwright.review.keys import battery_keys
from foldwright.review.subject import Rule, Subject, judged

PRESS_MM = 1.0
"""[judgement] how far foam gives way to a battery that is pushed past it."""
OUT_MM = 150.0
"""[judgement] so far out a hand has it; wings and tails further off are not in the way."""
STEP_MM = 5.0
_WAYS = {"up": (2, 1.0), "down": (2, -1.0), "left": (1, -1.0), "right": (1, 1.0)}


@dataclass(frozen=True, slots=True, eq=False)
class _Box:
    """A battery at x: least and greatest corner (3,), mm."""

    low: FloatArray
    high: FloatArray

    def moved(self, by: float) -> _Box:
        along = np.array([by, 0.0, 0.0])
        return _Box(self.low + along, self.high + along)

    def path(self, axis: int, by: float) -> _Box:
        """What it passes while it moves by so much along an axis, its own place left out."""
        low, high = self.low.copy(), self.high.copy()
        if by > 0.0:
            low[axis], high[axis] = high[axis], high[axis] + by
        else:
            low[axis], high[axis] = low[axis] + by, low[axis]
        return _Box(low, high)


def reached(subject: Subject) -> tuple[Finding, ...]:
    """B30: somewhere along its slide, or as far on as it slides, the battery comes straight out."""
    place, fitted = subject.balance.battery, subject.fitted
    if place.too_long:
        return ()
    middle = np.array([place.x, fitted.battery_y_mm, fitted.battery_z_mm])
    half = np.array(fitted.battery.size_mm) / 2.0
    box, away = _Box(middle - half, middle + half), taken_off(subject.airframe)
    ahead, behind = _room(subject.airframe, middle, box)
    for by, way, axis, out in _tries(subject, box, away, (ahead, behind)):
        if not _stops(subject, box.moved(by).path(axis, out), away)[1]:
            how = f"comes out straight {way} at x {place.x + by:.0f} mm"
            return judged(
                "B30", "clear", "battery", OUT_MM, OUT_MM, "mm", "[judgement]", battery=place.id,
                how=how, got=f"straight {way}", help="Nothing to do",
            )  # fmt: skip
    part, panel = _stops(subject, box.path(2, OUT_MM), away)
    where, cure = _cure(subject, box, part)
    return judged(
        "B30", "watch", where, 0.0, OUT_MM, "mm", "[judgement]", battery=place.id,
        how=f"does not come straight out anywhere along its way; straight up it meets {panel}",
        got=f"{panel} in its way", help=cure,
    )  # fmt: skip


def _room(airframe: Airframe, middle: FloatArray, box: _Box) -> tuple[float, float]:
    """Ends (x) of the part that the battery is in, for it is out only beyond them."""
    ahead, behind = float(box.low[0]), float(box.high[0])
    for part in dict.fromkeys(one.part for one in airframe.placed):
        found = box_of(airframe, (part,))
        if found is not None and bool(((found[0] < middle) & (middle < found[1])).all()):
            ahead, behind = min(ahead, float(found[0][0])), max(behind, float(found[1][0]))
    return ahead, behind


def _tries(
    subject: Subject, box: _Box, away: frozenset[str], ends: tuple[float, float]
) -> Iterator[tuple[float, str, int, float]]:
    """Ways along the slide to a place, and the way out from there: where it stands first.

    ends: x that it has to pass forward or aft to be out.
    """
    for way, (axis, sign) in _WAYS.items():
        yield 0.0, way, axis, sign * OUT_MM
    runs = _runs(subject, box, away)
    # every fourth place first: a hatch is long, and is then found four times as soon
    places = sorted((*runs[0], *runs[1]), key=lambda by: (round(by / STEP_MM) % 4 != 0, abs(by)))
    for way, (axis, sign) in _WAYS.items():
        for by in places:
            yield by, way, axis, sign * OUT_MM
    by = min((0.0, *runs[0]))
    yield by, "forward", 0, min(-OUT_MM, ends[0] - float(box.low[0]) - by)
    by = max((0.0, *runs[1]))
    yield by, "aft", 0, max(OUT_MM, ends[1] - float(box.high[0]) - by)


def _runs(subject: Subject, box: _Box, away: frozenset[str]) -> tuple[list[float], list[float]]:
    """Ways forward and aft, in steps, that it slides freely, as far as a hand reaches past its slide."""
    low, high = subject.fitted.battery_slide_mm
    runs: tuple[list[float], list[float]] = ([], [])
    for run, sign, room in zip(
        runs, (-1.0, 1.0), (float(box.low[0]) - low, high - float(box.high[0])), strict=True
    ):
        by = 0.0
        while (
            by < room + OUT_MM and not _stops(subject, box.moved(by * sign).path(0, sign * STEP_MM), away)[1]
        ):
            by += STEP_MM
            run.append(sign * by)
    return runs


def _stops(subject: Subject, path: _Box, away: frozenset[str]) -> tuple[str, str]:
    """Part and name of the first board in the way of a path, "" for none."""
    return first_met(subject.airframe, path.low, path.high, PRESS_MM, away)


def _cure(subject: Subject, box: _Box, part: str) -> tuple[str, str]:
    """Where it is put right, and how: the nearest deck, the part above it, or a hatch of its own."""
    room = f"free from x {box.low[0]:.0f} to {box.high[0]:.0f} mm"
    deck = _deck(subject, box)
    if deck is not None:
        name, hatch = deck
        key, value = ("hold", "magnets") if hatch else ("role", "hatch")
        other = "" if hatch else ' (or hold = "magnets")'
        owner, own = name.split("/", maxsplit=1)
        return (
            f"{owner}.deck.{own}.{key}",
            f'Make {name} come off: {key} = "{value}"{other}, and let it leave the battery {room}',
        )
    held = next((j for j in subject.airframe.joints if j.glued and j.parts[0] == part), None)
    if held is not None:
        return (
            "battery.slide_from_mm",
            f"Let {part} come off ({held.id} glued = false), or leave the battery {room} under a hatch",
        )
    return "battery.slide_from_mm", f'Fit a deck with role = "hatch" that leaves the battery {room}'


def _deck(subject: Subject, box: _Box) -> tuple[str, bool] | None:
    """Name of the nearest deck that stays, and whether it is a hatch; None for none within reach."""
    boxes = {
        one.blank.name: box_of_blank(subject.airframe, one.blank.name) for one in subject.airframe.placed
    }
    found = []
    for part in subject.design.part:
        for deck in getattr(part, "deck", ()):
            name = f"{part.id}/{deck.id}"
            if deck.role not in ("deck", "hatch") or name not in boxes or name in subject.airframe.loose:
                continue
            low, high = boxes[name]
            off = float(np.linalg.norm(np.maximum(np.maximum(low - box.high, box.low - high), 0.0)))
            if off <= OUT_MM:
                found.append((off, name, deck.role == "hatch"))
    return min(found)[1:] if found else None


def box_of_blank(airframe: Airframe, name: str) -> tuple[FloatArray, FloatArray]:
    """Least and greatest corner (3,) of a blank's board, mm."""
    rows = [(low, high) for one, _, low, high in extents(airframe) if one.blank.name == name]
    return np.min([low for low, _ in rows], axis=0), np.max([high for _, high in rows], axis=0)


RULES = (Rule("B30", reached, battery_keys),)
