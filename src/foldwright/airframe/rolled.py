"""Board rolled to an arch: flat facets between scored lines, tangent to the arch on the outer skin.

The facets touch the outer arch in their middles and meet in mould lines outside it. Every line is pressed
on the inner face and rounded to the arch, so it saves (2*tan(turn/2) - turn)*R, and the flat board between
the two ends is exactly as wide as the arch is long. Over a tapered body the arches are similar, so that
every facet stays plane (a cone).
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, sin, tan

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from foldwright.geometry.fold.model import Blank, EdgeCut
from foldwright.geometry.transform import cross

LEAST_RADIUS_BARE = 5.0  # board thicknesses, outer, inner paper peeled: judgement, common practice
LEAST_RADIUS_PAPER = 12.0  # board thicknesses, outer, with both papers on: judgement, common practice
MOST_TURN = pi / 6.0  # rad at one line: judgement; more is a corner, not a roll
LEAST_FACET = 3.0  # mm: common practice, no source; lines nearer to each other tear the foam out
STEPS = 60  # halvings of a bracket: far below rounding


def end_slope(chord: float, rise: float, t: float) -> float | None:
    """Slope of the arch at its ends, rad, for an outer chord and an outer rise over what it rests on, mm.

    The board's square edges stand on their inner corners, which lifts the ends of the outer arch by
    t*cos(slope): rise = t*cos(slope) + chord/2*tan(slope/2). None where the rise is no more than the board
    or more than a half circle's.
    """
    if not t < rise <= chord / 2.0:
        return None
    low, high = 0.0, pi / 2.0
    for _ in range(STEPS):
        middle = (low + high) / 2.0
        low, high = (middle, high) if rise_of(chord, middle, t) < rise else (low, middle)
    return (low + high) / 2.0


def rise_of(chord: float, slope: float, t: float) -> float:
    """Outer rise of an arch over what it rests on, mm."""
    return t * cos(slope) + chord / 2.0 * tan(slope / 2.0)


def radius_of(chord: float, slope: float) -> float:
    """Outer radius of an arch, mm."""
    return chord / (2.0 * sin(slope))


def slope_for(chord: float, radius: float) -> float:
    """Greatest end slope whose outer radius is no less than `radius`, rad; at most a right angle."""
    return float(np.arcsin(min(chord / (2.0 * radius), 1.0)))


def mould(chord: float, slope: float, facets: int) -> FloatArray:
    """(facets + 1, 2) corners of the facets, across and out from the chord, from one end to the other."""
    radius, turn = radius_of(chord, slope), 2.0 * slope / (facets - 1)
    angle = -slope + turn * (np.arange(facets - 1) + 0.5)
    far = radius / cos(turn / 2.0)
    inner = np.column_stack([far * np.sin(angle), far * np.cos(angle) - radius * cos(slope)])
    return np.concatenate([[(-chord / 2.0, 0.0)], inner, [(chord / 2.0, 0.0)]])


@dataclass(frozen=True, slots=True, eq=False)
class Arch:
    """Where an arch stands: its end planes and axes.

    along, across, out: unit vectors (3,), along x across = out. ends (2, 3): middles of the two chords, on
    what the arch rests on. chords: outer chord at both, mm. slope: rad. facets: flat strips.
    """

    along: FloatArray
    across: FloatArray
    out: FloatArray
    ends: FloatArray
    chords: tuple[float, float]
    slope: float
    facets: int
    t: float

    @property
    def radius(self) -> float:
        """Least outer radius, at the narrower end, mm."""
        return radius_of(min(self.chords), self.slope)

    @property
    def turn(self) -> float:
        """Turn at every line, rad."""
        return 2.0 * self.slope / (self.facets - 1)

    def corners(self) -> FloatArray:
        """(facets + 1, 2, 3) outer corners of the facets at both ends."""
        sections = []
        for middle, chord in zip(self.ends, self.chords, strict=True):
            flat = mould(chord, self.slope, self.facets)
            spread = np.outer(flat[:, 0], self.across) + np.outer(flat[:, 1], self.out)
            sections.append(middle + spread)
        low = np.stack(sections, axis=1)
        lifted: FloatArray = low + self._lift(low) * self.out
        return lifted

    def _lift(self, low: FloatArray) -> float:
        """How far the outer arch is lifted so that its inner corners stand on what carries it, mm.

        t*cos(slope) on a level rest; on a sloping one the square edge leans, and the deeper end counts.
        """
        feet = _feet(low, self.t)
        (s0, s1), (h0, h1) = self.ends @ self.along, self.ends @ self.out
        rise = (h1 - h0) / (s1 - s0)
        return max(float(np.max(h0 + rise * (foot @ self.along - s0) - foot @ self.out)) for foot in feet)

    def panels(self, base: str) -> tuple[SpacePanel, ...]:
        """The facets, `base`-1 onward across the arch. Edges: 0 and 2 along it, 1 and 3 its ends."""
        points = self.corners()
        found = []
        for number, (first, second) in enumerate(pairwise(points), start=1):
            ring = np.array([first[0], first[1], second[1], second[0]])
            normal = _normal(first, second)
            found.append(SpacePanel(f"{base}-{number}", normal, float(normal @ first[0]) - self.t, ring))
        return tuple(found)

    def blank(self, name: str, base: str, tool_width: float) -> Blank:
        """The arch as one blank, face A outside, its middle facet the root."""
        panels = self.panels(base)
        root = self.facets // 2
        order = [root, *range(root + 1, self.facets), *range(root - 1, -1, -1)]
        radius = sum(radius_of(chord, self.slope) for chord in self.chords) / 2.0
        folds = []
        for index in order[1:]:
            parent = index - 1 if index > root else index + 1
            edges = (2, 0) if index > root else (0, 2)
            one, other = panels[parent].name, panels[index].name
            folds.append(
                SpaceFold(
                    f"{one}/{other}", one, other, *edges, "crush", "a", tool_width, order=1, radius=radius
                )
            )
        cuts = {key: cut for panel in panels for key, cut in self._ends(panel)}
        return unfold(name, self.t, tuple(panels[i] for i in order), tuple(folds), self.along, cuts)

    def _ends(self, panel: SpacePanel) -> list[tuple[tuple[str, int], EdgeCut]]:
        """Inner face of a sloping facet cut back where it would stand out of the arch's end."""
        found = []
        for edge, sign in ((1, 1.0), (3, -1.0)):
            lean = -sign * float(panel.normal @ self.along)
            if lean <= 1e-12:
                continue
            run = panel.corners[(edge + 1) % 4] - panel.corners[edge]
            square = cross(run, panel.normal)
            reach = abs(float(square @ self.along)) / float(np.linalg.norm(square))
            found.append(((panel.name, edge), EdgeCut(b=self.t * lean / reach)))
        return found

    def feet(self) -> tuple[FloatArray, FloatArray]:
        """The two lines (2, 3) that the arch rests on: the inner corners of its edges."""
        return _feet(self.corners(), self.t)

    def inside(self) -> FloatArray:
        """(facets + 1, 2) corners of the inner faces at the first end, across and out from the rest."""
        flat = mould(self.chords[0], self.slope, self.facets) + np.array([0.0, self.t * cos(self.slope)])
        angle = -self.slope + self.turn * np.arange(self.facets)
        normals = np.column_stack([np.sin(angle), np.cos(angle)])
        miter = self.t / cos(self.turn / 2.0)
        middle = normals[:-1] + normals[1:]
        middle = middle / np.linalg.norm(middle, axis=1)[:, None]
        ends = flat[[0, -1]] - self.t * normals[[0, -1]]
        return np.concatenate([ends[:1], flat[1:-1] - miter * middle, ends[1:]])


def _normal(first: FloatArray, second: FloatArray) -> FloatArray:
    """Outward unit normal (3,) of a facet between two of its lines (2, 3)."""
    square = cross(first[1] - first[0], second[0] - first[0])
    unit: FloatArray = square / np.linalg.norm(square)
    return unit


def _feet(points: FloatArray, t: float) -> tuple[FloatArray, FloatArray]:
    """Inner corners of the first and the last facet's outer edges."""
    return points[0] - t * _normal(points[0], points[1]), points[-1] - t * _normal(points[-2], points[-1])
