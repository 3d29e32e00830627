"""Left parts: mirrored polygons, proper transforms (no negative determinant)."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank, Fold, Mark, Panel

_FLIP = np.array([1.0, -1.0])


def mirror_matrix(matrix: FloatArray) -> FloatArray:
    """Mirror a rigid transform in y = 0 of both frames: F M F with F = diag(1, -1, 1, 1)."""
    flip = np.diag([1.0, -1.0, 1.0, 1.0])
    mirrored: FloatArray = flip @ matrix @ flip
    return mirrored


def mirror_blank(blank: Blank, name: str) -> Blank:
    """The blank for the other side of the aeroplane: outside stays outside (face A stays face A)."""
    return replace(
        blank,
        name=name,
        panels=tuple(_panel(panel) for panel in blank.panels),
        folds=tuple(_fold(fold) for fold in blank.folds),
        marks=tuple(_mark(mark) for mark in blank.marks),
        placement=mirror_matrix(blank.placement),
        mirror_of=blank.name,
    )


def _panel(panel: Panel) -> Panel:
    # reversed point order keeps it counter-clockwise; edge i of the new ring is edge n - 2 - i of the old
    count = len(panel.cuts)
    cuts = tuple(panel.cuts[(count - 2 - index) % count] for index in range(count))
    return replace(
        panel,
        polygon=panel.polygon[::-1] * _FLIP,
        cuts=cuts,
        holes=tuple(hole[::-1] * _FLIP for hole in panel.holes),
    )


def _fold(fold: Fold) -> Fold:
    # the child must stay on the left of p -> q
    return replace(fold, p=fold.q * _FLIP, q=fold.p * _FLIP)


def _mark(mark: Mark) -> Mark:
    return replace(mark, points=mark.points * _FLIP)
