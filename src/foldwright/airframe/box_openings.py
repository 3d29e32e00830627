"""Openings in floor, sides and decks of a body, and the gaps that they and the formers' holes give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import shapely

from foldwright.airframe.box_formers import FormerPlate, looks_aft
from foldwright.airframe.box_shell import Shell, finding
from foldwright.airframe.gaps import (
    LEAST_BRIDGE,
    TOUCH,
    Cutout,
    Place,
    board_left,
    cut_out,
    edge_finding,
    pair_findings,
    with_holes,
)
from foldwright.airframe.model import Gap
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.bodies import Opening
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply

_SIDE, _LEVEL = np.array([0.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])


@dataclass(frozen=True, slots=True, eq=False)
class Opened:
    """Blanks with their openings, what they are to the aeroplane, and what is wrong with them."""

    blanks: tuple[Blank, ...]
    gaps: tuple[Gap, ...]
    findings: tuple[Finding, ...]


def open_up(shell: Shell, blanks: Sequence[Blank], formers: Sequence[FormerPlate]) -> Opened:
    """Cut every opening into the panel it names; one with a no-go finding against it is left out.

    An opening in both sides gives two gaps, `<body>.<id>-right` and `-left`.
    """
    places = _places(shell, blanks) if shell.part.opening else []
    found: list[Finding] = []
    cutouts: list[Cutout] = []
    for opening in shell.part.opening:
        where = f"{shell.part.id}.opening.{opening.id}"
        made = [one for side in _sides(opening) if (one := _cut(shell, opening, side, places)) is not None]
        if not made:
            found.append(_off(shell, opening, where))
            continue
        left = min(board_left(place.panel, cut.ring) for place, cut in made)
        item = edge_finding(where, opening, left)
        found += [item] if item else []
        if item is None or item.verdict != "no-go":
            cutouts += [cut for _, cut in made]
            found += _formers_behind(opening, formers, where)
    clash = pair_findings([c for c in cutouts if not c.gap.id.endswith("-left")], f"{shell.part.id}.opening")
    lost = {item.params["other"] for item in clash if item.verdict == "no-go"}
    cutouts = [cut for cut in cutouts if cut.opening not in lost]
    found += [*clash, *former_pairs(shell, formers)]
    gaps = (*(cut.gap for cut in cutouts), *former_gaps(shell, formers))
    return Opened(with_holes(blanks, cutouts), gaps, tuple(found))


def _places(shell: Shell, blanks: Sequence[Blank]) -> list[Place]:
    """Every panel but the formers'."""
    del shell
    return [
        Place(blank.name, panel, blank.thickness, placed[panel.name])
        for blank in blanks
        for placed in (transforms(blank),)
        for panel in blank.panels
        if panel.name != "plate"
    ]


def _sides(opening: Opening) -> tuple[str, ...]:
    return ("right", "left") if opening.panel == "both" else (opening.panel,)


def _cut(shell: Shell, opening: Opening, side: str, places: Sequence[Place]) -> tuple[Place, Cutout] | None:
    """The hole in one side, the floor or a deck."""
    part = shell.part.id
    if side in {"right", "left", "floor"}:
        shells = {f"{part}/main", f"{part}/floor-fore", f"{part}/floor-aft"}
        own = [p for p in places if p.blank in shells and p.panel.name.split("-")[0] == side]
    else:
        own = [place for place in places if place.blank == f"{part}/{side}"]
    name = f"{part}.{opening.id}" + (f"-{side}" if opening.panel == "both" else "")
    return cut_out(opening, own, _LEVEL if side not in {"right", "left"} else _SIDE, name)


def _off(shell: Shell, opening: Opening, where: str) -> Finding:
    """G141: the middle of an opening lies on no board of what it names."""
    side = opening.panel in {"right", "left", "both"}
    place = opening.z_mm if side else opening.y_mm
    deck = next((deck for deck in shell.part.deck if deck.id == opening.panel), None)
    start, stop = (shell.start, shell.stop) if deck is None else (deck.from_mm, deck.to_mm)
    if side:
        x = min(max(opening.x_mm, start), stop)
        low, high = shell.bottom.at(x), shell.top.at(x)
    else:
        high = shell.half.at(min(max(opening.x_mm, start), stop))
        low = -high
    return finding(
        f"{where}.x_mm", "G141", opening.x_mm, 0.0, name=opening.id, panel=opening.panel, x=opening.x_mm,
        axis="z" if side else "y", place=place, start=start, stop=stop, low=low, high=high,
    )  # fmt: skip


def _formers_behind(opening: Opening, formers: Sequence[FormerPlate], where: str) -> list[Finding]:
    """G144: a former that stands behind an opening."""
    found = []
    start, stop = opening.x_mm - opening.length_mm / 2.0, opening.x_mm + opening.length_mm / 2.0
    for plate in formers:
        covered = min(stop, plate.reach[1]) - max(start, plate.reach[0])
        if covered > TOUCH:
            found.append(
                finding(
                    f"{where}.x_mm", "G144", covered, 0.0, "mm", "watch", name=opening.id,
                    former=plate.former.id, covered=covered, ahead=plate.reach[0] - opening.length_mm / 2.0,
                    behind=plate.reach[1] + opening.length_mm / 2.0,
                )
            )  # fmt: skip
    return found


def former_pairs(shell: Shell, formers: Sequence[FormerPlate]) -> list[Finding]:
    """G143 for the holes of one former."""
    found = []
    for plate in formers:
        holes = [shapely.Polygon(ring) for ring in plate.blank.panels[0].holes]
        for (one, first), (two, second) in combinations(enumerate(holes, start=1), 2):
            left = float(first.distance(second))
            if left < LEAST_BRIDGE - TOUCH:
                where = f"{shell.part.id}.former.{plate.former.id}.hole.{two}.y_mm"
                found.append(
                    finding(
                        where, "G143", left, LEAST_BRIDGE, "mm", "watch" if left > 0.0 else "no-go",
                        one=f"hole {one} of {plate.former.id}", other=f"hole {two}", left=left,
                        least=LEAST_BRIDGE, by=round(LEAST_BRIDGE - left + 0.05, 1),
                    )
                )  # fmt: skip
    return found


def former_gaps(shell: Shell, formers: Sequence[FormerPlate]) -> list[Gap]:
    """A gap for every hole of a former, looking forward: `<body>.<former>`, numbered where it has several."""
    gaps = []
    for plate in formers:
        panel, matrix = plate.blank.panels[0], plate.blank.placement
        aft = looks_aft(matrix)
        normal: FloatArray = -matrix[:3, 2] if aft else matrix[:3, 2].copy()
        for number, (ring, hole) in enumerate(zip(panel.holes, plate.former.hole, strict=True), start=1):
            tail = f"-{number}" if len(panel.holes) > 1 else ""
            middle = np.append(ring.mean(axis=0), 0.0 if aft else shell.t)
            height = hole.width_mm if hole.shape == "round" else hole.height_mm or hole.width_mm
            gaps.append(
                Gap(
                    f"{shell.part.id}.{plate.former.id}{tail}", "lead", apply(matrix, middle), normal,
                    (hole.width_mm, height), float(shapely.Polygon(ring).area),
                )
            )  # fmt: skip
    return gaps
