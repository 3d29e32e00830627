"""The balance stand: stop and edge are as far apart as balance point and leading edge."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from shapely import affinity

from foldwright.airframe.section import slice_contour
from foldwright.base.messages import words
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import Area, Solid, extrude, rod
from foldwright.geometry.transform import turn
from foldwright.make.fittings import makers
from foldwright.make.tools import balance_stand
from foldwright.make.tools.balance_stand import (
    BODY_CLEAR_MM,
    FOOT_MM,
    PROPELLER_CLEAR_MM,
    THICK_MM,
    Hanging,
    bar_area,
    carried,
    met_by,
    plate_area,
    stand_height,
)
from foldwright.make.tools.flat_plates import fits
from foldwright.review.extents import box_of, under
from tests.make.tools.benches import SMALL, STARTERS, bench, named, results


def _plate(name: str) -> Solid:
    made = named(balance_stand.make(bench(name)), "balance-stand-plate").made
    assert made is not None
    return made.body


def _row(section: Area, height: float) -> list[tuple[float, float]]:
    """From and to, in x, of what a section holds at a height."""
    cut = section.intersection(shapely.LineString([(-500.0, height), (500.0, height)]))
    return [(part.bounds[0], part.bounds[2]) for part in shapely.get_parts(cut)]


def test_marram_balances_as_far_behind_the_stop_as_behind_its_leading_edge() -> None:
    """Constant chord, straight leading edge: the figure of the balance itself (first principles)."""
    found = results("marram")
    spot = carried(found)
    assert spot is not None
    height = stand_height(found, spot)
    section = _plate("marram").slice_at(1.0)
    stop = _row(section, height + 3.0)
    assert len(stop) == 1
    assert stop[0][1] == pytest.approx(-found.balance.placed.behind_root, abs=0.02)
    top = _row(section, height - 0.2)
    edge = next(row for row in top if row[0] < 0.0 < row[1])
    assert sum(edge) == pytest.approx(0.0, abs=1e-6)


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken", "samphire", "thrift"])
def test_the_stop_meets_the_folded_leading_edge_and_the_wing_lies_on_the_edges(name: str) -> None:
    """Plate put under the folded model: it touches the wing at stop and edge, and goes into it nowhere."""
    found = results(name)
    spot = carried(found)
    assert spot is not None
    assert spot.stop is not None
    assert spot.on == "wing"
    height = stand_height(found, spot)
    area = plate_area(height, (spot.stop[0], spot.stop[1] - spot.z), THICK_MM)
    placed = affinity.translate(area, found.balance.placed.x, spot.z - height)
    wing = [one for one in found.airframe.placed if one.part == "wing"]
    into, near = [], []
    for y in (spot.y - THICK_MM / 2.0, spot.y, spot.y + THICK_MM / 2.0):
        section = slice_contour(wing, y)
        into.append(section.intersection(placed).area)
        near.append(placed.distance(shapely.Point(section.bounds[0], spot.stop[1])))
    # the edge and the stop are exact; under a rising wing one corner of the edge carries
    assert max(into) < 0.05
    assert min(near) < 0.1


@pytest.mark.parametrize("name", STARTERS)
def test_bodies_and_propellers_go_clear(name: str) -> None:
    found = results(name)
    spot = carried(found)
    assert spot is not None
    table = spot.z - stand_height(found, spot)
    box = box_of(found.airframe)
    line = found.airframe.thrust
    assert box is not None
    assert float(box[0][2]) - table >= BODY_CLEAR_MM - 1e-9
    assert line.z - line.disc_diameter_mm / 2.0 - table >= PROPELLER_CLEAR_MM - 1e-9
    assert BODY_CLEAR_MM > FOOT_MM  # of the bars


@pytest.mark.parametrize("name", STARTERS)
def test_nothing_that_hangs_runs_into_the_plates(name: str) -> None:
    """Both plates as solids under the tipped aeroplane, up to 8 degrees either way, by solid intersection."""
    found = results(name)
    spot = carried(found)
    assert spot is not None
    assert spot.meets == ()
    height = stand_height(found, spot)
    stop = None if spot.stop is None else (spot.stop[0], spot.stop[1] - spot.z)
    pivot = np.array([found.balance.placed.x, 0.0, spot.z])
    plates = []
    for y in (spot.y, -spot.y):
        upright = np.array([[1.0, 0.0, 0.0, pivot[0]], [0.0, 0.0, -1.0, y + THICK_MM / 2.0],
                            [0.0, 1.0, 0.0, spot.z - height], [0.0, 0.0, 0.0, 1.0]])  # fmt: skip
        plates.append(extrude(plate_area(height, stop, THICK_MM), THICK_MM).placed(upright))
    fittings = [
        makers()[type(one.shape)](one.shape, Printer()).body.placed(one.placement)
        for one in found.airframe.fittings
    ]
    for tip in np.radians([-8.0, -4.0, 0.0, 4.0, 8.0]).tolist():
        rolled = turn(pivot, np.array([0.0, 1.0, 0.0]), tip)
        for solid in fittings:
            for plate in plates:
                assert (solid.placed(rolled) & plate).volume == 0.0


def test_what_hangs_everywhere_is_said() -> None:
    """A rod right across under the wing: no place is free, P74 names it and says what to do."""
    found = results("teasel")
    spot = carried(found)
    assert spot is not None
    x, z = found.balance.placed.x, spot.z - 30.0
    across = Hanging("bar", rod((x, -400.0, z), (x, 400.0, z), 4.0))
    assert met_by(found, spot, (across,)) == ("bar",)
    beside = Hanging("bar", rod((x, spot.y + 20.0, z), (x, 400.0, z), 4.0))
    assert met_by(found, spot, (beside,)) == ()
    said = words(balance_stand._runs_in(replace(spot, meets=("bar",))))
    assert "bar" in said.says
    assert "off" in said.cure


def test_a_wing_behind_the_balance_point_leaves_the_body_on_the_stand() -> None:
    """Sedge, a canard, balances ahead of its wing: under the body, without a stop."""
    found = results("sedge")
    spot = carried(found)
    assert spot is not None
    assert spot.stop is None
    met = under(found.airframe, found.balance.placed.x, spot.y)
    assert met is not None
    assert met[0].startswith("body/")
    use = named(balance_stand.make(bench("sedge")), "balance-stand-plate").use
    assert "balance marks" in use
    assert "above the edges" in use


def test_bars_hold_the_plates_at_the_distance_of_the_spots() -> None:
    found = carried(results("teasel"))
    assert found is not None
    area = bar_area(2.0 * found.y, THICK_MM + 0.3)
    solid = _row(area, FOOT_MM - 1.0)
    assert len(solid) == 3
    laps = [(left[1], right[0]) for left, right in pairwise(solid)]
    assert [b - a for a, b in laps] == pytest.approx([THICK_MM + 0.3] * 2)
    assert sum(laps[1]) / 2.0 - sum(laps[0]) / 2.0 == pytest.approx(2.0 * found.y)


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("bed", [(200.0, 200.0, 180.0), SMALL, (350.0, 350.0, 350.0)])
def test_everything_goes_on_the_bed_or_says_what_to_do(name: str, bed: tuple[float, float, float]) -> None:
    place = bench(name, bed)
    for tool in balance_stand.make(place):
        if tool.made is not None:
            assert faults(tool.made.body) == ()
            assert fits(tool.made.body, place.printer)
        plate = tool.name == "balance-stand-plate"
        lower = plate and tool.figures["under_feet_mm"] > 0.0
        assert ("P70" in {one.code for one in tool.findings}) == lower
        assert all(words(one).cure for one in tool.findings)


def test_a_tall_stand_on_a_small_bed_stands_on_blocks() -> None:
    tool = named(balance_stand.make(bench("teasel", SMALL)), "balance-stand-plate")
    # told, not watched: blocks do
    assert [one.verdict for one in tool.findings if one.code == "P70"] == ["clear"]
    rest = tool.figures["under_feet_mm"]
    assert tool.figures["height_mm"] + rest == pytest.approx(tool.figures["wanted_height_mm"])
    assert f"blocks of {rest:.0f} mm" in tool.use
