"""Openings, gaps, holds, guides, floors and mounts of a body. Expected numbers: first principles."""

from __future__ import annotations

from math import atan, cos, pi, sin
from typing import Any

import numpy as np
import pytest
import shapely

from foldwright.airframe.box import build_box
from foldwright.airframe.gaps import board_left
from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Airframe, PartBuild, Placed, Thrust
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import Material, board_moments
from foldwright.geometry.transform import apply
from tests.airframe.boxes import board, box, station
from tests.airframe.solids import overlaps

STRAIGHT = (station(0, 56, -30, 22), station(250, 56, -30, 22))


def straight(**changes: Any) -> PartBuild:
    return build_box(box(**{"station": STRAIGHT, "former": (), "deck": (), **changes}), board())


def opening(**changes: Any) -> dict[str, Any]:
    return {"id": "slot", "role": "inlet", "x_mm": 120, "length_mm": 30, "height_mm": 12, **changes}


def only(build: PartBuild) -> Finding:
    assert len(build.findings) == 1, build.findings
    return build.findings[0]


def hole_in_space(build: PartBuild, blank_name: str, panel_name: str, w: float) -> FloatArray:
    blank = next(blank for blank in build.blanks if blank.name == blank_name)
    ring = blank.panel(panel_name).holes[0]
    points: FloatArray = apply(transforms(blank)[panel_name], np.column_stack([ring, np.full(len(ring), w)]))
    return points


def test_both_sides_are_opened_alike() -> None:
    build = straight(opening=(opening(z_mm=-4),))
    assert not build.findings
    for name, sign in (("right", 1.0), ("left", -1.0)):
        points = hole_in_space(build, "body/main", name, 5.0)
        assert points.min(axis=0) == pytest.approx([105, min(sign * 28, sign * 28), -10], abs=1e-9)
        assert points.max(axis=0) == pytest.approx([135, sign * 28, 2], abs=1e-9)
    gaps = {gap.id: gap for gap in build.gaps}
    assert set(gaps) == {"body.slot-right", "body.slot-left"}
    right = gaps["body.slot-right"]
    assert right.centre == pytest.approx([120, 28, -4], abs=1e-9)
    assert right.normal == pytest.approx([0, 1, 0], abs=1e-12)
    assert gaps["body.slot-left"].normal == pytest.approx([0, -1, 0], abs=1e-12)
    assert (right.role, right.size) == ("inlet", (30.0, 12.0))
    assert right.area == pytest.approx(360.0)


def test_the_floor_looks_down_and_a_deck_up() -> None:
    lid = {"id": "lid", "from_mm": 60, "to_mm": 200}
    build = straight(
        deck=(lid,),
        opening=(
            opening(
                id="eye", role="camera", panel="floor", shape="round", length_mm=20, y_mm=6, height_mm=None
            ),
            opening(id="wire", role="antenna", panel="lid", y_mm=-8, length_mm=10, height_mm=4),
        ),
    )
    assert not build.findings
    eye, wire = build.gaps
    assert eye.centre == pytest.approx([120, 6, -30], abs=1e-9)
    assert eye.normal == pytest.approx([0, 0, -1], abs=1e-12)
    assert eye.area == pytest.approx(pi * 100, rel=3e-3)  # a polygon inside the circle
    assert wire.centre == pytest.approx([120, -8, 22], abs=1e-9)
    assert wire.normal == pytest.approx([0, 0, 1], abs=1e-12)
    points = hole_in_space(build, "body/main", "floor", 5.0)
    assert points[:, 1].mean() == pytest.approx(6.0, abs=1e-9)


def test_an_opening_in_a_taper_keeps_its_size_in_the_board() -> None:
    """Centre on the outer face at x; the length runs along the slanting side."""
    build = build_box(box(former=(), deck=(), opening=(opening(panel="right", x_mm=320, z_mm=0),)), board())
    assert not build.findings
    (gap,) = build.gaps
    tau = atan(8 / 135)
    assert gap.centre == pytest.approx([320, 28 - 8 / 135 * 70, 0], abs=1e-9)
    assert gap.normal == pytest.approx([sin(tau), cos(tau), 0], abs=1e-12)
    points = hole_in_space(build, "body/main", "right-2", 5.0)
    assert np.ptp(points[:, 0]) == pytest.approx(30 * cos(tau), abs=1e-9)
    assert np.ptp(points[:, 2]) == pytest.approx(12, abs=1e-9)
    assert not overlaps(build)


