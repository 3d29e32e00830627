"""Dummies: size, mass and centre of the payload, from plastic and nuts.

Expected values: the payload's own; nuts and plastic weighed here from the solid itself, first principles.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import trimesh

from foldwright.airframe.fitting_model import Fitting, PrintedIn
from foldwright.airframe.fittings.payload_shape import CarrierShape, Rail
from foldwright.design.fittings import PayloadCarrier
from foldwright.design.resolve import FittedFilament
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import faults, mesh_of
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.make.fittings import along
from foldwright.make.fittings.payload_carrier import extras
from foldwright.make.fittings.payload_dummy import dummy_for
from foldwright.make.printing import Extra
from tests.airframe.fittings.demo_designs import built, plain

PETG = FittedFilament("petg", "PETG", "test", 1.27, 80.0, False)
PRINTER = Printer()


def carrier_of(mass: float, size: tuple[float, float, float], **changes: float) -> Fitting:
    """A carrier that holds a payload."""
    rail = Rail((size[0] + 0.6, size[1] + 0.6), 1.6, 10.0, 0.0, 3.0, 0.3)
    figures = {
        "payload_g": mass, "payload_long_mm": size[0], "payload_wide_mm": size[1], "payload_high_mm": size[2],
        "nut_g": 1.2, "nut_across_mm": 8.0, "nut_high_mm": 4.7, "dummy": 1.0,
        "stack_mm": rail.stack,
    }  # fmt: skip
    printed = PrintedIn(PETG, 0.15, PRINTER.walls * PRINTER.line_mm)
    return Fitting(
        "carrier", "payload_carrier", "payload carrier", CarrierShape(rail), np.eye(4), printed,
        figures=figures | changes,
    )  # fmt: skip


def weighed(dummy: Extra, nut_g: float = 1.2, nut_high: float = 4.7) -> tuple[float, np.ndarray[Any, Any]]:
    """Mass and centre (from the block's middle) with its nuts, from the mesh by an independent library.

    The nuts lie on the pockets' bottoms: the highest points of the solid that are not its top.
    """
    low, high = dummy.made.body.bounds
    # its own middle at the origin
    own = mesh_of(dummy.made.body.moved(*(-(low + high) / 2.0).tolist()))
    body = trimesh.Trimesh(own.vertices, own.faces, process=False)
    assert body.is_watertight
    assert dummy.infill is not None
    plastic = filled_mm3(body.volume, body.area, 1.35, dummy.infill) * 1.27e-3
    middle = body.center_mass * plastic
    nuts = int(dummy.figures["nuts"])
    total = plastic
    if nuts:
        spots = body.triangles_center
        # faces that look up, neither the top nor in the letters on the side
        floor = (body.face_normals[:, 2] > 0.999) & (spots[:, 2] < float(body.bounds[1][2]) - 0.01)
        floor &= np.abs(spots[:, 1]) < float(body.bounds[1][1]) - 1.0
        each = int(dummy.made.notes[0].split(": ")[1].split(" in each")[0])
        z = float(spots[floor][:, 2].min())
        centres = np.average(spots[floor][:, :2], axis=0, weights=body.area_faces[floor])
        middle = middle + nuts * nut_g * np.array([*centres, z + each * nut_high / 2.0])
        total += nuts * nut_g
    return total, middle / total


@pytest.mark.parametrize(
    ("mass", "size"),
    [
        (42.0, (38.0, 38.0, 38.0)), (40.0, (38.0, 38.0, 38.0)), (60.0, (60.0, 30.0, 25.0)),
        (90.0, (50.0, 40.0, 40.0)), (16.0, (30.0, 22.0, 16.0)), (120.0, (60.0, 45.0, 45.0)),
        (25.0, (38.0, 38.0, 38.0)), (5.0, (20.0, 20.0, 18.0)), (18.0, (40.0, 40.0, 40.0)),
    ],
)  # fmt: skip
def test_mass_and_centre(mass: float, size: tuple[float, float, float]) -> None:
    """Within 1 g and 1 mm (issue), the outer size exact, in one body, pockets open above."""
    dummy = dummy_for(carrier_of(mass, size), PRINTER)
    body = dummy.made.body
    assert faults(body) == ()
    assert np.allclose(body.size, size, atol=1e-6)
    total, centre = weighed(dummy)
    assert total == pytest.approx(mass, abs=1.0)
    assert total == pytest.approx(dummy.figures["mass_g"], abs=0.1)
    assert float(np.linalg.norm(centre)) < 1.0
    assert abs(dummy.figures["off_mm"]) < 1.0
    assert dummy.infill is not None
    assert 0.0 <= dummy.infill <= 1.0


@pytest.mark.parametrize("name", ["marram", "bracken"])
def test_stands_where_the_payload_stands(name: str) -> None:
    """The block in the carrier's place is the payload's own box in the aeroplane (the design's keys)."""
    made = built(plain(name), PayloadCarrier(id="carrier", holds="camera", floor_mm=1.2))
    fitting, item = made.named("carrier"), made.fitted.placed("camera")[0]
    block = dummy_for(fitting, PRINTER).made.body.placed(fitting.placement)
    middle, half = np.array(item.place_mm), np.array(item.size_mm) / 2.0
    assert np.allclose(block.bounds[0], middle - half, atol=0.01)
    assert np.allclose(block.bounds[1], middle + half, atol=0.01)


def test_notes_count_the_nuts() -> None:
    """What the builder puts in."""
    dummy = dummy_for(carrier_of(42.0, (38.0, 38.0, 38.0)), PRINTER)
    assert f"{dummy.figures['nuts']:.0f} nuts of 1.2 g" in dummy.made.notes[0]
    assert dummy.group == "dummies"


def test_what_no_block_can_be() -> None:
    """As heavy as lead, as light as foam: said, with what it has."""
    heavy = dummy_for(carrier_of(100.0, (20.0, 20.0, 20.0)), PRINTER)
    assert heavy.figures["lack_g"] > 50.0
    assert "heavier than a block" in heavy.made.notes[-1]
    light = dummy_for(carrier_of(1.0, (60.0, 60.0, 60.0)), PRINTER)
    assert light.figures["lack_g"] < -1.0
    assert "lighter than a block" in light.made.notes[-1]
    assert faults(light.made.body) == ()


def test_printed_along_with_the_carrier() -> None:
    """Found by the carrier's shape; left out where the design does not want it."""
    made = built(plain("marram"), PayloadCarrier(id="carrier", holds="camera", floor_mm=1.2))
    fitting = made.named("carrier")
    assert type(fitting.shape) in along()
    (dummy,) = extras(fitting, None, PRINTER)  # type: ignore[arg-type]
    assert dummy.figures["payload_g"] == pytest.approx(42.0)
    assert dummy.figures["mass_g"] == pytest.approx(42.0, abs=0.1)
    bare = built(plain("marram"), PayloadCarrier(id="carrier", holds="camera", floor_mm=1.2, dummy=False))
    assert extras(bare.named("carrier"), None, PRINTER) == ()  # type: ignore[arg-type]
