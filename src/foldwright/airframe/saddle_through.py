"""A wing pushed through a closed slot in a body's sides or in its one sheet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import shapely

from foldwright.airframe.box_shell import LEAST_SEGMENT, finding, up
from foldwright.airframe.model import Board, PartBuild, Placed, Seam
from foldwright.airframe.saddle import (
    LEAST_BELOW,
    Cutting,
    Seated,
    cut_out,
    deck_finding,
    floor_reach,
    lost_former,
)
from foldwright.airframe.saddle_cut import (
    AREA,
    Incoming,
    Kind,
    Seat,
    in_the_way,
    incoming,
    least_below,
    runs_of,
)
from foldwright.airframe.section import prisms
from foldwright.airframe.trim import owners, sound, trimmed
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.parts import Through
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.model import Panel
from foldwright.geometry.transform import apply


def push_through(wing: PartBuild, body: PartBuild, joint: Through, board: Board) -> Seated:
    """Cut the wing's section plus clearance out of the sides, closed all round.

    Formers in the way lose what the wing takes and keep their larger piece; decks in the way are findings,
    and a side whose slot would not be closed stays whole. Glue lines follow the slots in the middle of the
    board's thickness.
    """
    if not wing.blanks or not body.blanks:
        return Seated(body)
    depth = board.thickness / 2.0

    def lines(item: Placed, changed: Mapping[str, Panel], seats: Mapping[str, Seat]) -> list[Seam]:
        del seats
        return _slot_lines(joint.id, item, changed, depth) if joint.glued else []

    cutting = Cutting(_changes, _deck_findings, _floor_findings, lines, loses=False)
    return cut_out(body, joint.parts, incoming(wing, joint.clearance_mm, closed=True), cutting)


def _changes(
    body: str, item: Placed, kinds: Mapping[str, Kind], seats: Mapping[str, Seat]
) -> tuple[list[Finding], dict[str, Panel], dict[str, float]]:
    """Findings, the panels that change, and what is left below on every side that is reached, mm."""
    found: list[Finding] = []
    changed: dict[str, Panel] = {}
    lefts: dict[str, float] = {}
    for name, spot in seats.items():
        panel = item.blank.panel(name)
        new = sound(trimmed(panel, spot.region), folded=bool(item.blank.folds))
        if kinds[name] == "former":
            height = 0.0 if new is None else float(np.ptp(new.polygon @ spot.up))
            if height < LEAST_SEGMENT:
                x = float(apply(item.transforms[name], np.array([0.0, 0.0, item.blank.thickness / 2.0]))[0])
                found.append(lost_former(body, item, height, x))
            elif new is not None:
                changed[name] = new
            continue
        lefts[name], reasons = _bridges(item, panel, spot, new is not None)
        reasons += _ends(item, panel, spot)
        found += reasons
        if new is not None and all(reason.verdict != "no-go" for reason in reasons):
            changed[name] = new
    return found, changed, lefts


def _bridges(item: Placed, panel: Panel, spot: Seat, whole: bool) -> tuple[float, list[Finding]]:
    """Board left below the slot, mm, and G163: too little above or below it.

    whole: whether what is left reaches over the mitres of the panel's folds.
    """
    found = []
    below, _ = least_below(panel, spot)
    for where_to, move, way in (("below", "Raise", spot.up), ("above", "Lower", -spot.up)):
        left, at = least_below(panel, replace(spot, up=way))
        if left >= LEAST_BELOW - 1e-6 and (whole or way is not spot.up):
            continue
        x = float(apply(item.transforms[panel.name], np.array([at[0], at[1], item.blank.thickness / 2.0]))[0])
        found.append(
            finding(
                f"{item.blank.name}/{panel.name}", "G163", left, LEAST_BELOW, "mm",
                "watch" if left > AREA and whole else "no-go", side=panel.name, left=max(left, 0.0),
                where_to=where_to, x=x, least=LEAST_BELOW, move=move, shift=up(LEAST_BELOW - left),
            )
        )  # fmt: skip
    return below, found


def _ends(item: Placed, panel: Panel, spot: Seat) -> list[Finding]:
    """G164: the slot is open at an upright edge that no fold carries on."""
    along = np.array([spot.up[1], -spot.up[0]])
    matrix = item.transforms[panel.name]
    if float(matrix[:3, :2][0] @ along) < 0.0:
        along = -along
    folded: set[int] = set()
    for fold in item.blank.folds:
        if panel.name in (fold.parent, fold.child):
            folded |= set(fold_sides(item.blank, fold)[0 if panel.name == fold.parent else 1])
    ring = panel.polygon
    after = np.roll(ring, -1, axis=0)
    reach = shapely.get_coordinates(spot.region) @ along
    middle = float((ring @ along).mean())
    for index, (start, stop) in enumerate(zip(ring, after, strict=True)):
        run = stop - start
        upright = abs(run @ spot.up) > abs(run @ along)
        if index in folded or not upright:
            continue
        if shapely.LineString([start, stop]).intersection(spot.region).length < AREA:
            continue
        at = float((start @ along + stop @ along) / 2.0)
        aft = at > middle
        out = float(reach.max()) - at if aft else at - float(reach.min())
        x = float(apply(matrix, np.array([*(start + stop) / 2.0, 0.0]))[0])
        return [
            finding(
                f"{item.blank.name}/{panel.name}", "G164", out, 0.0, out=max(out, 0.0), x=x,
                end="rear" if aft else "front", side=panel.name, way="forward" if aft else "aft",
                shift=up(max(out, 0.0) + LEAST_BELOW),
            )
        ]  # fmt: skip
    return []


def _deck_findings(body: str, item: Placed, coming: Incoming) -> list[Finding]:
    """G165: a deck, hatch or tray that the wing would go through."""
    reach = in_the_way(prisms([item]), coming)
    if reach is None:
        return []
    return [deck_finding("G165", body, item, reach, shift=up(reach.lift))]


def _floor_findings(item: Placed, kinds: Mapping[str, Kind], coming: Incoming) -> list[Finding]:
    """G163: the wing goes through the floor."""
    met = floor_reach(item, kinds, coming)
    if met is None:
        return []
    name, reach = met
    return [
        finding(
            f"{item.blank.name}/{name}", "G163", -reach.lift, LEAST_BELOW, side=name, left=0.0,
            where_to="below", x=max(reach.first, reach.start), least=LEAST_BELOW, move="Raise",
            shift=up(reach.lift + LEAST_BELOW),
        )
    ]  # fmt: skip


def _slot_lines(joint: str, item: Placed, changed: Mapping[str, Panel], depth: float) -> list[Seam]:
    """Glue along every new edge."""
    lines: list[Seam] = []
    for name, panel in changed.items():
        old = item.blank.panel(name)
        kept = [ring.tobytes() for ring in old.holes]
        fresh = [ring for ring in panel.holes if ring.tobytes() not in kept]
        runs: list[FloatArray] = [np.concatenate([ring, ring[:1]]) for ring in fresh]
        own = np.array(owners(old.polygon, panel.polygon)) >= 0
        runs += runs_of(panel.polygon, ~own)
        where = name if len(item.blank.panels) > 1 else item.blank.name.rsplit("/", 1)[1]
        for number, points in enumerate(runs, start=1):
            flat = np.column_stack([points, np.full(len(points), depth)])
            lines.append(Seam(f"{joint}/{where}/{number}", "glue", apply(item.transforms[name], flat)))
    return lines
