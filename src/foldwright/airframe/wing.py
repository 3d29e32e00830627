"""A wing folded from one blank, over its whole span: planes in space, then laid flat.

Panels along the chord: strip, (nose,) front, aft, (trailing,) and the controls. Face A is the outside:
upper for front, aft and trailing, under for the strip. The root panel is `aft`, so the blank seen from A
is the wing seen from above: u aft, v to the right wing.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import cos, radians, sin, tan

import numpy as np

from foldwright.airframe.model import Board, Control, MassItem, PartBuild, Placed, Seam
from foldwright.airframe.wing_checks import check_wing
from foldwright.airframe.wing_lift import lifting_surface
from foldwright.airframe.wing_section import Section, solve
from foldwright.base.types import FloatArray
from foldwright.design.parts import Control as ControlPart
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, transforms, unfold
from foldwright.geometry.fold.mass import line_moments
from foldwright.geometry.fold.model import SQUARE, Blank, Face, Method, Panel
from foldwright.geometry.transform import apply, frame, shift, turn


def build_wing(part: FoldedWing, board: Board, spar_g_m: float | None = None) -> PartBuild:
    """Fold a wing part.

    spar_g_m: mass of a bought spar, g per metre of span; None: the spar is cut from the board. A wing
    that cannot be folded has findings and no blanks.
    """
    section = solve(part, board.thickness)
    findings = check_wing(part, section, board)
    if any(finding.verdict == "no-go" for finding in findings):
        return PartBuild(part.id, (), findings=findings)
    place = placement(part, board.thickness)
    main = main_blank(part, section, board, place)
    blanks = [main]
    masses: tuple[MassItem, ...] = ()
    if spar_g_m is None:
        blanks.append(spar_blank(part, section, place))
    else:
        masses = (_bought_spar(part, section, place, spar_g_m),)
    placed = tuple(Placed(part.id, blank, transforms(blank)) for blank in blanks)
    controls = tuple(_control(part, control) for control in part.control)
    return PartBuild(
        part.id,
        tuple(blanks),
        surfaces=(lifting_surface(part, section, placed[0], controls, place),),
        seams=_seams(part, section, place),
        masses=masses,
        findings=findings,
    )


def placement(part: FoldedWing, t: float) -> FloatArray:
    """4x4 from the section frame (x from the leading edge, z from the strip's inner face) to the aeroplane.

    Incidence turns the nose up about the leading edge on the strip's under face.
    """
    # nose-up: the trailing edge goes down, a right-hand turn about +y
    pivot, axis = np.array([0.0, 0.0, -t]), np.array([0.0, 1.0, 0.0])
    return shift(part.x_mm, 0.0, part.z_mm + t) @ turn(pivot, axis, radians(part.incidence_deg))


def main_blank(part: FoldedWing, section: Section, board: Board, place: FloatArray) -> Blank:
    """The wing's one blank."""
    panels = _panels(part, section)
    moved = tuple(_move(panel, place) for panel in panels)
    folds = _folds(part, board, {panel.name: panel for panel in panels})
    return unfold(f"{part.id}/main", board.thickness, moved, folds, place[:3, 0])


def _move(panel: SpacePanel, place: FloatArray) -> SpacePanel:
    normal = place[:3, :3] @ panel.normal
    holes = tuple(apply(place, hole) for hole in panel.holes)
    offset = panel.offset + float(normal @ place[:3, 3])
    return SpacePanel(panel.name, normal, offset, apply(place, panel.corners), holes)


def _upper(
    name: str, normal: FloatArray, offset: float, fore: FloatArray, aft: FloatArray, half: float
) -> SpacePanel:
    """Rectangle between two (x, z) points, normal up; edges: 0 left end, 1 aft, 2 right end, 3 fore."""
    corners = np.array(
        [(fore[0], -half, fore[1]), (aft[0], -half, aft[1]), (aft[0], half, aft[1]), (fore[0], half, fore[1])]
    )
    return SpacePanel(name, normal, offset, corners)


def _panels(part: FoldedWing, section: Section) -> tuple[SpacePanel, ...]:
    """Panels in the section frame; the root first, each parent before its child."""
    t, half = section.t, part.span_mm / 2.0
    a, mu = section.alpha, section.mu
    n_front, n_aft = np.array([-sin(a), 0.0, cos(a)]), np.array([sin(mu), 0.0, cos(mu)])
    ridge = _ridge_point(part, section)
    level = part.trailing.kind == "level"
    crease = np.array([section.strip_aft, 0.0])
    end = np.array(
        [section.chord - t * sin(mu), -(section.chord - t * sin(mu) - section.strip_aft) * tan(mu)]
    )
    aft = _upper("aft", n_aft, section.aft_offset, ridge, crease if level else end, half)
    front = _upper("front", n_front, section.front_offset, _front_foot(section), ridge, half)
    result = [aft if level else _notched(aft, part, end)]
    result.append(front)
    if section.nose == "two_fold":
        # outer face x = 0, normal forward; from the strip's outer corner up to the front panel's
        low, high = -t, section.nose_height - t
        corners = np.array([(0.0, -half, low), (0.0, -half, high), (0.0, half, high), (0.0, half, low)])
        result.append(SpacePanel("nose", np.array([-1.0, 0.0, 0.0]), -t, corners))
    strip_end = section.strip_aft + (part.strip.land_mm if part.strip.runs_on else 0.0)
    corners = np.array(
        [
            (section.start, -half, 0.0),
            (section.start, half, 0.0),
            (strip_end, half, 0.0),
            (strip_end, -half, 0.0),
        ]
    )
    result.append(SpacePanel("strip", np.array([0.0, 0.0, -1.0]), 0.0, corners))
    if level:
        trailing_end = np.array([section.chord, 0.0])
        flat = _upper("trailing", np.array([0.0, 0.0, 1.0]), 0.0, crease, trailing_end, half)
        result.append(_notched(flat, part, trailing_end))
    return (*result, *_control_panels(part, result[-1] if level else result[0]))


def _ridge_point(part: FoldedWing, section: Section) -> FloatArray:
    """Hinge of the ridge as (x, z): outer skin for groove and crush, inner for slit."""
    add = 0.0 if part.ridge.method == "slit" else section.t
    matrix = np.array([[-sin(section.alpha), cos(section.alpha)], [sin(section.mu), cos(section.mu)]])
    return np.linalg.solve(matrix, np.array([section.front_offset + add, section.aft_offset + add]))


def _front_foot(section: Section) -> FloatArray:
    """Hinge at the front panel's lower edge as (x, z)."""
    if section.nose == "slit":
        return np.array([section.start, 0.0])
    if section.nose == "mitre":
        return np.array([0.0, -section.t])
    return np.array([0.0, section.nose_height - section.t])


def notches(part: FoldedWing) -> list[tuple[ControlPart, int, float, float]]:
    """Control cut-outs from left to right as (control, side, y low, y high); side +1 right, -1 left."""
    found = [(c, 1, c.inner_mm, c.outer_mm) for c in part.control]
    found += [(c, -1, -c.outer_mm, -c.inner_mm) for c in part.control]
    return sorted(found, key=lambda item: item[2])


def _along(panel: SpacePanel, end: FloatArray, back: float) -> FloatArray:
    """Point (x, z) `back` mm ahead of the panel's aft edge `end`, along the panel."""
    fore = panel.corners[0, [0, 2]]
    direction = (end - fore) / np.hypot(*(end - fore))
    place: FloatArray = end - back * direction
    return place


def _notched(panel: SpacePanel, part: FoldedWing, end: FloatArray) -> SpacePanel:
    """Cut the controls out of a panel's aft edge."""
    left_fore, _, right_aft, right_fore = panel.corners
    half = float(right_aft[1])
    outline: list[FloatArray] = [left_fore]
    y_now = -half
    for control, _, low, high in notches(part):
        x, z = _along(panel, end, control.chord_mm)
        if low > y_now + 1e-9:
            outline += [np.array([end[0], y_now, end[1]]), np.array([end[0], low, end[1]])]
        bottom = np.array([x, low, z])
        # the bottoms of two controls that meet at one place and depth run on
        if np.abs(bottom - outline[-1]).max() > 1e-9:
            outline.append(bottom)
        outline.append(np.array([x, high, z]))
        y_now = high
    if y_now < half - 1e-9:
        outline += [np.array([end[0], y_now, end[1]]), right_aft]
    outline.append(right_fore)
    return SpacePanel(panel.name, panel.normal, panel.offset, np.array(outline))


def control_name(control: ControlPart, side: int) -> str:
    """Panel and fold name of one control, such as "elevon-right"."""
    return f"{control.id}-{'right' if side > 0 else 'left'}"


def _control_panels(part: FoldedWing, carrier: SpacePanel) -> list[SpacePanel]:
    rows = carrier.corners
    end = rows[np.argmax(rows[:, 0])][[0, 2]]
    result = []
    for control, side, low, high in notches(part):
        x, z = _along(carrier, end, control.chord_mm)
        y0, y1 = low + control.end_gap_mm, high - control.end_gap_mm
        corners = np.array([(x, y0, z), (end[0], y0, end[1]), (end[0], y1, end[1]), (x, y1, z)])
        result.append(SpacePanel(control_name(control, side), carrier.normal, carrier.offset, corners))
    return result


def _notch_edge(carrier: SpacePanel, low: float) -> int:
    """Index of the outline edge that is the bottom of the notch starting at y = low."""
    rows = carrier.corners
    depth = rows[:, 0].max()
    for index in range(len(rows) - 1):
        here, after = rows[index], rows[index + 1]
        if abs(here[1] - low) < 1e-9 and after[1] > here[1] and depth - here[0] > 1e-9 and index > 0:
            return index
    raise ValueError(f"no notch starts at {low} in {carrier.name}")


def _folds(part: FoldedWing, board: Board, panels: Mapping[str, SpacePanel]) -> tuple[SpaceFold, ...]:
    ridge: Method = part.ridge.method
    width = part.ridge.tool_width_mm or board.crush_width
    ridge_radius = board.radius if ridge == "crush" else 0.0
    hinge: Face = "b" if ridge == "slit" else "a"
    fore_of_aft = len(panels["aft"].corners) - 1
    folds = [
        SpaceFold("ridge", "aft", "front", fore_of_aft, 1, ridge, hinge, width, order=3, radius=ridge_radius)
    ]
    folds += _nose_folds(part, board)
    carrier = panels["aft"]
    if part.trailing.kind == "level":
        # the third ridge turns up, its skin whole on face B; a slit there would be cut from face B
        third: Method = "groove" if ridge == "slit" else ridge
        fore = len(panels["trailing"].corners) - 1
        folds.append(
            SpaceFold("crease", "aft", "trailing", 1, fore, third, "b", width, order=2, radius=ridge_radius)
        )
        carrier = panels["trailing"]
    for control, side, low, _ in notches(part):
        name = control_name(control, side)
        folds.append(
            SpaceFold(
                name,
                carrier.name,
                name,
                _notch_edge(carrier, low),
                3,
                "live",
                control.hinge_face,
                limit=radians(control.bevel_limit_deg),
                order=1,
            )
        )
    return tuple(folds)


def _nose_folds(part: FoldedWing, board: Board) -> list[SpaceFold]:
    nose = part.nose
    if nose.method == "slit":
        return [SpaceFold("nose", "front", "strip", 3, 0, "slit", "b", order=4)]
    width = nose.tool_width_mm or board.crush_width
    radius = board.radius if nose.fold == "crush" else 0.0
    if nose.method == "mitre":
        return [SpaceFold("nose", "front", "strip", 3, 0, nose.fold, "a", width, order=4, radius=radius)]
    return [
        SpaceFold("nose-top", "front", "nose", 3, 1, nose.fold, "a", width, order=4, radius=radius),
        SpaceFold("nose-bottom", "nose", "strip", 3, 0, nose.fold, "a", width, order=5, radius=radius),
    ]


def spar_height(part: FoldedWing, section: Section) -> float:
    """Height of a flat-topped spar of width b under the ridge: h - (b/2)*max(slope), mm."""
    width = part.spar.width_mm or section.t
    return section.height - width / 2.0 * tan(max(section.alpha, section.mu))


def spar_blank(part: FoldedWing, section: Section, place: FloatArray) -> Blank:
    """Board spar standing on the strip, face A forward; u to the left wing, v up."""
    half, height = part.span_mm / 2.0, spar_height(part, section)
    outline = np.array([(-half, 0.0), (half, 0.0), (half, height), (-half, height)])
    # face A (w = t) forward: the board's middle stands at the ridge
    local = frame(
        np.array([section.spar_x + section.t / 2.0, 0.0, 0.0]),
        np.array([0.0, -1.0, 0.0]),
        np.array([-1.0, 0.0, 0.0]),
    )
    panel = Panel("spar", outline, (SQUARE,) * 4)
    return Blank(f"{part.id}/spar", section.t, (panel,), (), "spar", place @ local)


def _bought_spar(part: FoldedWing, section: Section, place: FloatArray, g_m: float) -> MassItem:
    half, z = part.span_mm / 2.0, spar_height(part, section) / 2.0
    ends = apply(place, np.array([(section.spar_x, -half, z), (section.spar_x, half, z)]))
    size = (part.spar.width_mm or section.t, part.span_mm, 2.0 * z)
    return MassItem(f"{part.id}/spar", "fitting", line_moments(ends, g_m / 1000.0), size)


def _seams(part: FoldedWing, section: Section, place: FloatArray) -> tuple[Seam, ...]:
    """Glue along strip edge, spar top and bottom and an open nose; tape along the hinges."""
    half = part.span_mm / 2.0

    def line(x: float, z: float, y0: float = -half, y1: float = half) -> FloatArray:
        return apply(place, np.array([(x, y0, z), (x, y1, z)]))

    top = spar_height(part, section)
    seams = [
        Seam(f"{part.id}/strip-edge", "glue", line(section.strip_aft, 0.0)),
        Seam(f"{part.id}/spar-top", "glue", line(section.spar_x, top)),
        Seam(f"{part.id}/spar-bottom", "glue", line(section.spar_x, 0.0)),
    ]
    if section.nose == "slit":
        seams.append(Seam(f"{part.id}/nose", "glue", line(section.start / 2.0, 0.0)))
    z = section.t if part.trailing.kind == "level" else 0.0
    for control, side, low, high in notches(part):
        x = section.chord - control.chord_mm
        seams.append(Seam(f"{part.id}/{control_name(control, side)}", "tape", line(x, z, low, high)))
    return tuple(seams)


def _control(part: FoldedWing, control: ControlPart) -> Control:
    hinge = 1.0 - control.chord_mm / part.chord_mm
    return Control(
        control.id,
        control.kind,
        (control_name(control, 1), control_name(control, -1)),
        control.chord_mm,
        control.inner_mm,
        control.outer_mm,
        (hinge, hinge),
        radians(control.up_deg),
        radians(control.down_deg),
    )
