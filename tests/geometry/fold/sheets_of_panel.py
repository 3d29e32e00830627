"""Outlines of what a panel weighs: foam with what is pressed, and its two papers."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Face, Panel
from foldwright.geometry.fold.rings import foam_cut, inset, skin_cut


def mass_ring(panel: Panel, share: float) -> FloatArray:
    """As `solid_ring`, but squeezed foam counts as present."""
    cuts = [foam_cut(cut) for cut in panel.cuts]
    return inset(panel.polygon, np.array([b + (a - b) * share for b, a in cuts]))


def skin_ring(panel: Panel, face: Face) -> FloatArray:
    """Outline (k, 2) of one paper face ("a" or "b"), mm."""
    column = 1 if face == "a" else 0
    return inset(panel.polygon, np.array([skin_cut(cut)[column] for cut in panel.cuts]))
