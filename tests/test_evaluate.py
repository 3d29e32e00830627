"""The one call: complete or absent results, the workshop's say, marks on the right face.

Ranges marked "common practice, no source" are range checks only.
"""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Direction, MarkRequest
from foldwright.airframe.wing_section import solve
from foldwright.base.messages import words
from foldwright.design.load import built_in_stock
from foldwright.design.resolve import fit
from foldwright.evaluate import Results, evaluate
from foldwright.geometry.fold.marks import station_of
from foldwright.geometry.fold.model import Face
from tests.world import WORKSHOPS, evaluated, judge, marram, with_values, workshop


def results(name: str = "school-laser") -> Results:
    found = evaluated(name).results
    if found is None:
        raise ValueError("the demo has no results")
    return found


@pytest.mark.parametrize("name", WORKSHOPS)
def test_marram_is_what_such_aeroplanes_are(name: str) -> None:
    """Common practice, no source: launch trim about one board thickness (3 to 8 mm), wing loading
    20-50 g/dm², balance point 15-22 % chord, elevon chord 15-30 %, power nose-up with a rear motor tilted a
    little under 3°."""
    found = results(name)
    assert 3.0 < found.trims.launch.up.value < 8.0
    assert 20.0 < found.balance.wing_loading.value < 50.0
    assert 15.0 < found.balance.wanted.pct < 22.0
    assert 15.0 < 100.0 * 48.0 / 220.0 < 30.0
    assert found.thrust.side == "rear"
    assert 2.5 < abs(found.thrust.tilt_deg) < 3.0
    assert found.thrust.says == "power pitches the nose up"
    assert found.thrust.tilt_says == "propeller end 2.9° higher"


def test_tilting_the_other_way_pitches_the_nose_down() -> None:
    found = judge(with_values(motor__tilt_deg=2.9)).results
    assert found is not None
    assert found.thrust.says == "power pitches the nose down"
    assert found.thrust.tilt_says == "propeller end 2.9° lower"


def test_tails_come_with_the_results() -> None:
    """Fins 79 and 65 mm long and 125 mm high, both: 18000 mm², and nothing that lies besides the wing."""
    found = results()
    assert found.tail == found.subject.tail
    assert found.tail.lying == ()
    assert [round(each.area) for each in found.tail.standing] == [18000]
    assert found.tail.fin_volume > 0.0


def test_all_up_weight_is_the_sum_of_what_is_there() -> None:
    found = results()
    parts = sum(float(item.moments[3, 3]) for item in found.airframe.masses)
    assert found.balance.mass.value == pytest.approx(parts + found.fitted.battery.mass_g)


def test_statics_by_hand() -> None:
    """Centre of gravity from the single masses, summed here another way (first principles)."""
    found = results()
    pairs = [(item.moments[0, 3], item.moments[3, 3]) for item in found.airframe.masses]
    pairs.append((found.balance.battery.x * found.fitted.battery.mass_g, found.fitted.battery.mass_g))
    assert found.balance.cg[0] == pytest.approx(sum(p for p, _ in pairs) / sum(m for _, m in pairs))
    assert abs(found.balance.cg[1]) < 1e-9


def test_board_masses_follow_the_workshop() -> None:
    """Heavier board, heavier panels: the wing's blank weighs its area times the areal density, less cuts."""
    light, heavy = results("home-knife"), results("club-sheets")
    weigh = {
        name: {i.id: i.moments[3, 3] for i in r.airframe.masses} for name, r in (("l", light), ("h", heavy))
    }
    assert weigh["h"]["wing/main"] / weigh["l"]["wing/main"] == pytest.approx(520.0 / 390.0, rel=0.01)


def test_a_builders_battery_goes_before_the_designs() -> None:
    bench = workshop().model_copy(
        update={"fit": workshop().fit.model_copy(update={"battery": "lipo-3s-1000"})}
    )
    found = evaluate(marram(), bench, built_in_stock(), None, "interactive").results
    assert found is not None
    assert found.balance.battery.id == "lipo-3s-1000"
    assert "lipo-3s-1300" in {place.id for place in found.balance.alternatives}


