"""Keys that ask for more than there is room for: what is made, and that it is said."""

from __future__ import annotations

from typing import Any

import pytest
import shapely

from foldwright.airframe.tray_shape import TrayShape
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.fittings import BatteryStop, FittingModel, HatchCatch, MotorMount
from foldwright.make.fittings.equipment_tray import solid
from tests.airframe.fittings import sites_c
from tests.airframe.fittings.demo_designs import Built, built, plain


def said(made: Built) -> list[Finding]:
    return [one for one in made.airframe.findings if one.code == "P112"]


def one_of(kind: type[FittingModel], **keys: Any) -> FittingModel:
    return kind.model_validate({"id": "it"} | keys)


CASES: list[tuple[str, type[FittingModel], dict[str, Any], str, str]] = [
    ("marram", BatteryStop, {"high_mm": 90.0}, "high_mm", "90 mm"),
    ("marram", BatteryStop, {"thick_mm": 30.0}, "thick_mm", "30 mm"),
    ("teasel", HatchCatch, {"deck": "body.hatch", "tongue_mm": 80.0}, "tongue_mm", "80 mm"),
    ("marram", HatchCatch, {"deck": "body.hatch", "wide_mm": 300.0}, "wide_mm", "300 mm"),
    ("marram", MotorMount, {"exit_mm": (200.0, 6.0)}, "exit_mm", "200 mm"),
    ("marram", MotorMount, {"exit_mm": (9.0, 150.0)}, "exit_mm", "150 mm"),
]


@pytest.mark.parametrize(("name", "kind", "keys", "key", "asked"), CASES)
def test_what_is_clamped_is_said(
    name: str, kind: type[FittingModel], keys: dict[str, Any], key: str, asked: str
) -> None:
    """P112 at the key, with what was asked for and what is made; what it says then stands without a word."""
    found = said(built(plain(name), one_of(kind, **keys)))
    assert [one.where for one in found] == [f"fitting.it.{key}"]
    assert asked in words(found[0]).says
    given = found[0].limit
    assert given is not None
    assert f"{given:g} mm are made" in words(found[0]).says
    assert f"Set fitting.it.{key} to {given:g}" in words(found[0]).cure
    value = keys[key]
    less = given if not isinstance(value, tuple) else tuple(given if v > 100.0 else v for v in value)
    assert not said(built(plain(name), one_of(kind, **keys | {key: less})))


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
def test_usual_sizes_say_nothing(name: str) -> None:
    """What the file does not ask for is not a wish that was refused."""
    fittings = (MotorMount(id="m"), BatteryStop(id="s"), HatchCatch(id="c", deck="body.hatch"))
    assert not said(built(plain(name), *fittings))


def test_a_leg_that_is_wider_than_it_is_high() -> None:
    """P115 for 90 mm outboard on a leg of 78 mm; not at the 78 that its cure names."""
    wide = sites_c.built("teasel", sites_c.LEG + "spread_mm = 90.0\n")
    found = wide.found()["P115"]
    assert found.where == "fitting.main-leg.spread_mm"
    assert "78 or less" in words(found).cure
    assert not sites_c.built("teasel", sites_c.LEG + "spread_mm = 78.0\n").found()


def test_what_carries_a_strap_is_a_millimetre_thick() -> None:
    """Origin: the groove's roof measured in the solid: plate under the box less the groove, from below."""
    plan = sites_c.built("marram", sites_c.TRAYS)
    shapes = [one.shape for one in plan.airframe.fittings if isinstance(one.shape, TrayShape)]
    grooves = [(shape, hollow) for shape in shapes for hollow in shape.hollows if hollow.low == 0.0]
    assert grooves
    printer = plan.workshop.printer
    assert printer is not None
    for shape, hollow in grooves:
        assert shape.thick - hollow.high == pytest.approx(1.0)
        if shape.slope == (0.0, 0.0):
            body = solid(shape, printer).body
            x, y = (sum(axis) / len(hollow.ring) for axis in zip(*hollow.ring, strict=True))
            area = body.slice_at(hollow.high - 0.05)
            assert not area.contains(shapely.Point(x, y))
            assert body.slice_at(hollow.high + 0.05).contains(shapely.Point(x, y))
            assert body.slice_at(shape.thick - 0.05).contains(shapely.Point(x, y))
