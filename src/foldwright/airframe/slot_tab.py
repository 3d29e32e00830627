"""Tabs of one plate through slots in another part; the plate is seated on the face it stands on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.airframe.joined import Joined
from foldwright.airframe.model import JointShown, MarkRequest, PartBuild
from foldwright.airframe.slot_tab_cut import Run, Stand, seating, slope_deg, slot, stand, with_tabs
from foldwright.airframe.slot_tab_target import PLATE_FAR_MM, Root, Target, first_face, moving, root_edge
from foldwright.airframe.trim import room_of
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.parts import SlotTab
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import moved
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.solids import meeting, pieces
from foldwright.geometry.transform import apply, inverse

ACROSS_LIMIT_DEG = 45.0  # judgement, across the plate: a root bevel wider than the board is thick
LEAN_LIMIT_DEG = 20.0  # judgement, along the plate: it leans with the face, but not like a slide
EDGE_LEAST_MM = 5.0  # common practice, no source: least bridge of foam board
PRESS_MM = 0.15  # judgement: foam gives way by this much


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """One blank of the plate on its face: as it was, with its tabs, the seat (4x4) and the slots."""

    before: Blank
    after: Blank
    seat: FloatArray
    target: Target
    how: Stand
    slots: tuple[FloatArray, ...]


def join_slot_tab(fin: PartBuild, base: PartBuild, joint: SlotTab) -> Joined:
    """Give the first part its tabs and the second its slots.

    The first part is moved along its tabs until its root edge touches the face under the middle of its run
    of tabs, so a thicker board moves it along, and leans with a face that slopes along it. Where it stands
    far from square to the face its root edge and tab ends are bevelled. Slots are square through the board:
    the tab's section with both faces, plus the joint's clearance; tabs end flush with the far face. Nothing
    is changed where a finding forbids it.
    """
    found: list[Finding] = []
    standing: list[Standing] = []
    for blank in fin.blanks:
        root = root_edge(blank)
        runs = tab_runs(root.run if root is not None else (0.0, 0.0), joint)
        wrong = _run_findings(root, joint, runs)
        if root is None or wrong:
            return Joined(findings=tuple(wrong))
        one, reasons = _stand_on(blank, root, runs, base, joint)
        found += () if blank.mirror_of and one is not None else reasons
        if one is not None:
            standing.append(one)
    if any(finding.verdict == "no-go" for finding in found):
        return Joined(findings=tuple(found))
    other = _with_slots(base, standing)
    found += _bites(standing, other, joint)
    changed = {fin.id: _seated(fin, standing), base.id: other}
    return Joined(changed, tuple(found), _shown(joint, standing))


def tab_runs(root: Run, joint: SlotTab) -> list[Run]:
    """Start and end of every tab along the root edge, mm from the form's origin, spread evenly."""
    low = root[0] if joint.from_mm is None else joint.from_mm
    high = root[1] if joint.to_mm is None else joint.to_mm
    room = (high - low) / joint.tabs
    middles = [low + room * (index + 0.5) for index in range(joint.tabs)]
    return [(middle - joint.tab_length_mm / 2.0, middle + joint.tab_length_mm / 2.0) for middle in middles]


def _run_findings(root: Root | None, joint: SlotTab, runs: Sequence[Run]) -> list[Finding]:
    gap = runs[1][0] - runs[0][1] if len(runs) > 1 else EDGE_LEAST_MM
    if root is not None and all(root.holds(*run) for run in runs) and gap >= EDGE_LEAST_MM - 1e-9:
        return []
    low, high = root.run if root is not None else (0.0, 0.0)
    room = (high - low) / joint.tabs - EDGE_LEAST_MM
    params: dict[str, Param] = {
        "tabs": joint.tabs,
        "length": joint.tab_length_mm,
        "run": round(high - low, 1),
        "most": round(max(room, 0.0), 1),
    }
    where = f"{joint.id}.tab_length_mm"
    return [Finding("G63", "no-go", where, params, joint.tab_length_mm, round(room, 3), "mm")]


def _stand_on(
    blank: Blank, root: Root, runs: Sequence[Run], base: PartBuild, joint: SlotTab
) -> tuple[Standing | None, list[Finding]]:
    """One blank of the plate seated, or None, with its findings."""
    plate = transforms(blank)[root.panel]
    t = blank.thickness
    middle = apply(plate, np.array([np.mean(runs), 0.0, t / 2.0]))
    way = -root.inside * plate[:3, 1]
    target = first_face(base.blanks, middle, way)
    if target is None:
        return None, [_nothing_met(blank, base, middle, joint)]
    how = stand(target, plate, root.inside, t)
    seat = seating(target, plate, middle, how, root.inside)
    slots = tuple(slot(target, seat @ plate, run, t, joint.clearance_mm) for run in runs)
    found = _slope_findings(target, blank, how)
    for one in slots:
        found += _slot_findings(target, blank, one, joint)
    after = with_tabs(replace(blank, placement=seat @ blank.placement), root, list(runs), how)
    return Standing(blank, after, seat, target, how, slots), found


