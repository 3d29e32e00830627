"""Formers (bulkheads) of a body: plates across it that fit between the sides and stand on the floor.

Face A is outside: forward on role nose and former, aft on role tail; on role motor the side that the motor
stands on, forward in the front half of the body and aft in the rear one. In the blank u runs across the
body and v up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from foldwright.airframe.box_shell import FORMER_GAP, Shell
from foldwright.airframe.gaps import hole_outline
from foldwright.airframe.model import Seam
from foldwright.airframe.profile import Profile, secant
from foldwright.base.types import FloatArray
from foldwright.design.parts import Former, Hole
from foldwright.geometry.fold.model import Blank, EdgeCut, Panel
from foldwright.geometry.transform import apply, frame

Plane = tuple[str, FloatArray, float]  # name, outward unit normal n and d: what is left has n.X <= d


@dataclass(frozen=True, slots=True, eq=False)
class FormerPlate:
    """A former as a blank, with what others must know of it.

    reach: x from and to of its whole thickness. edges: names ("floor", "right", "roof", "left") of its
    outline's edges. under_deck: its upper edge carries a deck.
    """

    former: Former
    blank: Blank
    reach: tuple[float, float]
    edges: tuple[str, ...]
    under_deck: bool

    def seam(self) -> Seam:
        """Glue line along the floor, both sides and a deck that rests on it, in the middle of its edge."""
        panel = self.blank.panels[0]
        turned = -self.edges.index("roof") - 1
        corners = np.roll(panel.polygon, turned, axis=0)
        if self.under_deck:
            corners = np.vstack([corners, corners[:1]])
        depth = np.full(len(corners), self.blank.thickness / 2.0)
        return Seam(self.blank.name, "glue", apply(self.blank.placement, np.column_stack([corners, depth])))


def tilt_of(former: Former, motor_tilt_rad: float) -> float:
    """Tilt of a former, rad: its own, or the motor's for role motor. Positive: see `placement`."""
    if former.role == "motor" and former.tilt_deg == 0.0:
        return motor_tilt_rad
    return radians(former.tilt_deg)


def faces_aft(shell: Shell, former: Former) -> bool:
    """Whether a former's face A looks aft."""
    rear = former.x_mm + shell.t / 2.0 > (shell.start + shell.stop) / 2.0
    return former.role == "tail" or (former.role == "motor" and rear)


def looks_aft(matrix: FloatArray) -> bool:
    """Whether face A of a former in its place looks aft; its forward face is B then."""
    return float(matrix[0, 2]) > 0.0


def placement(shell: Shell, former: Former, tilt: float) -> FloatArray:
    """4x4 of a former's blank frame; its forward face passes through x_mm at half the body's height there.

    The plate is square to a thrust line of tilt e (positive: the thrust vector (-cos e, 0, sin e) points
    nose-up). A shaft that runs aft along (cos e, 0, -sin e) then has its propeller end lower. So a negative
    tilt has the propeller end higher and the former's upper edge further forward, and v runs along
    (sin e, 0, cos e).
    """
    aft = np.array([cos(tilt), 0.0, -sin(tilt)])
    middle = (shell.bottom.at(former.x_mm) + shell.top.at(former.x_mm)) / 2.0
    point = np.array([former.x_mm, 0.0, middle])
    if faces_aft(shell, former):
        return frame(point, np.array([0.0, 1.0, 0.0]), aft)
    return frame(point + shell.t * aft, np.array([0.0, -1.0, 0.0]), -aft)


def bounded(
    matrix: FloatArray, t: float, planes: Sequence[Plane]
) -> tuple[FloatArray, tuple[EdgeCut, ...], tuple[str, ...]]:
    """Outline, edge cuts and edge names of a plate that fills the space between planes.

    matrix: 4x4 of the plate's blank frame. On each plane the outline is where the wider of the two faces
    meets it, and the other face is cut back. Every plane must take part in the outline.
    """
    rows = []
    for name, normal, d in planes:
        local = matrix[:3, :3].T @ normal
        h = float(np.hypot(local[0], local[1]))
        face_b = (d - float(normal @ matrix[:3, 3])) / h
        face_a = face_b - float(local[2]) * t / h
        outer = max(face_a, face_b)
        angle = float(np.arctan2(local[1], local[0]))
        rows.append((angle, name, local[:2] / h, outer, EdgeCut(a=outer - face_a, b=outer - face_b)))
    rows.sort(key=lambda row: row[0])
    count = len(rows)
    polygon = [
        np.linalg.solve(np.stack([rows[i - 1][2], rows[i][2]]), np.array([rows[i - 1][3], rows[i][3]]))
        for i in range(count)
    ]
    return np.array(polygon), tuple(row[4] for row in rows), tuple(row[1] for row in rows)


