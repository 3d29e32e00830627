"""Tabs of one plate through slots in another part; the plate is seated on the face it stands on."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.airframe.model import Board, PartBuild
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.base.types import FloatArray
from foldwright.design.parts import Plate, SlotTab
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.fold.rings import solid_ring
from foldwright.geometry.transform import apply, inverse, shift, turn

SEAT_SLOPE_LIMIT_DEG = 1.0  # judgement, across the plate: more and one side of the root edge stands open
LEAN_LIMIT_DEG = 20.0  # judgement, along the plate: it leans with the face, but not like a slide
EDGE_LEAST_MM = 5.0  # common practice, no source: least bridge of foam board
PLATE_FAR_MM = 60.0  # a joint does not lift a part by more than this


@dataclass(frozen=True, slots=True, eq=False)
class Target:
    """The panel a tab goes through: blank and panel name, its 4x4, height of the outer face there, mm."""

    blank: str
    panel: Panel
    matrix: FloatArray
    z: float


def join_slot_tab(
    fin: PartBuild, base: PartBuild, part: Plate, joint: SlotTab, board: Board
) -> tuple[PartBuild, PartBuild, tuple[Finding, ...]]:
    """Give the first part its tabs and the second its slots.

    The first part is lifted or lowered until its root edge touches the outer face under the middle of its
    run of tabs, so a thicker board moves it along, and leans with a face that slopes along it. Slots are the
    tab's length and the board's measured thickness, each plus the joint's clearance; tabs end flush with the
    far face.
    """
    runs = tab_runs(part, joint)
    findings: list[Finding] = list(_run_findings(part, joint, runs))
    if findings:
        return fin, base, tuple(findings)
    folded = {blank.name: transforms(blank) for blank in base.blanks}
    blanks: list[Blank] = []
    holes: list[tuple[Target, FloatArray]] = []
    seat = np.eye(4)
    for blank in fin.blanks:
        middle = apply(blank.placement, np.array([np.mean(runs), 0.0, board.thickness / 2.0]))
        target = _under(base.blanks, folded, middle)
        if target is None:
            x, y = (round(float(value), 1) for value in middle[:2])
            params: dict[str, Param] = {"other": joint.parts[1], "x": x, "y": y, **_spread(base, folded)}
            return fin, base, (Finding("G60", "no-go", blank.name, params),)
        findings += () if blank.mirror_of else _slope_findings(target, blank)
        seat = _seat(target, middle)
        seated = replace(blank, placement=seat @ blank.placement)
        blanks.append(_with_tabs(seated, runs, board))
        for run in runs:
            hole, problem = _slot(target, seated, run, joint, board)
            findings += () if blank.mirror_of else problem
            holes.append((target, hole))
    if any(finding.verdict == "no-go" for finding in findings):
        return fin, base, tuple(findings)
    surfaces = tuple(replace(surface, le=apply(seat, surface.le)) for surface in fin.surfaces)
    return replace(fin, blanks=tuple(blanks), surfaces=surfaces), _with_slots(base, holes), tuple(findings)


def _seat(target: Target, middle: FloatArray) -> FloatArray:
    """4x4 that leans a plate with the face it stands on (about y) and sets its root edge on that face.

    A face that falls toward the tail leans the plate's top aft. Taken at the last blank, it serves the
    lifting surface too: a mirrored pair leans and rises alike.
    """
    normal = target.matrix[:3, 2]
    lean = turn(middle, np.array([0.0, 1.0, 0.0]), float(np.arctan2(normal[0], normal[2])))
    return shift(0.0, 0.0, target.z - float(middle[2])) @ lean


def _slope_findings(target: Target, blank: Blank) -> list[Finding]:
    """G62 where the face slopes more than a plate can lean with it, or across the plate."""
    normal = target.matrix[:3, 2]
    across = abs(float(np.degrees(np.arctan2(normal[1], normal[2]))))
    along = abs(float(np.degrees(np.arctan2(normal[0], normal[2]))))
    found = []
    for value, limit, way in (
        (along, LEAN_LIMIT_DEG, "along it"),
        (across, SEAT_SLOPE_LIMIT_DEG, "across it"),
    ):
        if value > limit:
            params: dict[str, Param] = {"slope": round(value, 1), "panel": target.panel.name, "way": way}
            found.append(Finding("G62", "no-go", blank.name, params, round(value, 2), limit, "deg"))
    return found


def _spread(base: PartBuild, folded: dict[str, dict[str, FloatArray]]) -> dict[str, Param]:
    """Where the second part reaches from and to, mm."""
    points = np.concatenate(
        [
            apply(folded[blank.name][panel.name], np.pad(panel.polygon, ((0, 0), (0, 1))))
            for blank in base.blanks
            for panel in blank.panels
        ]
    )
    low, high = points.min(axis=0).round(1), points.max(axis=0).round(1)
    return {"x0": float(low[0]), "x1": float(high[0]), "y0": float(low[1]), "y1": float(high[1])}


def tab_runs(part: Plate, joint: SlotTab) -> list[tuple[float, float]]:
    """Start and end of every tab along the root edge, mm from the form's origin, spread evenly."""
    low, high = root_run(part)
    low = low if joint.from_mm is None else joint.from_mm
    high = high if joint.to_mm is None else joint.to_mm
    room = (high - low) / joint.tabs
    middles = [low + room * (index + 0.5) for index in range(joint.tabs)]
    return [(middle - joint.tab_length_mm / 2.0, middle + joint.tab_length_mm / 2.0) for middle in middles]