def _nothing_met(blank: Blank, base: PartBuild, middle: FloatArray, joint: SlotTab) -> Finding:
    """G60, with where the second part reaches from and to."""
    boxes = [
        _box(one.panel(name), place, one.thickness)
        for one in base.blanks
        for name, place in transforms(one).items()
    ]
    low = np.min([box[0] for box in boxes] or [np.zeros(3)], axis=0).round(1)
    high = np.max([box[1] for box in boxes] or [np.zeros(3)], axis=0).round(1)
    x, y, z = (round(float(value), 1) for value in middle)
    params: dict[str, Param] = {
        "other": joint.parts[1], "x": x, "y": y, "z": z, "far": PLATE_FAR_MM,
        "x0": float(low[0]), "x1": float(high[0]), "y0": float(low[1]), "y1": float(high[1]),
        "z0": float(low[2]), "z1": float(high[2]),
    }  # fmt: skip
    return Finding("G60", "no-go", blank.name, params)


def _slope_findings(target: Target, blank: Blank, how: Stand) -> list[Finding]:
    """G62 where the face slopes more than a plate can lean with it, or across the plate."""
    found = []
    for angle, limit, way in (
        (how.lean, LEAN_LIMIT_DEG, "along it"),
        (how.across, ACROSS_LIMIT_DEG, "across it"),
    ):
        value = slope_deg(angle)
        if value > limit:
            params: dict[str, Param] = {"slope": round(value, 1), "panel": target.panel.name, "way": way}
            found.append(Finding("G62", "no-go", blank.name, params, round(value, 2), limit, "deg"))
    return found


def _slot_findings(target: Target, blank: Blank, ring: FloatArray, joint: SlotTab) -> list[Finding]:
    """G160 in a control, G61 too near an edge or fold, G161 too near another hole."""
    polygon, panel, carrier = shapely.Polygon(ring), target.panel, target.blank
    params: dict[str, Param] = {"panel": panel.name, "other": joint.parts[1], "least": EDGE_LEAST_MM}
    loose = moving(carrier)
    hit = [name for name in loose if shapely.Polygon(carrier.panel(name).polygon).intersects(polygon)]
    if panel.name in loose or hit:
        control = panel.name if panel.name in loose else min(hit)
        return [Finding("G160", "no-go", blank.name, {**params, "control": control})]
    room = room_of(replace(panel, holes=()))
    found = []
    left = float(room.boundary.distance(polygon)) if room.covers(polygon) else 0.0
    if left < EDGE_LEAST_MM - 1e-6:
        verdict: Verdict = "watch" if room.covers(polygon) else "no-go"
        facts = {**params, "left": round(left, 1)}
        found.append(Finding("G61", verdict, blank.name, facts, round(left, 3), EDGE_LEAST_MM, "mm"))
    gaps = [float(shapely.Polygon(hole).distance(polygon)) for hole in panel.holes]
    if gaps and min(gaps) < EDGE_LEAST_MM:
        verdict = "watch" if min(gaps) > 0.0 else "no-go"
        facts = {**params, "left": round(min(gaps), 1)}
        found.append(Finding("G161", verdict, blank.name, facts, round(min(gaps), 3), EDGE_LEAST_MM, "mm"))
    return found


def _with_slots(base: PartBuild, standing: Sequence[Standing]) -> PartBuild:
    """The second part with its slots; blanks without any stay the objects they are, and so what is known
    about them.
    """
    slotted = {one.target.blank.name for one in standing}

    def cut(blank: Blank, panel: Panel) -> Panel:
        mine = tuple(
            ring
            for one in standing
            if one.target.blank.name == blank.name and one.target.panel.name == panel.name
            for ring in one.slots
        )
        return replace(panel, holes=panel.holes + mine) if mine else panel

    blanks = tuple(
        replace(blank, panels=tuple(cut(blank, panel) for panel in blank.panels))
        if blank.name in slotted
        else blank
        for blank in base.blanks
    )
    return replace(base, blanks=blanks)


def _bites(standing: Sequence[Standing], base: PartBuild, joint: SlotTab) -> list[Finding]:
    """G162: the seated plate runs into a panel of the second part that its tabs do not go through."""
    found = []
    for one in standing:
        if one.after.mirror_of:
            continue
        places = transforms(one.after)
        worst, panel = 0.0, ""
        for blank, name, place in _near(one, base):
            other = pieces(blank)[name]
            for own, piece in pieces(one.after).items():
                depth = meeting(piece, other, inverse(places[own]) @ place).depth
                worst, panel = max((worst, panel), (depth, name))
        if worst > PRESS_MM:
            facts: dict[str, Param] = {
                "panel": panel, "other": joint.parts[1], "depth": round(worst, 1), "press": PRESS_MM
            }  # fmt: skip
            found.append(Finding("G162", "watch", one.after.name, facts, round(worst, 3), PRESS_MM, "mm"))
    return found