def plate(shell: Shell, former: Former, tilt: float, roofs: Sequence[tuple[float, float]]) -> FormerPlate:
    """A former between floor, sides and the deck above it. roofs: x ranges of decks between the sides."""
    matrix = placement(shell, former, tilt)
    reach = _reach(shell, former, tilt)
    wide = _widened(shell, reach, tilt)
    kinks = (*shell.inner.kinks, *shell.floor.kinks, *shell.top.kinks)
    if any(wide[0] < x < reach[0] or reach[1] < x < wide[1] for x in kinks):
        reach = wide
    covered = any(wide[0] < stop - 1e-6 and wide[1] > start + 1e-6 for start, stop in roofs)
    roof = under_deck(shell) if covered else shell.top
    polygon, cuts, edges = bounded(matrix, shell.t, _planes(shell, reach, roof))
    holes = tuple(hole_ring(hole, matrix, shell.t) for hole in former.hole)
    panel = Panel("plate", polygon, cuts, holes)
    blank = Blank(f"{shell.part.id}/{former.id}", shell.t, (panel,), (), "plate", matrix)
    return FormerPlate(former, blank, reach, edges, covered)


def under_deck(shell: Shell) -> Profile:
    """The under face of a deck between the sides, flush with their upper edges."""
    lower = shell.top.offset(-shell.t)
    if lower is None:
        return shell.top.shifted(-shell.t * secant(shell.top.steepest(shell.start, shell.stop)))
    return lower


def _reach(shell: Shell, former: Former, tilt: float) -> tuple[float, float]:
    """Span in x of a former's whole thickness, as if the body's lines were level there."""
    half_height = (shell.top.at(former.x_mm) - shell.bottom.at(former.x_mm)) / 2.0
    lean = abs(sin(tilt)) * half_height / cos(tilt)
    return former.x_mm - lean, former.x_mm + lean + shell.t / cos(tilt)


def _widened(shell: Shell, reach: tuple[float, float], tilt: float) -> tuple[float, float]:
    """A leaning former's span with what sloping lines add to it at its highest and lowest corners at most."""
    room = reach[1] - reach[0]
    steep = max(line.steepest(reach[0] - room, reach[1] + room) for line in (shell.top, shell.bottom))
    more = 2.0 * room * steep * abs(sin(tilt)) / cos(tilt)
    return reach[0] - more, reach[1] + more


def _planes(shell: Shell, reach: tuple[float, float], roof: Profile) -> list[Plane]:
    m, c = shell.inner.straight_below(*reach)
    side = c / secant(m) - FORMER_GAP
    right = np.array([-m, 1.0, 0.0]) / secant(m)
    floor_m, floor_c = shell.floor.straight_above(*reach)
    roof_m, roof_c = roof.straight_below(*reach)
    return [
        ("right", right, side),
        ("left", right * np.array([1.0, -1.0, 1.0]), side),
        ("floor", np.array([floor_m, 0.0, -1.0]) / secant(floor_m), -floor_c / secant(floor_m)),
        ("roof", np.array([-roof_m, 0.0, 1.0]) / secant(roof_m), roof_c / secant(roof_m)),
    ]


def hole_ring(hole: Hole, matrix: FloatArray, t: float) -> FloatArray:
    """Outline (n, 2) of a hole in the blank; its y and z are those of its middle on the forward face, mm.

    See `gaps.hole_outline`.
    """
    aft = looks_aft(matrix)
    middle = float(matrix[2, 3]) + (0.0 if aft else t * float(matrix[2, 2]))
    centre = np.array([hole.y_mm if aft else -hole.y_mm, (hole.z_mm - middle) / float(matrix[2, 1])])
    ring: FloatArray = centre + hole_outline(hole.shape, hole.width_mm, hole.height_mm or hole.width_mm)
    return ring