def test_what_cannot_be_folded_has_no_results_and_says_why() -> None:
    result = judge(with_values(wing__spar__height_mm=60.0))
    assert result.results is None
    assert result.verdict == "no-go"
    finding = next(f for f in result.findings if f.code == "G20")
    assert "front slope" in words(finding).says


def test_details_agree() -> None:
    """The coarse lattice is within a percent of the chord of the fine one (own regression)."""
    coarse, fine = evaluated(detail="interactive").results, results()
    assert coarse is not None
    assert coarse.balance.wanted.pct == pytest.approx(fine.balance.wanted.pct, abs=0.5)
    assert coarse.trims.launch.up.value == pytest.approx(fine.trims.launch.up.value, abs=0.5)


def test_remembered_shapes_change_nothing() -> None:
    one, two = judge(marram()), judge(marram())
    assert one.results is not None
    assert two.results is not None
    assert one.results.balance.mass == two.results.balance.mass
    assert one.results.trims.launch.up == two.results.trims.launch.up
    assert one.findings == two.findings


@pytest.mark.parametrize("name", WORKSHOPS)
def test_balance_marks_lie_on_the_under_strip_outside(name: str) -> None:
    found = results(name)
    placed = next(p for p in found.airframe.placed if p.blank.name == "wing/main")
    marks = [mark for mark in placed.blank.marks if mark.name == "balance"]
    assert len(marks) == 2
    for mark in marks:
        assert (mark.panel, mark.face) == ("strip", "a")
        places = station_of(placed.blank, mark, placed.transforms)
        assert places[:, 0] == pytest.approx(found.balance.wanted.x, abs=1e-9)
        assert places[:, 2] == pytest.approx(20.0, abs=1e-9)  # under face of the strip
    assert sorted(np.sign(station_of(placed.blank, m)[0, 1]) for m in marks) == [-1.0, 1.0]


def test_spar_lines_are_inside_and_centre_line_outside() -> None:
    placed = next(p for p in results().airframe.placed if p.blank.name == "wing/main")
    spar = [mark for mark in placed.blank.marks if mark.name == "spar"]
    assert {(mark.panel, mark.face) for mark in spar} == {("strip", "b")}
    xs = sorted(float(station_of(placed.blank, mark)[0, 0]) for mark in spar)
    t = workshop().board.thickness
    assert xs == pytest.approx([177.0 + 62.0 - t / 2.0, 177.0 + 62.0 + t / 2.0])
    centre = [mark for mark in placed.blank.marks if mark.name == "centre"]
    # the wing's own line under the strip; the joint with the body adds one at either edge, all outside
    assert ("strip", "a") in {(mark.panel, mark.face) for mark in centre}
    assert {mark.face for mark in centre} == {"a"}


def test_battery_front_is_marked_on_the_tray() -> None:
    found = results()
    placed = next(p for p in found.airframe.placed if p.blank.name == "body/tray")
    mark = next(mark for mark in placed.blank.marks if mark.name == "battery-front")
    assert mark.face == "a"
    assert station_of(placed.blank, mark)[:, 0] == pytest.approx(found.balance.battery.front)
    assert station_of(placed.blank, mark)[:, 2] == pytest.approx(-12.0)


@pytest.mark.parametrize(
    ("where", "code"), [(120.0, "G10"), (600.0, "G10"), (177.0 + 131.9, None), (177.0 + 62.0 + 0.3, "G11")]
)
def test_a_mark_without_a_place_is_a_finding(where: float, code: str | None) -> None:
    """Ahead of the wing, behind it, on the strip; and on the ridge groove, looked at from inside."""
    face: Face | None = "b" if code == "G11" else None
    look: Direction = "-z" if code == "G11" else "+z"
    request = MarkRequest("probe", "wing/main", look, ((where, -10.0, 0.0), (where, 10.0, 0.0)), face)
    _, findings = place_marks(results().airframe, [request])
    assert [finding.code for finding in findings] == ([] if code is None else [code])
    assert all(words(finding).cure for finding in findings)


