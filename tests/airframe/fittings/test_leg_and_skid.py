"""Landing legs and skids: where they are, which hand, and what they refuse."""

from __future__ import annotations

from math import hypot, pi

import numpy as np
import pytest

from foldwright.airframe.fittings.landing_leg import LegShape
from foldwright.airframe.fittings.skid import SkidShape
from foldwright.base.messages import words
from foldwright.geometry.fold.mass import mass_properties
from foldwright.geometry.transform import apply
from tests.airframe.fittings.sites_c import LEG, Built, built, put, skid

PLACE = "y_mm = 22.0\nz_mm = -28.0\nlong_mm = 78.0"  # of Teasel's [[leg]]


def _leg(plan: Built, name: str) -> LegShape:
    shape = plan.fitting(name).shape
    assert isinstance(shape, LegShape)
    return shape


def test_a_pair_stands_where_the_wire_did() -> None:
    plan = built("teasel", LEG)
    assert not plan.found()
    for name, sign in (("main-leg/right", 1.0), ("main-leg/left", -1.0)):
        one, shape = plan.fitting(name), _leg(plan, name)
        assert shape.hand == sign
        low, high = one.corners.min(axis=0), one.corners.max(axis=0)
        # the design: fixed at z = -28 and 78 long; the toe 25 outboard of y = 22
        assert low[2] == pytest.approx(-28.0 - 78.0)
        assert high[2] == pytest.approx(-28.0)
        assert one.spine is not None
        toe = apply(one.placement, one.spine)[-1]
        assert toe[1] == pytest.approx(sign * (22.0 + 25.0))
        assert toe[2] - shape.toe / 2.0 == pytest.approx(-106.0)
        assert one.printed.infill == 1.0


def test_it_takes_the_place_of_the_wires_mass() -> None:
    plan = built("teasel", LEG)
    names = [item.id for item in plan.airframe.masses if item.group == "fitting"]
    assert not [name for name in names if name.startswith("main/")]
    (mass,) = [item for item in plan.airframe.masses if item.id == "main-leg/right"]
    assert not any(mass.size)  # a line, as the wire was
    cg = mass_properties(mass.moments).cg
    # mean of the middle line by hand: pad 18 at z -1.4, a quarter of r = 25 about (0, -26.4), 48.8 down;
    # an arc's centroid: 2 r / pi from the centre either way; L = 106.07
    arc = 25.0 * pi / 2.0
    z = (18.0 * -1.4 + arc * (-26.4 + 2.0 * 25.0 / pi) + 48.8 * (-26.4 - 24.4)) / (18.0 + arc + 48.8)
    y = (18.0 * -9.0 + arc * (2.0 * 25.0 / pi) + 48.8 * 25.0) / (18.0 + arc + 48.8)
    assert cg == pytest.approx([226.0, 22.0 + y, -28.0 + z], abs=0.1)


def test_the_arc_is_tangent_and_ends_at_the_toe() -> None:
    # spread at least as long as the drop: one arc, R = (a² + c²) / 2c (first principles)
    shape = LegShape(1.0, False, 3.0, 12.0, 18.0, 80.0, 70.0, 2)
    radius, turn, straight = shape.bend
    along, across = 80.0, 70.0 - 3.0 - 1.5
    assert radius == pytest.approx((along**2 + across**2) / (2.0 * across))
    assert straight == 0.0
    assert radius * np.sin(turn) == pytest.approx(along)
    assert shape.length == pytest.approx(18.0 + radius * turn)
    line = shape.middle(400)
    assert np.linalg.norm(np.diff(line, axis=0), axis=1).sum() == pytest.approx(shape.length, rel=1e-4)
    first, second = np.diff(line, axis=0)[:2]
    assert float(first @ second) / (np.linalg.norm(first) * np.linalg.norm(second)) > 0.9999


def test_a_leg_on_the_side_leaves_it_downward() -> None:
    plan = built("teasel", LEG, put(PLACE, "y_mm = 26.0\nz_mm = -20.0\nlong_mm = 86.0"))
    assert not plan.found()
    right, left = _leg(plan, "main-leg/right"), _leg(plan, "main-leg/left")
    assert right.upright
    assert left.upright
    one = plan.fitting("main-leg/left")
    low, high = one.corners.min(axis=0), one.corners.max(axis=0)
    assert high[2] == pytest.approx(-20.0 + 18.0)  # the pad reaches up
    assert low[2] == pytest.approx(-106.0)
    assert high[1] == pytest.approx(-26.0)  # the outer face of the left side
    assert right.bend[2] == 0.0


REFUSED = {
    "P61": "y_mm = 22.0\nz_mm = -26.0\nlong_mm = 78.0",
    "P62": "y_mm = 31.0\nz_mm = -28.0\nlong_mm = 78.0",
    "P63": "y_mm = 12.0\nz_mm = -28.0\nlong_mm = 78.0",
    "P64": "y_mm = 22.0\nz_mm = -28.0\nlong_mm = 10.0",
}


