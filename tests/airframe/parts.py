"""Parts and boards that the airframe tests share."""

from __future__ import annotations

from typing import Any

from foldwright.airframe.model import Board
from foldwright.design.parts import FoldedWing, Plate
from foldwright.geometry.fold.mass import Material


def board(t: float = 5.0, **changes: float) -> Board:
    """A board of 400 g/m², papers of 100 g/m² each."""
    material = Material(t, 200e-6 / t, 100e-6)
    values = {"radius": 0.0, "crush_width": 5.0, "squeeze_share": 0.5} | changes
    return Board(t, material, **values)


def wing(**changes: Any) -> FoldedWing:
    """A plank of 660 x 220 mm with one elevon a half."""
    data: dict[str, Any] = {
        "kind": "folded_wing", "id": "wing", "x_mm": 150.0, "z_mm": 10.0, "span_mm": 660.0, "chord_mm": 220.0,
        "spar": {"x_mm": 62.0, "height_mm": 12.0}, "strip": {"aft_mm": 130.0},
        "control": ({"id": "elevon", "chord_mm": 48.0, "inner_mm": 40.0, "outer_mm": 300.0},),
    }  # fmt: skip
    return FoldedWing.model_validate(data | changes)


def fin(**changes: Any) -> Plate:
    """A pair of upright tapered fins near the tips."""
    data: dict[str, Any] = {
        "kind": "plate", "id": "fin", "x_mm": 285.0, "y_mm": 312.0, "z_mm": 20.0, "mirrored": True,
        "taper": {"root_mm": 80.0, "tip_mm": 50.0, "height_mm": 90.0, "tip_aft_mm": 30.0},
    }  # fmt: skip
    return Plate.model_validate(data | changes)
