"""Where there is room on a sheet for what lies off the parts: a raster of what is taken. Lengths in mm."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil, floor, sqrt

import numpy as np
import shapely

from foldwright.base.types import BoolArray

_CELL = 2.0


class FreeSpace:
    """Cells of a rectangle, each free or taken; never errs towards overlap."""

    def __init__(
        self, width: float, height: float, border: float, taken: Iterable[shapely.Geometry], clear: float
    ) -> None:
        """Keep `clear` mm off every shape in `taken`, and `border` mm off the rectangle's edge."""
        self._shape = (ceil(height / _CELL), ceil(width / _CELL))
        self._cells: BoolArray = np.zeros(self._shape, dtype=np.bool_)
        rim = ceil(border / _CELL)
        right, top = floor((width - border) / _CELL), floor((height - border) / _CELL)
        inner = np.ones(self._shape, dtype=np.bool_)
        inner[rim:top, rim:right] = False
        self._cells |= inner
        for shape in taken:
            self._take_shape(shape, clear)

    def _take_shape(self, shape: shapely.Geometry, clear: float) -> None:
        # a cell is taken where its centre lies within the shape widened by half a cell's diagonal
        fat = shapely.buffer(shape, clear + sqrt(0.5) * _CELL, quad_segs=4)
        x0, y0, x1, y1 = (bound / _CELL for bound in fat.bounds)
        rows = slice(max(floor(y0), 0), max(ceil(y1), 0))
        columns = slice(max(floor(x0), 0), max(ceil(x1), 0))
        part = self._cells[rows, columns]
        y, x = np.indices(part.shape)
        shapely.prepare(fat)
        part |= shapely.contains_xy(fat, (x + columns.start + 0.5) * _CELL, (y + rows.start + 0.5) * _CELL)

    def find(self, width: float, height: float, near: tuple[float, float]) -> tuple[float, float] | None:
        """Take the free rectangle whose middle is nearest a place; its lower left corner, or None."""
        rows, columns = ceil(height / _CELL), ceil(width / _CELL)
        if rows > self._shape[0] or columns > self._shape[1]:
            return None
        total = np.zeros((self._shape[0] + 1, self._shape[1] + 1), dtype=np.int64)
        total[1:, 1:] = self._cells.cumsum(axis=0).cumsum(axis=1)
        inside = (
            total[rows:, columns:]
            - total[:-rows, columns:]
            - total[rows:, :-columns]
            + total[:-rows, :-columns]
        )
        i, j = np.nonzero(inside == 0)
        if len(i) == 0:
            return None
        away = np.hypot((j + columns / 2.0) * _CELL - near[0], (i + rows / 2.0) * _CELL - near[1])
        best = int(np.argmin(np.round(away, 6)))
        row, column = int(i[best]), int(j[best])
        self._cells[row : row + rows, column : column + columns] = True
        return column * _CELL, row * _CELL