def test_board_cut_out_weighs_nothing() -> None:
    material = Material(5.0, 3.3e-5, 1e-4)

    def mass(build: PartBuild) -> float:
        blank = build.blanks[0]
        return float(board_moments(((blank, transforms(blank)),), material)[3, 3])

    lost = mass(straight()) - mass(straight(opening=(opening(panel="left"),)))
    assert lost == pytest.approx(30 * 12 * (5 * 3.3e-5 + 2e-4), rel=1e-9)


@pytest.mark.parametrize(("z", "verdict", "left"), [(14.0, "watch", 2.0), (18.0, "no-go", -2.0)])
def test_near_the_upper_edge(z: float, verdict: str, left: float) -> None:
    build = straight(opening=(opening(panel="right", z_mm=z),))
    item = only(build)
    assert (item.code, item.where, item.verdict) == ("G142", "body.opening.slot.length_mm", verdict)
    assert item.value == pytest.approx(left)
    assert words(item).cure.startswith(f"Move it {5 - left} mm toward the middle")
    assert bool(build.gaps) == (verdict == "watch")
    moved = straight(opening=(opening(panel="right", z_mm=z - float(item.params["by"])),))
    assert not moved.findings


def test_near_the_fold() -> None:
    """The groove's bevel takes 5 mm of the side; 5 mm more is the least bridge: -30 + 10 + 6."""
    assert only(straight(opening=(opening(panel="right", z_mm=-15),))).value == pytest.approx(4.0)
    assert not straight(opening=(opening(panel="right", z_mm=-14),)).findings


def test_off_the_part() -> None:
    item = only(straight(opening=(opening(panel="floor", y_mm=60),)))
    assert (item.code, item.where) == ("G141", "body.opening.slot.x_mm")
    assert words(item).expected == "x between 0.0 and 250.0 mm and y between -28.0 and 28.0 mm"


def test_openings_near_each_other() -> None:
    pair = (opening(panel="right"), opening(id="two", panel="right", x_mm=153))
    item = only(straight(opening=pair))
    assert (item.code, item.where, item.verdict) == ("G143", "body.opening.two.x_mm", "watch")
    assert item.value == pytest.approx(3.0)
    clash = straight(opening=(pair[0], opening(id="two", panel="right", x_mm=140)))
    assert (only(clash).verdict, [gap.id for gap in clash.gaps]) == ("no-go", ["body.slot"])
    assert not straight(opening=(pair[0], opening(id="two", panel="right", x_mm=155))).findings


def test_a_former_behind_an_opening() -> None:
    build = straight(former=({"id": "wall", "x_mm": 118},), opening=(opening(panel="right"),))
    item = only(build)
    assert (item.code, item.verdict, item.value) == ("G144", "watch", 5.0)
    assert (item.params["ahead"], item.params["behind"]) == (103.0, 138.0)


def test_holes_of_formers_are_gaps_that_look_forward() -> None:
    holes = ({"width_mm": 12, "y_mm": -9}, {"width_mm": 10, "y_mm": 9, "shape": "rectangle", "height_mm": 6})
    for role, x in (("former", 100.0), ("tail", 100.0)):
        build = straight(former=({"id": "wall", "x_mm": x, "role": role, "hole": holes},))
        assert not build.findings
        one, two = build.gaps
        assert (one.id, two.id, one.role) == ("body.wall-1", "body.wall-2", "lead")
        assert one.centre == pytest.approx([100, -9, 0], abs=1e-9)
        assert two.centre == pytest.approx([100, 9, 0], abs=1e-9)
        assert two.normal == pytest.approx([-1, 0, 0], abs=1e-12)
        assert two.size == (10.0, 6.0)
        assert two.area == pytest.approx(60.0)


def test_holes_of_one_former_that_meet() -> None:
    holes = ({"width_mm": 12, "y_mm": -5}, {"width_mm": 12, "y_mm": 5})
    item = only(straight(former=({"id": "wall", "x_mm": 100, "hole": holes},)))
    assert (item.code, item.verdict, item.where) == ("G143", "no-go", "body.former.wall.hole.2.y_mm")


HATCH = {"id": "lid", "role": "hatch", "from_mm": 60, "to_mm": 150}


