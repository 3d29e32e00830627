"""A single flat board: a fin with its rudder, or a plain shape."""

from __future__ import annotations

from dataclasses import replace
from math import radians

import numpy as np

from foldwright.airframe.flat_checks import check_control, check_pivot
from foldwright.airframe.flat_controls import LEAST_LAND_MM, Wanted, all_moving
from foldwright.airframe.flat_form import FlatEnd, FlatForm
from foldwright.airframe.hinged import Cut, cut_from, renamed
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Board, Control, LiftingSurface, MarkRequest, Note, PartBuild, Seam
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.parts import Plate
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.transform import apply, frame, turn

_ON = 1e-6
_MIRROR = np.array([1.0, -1.0, 1.0])


def outline(part: Plate) -> FloatArray:
    """(n, 2) outline in the form's own axes, counter-clockwise: first axis aft, second up or right, mm."""
    if part.taper is not None:
        form = part.taper
        rows = [
            (0.0, 0.0),
            (form.root_mm, 0.0),
            (form.tip_aft_mm + form.tip_mm, form.height_mm),
            (form.tip_aft_mm, form.height_mm),
        ]
    else:
        rows = [(float(x), float(y)) for x, y in part.polygon_mm or ()]
    points = np.array(rows)
    x, y = points.T
    area = float(x @ np.roll(y, -1) - np.roll(x, -1) @ y) / 2.0
    return points if area > 0 else points[::-1].copy()


def build_plate(part: Plate, board: Board) -> PartBuild:
    """Blanks of a plate and, where it lifts, its surface; rudders cut out.

    An upright plate stands in the x-z plane with its middle at y_mm, or leans outward about its root; face A
    is outside (away from the centre line; to the right on the centre line). A level plate lies with its under
    face at z_mm, face A up. A plate whose control cannot be cut has findings and no blanks.
    """
    points = outline(part)
    findings = _findings(part, points, board.thickness)
    if any(finding.verdict == "no-go" for finding in findings):
        return PartBuild(part.id, (), findings=findings)
    whole = _blank(part, points, board.thickness)
    blank = _with_controls(part, whole, points)
    blanks: tuple[Blank, ...] = (blank,)
    if part.mirrored:
        own, other = _own_and_other(part)
        names = dict(zip(_names(part, own), _names(part, other), strict=True))
        blanks = (blank, renamed(mirror_blank(blank, f"{part.id}/{other}"), names))
    surfaces = (fin_surface(part, points, board.thickness),) if part.lifting else ()
    notes = (Note("G137", part.id, {"x": round(part.pivot.x_mm, 1)}),) if part.pivot is not None else ()
    return PartBuild(
        part.id, blanks, surfaces=surfaces, seams=_hinge_seams(part, whole, points), findings=findings,
        guides=_pivot_lines(part, whole, points), notes=notes, titles=_titles(part, blanks),
    )  # fmt: skip


def _blank(part: Plate, points: FloatArray, t: float) -> Blank:
    """The one panel, without controls."""
    name = _own_and_other(part)[0] if part.mirrored else "main"
    if part.plane == "level":
        placement = frame(
            np.array([part.x_mm, part.y_mm, part.z_mm]), np.array([1.0, 0, 0]), np.array([0, 0, 1.0])
        )
        flat = points
    else:
        side = _side(part)
        # normal +y, local x aft: local y = (0, 1, 0) x (1, 0, 0) = -z, so the form is turned over
        normal = np.array([0.0, side, 0.0])
        origin = np.array([part.x_mm, part.y_mm - side * t / 2.0, part.z_mm])
        placement = _leaned(part) @ frame(origin, np.array([1.0, 0.0, 0.0]), normal)
        flat = points * np.array([1.0, -side])
        if side > 0:
            flat = flat[::-1].copy()
    panel = Panel("plate", flat, (SQUARE,) * len(flat))
    return Blank(f"{part.id}/{name}", t, (panel,), (), "plate", placement)


def _side(part: Plate) -> float:
    return -1.0 if part.y_mm < 0 else 1.0


def _own_and_other(part: Plate) -> tuple[str, str]:
    """The side that a mirrored plate stands on as it is given, and the side of its twin."""
    return ("right", "left") if _side(part) > 0.0 else ("left", "right")


def _leaned(part: Plate) -> FloatArray:
    """4x4 that leans an upright plate outward about its root, at the middle of the board."""
    if part.plane != "upright" or part.lean_deg == 0.0:
        return np.eye(4)
    # a right-hand turn about +x takes the top to the left
    root = np.array([part.x_mm, part.y_mm, part.z_mm])
    return turn(root, np.array([1.0, 0.0, 0.0]), -_side(part) * radians(part.lean_deg))


