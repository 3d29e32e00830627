"""Checks between keys: each says its piece, alone, and in the same run as the others."""

from __future__ import annotations

import pytest

from foldwright.base.finding import Finding
from foldwright.design.load import built_in_stock, load_text
from foldwright.design.outline import area, counter_clockwise, crossing
from foldwright.design.parts import Plate
from foldwright.design.schema import Kind
from tests.design.samples import SMALL, WORKSHOP, changed, codes, spoken

FIN = "polygon_mm = [[0, 0], [100, 0], [100, 80], [30, 80]]"
ELEVON = '[[part.control]]\nid = "{id}"\nchord_mm = 48.0\ninner_mm = {a}\nouter_mm = {b}\n'
WING = '[[part]]\nkind = "folded_wing"\nid = "wing"'

DESIGN = [
    ('id = "fin"\n', 'id = "body"\n', "F19", "part.3.id", "body.id"),
    ('id = "wing-body"\n', 'id = "fin-wing"\n', "F19", "joint.2.id", "joint.fin-wing.id"),
    ('id = "fin"\n', 'id = "motor"\n', "F20", "motor.id", "motor-part"),
    ('parts = ["wing", "body"]', 'parts = ["wing", "boddy"]', "F21", "joint.wing-body.parts.2", "body"),
    ('parts = ["wing", "body"]', 'parts = ["fin", "body"]', "F23", "joint.wing-body.parts.1", "folded_wing"),
    ('parts = ["wing", "body"]', 'parts = ["wing", "wing"]', "F41", "joint.wing-body.parts", "wing twice"),
    ('parts = ["fin", "wing"]', 'parts = ["body", "wing"]', "F23", "joint.fin-wing.parts.1", "plate"),
    ("span_mm = 660.0", "span_mm = 500.0", "F29", "wing.control.elevon.outer_mm", "0.5 × wing.span_mm"),
    ("inner_mm = 40.0", "inner_mm = 300.0", "F29", "wing.control.elevon.inner_mm", "300 mm"),
    ("chord_mm = 48.0", "chord_mm = 230.0", "F29", "wing.control.elevon.chord_mm", "wing.chord_mm"),
    ("aft_mm = 132.0", "aft_mm = 232.0", "F29", "wing.strip.aft_mm", "at most 220 mm"),
    ("x_mm = 62.0", "x_mm = 142.0", "F29", "wing.spar.x_mm", "less than 132 mm"),
    ("height_mm = 12.0", "height_mm = 72.0", "F29", "wing.spar.height_mm", "62 mm"),
    (
        "strip = { ", 'nose = { method = "two_fold" }\nstrip = { ',
        "F30", "wing.nose.strip_height_mm", "two_fold",
    ),
    ("strip = { ", "nose = { strip_height_mm = 3 }\nstrip = { ", "F32", "wing.nose.strip_height_mm", "slit"),
    ("strip = { ", "ridge = { tool_width_mm = 3 }\nstrip = { ", "F32", "wing.ridge.tool_width_mm", "crush"),
    ("strip = { ", "strip = { runs_on = true, ", "F30", "wing.strip.land_mm", "runs_on is true"),
    ("strip = { ", "strip = { land_mm = 10, ", "F32", "wing.strip.land_mm", "runs_on is false"),
    ('id = "body"\n', 'id = "body"\ntool_width_mm = 4.0\n', "F32", "body.tool_width_mm", "groove"),
    ("x_mm = 370.0", "x_mm = 0.0", "F29", "body.station.2.x_mm", "more than 0 mm"),
    ("top_mm = 30.0", "top_mm = -30.0", "F29", "body.station.1.top_mm", "-25 mm"),
    (
        'id = "middle"\nx_mm = 150.0', 'id = "middle"\nx_mm = 400',
        "F42", "body.former.middle.x_mm", "0 mm and 370 mm",
    ),
    ("from_mm = 30.0", "from_mm = 150.0", "F29", "body.deck.hatch.from_mm", "145 mm"),
    ("from_mm = 30.0", "from_mm = -30.0", "F42", "body.deck.hatch.from_mm", "the body body"),
    ("to_mm = 145.0", 'to_mm = 145.0\nrole = "tray"', "F30", "body.deck.hatch.z_mm", "tray"),
    ("to_mm = 145.0", "to_mm = 145.0\nz_mm = 1", "F32", "body.deck.hatch.z_mm", "tray"),
    (
        "[[part.deck]]", '[[part.former.hole]]\nshape = "rectangle"\nwidth_mm = 9\n[[part.deck]]',
        "F30", "body.former.middle.hole.1.height_mm", "rectangle",
    ),
    (FIN, "", "F43", "fin", "taper or polygon_mm"),
    (
        FIN, f"taper = {{ root_mm = 90, tip_mm = 60, height_mm = 50 }}\n{FIN}",
        "F31", "fin.taper", "fin.polygon_mm",
    ),
    (FIN, "polygon_mm = [[0, 0], [100, 0], [0, 80], [100, 80]]", "F26", "fin.polygon_mm", "(50 mm, 40 mm)"),
    (FIN, "polygon_mm = [[0, 0], [100, 0], [50, 0.1]]", "F27", "fin.polygon_mm", "5 square"),
    (FIN, "polygon_mm = [[0, 0], [100, 0]]", "F17", "fin.polygon_mm", "3 to 500"),
    (FIN, "polygon_mm = [[0, 0], [9, 0], [9, 9, 9]]", "F17", "fin.polygon_mm.3", "a list of 2"),
    ("y_mm = 312.0\n", "", "F39", "fin", "mirrored"),
    ('kind = "folded_wing"', 'kind = "plate"\npolygon_mm = [[0,0],[9,0],[9,9]]', "F40", "part", "0 main"),
    ("launch_speed_m_s = 9.0", "launch_speed_m_s = 13.0", "F29", "targets.launch_speed_m_s", "12 m/s"),
    ("[targets]", "[targets]\nstatic_margin_pct = 13.0", "F29", "targets.static_margin_pct", "at most 12 %"),
    ("slide_from_mm = 12.0", "slide_from_mm = 152.0", "F29", "battery.slide_from_mm", "146 mm"),
    ("z_mm = 2.0", "z_mm = 2.0\nx_mm = 200.0", "F42", "battery.x_mm", "12 mm and 146 mm"),
    (
        "z_mm = 2.0", 'z_mm = 2.0\nalternatives = ["lipo-3s-850", "lipo-3s-1300"]',
        "F19", "battery.alternatives.2", "battery.stock",
    ),
    (
        "[motor]", '[[bay]]\nid = "well"\nx_mm = 24\nz_mm = 4\nsize_mm = [9, 9, 9]\nholds = ["cam"]\n[motor]',
        "F48", "bay.well.holds.1", "camera",
    ),
    ("[motor]", "[motor]\nmirrored = true", "F39", "motor", "mirrored"),
    ('stock = "cam-38mm"', "mass_g = 30", "F30", "equipment.camera.size_mm", "left out"),
    ('stock = "cam-38mm"', 'stock = "cam-38m"', "F22", "equipment.camera.stock", "cam-38mm"),
    ("x_mm = 24.0", "x_mm = 24.0\nmovable = true", "F30", "equipment.camera.slide_to_mm", "movable is true"),
    (
        "x_mm = 24.0", "x_mm = 24.0\nslide_to_mm = 3",
        "F32", "equipment.camera.slide_to_mm", "movable is false",
    ),
    (
        "x_mm = 24.0", "x_mm = 24.0\nmovable = true\nslide_from_mm = 30\nslide_to_mm = 60",
        "F42", "equipment.camera.x_mm", "30 mm and 60 mm",
    ),
    ("x_mm = 24.0", "x_mm = 24.0\nmirrored = true", "F39", "equipment.camera", "centre line"),
    (
        "[motor]", "[assumptions.cm0_shfit]\nvalue = 0\nsd = 0.1\n[motor]",
        "F33", "assumptions.cm0_shfit", "cm0_shift",
    ),
    (
        "[motor]", "[assumptions.mass_scale]\nvalue = 3\nsd = 0.1\n[motor]",
        "F42", "assumptions.mass_scale.value", "1.5",
    ),
    ("[motor]", "[assumptions.c_lmax]\nvalue = 1\nsd = 9\n[motor]", "F42", "assumptions.c_lmax.sd", "0.6"),
    ("height_mm = 12.0 }", 'height_mm = 12.0, stock = "prop-5x45" }', "F23", "wing.spar.stock", "spar"),
]  # fmt: skip

