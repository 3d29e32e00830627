"""Mass, centre of gravity and inertia of folded board, exact, from one 4x4 a part.

The moments S = ∫ρ [x; 1][x; 1]ᵀ dV hold everything: S[3, 3] is the mass, S[:3, 3] the first and S[:3, :3]
the second moments. A rigid motion T gives S' = T S Tᵀ, and moments of parts add.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray, IntArray
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import foam_cut, inset_all, skin_cut

# Gauss-Legendre on [0, 1], exact to degree 5; second moments of a bevelled panel are of degree 4 in w.
_LEVELS = 0.5 + 0.5 * np.sqrt(0.6) * np.array([-1.0, 0.0, 1.0])
_WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0
# Where the five sheets of a panel lie: three of foam, then the papers of face B and face A.
_DEPTHS = np.array([*_LEVELS, 0.0, 1.0])


@dataclass(frozen=True, slots=True)
class Material:
    """Paper-faced board.

    thickness_mm: whole board; foam_g_mm3: of the foam, taken over the whole thickness; paper_g_mm2: of one
    paper face.
    """

    thickness_mm: float
    foam_g_mm3: float
    paper_g_mm2: float


@dataclass(frozen=True, slots=True, eq=False)
class MassProperties:
    """mass in g, cg (3,) in mm, inertia (3, 3) about the cg in g·mm², products with the minus sign.

    inertia[0, 0] = ∫(y² + z²) dm and inertia[0, 1] = -∫xy dm, in the axes of the moments it was read off.
    """

    mass: float
    cg: FloatArray
    inertia: FloatArray


def mass_properties(moments: FloatArray) -> MassProperties:
    """Read mass, centre of gravity and inertia off a 4x4. Raises ValueError where there is no mass."""
    mass = float(moments[3, 3])
    if not mass > 0.0:
        raise ValueError("no mass: a centre of gravity does not exist")
    cg = moments[:3, 3] / mass
    second = moments[:3, :3] - mass * np.outer(cg, cg)
    inertia = np.trace(second) * np.eye(3) - second
    return MassProperties(mass, cg, inertia)


def moved(moments: FloatArray, transform: FloatArray) -> FloatArray:
    """Moments (..., 4, 4) after a rigid motion (..., 4, 4): T S Tᵀ."""
    result: FloatArray = transform @ moments @ np.swapaxes(transform, -1, -2)
    return result


def panels_moments(panels: Sequence[Panel], material: Material) -> FloatArray:
    """Moments (n, 4, 4) of n panels in their blank frame, in one pass.

    What a panel's faces carry beyond the board's paper, or lack of it (`Panel.skin`), lies where the paper
    lies: on the face, less holes and what the edges lack of that face's paper.
    """
    rings = [panel.polygon for panel in panels]
    cuts = [[*foam_cut(cut), *skin_cut(cut)] for panel in panels for cut in panel.cuts]
    holes = [(index, hole) for index, panel in enumerate(panels) for hole in panel.holes]
    lacks = np.array(cuts).T
    foam_b, foam_a, skin_b, skin_a = lacks
    distances = np.stack([*(foam_b + (foam_a - foam_b) * level for level in _LEVELS), skin_b, skin_a])
    corners, begins = inset_all(rings, distances)
    sheets = _area_moments(corners, begins)
    if holes:
        flat = np.concatenate([hole for _, hole in holes])[None]
        starts = np.cumsum([0, *(len(hole) for _, hole in holes[:-1])])
        gone = _area_moments(flat, starts)
        gone *= np.sign(gone[..., :1])  # a hole may run either way round
        for column, (index, _) in enumerate(holes):
            sheets[:, index] -= gone[:, column]
    return _stack(sheets, _sheet_weights(panels, material), material.thickness_mm)


def _sheet_weights(panels: Sequence[Panel], material: Material) -> FloatArray:
    """(5, p) g/mm² of every sheet of every panel: three of foam, then the skins of face B and face A."""
    foam = _WEIGHTS * material.thickness_mm * material.foam_g_mm3
    weight = np.empty((5, len(panels)))
    weight[:3] = foam[:, None]
    skins = np.array([panel.skin for panel in panels], dtype=np.float64).reshape(-1, 2)
    weight[3:] = material.paper_g_mm2 + skins[:, ::-1].T
    return weight


def _area_moments(points: FloatArray, starts: IntArray) -> FloatArray:
    """A, ∫u, ∫v, ∫uu, ∫uv, ∫vv of rings: points (l, n, 2), starts (p,); returns (l, p, 6).

    Green's theorem on each edge (Steger, "On the calculation of arbitrary moments of polygons", 1996).
    """
    count = points.shape[1]
    following = np.arange(1, count + 1)
    following[np.append(starts[1:], count) - 1] = starts
    u, v = points[..., 0], points[..., 1]
    u_next, v_next = u[:, following], v[:, following]
    cross = u * v_next - u_next * v
    terms = np.stack([
        cross / 2.0,
        cross * (u + u_next) / 6.0,
        cross * (v + v_next) / 6.0,
        cross * (u * u + u * u_next + u_next * u_next) / 12.0,
        cross * (2.0 * (u * v + u_next * v_next) + u * v_next + u_next * v) / 24.0,
        cross * (v * v + v * v_next + v_next * v_next) / 12.0,
    ])  # fmt: skip
    return np.moveaxis(np.add.reduceat(terms, starts, axis=-1), 0, -1)


def _stack(sheets: FloatArray, weight: FloatArray, t: float) -> FloatArray:
    """Five sheets (5, p, 6) of area moments, (5, p) g/mm² each, made into (p, 4, 4). t: thickness, mm."""
    w = (_DEPTHS * t)[:, None]
    plain, first, second = np.einsum("klp,lpm->kpm", np.stack([weight, weight * w, weight * w * w]), sheets)
    result = np.empty((sheets.shape[1], 4, 4))
    result[:, 0, 0], result[:, 1, 1], result[:, 2, 2] = plain[:, 3], plain[:, 5], second[:, 0]
    result[:, 3, 3] = plain[:, 0]
    for row, column, value in (
        (0, 1, plain[:, 4]), (0, 2, first[:, 1]), (1, 2, first[:, 2]),
        (0, 3, plain[:, 1]), (1, 3, plain[:, 2]), (2, 3, first[:, 0]),
    ):  # fmt: skip
        result[:, row, column] = result[:, column, row] = value
    return result


def board_moments(parts: Iterable[tuple[Blank, Mapping[str, FloatArray]]], material: Material) -> FloatArray:
    """Moments (4, 4) of many blanks of one board, each with its panels' transforms, in one pass.

    Raises ValueError if a blank's thickness is not the material's.
    """
    panels: list[Panel] = []
    places: list[FloatArray] = []
    for blank, transforms in parts:
        if abs(blank.thickness - material.thickness_mm) > 1e-9:
            raise ValueError(f"{blank.name}: blank {blank.thickness} mm, material {material.thickness_mm} mm")
        panels.extend(blank.panels)
        places.extend(transforms[panel.name] for panel in blank.panels)
    if not panels:
        return np.zeros((4, 4))
    total: FloatArray = moved(panels_moments(panels, material), np.stack(places)).sum(axis=0)
    return total


def line_moments(points: FloatArray, g_per_mm: float) -> FloatArray:
    """Moments (4, 4) of a polyline (n, 3) in mm of glue or tape."""
    ends = np.concatenate([points, np.ones((len(points), 1))], axis=1)
    start, stop = ends[:-1], ends[1:]
    mass = g_per_mm * np.linalg.norm(points[1:] - points[:-1], axis=1) / 6.0
    # Simpson's rule, exact for the square of a linear function
    middle = start + stop
    thirds = ((each * mass[:, None]).T @ each for each in (start, stop, middle))
    total: FloatArray = sum(thirds, np.zeros((4, 4)))
    return total


def point_moments(place: FloatArray, mass: float) -> FloatArray:
    """Moments (4, 4) of a point mass in g at (3,) mm."""
    end = np.array([place[0], place[1], place[2], 1.0])
    moments: FloatArray = mass * np.outer(end, end)
    return moments


def box_moments(
    centre: FloatArray, size: FloatArray, mass: float, rotation: FloatArray | None = None
) -> FloatArray:
    """Moments (4, 4) of an even box: centre (3,), edge lengths `size` (3,) in mm, mass in g.

    rotation: (3, 3), columns are the directions of the box's edges; along x, y, z if none is given.
    """
    own = mass * np.diag(np.asarray(size, dtype=np.float64) ** 2) / 12.0
    result = point_moments(centre, mass)
    result[:3, :3] += own if rotation is None else rotation @ own @ rotation.T
    return result