def _titles(part: Plate, blanks: tuple[Blank, ...]) -> dict[str, str]:
    word = "Fin" if part.role == "fin" and part.lifting else "Plate"
    said = f" ({part.note})" if part.note else ""
    return {
        blank.name: (word if len(blanks) == 1 else f"{word}, {blank.name.split('/')[1]}") + said
        for blank in blanks
    }


# --- controls -----------------------------------------------------------------------------------------------


def _names(part: Plate, side: str) -> list[str]:
    """Panels and folds of the controls on one side."""
    return [f"{control.id}-{side}" if part.mirrored else control.id for control in part.control]


def _upward(part: Plate) -> bool:
    """Whether the form's second axis runs to lower v in the blank."""
    return part.plane == "upright" and _side(part) > 0.0


def _wanted(part: Plate) -> list[Wanted]:
    return [Wanted(control, control.inner_mm, control.outer_mm) for control in part.control]


def _hinge(one: Wanted, points: FloatArray) -> FloatArray:
    """Hinge line at the ends of a control (2, 2) in the form's axes."""
    ends = ((one.inner, one.table.chord_mm), (one.outer, one.outer_chord))
    return np.array([(_aft(points, v) - chord, v) for v, chord in ends])


def _aft(points: FloatArray, level: float) -> float:
    return float(_crossings(points, _within(points, level)).max())


def _within(points: FloatArray, level: float) -> float:
    return float(np.clip(level, points[:, 1].min() + 1e-9, points[:, 1].max() - 1e-9))


def _with_controls(part: Plate, blank: Blank, points: FloatArray) -> Blank:
    low, high = float(points[:, 1].min()), float(points[:, 1].max())
    for one, name in zip(_wanted(part), _names(part, _own_and_other(part)[0]), strict=True):
        table, hinge = one.table, _hinge(one, points)
        horn = (table.horn.length_mm, table.horn.ahead_mm) if table.horn is not None else None
        # board that would be left at root or tip narrower than the least bridge is cut away
        at_root, at_tip = one.inner - low < LEAST_LAND_MM, high - one.outer < LEAST_LAND_MM
        begin, stop = low if at_root else one.inner, high if at_tip else one.outer
        slope = float((hinge[1, 0] - hinge[0, 0]) / (one.outer - one.inner))
        inset = (one.inner - begin, stop - one.outer)
        cut = Cut(
            name, begin, stop, float(hinge[0, 0]) - slope * inset[0], float(hinge[1, 0]) + slope * inset[1],
            table.end_gap_mm, radians(table.bevel_limit_deg), table.hinge_face, horn,
            open_inner=at_root, open_outer=at_tip, inset=inset,
        )  # fmt: skip
        blank = cut_from(blank, "plate", cut, mirrored=_upward(part))
    return blank


def _spots(part: Plate, blank: Blank, rows: FloatArray, w: float) -> FloatArray:
    """Points (n, 2) of the form at a depth in the aeroplane."""
    flat = rows * np.array([1.0, -1.0]) if _upward(part) else rows
    return apply(blank.placement, np.column_stack([flat, np.full(len(flat), w)]))


def _hinge_seams(part: Plate, blank: Blank, points: FloatArray) -> tuple[Seam, ...]:
    seams = []
    own, twin = (_names(part, side) for side in _own_and_other(part))
    for one, name, other in zip(_wanted(part), own, twin, strict=True):
        w = blank.thickness if one.table.hinge_face == "a" else 0.0
        line = _spots(part, blank, _hinge(one, points), w)
        seams.append(Seam(f"{part.id}/{name}", "tape", line))
        if part.mirrored:
            seams.append(Seam(f"{part.id}/{other}", "tape", line * _MIRROR))
    return tuple(seams)


def _pivot_lines(part: Plate, blank: Blank, points: FloatArray) -> tuple[MarkRequest, ...]:
    """The pivot line of an all-moving fin on its outer face."""
    if part.pivot is None or part.plane != "upright":
        return ()
    low, high = float(points[:, 1].min()) + 1.0, float(points[:, 1].max()) - 1.0
    ends = _spots(part, blank, np.array([(part.pivot.x_mm, low), (part.pivot.x_mm, high)]), blank.thickness)
    lines = [(blank.name, ends, _side(part))]
    if part.mirrored:
        lines.append((f"{part.id}/{_own_and_other(part)[1]}", ends * _MIRROR, -_side(part)))
    return tuple(
        MarkRequest(
            "pivot", name, "-y" if side > 0 else "+y",
            tuple((float(x), float(y), float(z)) for x, y, z in rows), "a", least=0.2,
        )
        for name, rows, side in lines
    )  # fmt: skip


