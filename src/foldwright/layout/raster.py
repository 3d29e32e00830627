"""Where a shape fits on a sheet, on a grid of square cells that never errs towards overlap. Lengths in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, cos, floor, pi, sqrt

import numpy as np
import scipy.fft
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from foldwright.base.types import BoolArray, FloatArray

_ARC_SEGMENTS = 2
_HALF_DIAGONAL = sqrt(0.5)


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells of one area: size of a cell, cells of margin all round, and cells in x and y.

    Two shapes, both widened by half a cell's diagonal, that share no cell centre do not meet: a point they
    shared would lie within half a diagonal of a centre that both cover.
    """

    cell: float
    margin: int
    nx: int
    ny: int

    @property
    def origin(self) -> float:
        """Lower left corner of the first cell from the area's, in x and in y: below zero."""
        return -self.margin * self.cell

    @property
    def fast(self) -> tuple[int, int]:
        """Rows and columns rounded up to sizes whose transform is fast."""
        return scipy.fft.next_fast_len(self.ny, real=True), scipy.fft.next_fast_len(self.nx, real=True)


def make_grid(width: float, height: float, spacing: float, cell: float) -> Grid:
    """The grid of an area of the given size."""
    margin = ceil(1.0 + spacing / cell) + 1
    return Grid(cell, margin, ceil(width / cell) + 2 * margin, ceil(height / cell) + 2 * margin)


def closed_rings(shape: BaseGeometry) -> list[FloatArray]:
    """Outlines and holes of polygons as closed rings (n, 2)."""
    return [shapely.get_coordinates(r) for part in shapely.get_parts(shape) for r in shapely.get_rings(part)]


def widened_cells(shape: BaseGeometry, grid: Grid) -> BoolArray:
    """Cells of a shape widened by half a cell's diagonal, its corners rounded outside the true circle."""
    distance = _HALF_DIAGONAL * grid.cell / cos(pi / (4 * _ARC_SEGMENTS))
    return rasterise(closed_rings(shapely.buffer(shape, distance, quad_segs=_ARC_SEGMENTS)), grid)


def rasterise(rings: Sequence[FloatArray], grid: Grid) -> BoolArray:
    """Cells (rows, columns) whose centre lies within closed rings, by the even-odd rule on scan lines."""
    rows, columns, cell = grid.ny, grid.nx, grid.cell
    start = np.concatenate([ring[:-1] for ring in rings])
    end = np.concatenate([ring[1:] for ring in rings])
    centres = grid.origin + (np.arange(rows) + 0.5) * cell
    crosses = (start[:, 1, None] <= centres) != (end[:, 1, None] <= centres)
    edge, row = np.nonzero(crosses)
    rise = end[edge, 1] - start[edge, 1]
    x = start[edge, 0] + (centres[row] - start[edge, 1]) / rise * (end[edge, 0] - start[edge, 0])
    column = np.clip(np.ceil((x - grid.origin) / cell - 0.5), 0, columns).astype(np.int64)
    toggles = np.bincount(row * (columns + 1) + column, minlength=rows * (columns + 1))
    inside = np.cumsum(toggles.reshape(rows, columns + 1), axis=1)[:, :columns] % 2 == 1
    return np.asarray(inside)


def spectrum(cells: BoolArray, grid: Grid) -> NDArray[np.complex64]:
    """Transform of a raster, padded to the grid's fast size."""
    return np.asarray(scipy.fft.rfft2(cells.astype(np.float32), s=grid.fast), dtype=np.complex64)


def free_places(
    taken: NDArray[np.complex64], shape: NDArray[np.complex64], grid: Grid, rows: int, columns: int
) -> BoolArray:
    """True (rows, columns) where a shape's raster shares no cell with what is taken.

    taken, shape: spectra. Entry (i, j) moves the shape by i cells up and j cells right. The correlation
    counts shared cells; counts are whole numbers, so half a cell tells none from some.
    """
    shared = scipy.fft.irfft2(taken * np.conj(shape), s=grid.fast)
    return np.asarray(shared[:rows, :columns] < 0.5)


def steps_within(room: float, extent: float, cell: float) -> int:
    """How many grid positions an extent has in a room: at least 0."""
    return max(floor((room - extent) / cell + 1e-9) + 1, 0) if extent <= room + 1e-6 else 0
