"""What is fitted: the stock's entries, the workshop's wishes, and what is doubtful about them."""

from __future__ import annotations

import pytest

from foldwright.base.finding import Finding
from foldwright.design.load import Loaded, built_in_stock, load_design, load_workshop
from foldwright.design.resolve import Resolved, fit
from tests.design.samples import MARRAM, SMALL, WORKSHOP, changed, codes, spoken


def _fit(design: str, workshop: str | None = None) -> Loaded[Resolved]:
    read = load_design(design.encode())
    assert read.value is not None, read.findings
    shop = load_workshop(workshop.encode()).value if workshop is not None else None
    return fit(read.value, shop, built_in_stock())


def _value(loaded: Loaded[Resolved]) -> Resolved:
    assert loaded.value is not None
    return loaded.value


def _only(loaded: Loaded[Resolved]) -> Finding:
    assert len(loaded.findings) == 1
    return loaded.findings[0]


def test_marram_as_designed() -> None:
    loaded = _fit(MARRAM)
    resolved = _value(loaded)
    assert loaded.findings == ()
    # As written in the built-in stock and the starter.
    assert resolved.motor.mass_g == 25.0
    assert resolved.motor.static_thrust_n == 4.4
    assert resolved.motor.static_holds
    assert resolved.motor.tilt_deg == -2.9
    assert resolved.battery.id == "lipo-3s-1300"
    assert [b.id for b in resolved.alternatives] == ["lipo-3s-1000", "lipo-3s-1500"]
    assert resolved.battery_x_mm is None
    assert resolved.spars == ()


def test_a_mirrored_item_is_two() -> None:
    items = {item.id: item for item in _value(_fit(MARRAM)).items}
    right, left = items["servo/right"], items["servo/left"]
    assert right.item == left.item == "servo"
    assert right.place_mm[1] == -left.place_mm[1] > 0
    turned = {i.id: i for i in _value(_fit(changed(MARRAM, ("y_mm = 110.0", "y_mm = -110.0")))).items}
    assert turned["servo/right"].place_mm == right.place_mm


def test_own_numbers_go_before_the_stock() -> None:
    text = changed(MARRAM, ('stock = "cam-38mm"', 'stock = "cam-38mm"\nmass_g = 33.0'))
    camera = next(i for i in _value(_fit(text)).items if i.id == "camera")
    assert camera.mass_g == 33.0
    assert camera.size_mm == (38.0, 38.0, 38.0)
    text = changed(MARRAM, ('stock = "cam-38mm"', "mass_g = 33.0\nsize_mm = [1, 2, 3]"))
    camera = next(i for i in _value(_fit(text)).items if i.id == "camera")
    assert (camera.kind, camera.source, camera.size_mm) == ("item", "own numbers", (1.0, 2.0, 3.0))


def test_a_movable_item_has_a_slide() -> None:
    text = changed(
        SMALL, ("x_mm = 24.0", "x_mm = 24.0\nmovable = true\nslide_from_mm = 20\nslide_to_mm = 60")
    )
    assert _value(_fit(text)).items[0].slide_mm == (20.0, 60.0)
    assert _value(_fit(SMALL)).items[0].slide_mm is None


FIT = """
[fit]
motor = "motor-1806-2300"
propeller = "prop-5x3"
battery = "lipo-3s-850"

[[fit.equipment]]
id = "camera"
stock = "dummy-40g"
x_mm = 30.0
z_mm = 4.0

[[fit.equipment]]
id = "beacon"
mass_g = 5.0
size_mm = [20, 10, 5]
x_mm = 200.0
z_mm = 4.0
"""


def test_the_workshop_goes_before_the_design() -> None:
    loaded = _fit(MARRAM, WORKSHOP + FIT)
    resolved = _value(loaded)
    assert loaded.findings == ()
    assert (resolved.motor.id, resolved.propeller.id, resolved.battery.id) == (
        "motor-1806-2300", "prop-5x3", "lipo-3s-850",
    )  # fmt: skip
    # The place stays the design's; its own battery may still be fitted.
    assert resolved.motor.place_mm == (385.0, 0.0, 12.0)
    assert [b.id for b in resolved.alternatives] == ["lipo-3s-1300", "lipo-3s-1000", "lipo-3s-1500"]
    items = {item.id: item for item in resolved.items}
    assert items["camera"].place_mm == (30.0, 0.0, 4.0)
    assert items["camera"].name.startswith("dummy")
    assert items["beacon"].mass_g == 5.0


def test_an_item_only_instead_is_not_added() -> None:
    fit = FIT.replace('id = "beacon"', 'id = "beacon"\nonly_instead = true')
    fit = fit.replace('id = "camera"', 'id = "camera"\nonly_instead = true')
    items = {item.id: item for item in _value(_fit(MARRAM, WORKSHOP + fit)).items}
    assert items["camera"].name.startswith("dummy")
    assert "beacon" not in items


def test_thrust_stated_with_another_propeller_is_watched_and_not_scaled() -> None:
    loaded = _fit(changed(MARRAM, ('stock = "prop-5x45"', 'stock = "prop-6x3"')))
    finding = _only(loaded)
    assert (finding.code, finding.verdict, finding.where) == ("F37", "watch", "motor.stock")
    assert "not scaled" in spoken(finding)
    motor = _value(loaded).motor
    assert (motor.static_thrust_n, motor.static_holds) == (4.4, False)


def test_another_cell_count_is_watched() -> None:
    loaded = _fit(changed(MARRAM, ('stock = "lipo-3s-1300"', 'stock = "lipo-4s-850"')))
    assert _only(loaded).code == "F37"
    loaded = _fit(changed(MARRAM, ('"lipo-3s-1500"', '"lipo-2s-1300"')))
    assert codes(loaded.findings) == [("F38", "battery.alternatives.2")]
    assert "2 cells" in spoken(_only(loaded))


@pytest.mark.parametrize(
    ("old", "new", "code", "where"),
    [
        ('stock = "motor-2204-2300"', 'stock = "motor"', "F22", "motor.stock"),
        ('stock = "prop-5x45"', 'stock = "servo-9g"', "F23", "propeller.stock"),
        ('"lipo-3s-1500"', '"lipo-3s-1501"', "F22", "battery.alternatives.2"),
        ('stock = "rx-6ch"', 'stock = "rx"', "F22", "equipment.receiver.stock"),
        ("height_mm = 12.0 ", 'stock = "oak"\nheight_mm = 12.0 ', "F22", "wing.spar.stock"),
    ],
)
def test_what_is_not_in_the_stock(old: str, new: str, code: str, where: str) -> None:
    loaded = _fit(changed(MARRAM, (old, new)))
    assert loaded.value is None
    assert codes(loaded.findings) == [(code, where)]
    assert spoken(loaded.findings[0])


def test_a_wrong_wish_of_the_workshop_names_the_workshop() -> None:
    loaded = _fit(MARRAM, WORKSHOP + FIT.replace('"prop-5x3"', '"prop"').replace('"dummy-40g"', '"dummy"'))
    assert codes(loaded.findings) == [("F22", "fit.propeller"), ("F22", "fit.equipment.camera.stock")]


def test_a_bought_spar() -> None:
    text = changed(MARRAM, ("height_mm = 12.0 ", 'stock = "carbon-tube-6"\nheight_mm = 12.0 '))
    (spar,) = _value(_fit(text)).spars
    assert (spar.part, spar.id, spar.height_mm, spar.mass_g_m) == ("wing", "carbon-tube-6", 6.0, 23.6)
