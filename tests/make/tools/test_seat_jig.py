"""The wing-seat jig: the folded wing lies on it, and the table is parallel to the datum."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import affinity

from foldwright.airframe.section import slice_contour
from foldwright.base.messages import words
from foldwright.geometry.solid.check import faults
from foldwright.make.tools import seat_jig
from foldwright.make.tools.flat_plates import fits
from foldwright.make.tools.ground import belly
from foldwright.make.tools.seat_jig import LEAST_MM, THICK_MM, seat_area, seat_of, turn_text
from tests.make.tools.benches import SMALL, STARTERS, bench, results


@pytest.mark.parametrize("name", STARTERS)
def test_the_folded_wing_lies_on_the_plate_and_nowhere_in_it(name: str) -> None:
    found = results(name)
    seat = seat_of(found)
    assert seat is not None
    plate = affinity.translate(seat_area(seat), 0.0, seat.table)
    wing = [one for one in found.airframe.placed if one.part == "wing"]
    touch = []
    for y in (seat.y + 1e-3, seat.y + THICK_MM - 1e-3):
        section = slice_contour(wing, y)
        assert section.intersection(plate).area < 0.1
        touch.append(section.boundary.intersection(plate.buffer(0.02)).length)
    assert max(touch) > 0.8 * (seat.x[-1] - seat.x[0])


@pytest.mark.parametrize("name", STARTERS)
def test_the_plates_stand_beside_the_body_on_its_table(name: str) -> None:
    found = results(name)
    seat = seat_of(found)
    assert seat is not None
    body = [one for one in found.airframe.placed if one.part in {b.id for b in found.airframe.bodies}]
    whole = shapely.union_all([slice_contour(body, y) for y in (seat.y, seat.y + THICK_MM)])
    low, high = float(seat.x[0]), float(seat.x[-1])
    assert whole.intersection(shapely.box(low, -500.0, high, 500.0)).is_empty
    assert float((seat.z - seat.table).min()) >= LEAST_MM - 1e-9
    for x, packed in ((low, seat.under_front), (high, seat.under_rear)):
        under = belly(found.airframe, x)
        if under is not None:
            assert under - packed == pytest.approx(seat.table, abs=1e-9)
    assert min(seat.under_front, seat.under_rear) >= 0.0


@pytest.mark.parametrize(
    ("name", "wanted"), [("teasel", 3.0), ("marram", 0.0), ("samphire", -4.0), ("thrift", 0.0)]
)
def test_the_front_of_the_seat_stands_at_the_incidence_of_the_design(name: str, wanted: float) -> None:
    """incidence_deg of the wing, which the design file gives for the under face or front panel."""
    seat = seat_of(results(name))
    assert seat is not None
    assert np.degrees(seat.front) == pytest.approx(wanted, abs=0.05)
    part = (seat.x > seat.x[0]) & (seat.x < seat.x[0] + 12.0)
    slope = np.polyfit(seat.x[part], seat.z[part], 1)[0]
    assert np.degrees(np.arctan(-slope)) == pytest.approx(wanted, abs=0.05)


def test_angles_are_told_without_a_sign() -> None:
    assert turn_text(np.radians(2.23)) == "2.2° nose up"
    assert turn_text(np.radians(-0.6)) == "0.6° nose down"
    assert turn_text(np.radians(-0.04)) == "0.0°"


def test_marram_says_how_its_tapered_body_is_packed() -> None:
    tool = seat_jig.make(bench("marram"))[0]
    assert "9.5 mm under it at the wing's trailing edge" in tool.use
    assert "nose down" in tool.use
    assert "until the glue is hard" in tool.use
    assert "bands" in seat_jig.make(bench("samphire"))[0].use


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("bed", [(200.0, 200.0, 180.0), SMALL, (350.0, 350.0, 350.0)])
def test_pieces_go_on_the_bed_and_make_up_the_plate(name: str, bed: tuple[float, float, float]) -> None:
    place = bench(name, bed)
    tools = seat_jig.make(place)
    seat = seat_of(place.results)
    assert seat is not None
    for tool in tools:
        assert tool.made is not None
        assert tool.copies == 2
        assert faults(tool.made.body) == ()
        assert fits(tool.made.body, place.printer)
    bodies = [tool.made.body for tool in tools if tool.made is not None]
    low = min(float(body.bounds[0][0]) for body in bodies)
    high = max(float(body.bounds[1][0]) for body in bodies)
    assert (low, high) == pytest.approx((float(seat.x[0]), float(seat.x[-1])))
    assert [tool.name for tool in tools] == (
        ["wing-seat-jig"] if len(tools) == 1 else [f"wing-seat-jig-{k + 1}" for k in range(len(tools))]
    )


def test_a_bed_too_small_for_any_piece_is_told() -> None:
    (tool,) = seat_jig.make(bench("samphire", (50.0, 50.0, 50.0)))
    assert tool.made is None
    (finding,) = tool.findings
    assert (finding.code, finding.verdict) == ("P73", "watch")
    assert "mm of height at the wing's front" in words(finding).cure