def _near(one: Standing, base: PartBuild) -> Iterator[tuple[Blank, str, FloatArray]]:
    """Panels of the second part, without the target, whose boxes share room with the plate's."""
    places = transforms(one.after)
    boxes = [_box(panel, places[panel.name], one.after.thickness) for panel in one.after.panels]
    low, high = np.min([box[0] for box in boxes], axis=0), np.max([box[1] for box in boxes], axis=0)
    for blank in base.blanks:
        folded = transforms(blank)
        for panel in blank.panels:
            if (blank.name, panel.name) == (one.target.blank.name, one.target.panel.name):
                continue
            own_low, own_high = _box(panel, folded[panel.name], blank.thickness)
            if bool((np.minimum(high, own_high) - np.maximum(low, own_low) > PRESS_MM).all()):
                yield blank, panel.name, folded[panel.name]


def _box(panel: Panel, place: FloatArray, thickness: float) -> tuple[FloatArray, FloatArray]:
    flat = np.column_stack([panel.polygon, np.zeros(len(panel.polygon))])
    corners = np.concatenate([apply(place, flat), apply(place, flat + np.array([0.0, 0.0, thickness]))])
    return corners.min(axis=0), corners.max(axis=0)


def _seated(fin: PartBuild, standing: Sequence[Standing]) -> PartBuild:
    """The plate with its tabs, and all that belongs to it, where it now stands."""
    seats = {one.before.name: one.seat for one in standing}
    first = standing[0].seat

    def of(name: str) -> FloatArray:
        return next((seat for own, seat in seats.items() if name.startswith(own)), first)

    return replace(
        fin,
        blanks=tuple(one.after for one in standing),
        surfaces=tuple(replace(surface, le=apply(first, surface.le)) for surface in fin.surfaces),
        seams=tuple(replace(seam, points=apply(of(seam.id), seam.points)) for seam in fin.seams),
        masses=tuple(replace(item, moments=moved(item.moments, of(item.id))) for item in fin.masses),
        guides=tuple(_moved_guide(guide, of(guide.part)) for guide in fin.guides),
        bars=tuple(replace(bar, ends=apply(of(bar.id), bar.ends)) for bar in fin.bars),
        gaps=tuple(
            replace(gap, centre=apply(of(gap.id), gap.centre), normal=of(gap.id)[:3, :3] @ gap.normal)
            for gap in fin.gaps
        ),
    )


def _moved_guide(guide: MarkRequest, seat: FloatArray) -> MarkRequest:
    points = apply(seat, np.array(guide.points))
    return replace(guide, points=tuple((float(x), float(y), float(z)) for x, y, z in points))


def _shown(joint: SlotTab, standing: Sequence[Standing]) -> JointShown:
    one = standing[0]
    ring = one.slots[0]
    sides = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T)
    cut: Mapping[str, int] = {
        place: sum(len(s.slots) for s in standing if f"{s.target.blank.name} {s.target.panel.name}" == place)
        for place in sorted({f"{s.target.blank.name} {s.target.panel.name}" for s in standing})
    }
    return JointShown(
        joint.id,
        joint.kind,
        joint.parts,
        tuple(f"{s.after.name}: {len(s.slots)} tabs" for s in standing),
        tuple(f"{place}: {count} slots" for place, count in cut.items()),
        True,
        {
            "tab_length_mm": joint.tab_length_mm,
            "tab_depth_mm": round(one.how.depth, 3),
            "slot_length_mm": round(float(sides[0]), 3),
            "slot_width_mm": round(float(sides[1]), 3),
            "lean_deg": round(slope_deg(one.how.lean), 3),
            "across_deg": round(slope_deg(one.how.across), 3),
            "root_bevel_mm": round(one.how.bevel, 3),
            "moved_mm": round(float(np.linalg.norm(_shift_of(one))), 3),
        },
    )


def _shift_of(one: Standing) -> FloatArray:
    """How far the middle of the root edge went, (3,) mm."""
    root = root_edge(one.before)
    low, high = root.run if root is not None else (0.0, 0.0)
    panel = root.panel if root is not None else one.before.root
    middle = apply(
        transforms(one.before)[panel], np.array([(low + high) / 2.0, 0.0, one.before.thickness / 2.0])
    )
    return apply(one.seat, middle) - middle


__all__ = ["join_slot_tab", "tab_runs"]