SHOP = [
    ('kind = "knife"', 'kind = "laser"', "F30", "cutter.bed_mm", "laser"),
    ("width_mm = 500.0", "width_mm = 10.0", "F29", "board.sheet.1.width_mm", "2 × board.border_mm"),
    ("[cutter]", '[fit]\nmotor = "lipo-3s-850"\n[cutter]', "F23", "fit.motor", "motor"),
    ("[cutter]", '[fit]\nbattery = "lipo-9s-850"\n[cutter]', "F22", "fit.battery", "lipo-3s-850"),
    (
        "[cutter]", '[[fit.equipment]]\nid = "camera"\nstock = "cam"\nx_mm = 1\nz_mm = 1\n[cutter]',
        "F22", "fit.equipment.camera.stock", "cam-",
    ),
]  # fmt: skip

WATCHES = {"F32"}


def _check(text: str, kind: Kind, code: str, where: str, says: str) -> Finding:
    loaded = load_text(text, kind, stock=built_in_stock())
    found = codes(loaded.findings)
    assert (code, where) in found
    finding = loaded.findings[found.index((code, where))]
    assert says in spoken(finding)
    assert (loaded.value is None) == any(f.verdict == "no-go" for f in loaded.findings)
    assert finding.verdict == ("watch" if code in WATCHES else "no-go")
    return finding


