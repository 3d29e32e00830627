"""A wing seated in a body: the wing's section plus clearance is cut out of the sides, formers make room.

The cut-out runs on upward to above the body, so that the wing can be lowered in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.airframe.box_shell import LEAST_SEGMENT, down, finding, up
from foldwright.airframe.model import Board, PartBuild, Placed, Seam
from foldwright.airframe.saddle_cut import (
    AREA,
    Incoming,
    Kind,
    Reach,
    Seat,
    in_the_way,
    incoming,
    is_roof,
    kind_of,
    least_below,
    runs_of,
    seats_of,
)
from foldwright.airframe.section import Prism, placed, prisms
from foldwright.airframe.trim import owners, sound, trimmed, with_panels
from foldwright.base.finding import Finding
from foldwright.design.parts import BandOn, Saddle
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.transform import apply, inverse

LEAST_BELOW = 8.0  # mm: common practice, no source; side left below the wing


@dataclass(frozen=True, slots=True, eq=False)
class Seated:
    """A body with its cut-outs.

    seams: glue lines between the two. cut: panels of the body that changed, "blank panel". worn: panels of
    the wing that lie in them. length: of the cut-out along a side, mm. left: least height of side that
    is left at it, mm; None where no side is cut. solids: the wing's panels.
    """

    body: PartBuild
    findings: tuple[Finding, ...] = ()
    seams: tuple[Seam, ...] = ()
    cut: tuple[str, ...] = ()
    worn: tuple[str, ...] = ()
    length: float = 0.0
    left: float | None = None
    solids: tuple[Prism, ...] = ()


def seat(wing: PartBuild, body: PartBuild, joint: Saddle | BandOn, board: Board) -> Seated:
    """Seat a wing in a body from above.

    Sides are cut by the wing's section where it meets their outer and inner faces, formers by its section
    where it meets theirs, each widened by the joint's clearance. Decks are not cut: one in the wing's way
    is a finding, and a side that would be cut through stays whole. Glue lines follow the seat in the middle
    of the board's thickness. A part without blanks has findings of its own; then nothing is cut.
    """
    if not wing.blanks or not body.blanks:
        return Seated(body)
    glued = isinstance(joint, Saddle) and joint.glued
    depth = board.thickness / 2.0

    def lines(item: Placed, changed: Mapping[str, Panel], seats: Mapping[str, Seat]) -> list[Seam]:
        return _seat_lines(joint.id, item, changed, seats, depth) if glued else []

    cutting = Cutting(_changes, _deck_findings, _floor_findings, lines, loses=True)
    return cut_out(body, joint.parts, incoming(wing, joint.clearance_mm), cutting)


@dataclass(frozen=True, slots=True)
class Cutting:
    """What one kind of cut-out does its own way.

    changes: findings, panels that change and what is left below in the sides (mm) of one blank; deck, floor:
    findings of what is in the wing's way; lines: glue along the new edges. loses: a former that nothing is
    left of leaves the body.
    """

    changes: Callable[
        [str, Placed, Mapping[str, Kind], Mapping[str, Seat]],
        tuple[list[Finding], dict[str, Panel], dict[str, float]],
    ]
    deck: Callable[[str, Placed, Incoming], list[Finding]]
    floor: Callable[[Placed, Mapping[str, Kind], Incoming], list[Finding]]
    lines: Callable[[Placed, Mapping[str, Panel], Mapping[str, Seat]], list[Seam]]
    loses: bool


def cut_out(body: PartBuild, names: tuple[str, str], coming: Incoming, cutting: Cutting) -> Seated:
    """Cut what comes in out of every blank of a body. names: ids of the wing and of the body."""
    found: list[Finding] = []
    seams: list[Seam] = []
    blanks: list[Blank] = []
    old_seams = list(body.seams)
    done = Tally()
    for blank in body.blanks:
        item = placed(body.id, blank)
        kinds = {panel.name: kind_of(item.transforms[panel.name]) for panel in blank.panels}
        if is_roof(item, kinds):
            found += cutting.deck(body.id, item, coming)
            blanks.append(blank)
            continue
        seats = seats_of(item, kinds, coming)
        reasons, changed, lefts = cutting.changes(body.id, item, kinds, seats)
        found += reasons
        if not any(reason.code == "G59" for reason in reasons):  # said of the sides already
            found += cutting.floor(item, kinds, coming)
        done = done.with_blank(item, seats, changed, lefts)
        if cutting.loses and set(kinds.values()) == {"former"} and seats and not changed:
            old_seams = [seam for seam in old_seams if seam.id != blank.name]
            continue
        blanks.append(with_panels(blank, changed) if changed else blank)
        seams += cutting.lines(item, changed, seats)
        old_seams = [shorter(seam, blank, seats) if seam.id == blank.name else seam for seam in old_seams]
    if not done.sides:
        found.append(apart(names, body, coming))
    new = replace(body, blanks=tuple(blanks), seams=tuple(old_seams))
    return Seated(
        new, tuple(found), tuple(seams), done.cut, done.worn, done.length, done.left, coming.solids
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tally:
    """What has been cut so far. sides: sides that the wing reaches; the rest as in `Seated`."""

    sides: int = 0
    cut: tuple[str, ...] = ()
    worn: tuple[str, ...] = ()
    length: float = 0.0
    left: float | None = None

    def with_blank(
        self,
        item: Placed,
        seats: Mapping[str, Seat],
        changed: Mapping[str, Panel],
        lefts: Mapping[str, float],
    ) -> Tally:
        """The same with what one blank of the body loses; lefts: what is left below in the sides."""
        lengths = {1.0: 0.0, -1.0: 0.0}  # by the side they are on; a bent side has several panels
        for name in lefts:
            panel, spot = item.blank.panel(name), seats[name]
            along = np.array([spot.up[1], -spot.up[0]])
            ring, taken = panel.polygon @ along, shapely.get_coordinates(spot.region) @ along
            middle = apply(item.transforms[name], np.append(panel.polygon.mean(axis=0), 0.0))
            run = float(min(ring.max(), taken.max()) - max(ring.min(), taken.min()))
            lengths[1.0 if middle[1] >= 0.0 else -1.0] += run
        found = [left for left in lefts.values() if np.isfinite(left)]
        worn = sorted({*self.worn, *(name for side in lefts for name in seats[side].names)})
        return Tally(
            self.sides + len(lefts),
            (*self.cut, *(f"{item.blank.name} {name}" for name in changed)),
            tuple(worn),
            max(self.length, *lengths.values()),
            min(found if self.left is None else [self.left, *found], default=None),
        )


def _changes(
    body: str, item: Placed, kinds: Mapping[str, Kind], seats: Mapping[str, Seat]
) -> tuple[list[Finding], dict[str, Panel], dict[str, float]]:
    """Findings, the panels that change, and what is left below on every side that is reached, mm."""
    found: list[Finding] = []
    changed: dict[str, Panel] = {}
    lefts: dict[str, float] = {}
    for name, spot in seats.items():
        panel = item.blank.panel(name)
        left, at = least_below(panel, spot)
        place = apply(item.transforms[name], np.array([at[0], at[1], item.blank.thickness / 2.0]))
        new = sound(trimmed(panel, spot.region), folded=bool(item.blank.folds))
        if kinds[name] == "former":
            if new is None or left < LEAST_SEGMENT:
                found.append(lost_former(body, item, left, float(place[0])))
                continue
        else:
            lefts[name] = left
            if left < LEAST_BELOW:
                weak = _weak(f"{item.blank.name}/{name}", left, float(place[0]))
                # what is left does not reach over the mitre of the corner below
                found.append(replace(weak, verdict="no-go") if new is None else weak)
            if left <= AREA:
                continue
        if new is not None:
            changed[name] = new
    return found, changed, lefts


def _weak(where: str, left: float, x: float) -> Finding:
    lift = up(LEAST_BELOW - left)
    side = where.rsplit("/", 1)[1]
    if left <= AREA:
        return finding(where, "G59", left, LEAST_BELOW, side=side, x=x, least=LEAST_BELOW, lift=lift)
    return finding(
        where,
        "G58",
        left,
        LEAST_BELOW,
        "mm",
        "watch",
        side=side,
        x=x,
        left=left,
        least=LEAST_BELOW,
        lift=lift,
    )


def lost_former(body: str, item: Placed, left: float, x: float) -> Finding:
    """G72: the wing leaves too little of a former."""
    name = item.blank.name.rsplit("/", 1)[1]
    where = f"{body}.former.{name}.x_mm"
    return finding(
        where,
        "G72",
        left,
        LEAST_SEGMENT,
        name=name,
        x=x,
        left=max(left, 0.0),
        least=LEAST_SEGMENT,
        lift=up(LEAST_SEGMENT - left),
    )


def _seat_lines(
    joint: str, item: Placed, changed: Mapping[str, Panel], seats: Mapping[str, Seat], depth: float
) -> list[Seam]:
    """Glue along the new edges that carry the wing: not the upright ones that only let it in."""
    lines: list[Seam] = []
    for name, panel in changed.items():
        old, spot = item.blank.panel(name), seats[name]
        own = np.array(owners(old.polygon, panel.polygon)) >= 0
        for hole in old.holes:
            # a hole that the cut-out opens carries nothing either
            own |= np.array(owners(hole[::-1], panel.polygon)) >= 0
            own |= np.array(owners(hole, panel.polygon)) >= 0
        along = np.roll(panel.polygon, -1, axis=0) - panel.polygon
        upright = np.abs(along @ spot.up) > (1.0 - 1e-9) * np.hypot(along[:, 0], along[:, 1])
        where = item.blank.name.rsplit("/", 1)[1] if name == "plate" else name
        for number, points in enumerate(runs_of(panel.polygon, ~(own | upright)), start=1):
            flat = np.column_stack([points, np.full(len(points), depth)])
            lines.append(Seam(f"{joint}/{where}/{number}", "glue", apply(item.transforms[name], flat)))
    return lines


def shorter(seam: Seam, blank: Blank, seats: Mapping[str, Seat]) -> Seam:
    """A former's glue line without the part that the wing takes away."""
    spot = seats.get(blank.panels[0].name)
    if spot is None:
        return seam
    flat = apply(inverse(blank.placement), seam.points)
    rest = shapely.LineString(flat[:, :2]).difference(spot.region)
    pieces = [np.asarray(piece.coords) for piece in shapely.get_parts(rest)]
    if not pieces:
        return seam
    line = max(pieces, key=len)
    depth = np.full(len(line), blank.thickness / 2.0)
    return replace(seam, points=apply(blank.placement, np.column_stack([line, depth])))


