"""Battery stops: on what the battery stands on, against its face, within walls and roof."""

from __future__ import annotations

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
    assert "on the mark" in told("P22", "", front.airframe.notes[-1].params).says
    assert "73 mm behind the mark" in told("P23", "", rear.airframe.notes[-1].params).says


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
