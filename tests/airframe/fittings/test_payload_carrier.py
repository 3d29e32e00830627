"""Payload carriers: carrier, tray and pin in the body; what is in their way and what cures it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely

from foldwright.airframe.fitting_places import bites
from foldwright.airframe.fittings.payload_shape import CarrierShape, PinShape, Rail, TrayShape
from foldwright.airframe.marking import place_marks
from foldwright.base.messages import told, words
from foldwright.design.fittings import PayloadCarrier
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import Solid, box
from foldwright.make.fittings import makers
from tests.airframe.fittings.demo_designs import Built, built, plain, with_item, with_row
from tests.world import workshop

SHOPS = ("school-laser", "home-knife", "club-sheets")
PARTS = ("carrier", "carrier/tray", "carrier/pin")


def carrier(**changes: Any) -> PayloadCarrier:
    """A carrier for the camera."""
    return PayloadCarrier.model_validate(
        {"id": "carrier", "kind": "payload_carrier", "holds": "camera", "floor_mm": 1.2} | changes
    )


def placed(made: Built, name: str) -> Solid:
    """In the aeroplane."""
    return made.made(name).body.placed(made.named(name).placement)


def camera(made: Built) -> Solid:
    """The payload's box."""
    item = made.fitted.placed("camera")[0]
    middle, half = np.array(item.place_mm), np.array(item.size_mm) / 2.0
    return box((middle - half).tolist(), (middle + half).tolist())


@pytest.mark.parametrize("name", ["marram", "bracken"])
@pytest.mark.parametrize("shop", SHOPS)
def test_sits_in_the_body(name: str, shop: str) -> None:
    """Nothing bites board, payload or each other; payload on carrier, tray on the floor."""
    made = built(plain(name), carrier(), shop=shop)
    assert made.codes == []
    solids = {part: placed(made, part) for part in PARTS}
    for solid in solids.values():
        assert faults(solid) == ()
        assert all(volume < 1.0 for volume in bites(made.airframe, solid).values())
        assert (solid & camera(made)).volume < 1e-6
    for first in PARTS:
        for second in PARTS:
            if first < second:
                assert (solids[first] & solids[second]).volume < 1e-6
    item = made.fitted.placed("camera")[0]
    under = item.place_mm[2] - item.size_mm[2] / 2.0
    column = solids["carrier"] & box(
        (item.place_mm[0] - 5.0, -5.0, -60.0), (item.place_mm[0] + 5.0, 5.0, under + 1.0)
    )
    assert float(column.bounds[1][2]) == pytest.approx(under, abs=1e-6)
    assert float(solids["carrier/tray"].bounds[0][2]) == pytest.approx(
        -25.0 + made.airframe.board.thickness, abs=0.01
    )


def test_slides_and_locks() -> None:
    """It cannot be lifted in place, can be after its travel, and does not slide past the pin."""
    made = built(plain("marram"), carrier())
    body, tray, pin = (placed(made, part) for part in PARTS)
    travel = Rail((38.6, 38.6), 1.2, 10.0, 0.0, 3.0, 0.3).travel
    assert (body.moved(z=1.5) & tray).volume > 1.0
    away = 1.0 if made.named("carrier").placement[0, 0] > 0.0 else -1.0
    free = body.moved(x=away * travel)
    assert (free & tray).volume < 1e-6
    for lift in (1.0, 2.0, 3.0, 5.0):
        assert (free.moved(z=lift) & tray).volume < 1e-6
    for step in (2.0, 5.0):
        assert (body.moved(x=away * step) & tray).volume < 1e-6
        assert (body.moved(x=away * step) & pin).volume > 1.0
    # the way there is free of board too
    assert all(volume < 1.0 for volume in bites(made.airframe, free).values())
    note = next(n for n in made.airframe.notes if n.code == "P29")
    assert ("too far aft" in told("P29", "", note.params).says) == (away > 0.0)


def test_tab_ahead_where_there_is_no_room_behind() -> None:
    """With the tray deck close behind and the nose far ahead the frame is turned about."""
    design = with_item(plain("marram"), "camera", x_mm=84.0, z_mm=4.0)
    design = with_row(design, "body", "deck", "tray", from_mm=106.0)
    made = built(design, carrier())
    assert made.codes == []
    assert made.named("carrier").placement[0, 0] == pytest.approx(-1.0)
    assert float(placed(made, "carrier/pin").bounds[0][0]) < 84.0 - 19.0
    for part in PARTS:
        assert all(volume < 1.0 for volume in bites(made.airframe, placed(made, part)).values())


@pytest.mark.parametrize(("key", "value"), [("z_mm", 0.0), ("x_mm", 20.0)])
def test_cures_are_cures(key: str, value: float) -> None:
    """P17 names the place that clears it."""
    design = with_item(plain("marram"), "camera", **{key: value})
    made = built(design, carrier())
    found = [one for one in made.airframe.findings if one.code == "P17"]
    assert [one.where for one in found] == [f"equipment.camera.{key}"]
    cure = words(found[0]).cure
    number = float(cure.split(f"{key} to ")[1].split(",")[0].split(":")[0])
    assert built(with_item(design, "camera", **{key: number}), carrier()).codes == []