def _deck_findings(body: str, item: Placed, coming: Incoming) -> list[Finding]:
    """G71: a deck, hatch or tray in the way of the wing."""
    reach = in_the_way(prisms([item]), coming)
    return [] if reach is None else [deck_finding("G71", body, item, reach)]


def deck_finding(code: str, body: str, item: Placed, reach: Reach, shift: float = 0.0) -> Finding:
    """A finding about a deck that the wing takes, with where it could end or begin."""
    overlap = min(reach.last, reach.stop) - max(reach.first, reach.start)
    name = item.blank.name.rsplit("/", 1)[1]
    key = "to_mm" if reach.first - reach.start >= reach.stop - reach.last else "from_mm"
    return finding(
        f"{body}.deck.{name}.{key}", code, overlap, 0.0, name=name, start=reach.start, stop=reach.stop,
        first=reach.first, last=reach.last, overlap=overlap, ahead=down(reach.first), behind=up(reach.last),
        shift=shift,
    )  # fmt: skip


def floor_reach(item: Placed, kinds: Mapping[str, Kind], coming: Incoming) -> tuple[str, Reach] | None:
    """The floor panel of a blank that the wing reaches, and how far; None where it stays above."""
    for solid in prisms([item]):
        name = solid.name.rsplit("/", 1)[1]
        reach = in_the_way([solid], coming) if kinds[name] == "deck" else None
        if reach is not None:
            return name, reach
    return None