@pytest.mark.parametrize(("old", "new", "code", "where", "says"), DESIGN)
def test_a_design(old: str, new: str, code: str, where: str, says: str) -> None:
    _check(changed(SMALL, (old, new)), "design", code, where, says)


@pytest.mark.parametrize(("old", "new", "code", "where", "says"), SHOP)
def test_a_workshop(old: str, new: str, code: str, where: str, says: str) -> None:
    _check(changed(WORKSHOP, (old, new)), "workshop", code, where, says)


@pytest.mark.parametrize(("old", "new", "code", "where"), [row[:4] for row in DESIGN])
def test_the_checks_run_beside_wrong_values(old: str, new: str, code: str, where: str) -> None:
    text = changed(SMALL, (old, new), ('author = "Saltmere"', "author = 3"))
    loaded = load_text(text, "design", stock=built_in_stock())
    assert {(code, where), ("F11", "design.author")} <= set(codes(loaded.findings))


def test_overlapping_controls() -> None:
    more = ELEVON.format(id="tip", a=290.0, b=320.0)
    text = changed(SMALL, ('[[part]]\nkind = "box"', more + '[[part]]\nkind = "box"'))
    finding = _check(text, "design", "F28", "wing.control.elevon", "10 mm of overlap")
    assert "wing.control.tip" in spoken(finding)
    beside = text.replace("inner_mm = 290.0", "inner_mm = 300.0")
    assert load_text(beside, "design").findings == ()


def test_two_wings() -> None:
    wing = SMALL[SMALL.index(WING) : SMALL.index('[[part]]\nkind = "box"')].replace(
        'id = "wing"', 'id = "two"'
    )
    finding = _check(changed(SMALL, (WING, wing + WING)), "design", "F40", "part", "2 main wings")
    assert (finding.verdict, finding.params["got"]) == ("no-go", 2)
    # a second level surface is no second wing once it says what it is
    tail = (
        '[[part]]\nkind = "plate_wing"\nid = "tail"\nrole = "tailplane"\nx_mm = 330.0\nz_mm = 30.0\n'
        "span_mm = 200.0\nchord_mm = 60.0\n"
    )
    assert load_text(changed(SMALL, (WING, tail + WING)), "design").findings == ()
    as_wing = load_text(changed(SMALL, (WING, tail.replace('role = "tailplane"\n', "") + WING)), "design")
    assert codes(as_wing.findings) == [("F40", "part")]


def test_an_outline_is_put_counter_clockwise_in_silence() -> None:
    loaded = load_text(
        changed(SMALL, (FIN, "polygon_mm = [[0, 0], [30, 80], [100, 80], [100, 0], [0, 0]]")), "design"
    )
    assert loaded.findings == ()
    plate = loaded.value.part[2]  # type: ignore[union-attr]
    assert isinstance(plate, Plate)
    assert plate.polygon_mm == ((0, 0), (100, 0), (100, 80), (30, 80))


# First principles: each outline drawn on paper.
OUTLINES = [
    (((0, 0), (4, 0), (4, 3)), None),
    (((0, 0), (4, 0), (0, 3), (4, 3)), (1, 3)),  # a bow tie
    (((0, 0), (9, 0), (9, 9), (5, 0), (0, 9)), (0, 2)),  # a corner that touches the first edge
    (((0, 0), (9, 0), (9, 9), (9, 3), (0, 9)), (1, 2)),  # runs back over itself
    (((0, 0), (9, 0), (9, 9), (9, 9), (0, 9)), None),  # a corner written twice
    (((0, 0), (9, 0), (9, 5), (4, 5), (4, 6), (9, 6), (9, 9), (0, 9)), None),  # a notch
]


@pytest.mark.parametrize(("points", "edges"), OUTLINES)
def test_crossing_edges(points: tuple[tuple[float, float], ...], edges: tuple[int, int] | None) -> None:
    met = crossing(points)
    assert (met is None) == (edges is None)
    if met is not None:
        assert met[:2] == edges


def test_area_and_orientation() -> None:
    square = ((0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0))
    assert area(square) == 4.0
    assert area(tuple(reversed(square))) == -4.0
    assert counter_clockwise(tuple(reversed(square))) == ((0.0, 2.0), (0.0, 0.0), (2.0, 0.0), (2.0, 2.0))
