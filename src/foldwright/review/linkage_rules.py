"""Linkages against the trim: whether servo travel reaches the ends that the setup card asks for (P110), and
keys that could cure what the linkages say (P30-P32, P110); those are judged where horns are worked out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import degrees, isfinite, isnan, radians, sin

from foldwright.airframe.control_line import SIDES, Side
from foldwright.airframe.fitting import Site
from foldwright.airframe.fittings.horn import SHORT_DEG
from foldwright.airframe.fittings.horn_asked import clearance
from foldwright.airframe.fittings.horn_words import up_down
from foldwright.airframe.horn_drive import HIGH_MM, LOW_MM, Drive, driven, up_sign
from foldwright.base.finding import Finding, Verdict
from foldwright.flight.controls import rigged
from foldwright.review.subject import CureKey, Rule, Subject, judged

ARMS_MM = (5.0, 20.0)
"""[judgement] holes that arms of small servos have, mm."""


@dataclass(frozen=True, slots=True)
class Rigging:
    """A linkage as the card has it. neutral: rad, trailing edge up (fins: left), at the servo's middle; rod:
    length between the holes that holds it there, mm. up, down: where servo travel takes it (NaN where the rod
    locks), end_up, end_down: where the card has the linkage's ends; rad from in line, positive that way.
    """

    neutral: float
    rod: float
    up: float
    down: float
    end_up: float
    end_down: float

    @property
    def lacks(self) -> tuple[float, float]:
        """By how much up and down are not reached, rad; endless where the rod locks."""
        rows = ((self.up, self.end_up), (self.down, self.end_down))
        lacks = [float("inf") if isnan(reached) else end - reached for reached, end in rows]
        return lacks[0], lacks[1]


def riggings(subject: Subject) -> dict[str, tuple[Drive, Rigging]]:
    """Drives of controls that trim, with what the launch's trim makes of them, by the horn's id; none where
    the trim is not known.
    """
    site = Site(subject.design, subject.fitted, subject.workshop, subject.airframe)
    delta = float(subject.trims.launch.state.delta[0])
    gains = {(one.surface.id, one.control.id): one.gain("pitch") for one in rigged(subject.airframe.surfaces)}
    found = {}
    for name, drive in driven(site).items():
        gain = gains.get((drive.line.surface.id, drive.line.control.id), 0.0)
        if gain != 0.0 and isfinite(delta):
            found[name] = (drive, rigging(drive, -gain * delta))
    return found


def rigging(drive: Drive, neutral: float, made: float | None = None) -> Rigging:
    """A linkage for the card's neutral, rad, trailing edge up (fins: left). made: the neutral that its rod is
    made for, where that is another.
    """
    sign = up_sign(drive.line)
    up: Side = "under" if sign > 0.0 else "upper"
    down: Side = "upper" if sign > 0.0 else "under"
    built = neutral if made is None else made
    own, control = sign * built, drive.line.control
    return Rigging(
        built,
        float(drive.rigged(own).rod),
        built + drive.reached_from(own, up),
        drive.reached_from(own, down) - built,
        min(neutral + control.up, clearance(drive.line, up)),
        min(control.down - neutral, clearance(drive.line, down)),
    )


def servo_travel(subject: Subject) -> tuple[Finding, ...]:
    """P110: servo travel reaches the linkage's ends as the card has them; one finding a fitting."""
    worst: dict[str, tuple[float, Finding]] = {}
    for name, (drive, one) in riggings(subject).items():
        if any(drive.reached(side) < drive.wanted(side) - radians(SHORT_DEG) for side in SIDES):
            continue  # P31 says so, with the control in line
        table = name.partition("/")[0]
        own = None if drive.neutral is None else up_sign(drive.line) * drive.neutral
        made = one if own is None else rigging(drive, one.neutral, own)
        lack, finding = _judged(table, drive, made, one.neutral)
        if table not in worst or lack > worst[table][0]:
            worst[table] = (lack, finding)
    return tuple(finding for _, finding in worst.values())


def _judged(table: str, drive: Drive, one: Rigging, card: float) -> tuple[float, Finding]:
    """The worse way of a linkage. card: the card's neutral, rad."""
    lack, way, reached, end = max(_ways(drive, one), key=lambda row: row[0])
    chord = drive.line.control.chord
    locked = isnan(reached)
    short = locked or lack > radians(SHORT_DEG)
    verdict: Verdict = "watch" if short else "clear"
    cure = "Use a lower horn (height_mm), a hole further out (arm_mm), or ask for less travel"
    edge, wants = chord * sin(one.neutral), chord * sin(card)
    whose = "as the card has its neutral"
    if drive.neutral is not None:
        whose = f"as neutral_mm says; the card's neutral is {_at(drive, wants)}"
        cure = f"Set neutral_mm to {wants:.1f} or leave it out; else u{cure[1:]}"
    key = "height_mm" if drive.neutral is None else "neutral_mm"
    way_sign = 1.0 if way == up_down(drive)[0] else -1.0
    found = judged(
        "P110", verdict, f"fitting.{table}.{key}", 0.0 if locked else chord * sin(reached),
        chord * sin(end), "mm", "geometry", horn=table, way=way,
        neutral=_at(drive, edge), whose=whose, travel=round(degrees(drive.travel), 1),
        end=_at(drive, way_sign * chord * sin(end)),
        reached="where the rod locks" if locked else _at(drive, way_sign * chord * sin(reached)),
        cure=cure if short else "Nothing to do",
    )  # fmt: skip
    return lack, found[0]


def _at(drive: Drive, edge: float) -> str:
    """A place of the trailing edge from in line in words: mm up (fins: left)."""
    up, down = up_down(drive)
    return f"{abs(edge):.1f} mm {up if edge >= 0.0 else down}"


def _ways(drive: Drive, one: Rigging) -> Iterator[tuple[float, str, float, float]]:
    up, down = up_down(drive)
    yield one.lacks[0], up, one.up, one.end_up
    yield one.lacks[1], down, one.down, one.end_down


def linkage_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Height of the horn and hole of the arm, of every horn; what a file leaves out is worked out."""
    driven_by = [one.id.partition("/")[0] for one in subject.airframe.fittings if "arm_mm" in one.figures]
    horns = tuple(dict.fromkeys(driven_by))
    heights = [CureKey(f"fitting.{one}.height_mm", LOW_MM, HIGH_MM, 0.5) for one in horns]
    arms = [CureKey(f"fitting.{one}.arm_mm", *ARMS_MM, 0.5) for one in horns]
    return (*heights, *arms)


RULES: tuple[Rule, ...] = (Rule("P110", servo_travel, linkage_keys),)

CURES: Mapping[str, Callable[[Subject], tuple[CureKey, ...]]] = {
    "P30": linkage_keys,
    "P31": linkage_keys,
    "P32": linkage_keys,
}
"""By the code of the finding."""