def root_run(part: Plate) -> tuple[float, float]:
    """Extent of the root edge (second axis 0) of an upright plate, mm."""
    if part.taper is not None:
        return 0.0, part.taper.root_mm
    on_root = [x for x, y in part.polygon_mm or () if abs(y) < 1e-6]
    return (min(on_root), max(on_root)) if len(on_root) > 1 else (0.0, 0.0)


def _run_findings(part: Plate, joint: SlotTab, runs: list[tuple[float, float]]) -> list[Finding]:
    low, high = root_run(part)
    gap = runs[1][0] - runs[0][1] if len(runs) > 1 else EDGE_LEAST_MM
    fits = runs[0][0] >= low - 1e-9 and runs[-1][1] <= high + 1e-9 and gap >= EDGE_LEAST_MM - 1e-9
    if fits:
        return []
    room = (high - low) / joint.tabs - EDGE_LEAST_MM
    params: dict[str, Param] = {
        "tabs": joint.tabs,
        "length": joint.tab_length_mm,
        "run": round(high - low, 1),
        "most": round(max(room, 0.0), 1),
    }
    return [
        Finding(
            "G63", "no-go", f"{joint.id}.tab_length_mm", params, joint.tab_length_mm, round(room, 3), "mm"
        )
    ]


def _under(
    blanks: tuple[Blank, ...], folded: dict[str, dict[str, FloatArray]], point: FloatArray
) -> Target | None:
    """The panel whose outer (upper) face is the highest at or near the point's x and y."""
    best: Target | None = None
    for blank in blanks:
        for panel in blank.panels:
            matrix = folded[blank.name][panel.name]
            normal = matrix[:3, 2]
            if normal[2] < 0.2:
                continue
            face = apply(matrix, np.array([0.0, 0.0, blank.thickness]))
            z = float(
                face[2] - (normal[0] * (point[0] - face[0]) + normal[1] * (point[1] - face[1])) / normal[2]
            )
            flat = apply(inverse(matrix), np.array([point[0], point[1], z]))
            inside = shapely.Polygon(solid_ring(panel, 1.0)).covers(shapely.Point(flat[:2]))
            if inside and abs(z - point[2]) < PLATE_FAR_MM and (best is None or z > best.z):
                best = Target(blank.name, panel, matrix, z)
    return best


def _with_tabs(blank: Blank, runs: list[tuple[float, float]], board: Board) -> Blank:
    """Add tabs of one board's depth below the root edge (the edge at flat y = 0)."""
    panel = blank.panels[0]
    body = shapely.Polygon(panel.polygon)
    inside = float(np.sign(panel.polygon[np.argmax(np.abs(panel.polygon[:, 1])), 1]))
    tabs = [
        shapely.box(start, min(0.0, -inside * board.thickness), stop, max(0.0, -inside * board.thickness))
        for start, stop in runs
    ]
    joined = shapely.unary_union([body, *tabs])
    if not isinstance(joined, shapely.Polygon):
        raise TypeError(f"tabs of {blank.name} do not touch its root edge")
    outline = shapely.remove_repeated_points(joined).exterior
    ring = np.asarray((outline if outline.is_ccw else outline.reverse()).coords)[:-1]
    return replace(blank, panels=(replace(panel, polygon=ring, cuts=(SQUARE,) * len(ring)),))


def _slot(
    target: Target, blank: Blank, run: tuple[float, float], joint: SlotTab, board: Board
) -> tuple[FloatArray, list[Finding]]:
    """Slot outline (4, 2) in the target's blank frame, and findings about its place."""
    half, wide = joint.clearance_mm / 2.0, (board.thickness + joint.clearance_mm) / 2.0
    middle = board.thickness / 2.0
    flat = np.array(
        [
            (run[0] - half, 0.0, middle - wide),
            (run[1] + half, 0.0, middle - wide),
            (run[1] + half, 0.0, middle + wide),
            (run[0] - half, 0.0, middle + wide),
        ]
    )
    space = apply(blank.placement, flat)
    ring = apply(inverse(target.matrix), space)[:, :2]
    polygon = shapely.Polygon(ring)
    room = shapely.Polygon(solid_ring(target.panel, 1.0)).intersection(
        shapely.Polygon(solid_ring(target.panel, 0.0))
    )
    if room.buffer(-EDGE_LEAST_MM, join_style="mitre").covers(polygon):
        return ring, []
    verdict: Verdict = "watch" if room.covers(polygon) else "no-go"
    left = float(room.boundary.distance(polygon)) if room.covers(polygon) else 0.0
    params: dict[str, Param] = {
        "panel": target.panel.name,
        "other": joint.parts[1],
        "left": round(left, 1),
        "least": EDGE_LEAST_MM,
    }
    return ring, [
        Finding(
            "G61",
            verdict,
            blank.name,
            params,
            round(left, 3),
            EDGE_LEAST_MM,
            "mm",
        )
    ]


def _with_slots(base: PartBuild, holes: list[tuple[Target, FloatArray]]) -> PartBuild:
    def cut(blank: Blank, panel: Panel) -> Panel:
        mine = tuple(
            hole for target, hole in holes if target.blank == blank.name and target.panel.name == panel.name
        )
        return replace(panel, holes=panel.holes + mine) if mine else panel

    blanks = tuple(
        replace(blank, panels=tuple(cut(blank, panel) for panel in blank.panels)) for blank in base.blanks
    )
    return replace(base, blanks=blanks)
