"""A single flat board: a fin or any free shape."""

from __future__ import annotations

import numpy as np

from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Board, LiftingSurface, PartBuild
from foldwright.base.types import FloatArray
from foldwright.design.parts import Plate
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.transform import frame


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
    """Blanks of a plate and, where it lifts, its surface.

    An upright plate stands in the x-z plane with its middle at y_mm; face A is outside (away from the
    centre line; to the right on the centre line). A level plate lies with its under face at z_mm, face A up.
    """
    t = board.thickness
    points = outline(part)
    name = "right" if part.mirrored else "main"
    if part.plane == "level":
        placement = frame(
            np.array([part.x_mm, part.y_mm, part.z_mm]), np.array([1.0, 0, 0]), np.array([0, 0, 1.0])
        )
        flat = points
    else:
        side = -1.0 if part.y_mm < 0 else 1.0
        # normal +y, local x aft: local y = (0, 1, 0) x (1, 0, 0) = -z, so the form is turned over
        normal = np.array([0.0, side, 0.0])
        origin = np.array([part.x_mm, part.y_mm - side * t / 2.0, part.z_mm])
        placement = frame(origin, np.array([1.0, 0.0, 0.0]), normal)
        flat = points * np.array([1.0, -side])
        if side > 0:
            flat = flat[::-1].copy()
    blank = Blank(
        f"{part.id}/{name}", t, (Panel("plate", flat, (SQUARE,) * len(flat)),), (), "plate", placement
    )
    blanks: tuple[Blank, ...] = (blank,)
    if part.mirrored:
        blanks = (blank, mirror_blank(blank, f"{part.id}/left"))
    surfaces = (fin_surface(part, points, t),) if part.lifting else ()
    return PartBuild(part.id, blanks, surfaces=surfaces)


def fin_surface(part: Plate, points: FloatArray, t: float) -> LiftingSurface:
    """Lifting surface of a flat plate: leading edge and chord at every station where its outline bends."""
    stations = np.unique(np.round(points[:, 1], 9))
    stations = stations[(stations > points[:, 1].min() - 1e-9)]
    inner = np.clip(stations, stations[0] + 1e-6, stations[-1] - 1e-6)
    lead = np.array([_crossings(points, s).min() for s in inner])
    trail = np.array([_crossings(points, s).max() for s in inner])
    le = np.zeros((len(stations), 3))
    le[:, 0] = part.x_mm + lead
    if part.plane == "upright":
        le[:, 1], le[:, 2] = part.y_mm, part.z_mm + stations
    else:
        le[:, 1], le[:, 2] = part.y_mm + stations, part.z_mm + t / 2.0
    chord = np.maximum(trail - lead, 1e-3)
    xi = np.array([0.0, 0.5, 1.0])
    return LiftingSurface(
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
    )


def _crossings(points: FloatArray, level: float) -> FloatArray:
    """First-axis values where the outline crosses a level of the second axis."""
    after = np.roll(points, -1, axis=0)
    low, high = np.minimum(points[:, 1], after[:, 1]), np.maximum(points[:, 1], after[:, 1])
    hit = (low <= level) & (level <= high) & (high - low > 1e-12)
    share = (level - points[hit, 1]) / (after[hit, 1] - points[hit, 1])
    crossing: FloatArray = points[hit, 0] + share * (after[hit, 0] - points[hit, 0])
    return crossing
