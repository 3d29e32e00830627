"""Twins are named by the side they stand on, a tip cap covers all panels' ends, saddles leave no splinter."""

from __future__ import annotations

import numpy as np
import shapely

from foldwright.airframe.plate import build_plate
from foldwright.airframe.saddle_cut import raised
from foldwright.airframe.wing import build_wing
from foldwright.design.parts import Plate
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.transform import apply, inverse
from tests.airframe.parts import board, wing


def test_twins_are_named_by_the_side_they_stand_on() -> None:
    """First principles: right is y > 0, whichever of the two the design gives."""
    for y in (120.0, -120.0):
        for lifting in (True, False):
            part = Plate.model_validate({
                "kind": "plate", "id": "fin", "x_mm": 0.0, "y_mm": y, "z_mm": 0.0, "mirrored": True,
                "taper": {"root_mm": 90.0, "tip_mm": 60.0, "height_mm": 100.0}, "lifting": lifting,
                "control": ({"id": "rudder", "kind": "rudder", "chord_mm": 25.0, "inner_mm": 10.0,
                             "outer_mm": 90.0},),
            })  # fmt: skip
            build = build_plate(part, board())
            # of a pair the lattice takes the right one
            assert all((surface.le[:, 1] > 0.0).all() for surface in build.surfaces)
            for blank in build.blanks:
                side = 1.0 if blank.name == "fin/right" else -1.0
                assert {p.name for p in blank.panels} == {"plate", f"rudder-{blank.name.split('/')[1]}"}
                for place in transforms(blank).values():
                    assert np.sign(place[1, 3]) == side


def test_a_cap_covers_the_ends_of_leaning_panels() -> None:
    """First principles: a tapered wing's panels end square to themselves, some of them short of the tip."""
    bay = {"chord_mm": 170.0, "aft_mm": 155.0, "spar_x_mm": 50.0}
    build = build_wing(wing(tip="cap", bay=(bay,), control=(), centre="two"), board())
    cap = next(blank for blank in build.blanks if blank.name.endswith("cap-right"))
    ring = shapely.Polygon(cap.panels[0].polygon)
    assert ring.is_valid
    to_cap = inverse(cap.placement)
    right = next(blank for blank in build.blanks if blank.name == "wing/right")
    for panel in right.panels:
        for w in (0.0, right.thickness):
            flat = np.column_stack([panel.polygon, np.full(len(panel.polygon), w)])
            local = apply(to_cap, apply(transforms(right)[panel.name], flat))
            ends = local[(local[:, 2] > -1.5) & (local[:, 2] < 1e-6), :2]
            assert len(ends)
            assert max(ring.distance(shapely.Point(end)) for end in ends) < 0.5


def test_no_splinter_stands_between_two_halves() -> None:
    """Two sections 0.07 mm apart take one piece away."""
    halves = [shapely.box(-40.0, 0.0, -0.035, 5.0), shapely.box(0.035, 0.0, 40.0, 5.0)]
    taken = raised(halves, np.array([0.0, 1.0]), 0.0)
    assert shapely.box(-40.0, 0.0, 40.0, 30.0).difference(taken).area < 1e-6
