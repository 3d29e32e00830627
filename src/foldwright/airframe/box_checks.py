"""Findings of formers, decks, hatches and trays of a body."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import degrees

import numpy as np
import shapely

from foldwright.airframe.box_decks import DeckPlate, face_of, reach_of, sits_on
from foldwright.airframe.box_formers import FormerPlate
from foldwright.airframe.box_rolled import ROLLED, Rolled
from foldwright.airframe.box_shell import BEND_LIMIT_DEG, LEAST_SEGMENT, Shell, down, finding, up
from foldwright.airframe.gaps import board_left
from foldwright.airframe.profile import secant
from foldwright.base.finding import Finding, Verdict
from foldwright.design.parts import Deck

EDGE_TO_HOLE = 3.0  # mm: common practice, no source; board left beside a hole
TOUCH = 1e-6  # mm: plates that meet, not overlap


def check_decks(shell: Shell) -> tuple[tuple[Finding, ...], tuple[Deck, ...]]:
    """Findings of flat decks, hatches and trays, and those of them that can be made."""
    found: list[Finding] = []
    bad: set[str] = set()
    flat = [deck for deck in shell.part.deck if deck.role not in ROLLED]
    for deck in flat:
        reasons = _deck_place(shell, deck)
        found += reasons
        if reasons:
            bad.add(deck.id)
    good = [deck for deck in flat if deck.id not in bad]
    for one, other in combinations(good, 2):
        if item := _deck_pair(shell, one, other):
            found.append(item)
            bad.add(other.id)
    return tuple(found), tuple(deck for deck in good if deck.id not in bad)


def _deck_place(shell: Shell, deck: Deck) -> list[Finding]:
    where = f"{shell.part.id}.deck.{deck.id}"
    start, stop = reach_of(deck)
    if stop - start < LEAST_SEGMENT:
        need = up(deck.from_mm + LEAST_SEGMENT + (deck.to_mm - deck.from_mm) - (stop - start))
        return [
            finding(
                f"{where}.to_mm",
                "G50",
                stop - start,
                LEAST_SEGMENT,
                name=deck.id,
                length=stop - start,
                least=LEAST_SEGMENT,
                need=need,
            )
        ]
    if deck.from_mm < shell.start - TOUCH:
        return [
            finding(
                f"{where}.from_mm",
                "G51",
                deck.from_mm,
                shell.start,
                name=deck.id,
                verb="begins",
                x=deck.from_mm,
                side="ahead of",
                end=shell.start,
            )
        ]
    if deck.to_mm > shell.stop + TOUCH:
        return [
            finding(
                f"{where}.to_mm",
                "G51",
                deck.to_mm,
                shell.stop,
                name=deck.id,
                verb="ends",
                x=deck.to_mm,
                side="behind",
                end=shell.stop,
            )
        ]
    return _tray_place(shell, deck, where) if deck.role == "tray" else _deck_bends(shell, deck, where)


def _deck_bends(shell: Shell, deck: Deck, where: str) -> list[Finding]:
    """Bends that a deck cannot follow: of its own face, which on the sides lies off the edges' bends."""
    start, stop = reach_of(deck)
    line = face_of(shell, deck)
    found = []
    for x in line.kinks:
        if not start + TOUCH < x < stop - TOUCH:
            continue
        turn = abs(degrees(line.turn(x)))
        if turn > BEND_LIMIT_DEG:
            found.append(
                finding(
                    f"{where}.to_mm",
                    "G57",
                    turn,
                    BEND_LIMIT_DEG,
                    "deg",
                    name=deck.id,
                    x=x,
                    turn=turn,
                    most=BEND_LIMIT_DEG,
                )
            )
        if min(x - start, stop - x) < LEAST_SEGMENT:
            found.append(_beside_bend(deck, where, x))
    return found


def _beside_bend(deck: Deck, where: str, x: float) -> Finding:
    """A deck that ends just before or behind its bend at x; the cure keeps clear of rounding."""
    start, stop = reach_of(deck)
    ahead = x - start < stop - x
    key, end = ("from_mm", start) if ahead else ("to_mm", stop)
    exact = abs(x - round(x, 1)) < TOUCH and reach_of(deck) == (deck.from_mm, deck.to_mm)
    gap = abs(deck.from_mm - start)
    need = x if exact else (up(x + gap) if ahead else down(x - gap))
    length = abs(end - x)
    return finding(
        f"{where}.{key}", "G56", length, LEAST_SEGMENT, name=deck.id, x=x, end=end, length=length,
        least=LEAST_SEGMENT, need=need,
    )  # fmt: skip


def _tray_place(shell: Shell, deck: Deck, where: str) -> list[Finding]:
    start, stop = reach_of(deck)
    low = shell.floor.extremes(start, stop)[1] + shell.t
    high = shell.top.extremes(start, stop)[0]
    if deck.z_mm is None:
        return [finding(f"{where}.z_mm", "G52", 0.0, low, name=deck.id, low=up(low), high=down(high))]
    if not low - TOUCH <= deck.z_mm <= high + TOUCH:
        limit = low if deck.z_mm < low else high
        return [
            finding(
                f"{where}.z_mm",
                "G53",
                deck.z_mm,
                limit,
                name=deck.id,
                z=deck.z_mm,
                low=up(low),
                high=down(high),
            )
        ]
    return []


