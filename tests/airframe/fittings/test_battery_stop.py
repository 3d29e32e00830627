"""Battery stops: on what the battery stands on, against its face, within walls and roof."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from foldwright.airframe.fitting_places import bites
from foldwright.airframe.fittings.battery_stop import BatteryStopShape
from foldwright.base.messages import told
from foldwright.design.fittings import BatteryStop
from foldwright.geometry.solid.check import faults
from foldwright.make.fittings.battery_stop import solid
from tests.airframe.fittings.demo_designs import built, plain, with_board, with_row
from tests.world import workshop

SHOPS = ("school-laser", "home-knife", "club-sheets")


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
@pytest.mark.parametrize("shop", SHOPS)
@pytest.mark.parametrize("end", ["front", "rear"])
def test_stands_on_the_tray_against_the_battery(name: str, shop: str, end: str) -> None:
    """The wall's battery side is at the battery's face, the foot reaches away, the tray is touched."""
    made = built(
        plain(name), BatteryStop.model_validate({"id": "stop", "kind": "battery_stop", "end": end}), shop=shop
    )
    assert made.codes == []
    stop, fitted = made.named("stop"), made.fitted
    assert stop.blank == "body/tray"
    body = made.made("stop").body.placed(stop.placement)
    low, high = body.bounds
    fore, aft = fitted.battery_slide_mm
    middle = (fore + aft) / 2.0
    half = fitted.battery.size_mm[0] / 2.0
    # the battery in the middle of its slide: the wall touches its face, the foot leads away from it
    face = middle - half if end == "front" else middle + half
    assert (high[0] if end == "front" else low[0]) == pytest.approx(face, abs=1e-6)
    assert high[0] - low[0] == pytest.approx(14.0, abs=1e-6)
    # the battery stands on the tray, or on 2 mm of soft pads: z of its underside
    assert low[2] == pytest.approx(fitted.battery_z_mm - fitted.battery.size_mm[2] / 2.0, abs=2.0)
    assert all(volume < 1.0 for volume in bites(made.airframe, body).values())
    assert stop.plastic_g == pytest.approx(
        body.volume * stop.printed.filament.density_g_cm3 / 1000.0, abs=0.01
    )


def test_notes_name_the_mark() -> None:
    """In front the mark itself, behind it by the battery's length and play."""
    front = built(plain("marram"), BatteryStop(id="stop"))
    rear = built(plain("marram"), BatteryStop(id="stop", end="rear"))
    notes = {one.code: one for made in (front, rear) for one in made.airframe.notes}
    assert "on the mark" in told("P22", "", notes["P22"].params).says
    assert "73 mm behind the mark" in told("P23", "", notes["P23"].params).says


@pytest.mark.parametrize(("end", "key"), [("front", "fore"), ("rear", "aft")])
def test_where_it_may_stand(end: str, key: str) -> None:
    """Marram's tray runs from 66 to 171: a foot of 14 mm lies on it from 80 on at the front, and as far as
    157 behind (first principles); the battery's faces may stand from 67 and as far as 170.
    """
    made = built(
        plain("marram"), BatteryStop.model_validate({"id": "stop", "kind": "battery_stop", "end": end})
    )
    note = next(one for one in made.airframe.notes if one.code == "P123")
    assert note.params[key] == pytest.approx({"fore": 80.0, "aft": 157.0}[key], abs=1.0)
    assert (note.params["first"], note.params["last"]) == {"front": (67, 98), "rear": (139, 170)}[end]
    assert "glue a scrap of board" in told("P123", "", note.params).says


def test_nothing_to_say_where_it_may_stand_everywhere() -> None:
    """A slide that ends a foot's length behind the tray's front edge."""
    design = plain("marram")
    slide = design.battery.model_copy(update={"slide_from_mm": 82.0})
    made = built(design.model_copy(update={"battery": slide}), BatteryStop(id="stop"))
    assert "P123" not in [one.code for one in made.airframe.notes]


def test_room_all_along_the_slide() -> None:
    """Low enough for every place that it may take: moved along the slide it bites no board."""
    made = built(plain("bracken"), BatteryStop(id="stop"))
    note = next(one for one in made.airframe.notes if one.code == "P123")
    body, stop = made.made("stop").body, made.named("stop")
    for x in np.linspace(float(note.params["fore"]), float(note.params["aft"]), 7).tolist():
        there = body.placed(stop.placement).moved(x=x - stop.figures["x_mm"])
        assert all(volume < 1.0 for volume in bites(made.airframe, there).values())


@pytest.mark.parametrize("wide", [12.0, 21.0])
def test_no_cheek_over_air(wide: float) -> None:
    """As it is printed, no layer reaches further than what lies under it: sections grow smaller upward."""
    made = solid(BatteryStopShape(wide, 16.0, 14.0, 2.4), workshop().printer)  # type: ignore[arg-type]
    body, _ = made.laid
    cuts = [body.slice_at(z) for z in np.linspace(0.1, float(body.size[2]) - 0.1, 9).tolist()]
    assert all(upper.difference(lower.buffer(1e-6)).area < 1e-6 for lower, upper in pairwise(cuts))


def test_place_of_the_design() -> None:
    """Where the design sets the battery's place, the stop stands there."""
    design = plain("marram")
    design = design.model_copy(update={"battery": design.battery.model_copy(update={"x_mm": 120.0})})
    assert built(design, BatteryStop(id="stop")).named("stop").figures["x_mm"] == pytest.approx(84.0)


def test_no_floor() -> None:
    """P20 where the tray ends before it."""
    design = with_row(plain("marram"), "body", "deck", "tray", from_mm=130.0)
    found = built(design, BatteryStop(id="stop"))
    assert found.codes == ["P20"]
    assert found.airframe.fittings == ()


def test_no_height() -> None:
    """P21 where the roof is near: the tray is raised to 4 mm under the hatch."""
    design = with_row(plain("marram"), "body", "deck", "tray", z_mm=21.0)
    design = design.model_copy(update={"battery": design.battery.model_copy(update={"z_mm": 34.0})})
    assert built(design, BatteryStop(id="stop")).codes == ["P21"]


@pytest.mark.parametrize("thickness", [3.0, 4.0, 6.0])
def test_other_boards(thickness: float) -> None:
    """It stays on the tray."""
    made = built(plain("bracken"), BatteryStop(id="stop"), shop=with_board(workshop(), thickness))
    body = made.made("stop").body.placed(made.named("stop").placement)
    assert all(volume < 1.0 for volume in bites(made.airframe, body).values())


@pytest.mark.parametrize("wide", [12.0, 21.0, 60.0])
@pytest.mark.parametrize("high", [5.0, 16.7, 40.0])
@pytest.mark.parametrize("thick", [1.2, 2.4])
def test_closed_forms(wide: float, high: float, thick: float) -> None:
    """Volume, surface and box are those of the solid, made by manifold3d, to 1e-6."""
    shape = BatteryStopShape(wide, high, 14.0, thick)
    body = solid(shape, workshop().printer).body  # type: ignore[arg-type]
    assert shape.volume == pytest.approx(body.volume, rel=1e-6)
    assert shape.surface == pytest.approx(body.area, rel=1e-6)
    assert np.allclose(np.asarray(shape.box), np.asarray(body.bounds), atol=1e-6)
    assert faults(body) == ()
