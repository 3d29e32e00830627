"""Marks that follow from the results: asked for in the aeroplane, landed on the right face of a blank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache

import numpy as np

from foldwright.airframe.model import Airframe, Direction, MarkRequest, Placed
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.checks import miss_finding
from foldwright.geometry.fold.marks import MarkMiss, Targets, land_line, targets
from foldwright.geometry.fold.model import Face, Mark
from foldwright.geometry.transform import apply

_VECTORS: dict[Direction, tuple[float, float, float]] = {
    "+x": (1.0, 0.0, 0.0),
    "-x": (-1.0, 0.0, 0.0),
    "+y": (0.0, 1.0, 0.0),
    "-y": (0.0, -1.0, 0.0),
    "+z": (0.0, 0.0, 1.0),
    "-z": (0.0, 0.0, -1.0),
}
FAR = 2000.0
HAIR = 1e-6


def place_marks(airframe: Airframe, requests: Sequence[MarkRequest]) -> tuple[Airframe, tuple[Finding, ...]]:
    """The airframe with marks on its blanks, and a finding for every mark that finds no good face."""
    placed = {one.blank.name: one for one in airframe.placed}
    boxes = {name: _box(one) for name, one in placed.items()}
    faces = dict(placed)  # as they are before any mark: what is known of them stays at hand
    findings: list[Finding] = []
    for request in requests:
        if request.needs and request.needs not in placed:
            continue
        names = [name for name in placed if name == request.part or name.split("/")[0] == request.part]
        # where the line passes some of them, the others need not be tried
        names = _passed(names, boxes, request) or names
        tried = [(name, *_land(faces[name], request)) for name in names]
        if not tried:
            continue
        name, marks, share, miss = max(tried, key=lambda one: one[2])
        if share < request.least - 1e-9 and miss is not None:
            findings.append(miss_finding(request.part, miss))
        elif marks:
            one = placed[name]
            placed[name] = replace(one, blank=replace(one.blank, marks=one.blank.marks + marks))
    return replace(airframe, placed=tuple(placed.values())), tuple(findings)


@lru_cache(maxsize=256)
def targets_of(one: Placed, face: Face | None) -> Targets:
    """What marks can land on, on one blank; the last ones are remembered (by identity)."""
    return targets(one.blank, one.transforms, face)


@lru_cache(maxsize=128)
def _box(one: Placed) -> tuple[FloatArray, FloatArray]:
    """Least and greatest corner (3,) of a folded blank, mm, a hair wider; remembered by identity."""
    corners = [
        apply(one.transforms[panel.name], np.column_stack([panel.polygon, np.full(len(panel.polygon), w)]))
        for panel in one.blank.panels
        for w in (0.0, one.blank.thickness)
    ]
    points = np.concatenate(corners)
    return points.min(axis=0) - HAIR, points.max(axis=0) + HAIR


def _passed(
    names: Sequence[str], boxes: Mapping[str, tuple[FloatArray, FloatArray]], request: MarkRequest
) -> list[str]:
    """Blanks whose box meets that around a line, seen along the request's direction."""
    if not names:
        return []
    points, across = np.array(request.points), np.array(_VECTORS[request.direction]) == 0.0
    low, high = points.min(axis=0), points.max(axis=0)
    least, most = (np.stack([boxes[name][end] for name in names]) for end in (0, 1))
    meet = ((low <= most) & (high >= least))[:, across].all(axis=1)
    return [name for name, met in zip(names, meet.tolist(), strict=True) if met]


@lru_cache(maxsize=512)
def _land(one: Placed, request: MarkRequest) -> tuple[tuple[Mark, ...], float, MarkMiss | None]:
    """Marks on one blank, the share of the line that found a good face, the longest stretch that did not.

    The last ones are remembered: the same request on the same blank (by identity) lands in the same place.
    """
    vector = np.array(_VECTORS[request.direction])
    points = np.array(request.points)
    start = points - vector * (points @ vector + FAR)[:, None]
    ready = targets_of(one, request.face)
    pieces = land_line(one.blank, start, vector, request.name, request.face, one.transforms, ready)
    whole = _length(start)
    marks = tuple(piece for piece in pieces if not isinstance(piece, MarkMiss))
    missed = [piece for piece in pieces if isinstance(piece, MarkMiss)]
    share = max(0.0, 1.0 - sum(miss.distance for miss in missed) / whole) if whole > 0.0 else 0.0
    return marks, share, max(missed, key=lambda miss: miss.distance, default=None)


def _length(points: FloatArray) -> float:
    return float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum())