def _deck_pair(shell: Shell, one: Deck, other: Deck) -> Finding | None:
    """Two decks in one place."""
    (a, b), (c, d) = reach_of(one), reach_of(other)
    overlap = min(b, d) - max(a, c)
    if overlap <= TOUCH:
        return None
    start, stop = max(a, c), min(b, d)
    faces = face_of(shell, one), face_of(shell, other)
    places = {x for face in faces for x, _ in face.between(start, stop)}
    above = [faces[0].at(x) - faces[1].at(x) for x in places]
    walls = [shell.t * secant(face.steepest(start, stop)) - TOUCH for face in faces]
    if min(above) >= walls[0] or -max(above) >= walls[1]:
        return None
    later = other if c >= a else one
    return finding(
        f"{shell.part.id}.deck.{later.id}.from_mm", "G54", overlap, 0.0, one=one.id, other=other.id,
        overlap=overlap, name=later.id, need=up(max(a, c) + overlap),
    )  # fmt: skip


def check_arches(decks: Sequence[Deck], rolled: Sequence[Rolled], part: str) -> tuple[Finding, ...]:
    """G54: a rolled deck in the place of another one, or of a deck on the sides; no-go for the rolled one."""
    found = []
    arches = [item.deck for item in rolled if item.deck.role == "rolled"]
    others = [deck for deck in decks if sits_on(deck)]
    for number, deck in enumerate(arches):
        for other in (*others, *arches[:number]):
            (a, b), (c, d) = reach_of(deck), reach_of(other)
            overlap = min(b, d) - max(a, c)
            if overlap > TOUCH:
                found.append(
                    finding(
                        f"{part}.deck.{deck.id}.from_mm", "G54", overlap, 0.0, one=other.id, other=deck.id,
                        overlap=overlap, name=deck.id, need=up(d),
                    )
                )  # fmt: skip
    return tuple(found)


def check_formers(
    shell: Shell, formers: tuple[FormerPlate, ...], decks: tuple[DeckPlate, ...]
) -> tuple[tuple[Finding, ...], tuple[FormerPlate, ...]]:
    """Findings of formers, and those formers that can be made."""
    found: list[Finding] = []
    bad: set[str] = set()
    for plate in formers:
        reasons = [*_former_place(shell, plate), *_holes(shell, plate), *_trays(shell, plate, decks)]
        found += reasons
        if any(item.verdict == "no-go" for item in reasons):
            bad.add(plate.former.id)
    for one, other in combinations(formers, 2):
        overlap = min(one.reach[1], other.reach[1]) - max(one.reach[0], other.reach[0])
        if overlap > TOUCH:
            ahead, later = sorted((one, other), key=lambda item: item.reach[0])
            need = up(later.former.x_mm + ahead.reach[1] - later.reach[0])
            where = f"{shell.part.id}.former.{later.former.id}.x_mm"
            found.append(
                finding(
                    where,
                    "G49",
                    overlap,
                    0.0,
                    one=ahead.former.id,
                    other=later.former.id,
                    overlap=overlap,
                    need=need,
                )
            )
            bad.add(later.former.id)
    return tuple(found), tuple(plate for plate in formers if plate.former.id not in bad)


def _former_place(shell: Shell, plate: FormerPlate) -> list[Finding]:
    x = plate.former.x_mm
    first, last = shell.start, shell.stop - shell.t
    if first - TOUCH <= x <= last + TOUCH:
        return []
    where = f"{shell.part.id}.former.{plate.former.id}.x_mm"
    limit = first if x < first else last
    return [
        finding(
            where, "G47", x, limit, name=plate.former.id, x=x, first=up(first), last=down(last), t=shell.t
        )
    ]


def _holes(shell: Shell, plate: FormerPlate) -> list[Finding]:
    """Holes that break through a former's edge (no-go) or come close to it (watch)."""
    panel = plate.blank.panels[0]
    found = []
    for number, ring in enumerate(panel.holes, start=1):
        left = board_left(panel, ring)
        if left < EDGE_TO_HOLE:
            verdict: Verdict = "watch" if left > 0.0 else "no-go"
            where = f"{shell.part.id}.former.{plate.former.id}.hole.{number}.width_mm"
            width = plate.former.hole[number - 1].width_mm
            need = down(width - 2.0 * (EDGE_TO_HOLE - left))
            found.append(
                finding(
                    where,
                    "G48",
                    left,
                    EDGE_TO_HOLE,
                    "mm",
                    verdict,
                    name=plate.former.id,
                    number=number,
                    left=left,
                    least=EDGE_TO_HOLE,
                    need=need,
                )
            )
    return found


def _trays(shell: Shell, plate: FormerPlate, decks: tuple[DeckPlate, ...]) -> list[Finding]:
    """Trays that run into a former."""
    found = []
    panel, matrix = plate.blank.panels[0], plate.blank.placement
    # a hole may break through the edge: that is G48's to say
    holes = shapely.union_all([shapely.Polygon(ring) for ring in panel.holes])
    board = shapely.Polygon(panel.polygon).difference(holes)
    for item in decks:
        start, stop = item.reach
        if item.deck.role != "tray" or min(stop, plate.reach[1]) - max(start, plate.reach[0]) <= TOUCH:
            continue
        half = float(np.abs(item.edges[0][:, 1]).max())
        z = item.face.at(start)
        low, high = ((level - matrix[2, 3]) / matrix[2, 1] for level in (z - shell.t, z))
        if board.intersection(shapely.box(-half, low, half, high)).area > TOUCH:
            where = f"{shell.part.id}.deck.{item.deck.id}.to_mm"
            found.append(
                finding(
                    where,
                    "G55",
                    plate.former.x_mm,
                    stop,
                    name=item.deck.id,
                    former=plate.former.id,
                    start=start,
                    stop=stop,
                    x=plate.former.x_mm,
                    need=down(plate.reach[0]),
                )
            )
    return found