def test_too_narrow() -> None:
    """Bracken's body is 52 mm wide: floors and walls of 2 mm do not go in, those of the cure do."""
    made = built(plain("bracken"), carrier(floor_mm=2.0), shop="club-sheets")
    found = next(one for one in made.airframe.findings if one.where.endswith("y_mm"))
    thin = float(words(found).cure.split("floor_mm to ")[1].rstrip("."))
    assert built(plain("bracken"), carrier(floor_mm=thin), shop="club-sheets").codes == []


def test_no_room_along() -> None:
    """The tray deck where it was: P17 says where it may begin."""
    design = with_row(plain("marram"), "body", "deck", "tray", from_mm=45.0)
    made = built(design, carrier())
    found = next(one for one in made.airframe.findings if one.where.endswith("x_mm"))
    assert "begin at x = " in words(found).cure
    start = float(words(found).cure.split("begin at x = ")[1].split(" ")[0])
    spot = float(words(found).cure.split("x_mm to ")[1].rstrip("."))
    cured = with_item(with_row(design, "body", "deck", "tray", from_mm=start), "camera", x_mm=spot)
    assert built(cured, carrier()).codes == []


def test_payload_heavier_than_the_carrier() -> None:
    """P18 with the figure that would carry it."""
    made = built(plain("marram"), carrier(most_g=30.0))
    assert made.codes == ["P18"]
    said = words(next(one for one in made.airframe.findings if one.code == "P18"))
    assert "12.0 g more" in said.says
    assert "most_g to 42" in said.cure
    assert built(plain("marram"), carrier(most_g=42.0)).codes == []


def test_bay_in_place_of_equipment() -> None:
    """A payload bay that holds the camera: its box, the camera's mass."""
    design = plain("marram")
    bay = {"id": "room", "x_mm": 27.0, "z_mm": 4.0, "size_mm": (38.0, 36.0, 38.0), "holds": ("camera",)}
    whole = type(design).model_validate(design.model_dump() | {"bay": (bay,)})
    made = built(whole, carrier(holds="room"))
    assert made.codes == []
    assert made.named("carrier").figures["payload_g"] == pytest.approx(42.0)
    assert made.named("carrier").figures["payload_wide_mm"] == pytest.approx(36.0)


def test_marks_on_the_floor() -> None:
    """Middle line and both ends of the tray."""
    made = built(plain("marram"), carrier())
    marked, _ = place_marks(
        made.airframe, [one for one in made.airframe.guides if one.name == "payload-tray"]
    )
    marks = [m for one in marked.placed for m in one.blank.marks if m.name == "payload-tray"]
    assert len(marks) == 3


@pytest.mark.parametrize("wide", [12.0, 38.6, 60.0])
def test_the_floor_bridges_no_more_than_it_says(wide: float) -> None:
    """The section just under the floor, as it is printed: air about any point is no wider than the rail's
    way, and than 12 mm elsewhere (a disc of that size fits nowhere).
    """
    shape = CarrierShape(Rail((38.6, wide), 1.2, 10.0, 0.0, 3.0, 0.3))
    made = makers()[CarrierShape](shape, workshop().printer)  # type: ignore[arg-type]
    under = made.body.slice_at(shape.rail.under - 0.05)
    floor = shapely.box(
        -shape.rail.half_long, -shape.rail.half_wide, shape.rail.half_long, shape.rail.half_wide
    )
    air = floor.difference(under)
    assert air.buffer(-shape.bridge / 2.0 - 0.05).is_empty
    rail = shapely.box(-100.0, -shape.rail.foot, 100.0, shape.rail.foot)
    assert air.difference(rail).buffer(-6.05).is_empty
    assert f"{shape.bridge:.1f} mm" in made.orientation
    assert shape.bridge < 14.0


@pytest.mark.parametrize("inside", [(38.6, 38.6), (20.0, 12.0), (60.0, 50.0)])
@pytest.mark.parametrize("lift", [0.0, 0.7, 12.0])
@pytest.mark.parametrize(("floor", "wall", "pin"), [(1.2, 10.0, 3.0), (2.4, 4.0, 4.0)])
def test_closed_forms(
    inside: tuple[float, float], lift: float, floor: float, wall: float, pin: float
) -> None:
    """Mass from the closed forms within 0.5 g or 10 % of the solid's own (architecture, rule 12)."""
    rail = Rail(inside, floor, wall, lift, pin, 0.3)
    for shape in (CarrierShape(rail), TrayShape(rail), PinShape(pin, rail.stack - 0.4, 3.0 * pin, 2.0)):
        made = makers()[type(shape)](shape, workshop().printer)  # type: ignore[arg-type]
        assert faults(made.body) == ()
        assert shape.volume == pytest.approx(made.body.volume, rel=5e-3)
        assert shape.surface == pytest.approx(made.body.area, rel=0.06)
        assert np.allclose(np.asarray(shape.box), np.asarray(made.body.bounds), atol=1e-6)