def _form(points: FloatArray, one: Wanted, t: float) -> FlatForm:
    """The outline as a control sees it: straight from one of its ends to the other."""
    low, high = float(points[:, 1].min()), float(points[:, 1].max())
    span = max(one.outer - one.inner, _ON)
    rows = []
    for v in (one.inner, one.outer):
        found = _crossings(points, _within(points, v))
        rows.append((float(found.min()), float(found.max())))
    ends = []
    for v in (low, high):
        share = (v - one.inner) / span
        fore, aft = (rows[0][i] + share * (rows[1][i] - rows[0][i]) for i in (0, 1))
        ends.append(FlatEnd(v, fore, aft))
    return FlatForm(tuple(ends), (0.0,), one=False, thickness=t)


def _findings(part: Plate, points: FloatArray, t: float) -> tuple[Finding, ...]:
    found: list[Finding] = []
    for one in _wanted(part):
        found += check_control(part.id, _form(points, one, t), one)
    if part.pivot is not None:
        stations, lead, chord = _planform(points)
        rows = zip(stations, lead, chord, strict=True)
        ends = tuple(FlatEnd(float(v), float(x), float(x + c)) for v, x, c in rows)
        form = FlatForm(ends, (0.0,) * (len(ends) - 1), one=False, thickness=t)
        found += check_pivot(part.id, form, part.pivot)
    return tuple(found)


# --- lift ---------------------------------------------------------------------------------------------------


def _planform(points: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Stations along the second axis where the outline bends, leading edge and chord there, mm."""
    stations = np.unique(np.round(points[:, 1], 9))
    stations = stations[(stations > points[:, 1].min() - 1e-9)]
    inner = np.clip(stations, stations[0] + 1e-6, stations[-1] - 1e-6)
    lead = np.array([_crossings(points, s).min() for s in inner])
    trail = np.array([_crossings(points, s).max() for s in inner])
    return stations, lead, np.maximum(trail - lead, 1e-3)


def fin_surface(part: Plate, points: FloatArray, t: float) -> LiftingSurface:
    """Lifting surface of a flat plate: leading edge and chord at every station where its outline bends."""
    stations, lead, chord = _planform(points)
    le = np.zeros((len(stations), 3))
    le[:, 0] = part.x_mm + lead
    if part.plane == "upright":
        le[:, 1], le[:, 2] = part.y_mm, part.z_mm + stations
        le = apply(_leaned(part), le)
    else:
        le[:, 1], le[:, 2] = part.y_mm + stations, part.z_mm + t / 2.0
    if part.mirrored and _side(part) < 0.0:
        le = le * _MIRROR  # of a pair, the right one
    xi = np.array([0.0, 0.5, 1.0])
    surface = LiftingSurface(
        part.id,
        le,
        chord,
        np.zeros(len(le)),
        xi,
        np.zeros((len(le), 3)),
        float(t / chord.max()),
        0.0,
        t,
        part.mirrored,
        False,
        role="fin" if part.role == "fin" else "other",
    )
    controls = [_control(part, one, points, number) for number, one in enumerate(_wanted(part))]
    if part.pivot is not None:
        controls.append(all_moving(part.pivot, lead, chord, surface.arc))
    return replace(surface, controls=tuple(controls))


def _control(part: Plate, one: Wanted, points: FloatArray, number: int) -> Control:
    """A rudder as the lattice sees it."""
    low, table = float(points[:, 1].min()), one.table
    chords = []
    for v in (one.inner, one.outer):
        found = _crossings(points, _within(points, v))
        chords.append(float(found.max() - found.min()))
    sides = ("right", "left") if part.mirrored else ("right",)
    horn = table.horn.length_mm * table.horn.ahead_mm if table.horn is not None else 0.0
    return Control(
        table.id, table.kind, tuple(_names(part, side)[number] for side in sides), table.chord_mm,
        one.inner - low, one.outer - low,
        (1.0 - table.chord_mm / chords[0], 1.0 - one.outer_chord / chords[1]),
        radians(table.up_deg), radians(table.down_deg), one.outer_chord, horn_area=horn,
    )  # fmt: skip


def _crossings(points: FloatArray, level: float) -> FloatArray:
    """First-axis values where the outline crosses a level of the second axis."""
    after = np.roll(points, -1, axis=0)
    low, high = np.minimum(points[:, 1], after[:, 1]), np.maximum(points[:, 1], after[:, 1])
    hit = (low <= level) & (level <= high) & (high - low > 1e-12)
    share = (level - points[hit, 1]) / (after[hit, 1] - points[hit, 1])
    crossing: FloatArray = points[hit, 0] + share * (after[hit, 0] - points[hit, 0])
    return crossing
