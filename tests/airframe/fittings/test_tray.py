"""Equipment trays: where they lie, what they hold, and what they refuse."""

from __future__ import annotations

from math import atan2, degrees

import pytest
import shapely

from foldwright.airframe.tray_shape import TAPER, Peg, Raised, TrayShape
from foldwright.base.messages import told, words
from tests.airframe.fittings.sites_c import BOARD, TRAYS, Built, built, put


def _shape(plan: Built, name: str) -> TrayShape:
    shape = plan.fitting(name).shape
    assert isinstance(shape, TrayShape)
    return shape


def test_it_lies_on_the_floor_and_slopes_with_it() -> None:
    plan = built("marram", TRAYS)
    assert not plan.found()
    level, sloping = plan.fitting("receiver-tray"), plan.fitting("controller-tray")
    # inner face of the floor: 25 mm below the datum, a board of 5 mm above that (school board: 5.0 mm)
    assert level.placement[2, 3] == pytest.approx(-20.0, abs=1e-6)
    # stations: 10 mm up in 80 mm behind x = 317 (the design file); origin over the floor at the item's middle
    assert sloping.figures["slope_deg"] == pytest.approx(degrees(atan2(10.0, 80.0)), abs=1e-3)
    assert level.blank == sloping.blank == "body/main"


@pytest.mark.parametrize("name", ["receiver", "controller"])
def test_pads_reach_up_to_the_underside(name: str) -> None:
    plan = built("marram", TRAYS)
    one, shape = plan.fitting(f"{name}-tray"), _shape(plan, f"{name}-tray")
    (item,) = plan.fitted.placed(name)
    bottom = item.place_mm[2] - item.size_mm[2] / 2.0  # by definition: place is the centre
    tops = {round(each.top + float(one.placement[2, 3]), 6) for each in shape.raised if each.level}
    assert round(bottom, 6) in tops
    # rims stand higher, by two fifths of the item or 4 mm
    assert max(tops) == pytest.approx(bottom + min(4.0, 0.4 * item.size_mm[2]))


def test_pegs_stand_at_the_hole_pattern() -> None:
    plan = built("marram", BOARD)
    assert not plan.found()
    one, shape = plan.fitting("tray"), _shape(plan, "tray")
    (item,) = plan.fitted.placed("control-board")
    assert item.holes_mm is not None
    assert item.hole_mm is not None
    move = one.placement[:3, 3]
    got = sorted((round(peg.x + move[0], 4), round(peg.y + move[1], 4)) for peg in shape.pegs)
    x, y = item.place_mm[:2]
    half = [size / 2.0 for size in item.holes_mm]
    assert got == sorted(
        (round(x + a * half[0], 4), round(y + b * half[1], 4)) for a in (-1, 1) for b in (-1, 1)
    )
    # the stock's hole less the printer's clearance
    printer = plan.workshop.printer
    assert printer is not None
    assert shape.pegs[0].diameter == pytest.approx(item.hole_mm - printer.clearance_mm)


def test_wires_are_tied_down_at_the_side_they_leave() -> None:
    plan = built("marram", TRAYS)
    one, shape = plan.fitting("controller-tray"), _shape(plan, "controller-tray")
    (item,) = plan.fitted.placed("controller")
    posts = [shapely.Polygon(each.ring).centroid.x for each in shape.raised if not each.level]
    # the motor is behind the controller; ahead of it the floor bends, so its front has no post
    assert posts
    assert min(posts) + float(one.placement[0, 3]) > item.place_mm[0] + item.size_mm[0] / 2.0
    notes = [note for note in plan.airframe.notes if note.code == "P58"]
    assert [note.params["side"] for note in notes] == ["front"]
    assert "controller" in told("P58", notes[0].about, notes[0].params).says


def test_a_wire_of_the_design_gets_its_post_where_it_goes() -> None:
    wire = '\n[[wire]]\nid = "w"\nends = ["controller", "receiver"]\n'
    plan = built("marram", TRAYS + wire)
    one, shape = plan.fitting("receiver-tray"), _shape(plan, "receiver-tray")
    (item,) = plan.fitted.placed("receiver")
    posts = [shapely.Polygon(each.ring).centroid.x for each in shape.raised if not each.level]
    assert posts
    assert min(posts) + float(one.placement[0, 3]) > item.place_mm[0]  # the controller is behind it


def test_it_is_weighed_and_marked() -> None:
    plan = built("marram", TRAYS)
    one = plan.fitting("receiver-tray")
    (mass,) = [item for item in plan.airframe.masses if item.id == "receiver-tray"]
    assert mass.moments[3, 3] == pytest.approx(one.mass_g)
    assert len([guide for guide in plan.airframe.guides if guide.name == "receiver-tray"]) == 2