@pytest.mark.parametrize(
    ("hold", "mass", "note"), [(None, 0.0, None), ("magnets", 2.0, "G155"), ("slid", 1.0, "G156"),
                               ("hinged", 0.0, "G154"), ("glued", 0.0, None)],
)  # fmt: skip
def test_holds(hold: str | None, mass: float, note: str | None) -> None:
    build = straight(deck=({**HATCH, "hold": hold},))
    assert sum(float(item.moments[3, 3]) for item in build.masses) == pytest.approx(mass)
    assert [item.code for item in build.notes] == ([note] if note else [])
    kinds = [seam.kind for seam in build.seams if "/lid/" in seam.id]
    assert kinds == {"glued": ["glue", "glue"], "hinged": ["tape"]}.get(hold or "", [])
    for item in build.masses:
        assert item.moments[:2, 3] / item.moments[3, 3] == pytest.approx([105.0, 0.0], abs=1e-9)
        assert item.moments[2, 3] / item.moments[3, 3] == pytest.approx(17.0, abs=1e-9)


def test_a_hinge_runs_across_the_front_edge() -> None:
    (hinge,) = [s for s in straight(deck=({**HATCH, "hold": "hinged"},)).seams if s.kind == "tape"]
    assert hinge.points[:, 0] == pytest.approx(60.3)
    assert np.ptp(hinge.points[:, 1]) == pytest.approx(56 - 2 * 5.3)


def test_a_hold_weighs_what_is_written() -> None:
    (item,) = straight(deck=({**HATCH, "hold": "magnets", "hold_mass_g": 3.5},)).masses
    assert item.moments[3, 3] == pytest.approx(3.5)
    assert item.group == "fitting"


def test_guides_floors_mounts_titles() -> None:
    build = build_box(box(), board())
    lines = {guide.name: guide for guide in build.guides}
    assert {guide.needs for guide in build.guides} == {
        "body/nose", "body/middle", "body/mount", "body/tray"
    }  # fmt: skip
    assert [guide.name for guide in build.guides].count("middle") == 2
    assert [p[0] for p in lines["middle"].points] == pytest.approx([120.0, 120.0])
    assert lines["tray"].points[0][2] == pytest.approx(-15.0)
    assert [(floor.blank, floor.face, floor.first) for floor in build.floors] == [
        ("body/tray", "a", True), ("body/main", "b", False)
    ]  # fmt: skip
    (mount,) = build.mounts
    assert (mount.blank, mount.fore, mount.aft) == ("body/mount", 378.0, 383.0)
    assert build.titles["body/main"] == "the body: floor and sides in one blank"
    assert build.titles["body/mount"] == "motor former (bulkhead)"
    assert build.titles["body/lid"] == "hatch"


def test_a_floor_piece_is_a_floor_of_its_own() -> None:
    wider = box(
        station=(station(0, 50, 0, 40), station(200, 50, 0, 40), station(300, 70, -15, 40)),
        former=(),
        deck=(),
    )
    main, aft = build_box(wider, board()).floors
    assert (main.blank, aft.blank) == ("body/main", "body/floor-aft")
    assert main.aft < aft.fore < aft.aft == 300.0


def test_board_left_is_measured_on_both_faces() -> None:
    build = build_box(box(former=({"id": "end", "x_mm": 370, "role": "tail"},), deck=()), board())
    panel = next(blank for blank in build.blanks if blank.name == "body/end").panels[0]
    ring = np.array(shapely.box(-2, -2, 2, 2).exterior.coords)[:-1]
    floor = -float(panel.polygon[:, 1].min())
    # the floor rises 12 mm in 135: the aft face's lower edge stands t * 12/135 higher
    assert board_left(panel, ring) == pytest.approx(floor - 2.0 - 5.0 * 12 / 135, abs=1e-9)


def test_a_guide_goes_with_its_former() -> None:
    """A joint may take a former away; then its line on the floor says nothing and is not drawn."""
    build = build_box(box(), board())
    placed = tuple(Placed("body", blank, transforms(blank)) for blank in build.blanks)
    thrust = Thrust(0.0, 0.0, 0.0, 0.0, None, 150.0)

    def drawn(kept: tuple[Placed, ...]) -> set[str]:
        made, found = place_marks(Airframe(board(), kept, (), (), (), thrust, ()), build.guides)
        assert not found
        return {mark.name for one in made.placed for mark in one.blank.marks}

    assert drawn(placed) == {"nose", "middle", "mount", "tray"}
    assert drawn(tuple(one for one in placed if one.blank.name != "body/middle")) == {"nose", "mount", "tray"}