def test_thrust_line_is_marked_where_it_leaves_the_motor_former() -> None:
    """First principles: 12 mm at the propeller, x 421.5; 25.7 mm ahead of it, falling by tan 2.9 degrees."""
    placed = next(p for p in results().airframe.placed if p.blank.name == "body/motor-former")
    marks = [mark for mark in placed.blank.marks if mark.name == "thrust-line"]
    middle = np.mean([station_of(placed.blank, mark).mean(axis=0) for mark in marks], axis=0)
    assert {mark.face for mark in marks} == {"a"}  # aft, where the motor stands
    assert middle == pytest.approx([395.8, 0.0, 12.0 - 25.7 * np.tan(np.radians(2.9))], abs=0.1)


def test_formers_and_tray_are_marked_inside_the_body() -> None:
    main = next(p for p in results().airframe.placed if p.blank.name == "body/main")
    found = {(mark.name, mark.face) for mark in main.blank.marks}
    assert {("nose-former", "b"), ("saddle-former", "b"), ("tray", "b")} <= found
    tray = [station_of(main.blank, mark) for mark in main.blank.marks if mark.name == "tray"]
    t = workshop().board.thickness
    assert all(places[:, 2] == pytest.approx(-12.0 - t) for places in tray)


def test_thicker_board_moves_the_fin_and_the_slots() -> None:
    """One change of the board: slots, seat and masses follow (rule of the house)."""
    thick = workshop().model_copy(
        update={"board": workshop().board.model_copy(update={"thickness_mm": (5.4,)})}
    )
    found = evaluate(marram(), thick, built_in_stock(), None, "interactive").results
    assert found is not None
    wing = next(p for p in found.airframe.placed if p.blank.name == "wing/main")
    fin = next(p for p in found.airframe.placed if p.blank.name == "fin/right")
    widths = [float(np.ptp(hole[:, 1])) for hole in wing.blank.panel("trailing").holes]
    assert widths == pytest.approx([5.5] * 4)
    assert fin.blank.placement[2, 3] == pytest.approx(20.0 + 2 * 5.4)


def test_section_of_the_demo_is_the_closed_form() -> None:
    part = next(part for part in marram().part if part.kind == "folded_wing")
    section = solve(part, workshop().board.thickness)
    thickness = results().airframe.wing.thickness
    t = section.t
    # highest point: outer ridge; lowest: the strip's under face (first principles)
    kink = t * np.tan((section.alpha + section.mu) / 2.0)
    top = section.height + t * np.cos(section.alpha) + kink * np.sin(section.alpha)
    # the contour is read at 81 places, so the very peak may be missed by a little
    assert top + t - 0.5 < thickness * 220.0 <= top + t + 1e-9


def test_fit_without_a_workshop_is_the_designs_own() -> None:
    own = fit(marram(), None, built_in_stock()).value
    assert own is not None
    assert own.battery.id == marram().battery.stock


@pytest.mark.parametrize("battery", ["lipo-3s-450", "lipo-3s-1300", "lipo-3s-2200"])
def test_every_battery_stands_on_the_same_floor(battery: str) -> None:
    """The design's z is the middle of its own battery; a taller or flatter one keeps the under face."""
    bench = workshop().model_copy(update={"fit": workshop().fit.model_copy(update={"battery": battery})})
    fitted = fit(marram(), bench, built_in_stock()).value
    own = fit(marram(), None, built_in_stock()).value
    assert fitted is not None
    assert own is not None
    floor = own.battery_z_mm - own.battery.size_mm[2] / 2.0
    assert fitted.battery_z_mm - fitted.battery.size_mm[2] / 2.0 == pytest.approx(floor)


def test_a_balance_point_behind_the_aft_limit_is_a_no_go() -> None:
    """The neutral point's uncertainty is taken off that limit: nobody should throw what lies behind it."""
    heavy = judge(with_values(motor__mount_mass_g=90.0))
    assert heavy.results is not None
    balance = heavy.results.balance
    assert balance.placed.x > balance.first_aft.x + 2.0
    assert next(f for f in heavy.findings if f.code == "B17").verdict == "no-go"
