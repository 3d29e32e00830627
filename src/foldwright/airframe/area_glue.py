"""Glue between two boards that lie face to face."""

from __future__ import annotations

from foldwright.geometry.fold.mass import Material

AREA_GLUE_G_M2 = 60.0
"""Contact or spray glue on both faces, 40 to 80 g/m²: common practice, no source."""


def glue_film() -> Material:
    """The glue as a sheet of no thickness: two papers of half its weight, one on the other."""
    return Material(0.0, 0.0, AREA_GLUE_G_M2 * 1e-6 / 2.0)