def _floor_findings(item: Placed, kinds: Mapping[str, Kind], coming: Incoming) -> list[Finding]:
    """G59: the wing reaches the floor."""
    met = floor_reach(item, kinds, coming)
    if met is None:
        return []
    name, reach = met
    return [
        finding(
            f"{item.blank.name}/{name}", "G59", -reach.lift, LEAST_BELOW, side=name,
            x=max(reach.first, reach.start), least=LEAST_BELOW, lift=up(reach.lift + LEAST_BELOW),
        )
    ]  # fmt: skip


def apart(parts: tuple[str, str], body: PartBuild, coming: Incoming) -> Finding:
    """No side is cut: how far the wing lies above the body (G70), or beside it along x (G178)."""
    sides = [
        solid.span
        for solid in prisms(placed(body.id, blank) for blank in body.blanks)
        if int(np.argmax(np.abs(solid.normal))) == 1
    ]
    fore = min((float(low[0]) for low, _ in sides), default=np.inf)
    aft = max((float(high[0]) for _, high in sides), default=-np.inf)
    gap = max(coming.span[0] - aft, fore - coming.span[1])
    if sides and gap >= 0.0:
        way = "aft" if coming.span[1] <= fore else "forward"
        return finding(
            parts[0], "G178", gap, 0.0, other=parts[1], x0=coming.span[0], x1=coming.span[1], b0=fore, b1=aft,
            gap=up(gap), way=way,
        )  # fmt: skip
    height = float(coming.low[2]) - max((float(high[2]) for _, high in sides), default=float(coming.low[2]))
    return finding(f"{parts[0]}.z_mm", "G70", height, 0.0, lower=up(max(height, 0.0)))