@pytest.mark.parametrize("code", sorted(REFUSED))
def test_what_a_leg_refuses(code: str) -> None:
    plan = built("teasel", LEG, put(PLACE, REFUSED[code]))
    found = plan.found()
    assert list(found) == [code]
    assert found[code].verdict == "no-go"
    assert words(found[code]).cure
    assert not plan.airframe.fittings
    # the wire stays in the balance
    assert any(item.id == "main/right" for item in plan.airframe.masses)


def test_cures_of_a_leg_cure() -> None:
    low = built("teasel", LEG, put(PLACE, REFUSED["P61"])).found()["P61"]
    assert low.params["cure"] == "Set leg.main.z_mm to -28.0"
    far = built("teasel", LEG, put(PLACE, REFUSED["P62"])).found()["P62"]
    y = float(str(far.params["cure"]).split("y_mm to ")[1].split(",")[0])
    assert not built("teasel", LEG, put(PLACE, f"y_mm = {y}\nz_mm = -28.0\nlong_mm = 78.0")).found()
    most = built("teasel", LEG, put(PLACE, REFUSED["P63"])).found()["P63"].params["most"]
    short = LEG + f"foot_mm = {most}\n"
    assert "P63" not in built("teasel", short, put(PLACE, REFUSED["P63"])).found()


def test_a_slope_is_refused() -> None:
    edit = put("x_mm = 226.0\n" + PLACE, "x_mm = 450.0\ny_mm = 20.0\nz_mm = -21.4\nlong_mm = 78.0")
    found = built("teasel", LEG, edit).found()
    # stations: 28 mm up in 298 mm (the design file)
    assert found["P65"].value == pytest.approx(np.degrees(np.arctan2(28.0, 298.0)), abs=0.01)


def test_tight_and_thin_strips_are_refused() -> None:
    for more in ("spread_mm = 3.0", "thick_mm = 0.8", "wide_mm = 3.0", "foot_mm = 5.0"):
        found = built("teasel", LEG + more + "\n").found()
        assert list(found) == ["P64"], more
        assert found["P64"].where.endswith(more.partition(" ")[0])


def test_a_skid_follows_the_floor_and_splits_at_its_bend() -> None:
    plan = built("marram", skid(150.0, 380.0))
    assert not plan.found()
    front, rear = plan.fitting("skid/1"), plan.fitting("skid/2")
    first, second = front.corners, rear.corners
    assert first[:, 2].max() == pytest.approx(-25.0)  # the floor's outer face
    assert first[:, 0].max() == pytest.approx(317.0, abs=0.2)  # where the floor bends
    # the rear one rises 10 mm in 80 mm, and hangs below the floor
    run = 380.0 - 317.0
    assert rear.figures["long_mm"] == pytest.approx(run * hypot(1.0, 10.0 / 80.0), abs=0.3)
    ahead, behind = (
        apply(rear.placement, np.array([[x, 0.0, 0.0]]))[0] for x in (0.0, rear.figures["long_mm"])
    )
    assert behind[2] - ahead[2] == pytest.approx(run * 10.0 / 80.0, abs=0.1)
    down = apply(rear.placement, np.array([[0.0, 0.0, -6.0]]))[0]
    assert down[2] < ahead[2] - 5.9
    assert second[:, 2].min() < -25.0


def test_a_skid_longer_than_the_bed_is_made_in_pieces() -> None:
    plan = built("teasel", skid(65.0, 330.0))
    shapes = [one.shape for one in plan.airframe.fittings]
    lengths = [shape.long for shape in shapes if isinstance(shape, SkidShape)]
    assert lengths == pytest.approx([132.5, 132.5])  # 265 mm on a bed of 200 with 4 mm to either side


def test_closed_form_of_a_skid() -> None:
    shape = SkidShape(100.0, 10.0, 1.6, 2.4, 6.0)
    # foot 100 x 10 less four corners of r = 2; blade 100 x 4.4 less two of r = 4.4 (first principles)
    foot = (1000.0 - (4.0 - pi) * 4.0) * 1.6
    blade = (440.0 - 2.0 * (1.0 - pi / 4.0) * 4.4**2) * 2.4
    assert shape.volume == pytest.approx(foot + blade)


@pytest.mark.parametrize(
    ("table", "code", "cure"),
    [
        (skid(-10.0, 100.0), "P66", "from_mm to 1"),
        (skid(300.0, 370.0), "P66", "one to 331"),  # Teasel's outlet: 332 to 358 mm in the floor
        (skid(100.0, 200.0, "y_mm = 60.0"), "P66", "0 to 678 mm"),
        (skid(100.0, 105.0), "P67", "115"),
        (skid(100.0, 200.0, "high_mm = 3.0"), "P67", "3.6"),
        (skid(100.0, 200.0, "thick_mm = 0.8"), "P67", "0.9"),
    ],
)
def test_what_a_skid_refuses(table: str, code: str, cure: str) -> None:
    found = built("teasel", table).found()
    assert code in found
    assert cure in words(found[code]).cure
