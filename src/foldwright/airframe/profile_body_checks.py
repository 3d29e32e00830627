"""Findings of bodies cut from flat sheet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.box_shell import LEAST_SEGMENT, down, finding, up
from foldwright.base.finding import Finding
from foldwright.design.bodies import SideDoubler

LEAST_NECK = 20.0  # mm: judgement; a single board less high than this breaks in the hand
TIP = 20.0  # mm: judgement; the ends of a body may run out to less
TOUCH = 1e-6  # mm


def chord_at(shape: BaseGeometry, x: float) -> list[tuple[float, float]]:
    """Stretches (from z, to z) of an upright line at x that lie on a shape, lowest first, mm."""
    _, low, _, high = shape.bounds
    line = shapely.LineString([(x, low - 1.0), (x, high + 1.0)])
    met = [part for part in shapely.get_parts(shape.intersection(line)) if part.length > TOUCH]
    return sorted((float(part.bounds[1]), float(part.bounds[3])) for part in met)


def pieces_of(outline: shapely.Polygon, doubler: SideDoubler) -> list[shapely.Polygon]:
    """What a doubler's stretch takes of an outline."""
    _, low, _, high = outline.bounds
    strip = shapely.box(doubler.from_mm, low - 1.0, doubler.to_mm, high + 1.0)
    parts = shapely.get_parts(outline.intersection(strip))
    return [part for part in parts if isinstance(part, shapely.Polygon) and part.area > TOUCH]


def check_doubler(body: str, doubler: SideDoubler, outline: shapely.Polygon) -> list[Finding]:
    """G151 for a doubler off the body or too short, G152 for one in pieces (watch)."""
    first, _, last, _ = outline.bounds
    where = f"{body}.doubler.{doubler.id}"
    start, stop = doubler.from_mm, doubler.to_mm
    if start < first - TOUCH or stop > last + TOUCH or stop - start < LEAST_SEGMENT:
        key, value = ("to_mm", stop) if stop > last + TOUCH or start >= first - TOUCH else ("from_mm", start)
        limit = first if key == "from_mm" else last
        return [
            finding(
                f"{where}.{key}", "G151", value, limit, name=doubler.id, start=start, stop=stop,
                first=up(first), last=down(last), least=LEAST_SEGMENT,
            )
        ]  # fmt: skip
    pieces = pieces_of(outline, doubler)
    if len(pieces) > 1:
        return [
            finding(
                f"{where}.to_mm", "G152", len(pieces), 1.0, "", "watch", name=doubler.id, start=start,
                stop=stop, count=len(pieces),
            )
        ]  # fmt: skip
    return []


def check_necks(body: str, board: BaseGeometry, covered: Sequence[tuple[float, float]]) -> list[Finding]:
    """G150 (watch): the thinnest place of the single board, if it is thinner than LEAST_NECK.

    board: outline less the openings. The height is linear between corners, so the least stands beside one.
    The last TIP at both ends and what a doubler covers are left out.
    """
    first, _, last, _ = board.bounds
    corners = shapely.get_coordinates(board)[:, 0]
    ends = [x for reach in covered for x in reach]
    beside = np.concatenate([corners - 1e-3, corners + 1e-3, np.array(ends) - 1e-3, np.array(ends) + 1e-3])
    places = np.unique(beside[(beside > first + TIP) & (beside < last - TIP)])
    worst: tuple[float, float] | None = None
    for x in places.tolist():
        if any(start <= x <= stop for start, stop in covered):
            continue
        left = sum(high - low for low, high in chord_at(board, x))
        if worst is None or left < worst[1] - TOUCH:
            worst = (x, left)
    if worst is None or worst[1] >= LEAST_NECK - 0.05:
        return []
    x, left = worst
    return [
        finding(
            f"{body}.polygon_mm", "G150", left, LEAST_NECK, "mm", "watch", x=x, left=left, least=LEAST_NECK,
            by=up(LEAST_NECK - left),
        )
    ]  # fmt: skip
