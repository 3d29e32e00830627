"""Where a plate's tabs meet another part: its root edge, and the face that they come to first."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank, Panel
from foldwright.geometry.fold.rings import following, solid_ring
from foldwright.geometry.spans import joined
from foldwright.geometry.transform import apply, inverse

PLATE_FAR_MM = 60.0  # a joint does not move a part by more than this
FACING = 0.2  # a face whose normal has less than this against the tabs is not one to stand on
ON_ROOT = 1e-6  # mm


@dataclass(frozen=True, slots=True, eq=False)
class Root:
    """The edge of a plate that its tabs stand on: second axis 0 of its form.

    panel: the one that has it. spans: its stretches, mm from the form's origin. inside: +1 where the plate
    lies at positive flat v, else -1.
    """

    panel: str
    spans: tuple[tuple[float, float], ...]
    inside: float

    @property
    def run(self) -> tuple[float, float]:
        """From its beginning to its end, mm."""
        return min(low for low, _ in self.spans), max(high for _, high in self.spans)

    def holds(self, low: float, high: float) -> bool:
        """Whether a stretch lies on the edge, with nothing cut out of it."""
        return any(low >= start - ON_ROOT and high <= stop + ON_ROOT for start, stop in self.spans)


@dataclass(frozen=True, slots=True, eq=False)
class Target:
    """The panel that tabs go through, seen from the plate.

    matrix: 4x4 from the blank frame. normal (3,): outward, of the face they come to. near, far: depth w of
    that face and of the one behind it, mm. along: way from the asked point to that face along the tabs, mm.
    """

    blank: Blank
    panel: Panel
    matrix: FloatArray
    normal: FloatArray
    near: float
    far: float
    along: float


def moving(blank: Blank) -> frozenset[str]:
    """Names of the panels that turn on a live hinge, with all that hangs on them."""
    names: set[str] = set()
    grew = True
    while grew:
        more = {f.child for f in blank.folds if f.method == "live" or f.parent in names} - names
        names |= more
        grew = bool(more)
    return frozenset(names)


def root_edge(blank: Blank) -> Root | None:
    """The longest root edge on a panel that does not move; None where second axis 0 bounds nothing."""
    loose = moving(blank)
    best: Root | None = None
    for panel in blank.panels:
        if panel.name in loose:
            continue
        start, stop = panel.polygon, following(panel.polygon)
        on = (np.abs(start[:, 1]) < ON_ROOT) & (np.abs(stop[:, 1]) < ON_ROOT)
        for inside in (1.0, -1.0):
            # counter-clockwise, the board lies to the left of an edge
            mine = on & ((stop[:, 0] - start[:, 0]) * inside > ON_ROOT)
            pairs = np.sort(np.column_stack([start[mine, 0], stop[mine, 0]]), axis=1)
            if not len(pairs):
                continue
            root = Root(panel.name, tuple(joined(pairs[:, 0], pairs[:, 1], ON_ROOT)), inside)
            if best is None or _length(root) > _length(best):
                best = root
    return best


def _length(root: Root) -> float:
    return sum(high - low for low, high in root.spans)


def first_face(blanks: tuple[Blank, ...], point: FloatArray, way: FloatArray) -> Target | None:
    """The face that a plate comes to first, moved along its tabs through a point from afar.

    point (3,) mm; way (3,): unit direction of the tabs. Faces that lie further than PLATE_FAR_MM from the
    point, either way, are not met, nor those that look along the tabs.
    """
    best: Target | None = None
    for blank in blanks:
        folded = transforms(blank)
        for panel in blank.panels:
            matrix = folded[panel.name]
            facing = -float(matrix[:3, 2] @ way)
            if abs(facing) < FACING:
                continue
            near, far = (blank.thickness, 0.0) if facing > 0.0 else (0.0, blank.thickness)
            face = apply(matrix, np.array([0.0, 0.0, near]))
            along = float((face - point) @ matrix[:3, 2]) / -facing
            if abs(along) >= PLATE_FAR_MM or (best is not None and along >= best.along):
                continue
            spot = apply(inverse(matrix), point + along * way)[:2]
            if shapely.Polygon(solid_ring(panel, near / blank.thickness)).covers(shapely.Point(spot)):
                normal = matrix[:3, 2] * np.sign(facing)
                best = Target(blank, panel, matrix, normal, near, far, along)
    return best