def test_closed_form_of_a_plain_tray() -> None:
    # 40 x 20 x 2 with a hole of 10 x 10, a level post of 4 x 5 that ends 6 above the floor, a peg
    ring = ((0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (0.0, 20.0))
    hole = ((5.0, 5.0), (15.0, 5.0), (15.0, 15.0), (5.0, 15.0))
    post = Raised(((20.0, 5.0), (24.0, 5.0), (24.0, 10.0), (20.0, 10.0)), 6.0, True)
    shape = TrayShape((0.0, 0.0), 2.0, (ring, hole), (post,))
    assert shape.volume == pytest.approx(700.0 * 2.0 + 20.0 * 4.0)
    assert shape.box == ((0.0, 0.0, 0.0), (40.0, 20.0, 6.0))
    peg = Peg(30.0, 10.0, 2.0, 3.0, 3.0)
    # cylinder π r² h, frustum π h (r² + r q + q²) / 3
    assert peg.volume == pytest.approx(3.14159265 * (2.25 * 3.0 + TAPER / 3.0 * (2.25 + 1.5 + 1.0)))
    # on a slope of 1 in 10 the post is 6 - z at its middle, less the plate
    tilted = TrayShape((0.1, 0.0), 2.0, (ring,), (post,))
    thick = 2.0 * (1.01**0.5)
    assert tilted.volume == pytest.approx(800.0 * thick + 20.0 * (6.0 - 2.2 - thick))


CASES = {
    "P51": ("x_mm = 227.0\nz_mm = -10.0", "x_mm = 227.0\ny_mm = 200.0\nz_mm = -10.0"),
    "P53": ("x_mm = 227.0\nz_mm = -10.0", "x_mm = 227.0\nz_mm = -13.0"),
    "P54": ("x_mm = 227.0\nz_mm = -10.0", "x_mm = 227.0\ny_mm = 14.0\nz_mm = -10.0"),
}


@pytest.mark.parametrize("code", sorted(CASES))
def test_what_it_refuses(code: str) -> None:
    plan = built("marram", TRAYS, put(*CASES[code]))
    found = plan.found()
    assert found[code].verdict == "no-go"
    assert words(found[code]).cure
    assert [one.id for one in plan.airframe.fittings] == ["controller-tray"]


def test_the_cure_of_a_low_item_is_the_height_that_does() -> None:
    code, (old, new) = "P53", CASES["P53"]
    need = built("marram", TRAYS, put(old, new)).found()[code].params["need"]
    again = built("marram", TRAYS, put(old, f"x_mm = 227.0\nz_mm = {need}"))
    assert not again.found()
    lower = built("marram", TRAYS, put(old, f"x_mm = 227.0\nz_mm = {float(need) - 0.2}"))
    assert code in lower.found()


def test_the_cure_of_an_item_in_the_wall_is_the_place_that_does() -> None:
    code, (old, new) = "P54", CASES["P54"]
    found = built("marram", TRAYS, put(old, new)).found()[code]
    # receiver 24 wide at y = 14 reaches y = 26; the inner wall is at 23, less 0.3 of clearance
    assert found.params["over"] == pytest.approx(3.3, abs=0.11)
    assert found.params["way"] == "right"
    cure = f"x_mm = 227.0\ny_mm = {found.params['need']}\nz_mm = -10.0"
    assert code not in built("marram", TRAYS, put(old, cure)).found()


def test_things_on_two_floors_want_two_trays() -> None:
    both = '\n[[fitting]]\nkind = "equipment_tray"\nid = "tray"\nholds = ["receiver", "controller"]\n'
    found = built("marram", both).found()["P52"]
    assert found.params["here"] == "floor-2 of body/main"
    assert "two" in words(found).cure


def test_a_thin_peg_is_refused() -> None:
    own = BOARD.replace('id = "tray"\n', 'id = "tray"\npeg_mm = 0.8\n')
    assert not built("marram", own).found()  # the board's own hole goes before peg_mm
    loose = built("marram", BOARD, clearance=2.0).found()  # holes of 3.2 mm less 2.0 leave 1.2
    assert list(loose) == []
    finding = built("marram", BOARD.replace("board-30", "board-20"), clearance=2.0).found()["P55"]
    assert finding.limit == 1.2
    assert "hole_mm" in words(finding).cure


def test_a_plate_without_a_groove_says_so() -> None:
    thin = TRAYS.replace('id = "receiver-tray"', 'id = "receiver-tray"\nfloor_mm = 0.7')
    found = built("marram", thin).found()
    assert found["P57"].verdict == "watch"
