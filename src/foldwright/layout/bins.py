"""One usable area while it is being filled. Lengths in mm."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import BoolArray, FloatArray
from foldwright.layout.model import Area, Part, turned
from foldwright.layout.raster import (
    Grid,
    closed_rings,
    free_places,
    make_grid,
    spectrum,
    steps_within,
    widened_cells,
)
from foldwright.layout.slide import edges_of, room_below, room_left

# Far below the rounding of placements (1e-4), so that what fits to a hair still fits after several pushes.
_BACK_OFF = 1e-6
# A square corner stays square; a sharper one is cut off at least the spacing away.
_MITRE_LIMIT = 1.42
_TIGHT = 2e-5
_PASSES = 3

Place = tuple[float, float]


class Shape:
    """A part at one turn, its lower left corner at the origin, with what is worked out on the way kept."""

    def __init__(self, part: Part, turn_deg: int) -> None:
        if any(len(ring) < 3 for ring in (part.outline, *part.openings)):
            raise ValueError(f"{part.name}: an outline or opening needs three corners")
        rings = [turned(ring, turn_deg) for ring in (part.outline, *part.openings)]
        self.turn_deg = turn_deg
        self.corner: FloatArray = rings[0].min(axis=0)
        self.rings = tuple(ring - self.corner for ring in rings)
        self.polygon = shapely.Polygon(self.rings[0], list(self.rings[1:]))
        if not self.polygon.is_valid:
            raise ValueError(f"{part.name}: {shapely.is_valid_reason(self.polygon)}")
        self.edges = edges_of(self.rings)
        size = self.rings[0].max(axis=0)
        self.width, self.height = float(size[0]), float(size[1])
        self.area = float(self.polygon.area)
        self._spectra: dict[Grid, NDArray[np.complex64]] = {}

    def spectrum(self, grid: Grid) -> NDArray[np.complex64]:
        """The transform of the widened shape on a grid."""
        if grid not in self._spectra:
            self._spectra[grid] = spectrum(widened_cells(self.polygon, grid), grid)
        return self._spectra[grid]

    def shield(self, spacing: float) -> BaseGeometry:
        """What no other part may enter: the shape widened by the spacing, never by less (corners mitred)."""
        if spacing < _TIGHT:
            return self.polygon
        return shapely.buffer(self.polygon, spacing, join_style="mitre", mitre_limit=_MITRE_LIMIT)


class Bin:
    """An area and the shapes in it; `columns_first` fills from the left instead of from below."""

    def __init__(self, area: Area, spacing: float, cell: float, *, columns_first: bool) -> None:
        self.area = area
        self.spacing = spacing
        self.columns_first = columns_first
        self.grid = make_grid(area.width_mm, area.height_mm, spacing, cell)
        self.free = area.width_mm * area.height_mm
        self._cells: BoolArray = np.zeros((self.grid.ny, self.grid.nx), dtype=np.bool_)
        self._taken: NDArray[np.complex64] | None = None
        self._shields: FloatArray = np.empty((0, 4))
        self._boxes: FloatArray = np.empty((0, 4))
        self._placed: list[BaseGeometry] = []
        self._windows: list[tuple[float, float, float, float]] = []

    def holds(self, shape: Shape) -> bool:
        """True where the shape fits into the empty area."""
        return shape.width <= self.area.width_mm + _TIGHT and shape.height <= self.area.height_mm + _TIGHT

    def find(self, shape: Shape) -> Place | None:
        """The first free place for a shape's lower left corner, measured from the area's, or None."""
        if not self.holds(shape) or shape.area > self.free:
            return None
        if len(self._boxes) == 0:
            return (0.0, 0.0)
        return self._on_grid(shape) or self._in_a_corner(shape) or self._beside_boxes(shape)

    def cost(self, shape: Shape, place: Place) -> tuple[float, float]:
        """What the first free places of several turns are compared by: how far the shape reaches."""
        reach = (round(place[1] + shape.height, 3), round(place[0] + shape.width, 3))
        return (reach[1], reach[0]) if self.columns_first else reach

    def settle(self, shape: Shape, place: Place) -> Place:
        """A free place pushed down and to the left until the shape meets others or the area's border."""
        x, y = place
        for _ in range(_PASSES if len(self._shields) else 1):
            before = (x, y)
            for down in (False, True) if self.columns_first else (True, False):
                edges = shape.edges + np.array([x, y, x, y])
                limit = y if down else x
                room = limit
                if len(self._shields) and limit > 0.0:
                    push = room_below if down else room_left
                    room = push(edges, self._shields, limit + _BACK_OFF) - _BACK_OFF
                x, y = (x, y - max(room, 0.0)) if down else (x - max(room, 0.0), y)
            if abs(before[0] - x) + abs(before[1] - y) < 0.01:
                break
        return x, y

    def put(self, shape: Shape, place: Place) -> None:
        """Take the cells and edges of a shape placed there."""
        shield = translate(shape.shield(self.spacing), *place)
        self._cells |= widened_cells(shield, self.grid)
        self._taken = None
        around = tuple(ring[:-1] for ring in closed_rings(shield))
        self._shields = np.concatenate([self._shields, edges_of(around)])
        self._boxes = np.concatenate([self._boxes, [shield.bounds]])
        self._placed.append(shield)
        self._windows += [
            shapely.LinearRing(ring).bounds
            for part in shapely.get_parts(shield)
            for ring in closed_rings(part)[1:]
        ]
        self.free -= shape.area

    def _on_grid(self, shape: Shape) -> Place | None:
        """The first free place on the grid."""
        grid = self.grid
        rows = steps_within(self.area.height_mm, shape.height, grid.cell)
        columns = steps_within(self.area.width_mm, shape.width, grid.cell)
        if self._taken is None:
            self._taken = spectrum(self._cells, grid)
        free = free_places(self._taken, shape.spectrum(grid), grid, rows, columns)
        order = free.T if self.columns_first else free
        first = int(np.argmax(order))
        if not order.flat[first]:
            return None
        slow, fast = divmod(first, order.shape[1])
        return (
            (slow * grid.cell, fast * grid.cell)
            if self.columns_first
            else (fast * grid.cell, slow * grid.cell)
        )

    def _in_a_corner(self, shape: Shape) -> Place | None:
        """The first corner of an opening's box where the shape lies free: finds what just fits an opening."""
        corners = sorted(
            (x, y) if self.columns_first else (y, x)
            for x0, y0, x1, y1 in self._windows
            if shape.width + 2.0 * _TIGHT <= x1 - x0 and shape.height + 2.0 * _TIGHT <= y1 - y0
            for x in (x0 + _TIGHT, x1 - shape.width - _TIGHT)
            for y in (y0 + _TIGHT, y1 - shape.height - _TIGHT)
        )
        for slow, fast in corners:
            x, y = (slow, fast) if self.columns_first else (fast, slow)
            if not shapely.intersects(self._placed, translate(shape.polygon, x, y)).any():
                return (x, y)
        return None

    def _beside_boxes(self, shape: Shape) -> Place | None:
        """The first place where the shape's box touches others at the spacing: finds what fits to a hair."""
        boxes = self._boxes
        w, h = shape.width, shape.height
        xs = np.concatenate([[0.0, self.area.width_mm - w], boxes[:, 2], boxes[:, 0] - w])
        ys = np.concatenate([[0.0, self.area.height_mm - h], boxes[:, 3], boxes[:, 1] - h])
        xs = np.unique(xs[(xs >= 0.0) & (xs <= self.area.width_mm - w + _TIGHT)])
        ys = np.unique(ys[(ys >= 0.0) & (ys <= self.area.height_mm - h + _TIGHT)])
        x, y = np.meshgrid(xs, ys)
        clear = np.ones(x.shape, dtype=np.bool_)
        for x0, y0, x1, y1 in boxes:
            beside = (x >= x1 - _TIGHT) | (x + w <= x0 + _TIGHT)
            clear &= beside | (y >= y1 - _TIGHT) | (y + h <= y0 + _TIGHT)
        order = clear.T if self.columns_first else clear
        first = int(np.argmax(order)) if order.size else 0
        if not order.size or not order.flat[first]:
            return None
        slow, fast = divmod(first, order.shape[1])
        return (
            (float(xs[slow]), float(ys[fast])) if self.columns_first else (float(xs[fast]), float(ys[slow]))
        )
