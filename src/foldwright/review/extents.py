"""Where board is: boxes of every folded panel, and the first board that an eye meets."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import numpy as np

from foldwright.airframe.marking import targets_of
from foldwright.airframe.model import Airframe, Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.marks import land, land_line, station_of
from foldwright.geometry.fold.model import Mark, Panel
from foldwright.geometry.transform import apply

UP = np.array([0.0, 0.0, 1.0])
FAR_MM = 2000.0


@lru_cache(maxsize=4)
def extents(airframe: Airframe) -> tuple[tuple[Placed, Panel, FloatArray, FloatArray], ...]:
    """Every folded panel with the least and greatest corner (3,) of its box, mm; remembered by identity."""
    return tuple(row for one in airframe.placed for row in _extents(one))


@lru_cache(maxsize=128)
def _extents(one: Placed) -> tuple[tuple[Placed, Panel, FloatArray, FloatArray], ...]:
    """The panels of one blank; the last ones are remembered (by identity)."""
    found = []
    for panel in one.blank.panels:
        flat = panel.polygon
        both = [np.column_stack([flat, np.full(len(flat), w)]) for w in (0.0, one.blank.thickness)]
        points = apply(one.transforms[panel.name], np.concatenate(both))
        found.append((one, panel, points.min(axis=0), points.max(axis=0)))
    return tuple(found)


@lru_cache(maxsize=4)
def stacked(airframe: Airframe) -> tuple[tuple[tuple[Placed, Panel], ...], FloatArray, FloatArray]:
    """`extents` as arrays: the panels, least and greatest corners (n, 3), mm; remembered by identity."""
    rows = extents(airframe)
    low, high = (np.array([row[end] for row in rows]).reshape(-1, 3) for end in (2, 3))
    return tuple((one, panel) for one, panel, _, _ in rows), low, high


def box_of(airframe: Airframe, parts: Iterable[str] | None = None) -> tuple[FloatArray, FloatArray] | None:
    """Least and greatest corner (3,) of the board of these parts, all of them without; None for no board."""
    wanted = None if parts is None else set(parts)
    rows = [(low, high) for one, _, low, high in extents(airframe) if wanted is None or one.part in wanted]
    if not rows:
        return None
    return np.min([low for low, _ in rows], axis=0), np.max([high for _, high in rows], axis=0)


def under(airframe: Airframe, x: float, y: float) -> tuple[str, float] | None:
    """Name of the blank that is met first from below at (x, y), and at which height, mm; None for none."""
    best: tuple[str, float] | None = None
    start = np.array([x, y, -FAR_MM])
    for one in _near(airframe, x, y):
        found = land(one.blank, start, UP, "probe", None, one.transforms, targets_of(one, None))
        if isinstance(found, Mark):
            z = float(station_of(one.blank, found, one.transforms)[0, 2])
            if best is None or z < best[1]:
                best = (one.blank.name, z)
    return best


def _near(airframe: Airframe, x: float, y: float) -> tuple[Placed, ...]:
    """Blanks with a panel whose box holds (x, y)."""
    found: dict[str, Placed] = {}
    for one, _, low, high in extents(airframe):
        if low[0] <= x <= high[0] and low[1] <= y <= high[1]:
            found[one.blank.name] = one
    return tuple(found.values())


def first_from_below(
    airframe: Airframe, part: str, ends: tuple[tuple[float, float, float], ...], least: float
) -> str | None:
    """Blank of a part that a line, looked at from below, lands on first and whole; None where none takes it.

    ends: (n, 3) mm; least: share of the line, 0-1, that has to land.
    """
    points = np.array(ends)
    start = np.column_stack([points[:, :2], np.full(len(points), -FAR_MM)])
    whole = float(np.linalg.norm(np.diff(start, axis=0), axis=1).sum())
    best: tuple[float, str] | None = None
    middle = start.mean(axis=0)
    for one in _near(airframe, float(middle[0]), float(middle[1])):
        if one.part != part:
            continue
        ready = targets_of(one, None)
        landed = land_line(one.blank, start, UP, "probe", None, one.transforms, ready)
        seen = [station_of(one.blank, mark, one.transforms) for mark in landed if isinstance(mark, Mark)]
        length = sum(float(np.linalg.norm(np.diff(each[:, :2], axis=0), axis=1).sum()) for each in seen)
        if length >= least * whole - 1e-6:
            z = min(float(each[:, 2].min()) for each in seen)
            if best is None or z < best[0]:
                best = (z, one.blank.name)
    return None if best is None else best[1]
