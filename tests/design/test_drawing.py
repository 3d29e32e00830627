"""Drawings that a design names. The files are written with another library; numbers: first principles."""

from __future__ import annotations

from math import cos, pi, sin
from pathlib import Path

import ezdxf
import numpy as np
import pytest
import shapely
from ezdxf.layouts import Modelspace
from hypothesis import given
from hypothesis import strategies as st

from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.cure import changed, value_of
from foldwright.design.load import Loaded, built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.design.save import set_value
from tests.design.drawings import PLATE, cover, dxf, line, load, outline, text, with_plate


def found(loaded: Loaded[Design], *codes: str) -> list[Finding]:
    """Findings of the plate's own, told in words without a fault."""
    mine = [f for f in loaded.findings if f.where.startswith("cover") or f.code.startswith("F6")]
    for finding in mine:
        assert words(finding).says
        assert words(finding).cure
    if codes:
        assert [f.code for f in mine] == list(codes)
    return mine


def area(loaded: Loaded[Design]) -> float:
    return float(shapely.Polygon(cover(loaded).polygon_mm).area)


# --- outlines -----------------------------------------------------------------------------------------------


def test_outline_hole_fold_and_mark_become_the_plate() -> None:
    def draw(space: Modelspace) -> None:
        outline(space)
        space.add_circle((30.0, 30.0), 8.0, dxfattribs={"layer": "cut"})
        line(space, "to_paper_b", (80.0, 60.0), (80.0, 0.0))
        text(space, "nose 35 b", (82.0, 30.0))
        line(space, "mark_a", (10.0, 10.0), (60.0, 10.0))

    loaded = load(dxf(draw))
    part = cover(loaded)
    found(loaded)
    assert not found(loaded)
    assert part.drawing == "cover.dxf"
    assert sorted(part.polygon_mm or ()) == sorted([(0.0, 0.0), (120.0, 0.0), (120.0, 60.0), (0.0, 60.0)])
    assert [hole.id for hole in part.cutout] == ["hole-1"]
    circle = shapely.Polygon(part.cutout[0].polygon_mm)
    assert circle.area == pytest.approx(pi * 64.0, rel=0.01)
    assert max(abs(np.hypot(x - 30.0, y - 30.0) - 8.0) for x, y in part.cutout[0].polygon_mm) < 1e-4
    fold = part.fold[0]
    assert (fold.id, fold.angle_deg, fold.toward, fold.method) == ("nose", 35.0, "b", "groove")
    assert {fold.from_mm, fold.to_mm} == {(80.0, 0.0), (80.0, 60.0)}
    assert (part.mark[0].id, part.mark[0].face) == ("mark-1", "a")
    assert loaded.source is not None
    assert [name for name, _ in loaded.source.drawings] == ["cover.dxf"]


@pytest.mark.parametrize(("units", "scale"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_units_are_honoured(units: int, scale: float) -> None:
    loaded = load(dxf(lambda space: outline(space, 1.0 / scale), units))
    assert not found(loaded)
    assert np.abs(np.array(cover(loaded).polygon_mm) - RING_ARRAY).max() < 1e-6


RING_ARRAY = np.array([(0.0, 0.0), (120.0, 0.0), (120.0, 60.0), (0.0, 60.0)])


@pytest.mark.parametrize(("units", "version"), [(0, "R2010"), (None, "R12"), (3, "R2010")])
def test_a_drawing_without_a_unit_is_in_millimetres_and_told(units: int | None, version: str) -> None:
    def draw(space: Modelspace) -> None:
        space.add_polyline2d(
            [tuple(row) for row in RING_ARRAY.tolist()], close=True, dxfattribs={"layer": "cut"}
        )

    loaded = load(dxf(draw, units, version))
    assert area(loaded) == pytest.approx(7200.0)
    told = found(loaded, "F63")[0]
    assert told.verdict == "watch"
    assert "120.0 x 60.0 mm" in words(told).cure


def stadium(space: Modelspace, gap: float = 0.0, scale: float = 1.0) -> None:
    """Two lines and two half circles of 30 mm, as loose entities, one of them drawn the other way round."""
    r, wide = 30.0 * scale, 100.0 * scale
    attributes = {"layer": "cut"}
    space.add_line((0.0, 0.0), (wide - gap, 0.0), dxfattribs=attributes)
    space.add_arc((wide, r), r, -90.0, 90.0, dxfattribs=attributes)
    space.add_line((0.0, 2.0 * r), (wide, 2.0 * r), dxfattribs=attributes)
    space.add_arc((0.0, r), r, 90.0, 270.0, dxfattribs=attributes)


@pytest.mark.parametrize(("units", "scale"), [(4, 1.0), (1, 1.0 / 25.4)])
def test_arcs_are_flattened_within_a_twentieth(units: int, scale: float) -> None:
    loaded = load(dxf(lambda space: stadium(space, 0.0, scale), units))
    assert not found(loaded)
    true = shapely.LineString([(0.0, 30.0), (100.0, 30.0)]).buffer(30.0, quad_segs=2000)
    ours = shapely.Polygon(cover(loaded).polygon_mm)
    assert true.exterior.hausdorff_distance(ours.exterior) < 0.051
    assert area(loaded) == pytest.approx(6000.0 + pi * 900.0, rel=0.003)


@pytest.mark.parametrize("gap", [0.02, 0.45])
def test_small_gaps_are_closed_and_told(gap: float) -> None:
    loaded = load(dxf(lambda space: stadium(space, gap)))
    told = found(loaded, "F64")[0]
    assert told.verdict == "watch"
    assert told.params["count"] == 1
    assert told.params["widest"] == pytest.approx(gap)
    assert "100" in str(told.params["places"]) or "99" in str(told.params["places"])
    assert area(loaded) == pytest.approx(6000.0 + pi * 900.0, rel=0.01)


def test_a_wide_gap_is_no_outline() -> None:
    loaded = load(dxf(lambda space: stadium(space, 0.7)))
    assert loaded.value is None
    told = found(loaded)[0]
    assert (told.code, told.verdict, told.where) == ("F62", "no-go", "cover.drawing")
    assert "0.70 mm from the next end" in words(told).says


@pytest.mark.parametrize("whole", [True, False])
def test_lines_drawn_twice_are_left_out(whole: bool) -> None:
    def draw(space: Modelspace) -> None:
        outline(space)
        if whole:
            outline(space)
        else:
            line(space, "cut", (20.0, 0.0), (90.0, 0.0))

    loaded = load(dxf(draw))
    told = found(loaded, "F65")[0]
    assert told.params["count"] == 1
    assert area(loaded) == pytest.approx(7200.0)
    assert not cover(loaded).cutout


def test_layers_and_things_that_are_no_pen_are_named() -> None:
    def draw(space: Modelspace) -> None:
        outline(space)
        line(space, "sketch", (0.0, 0.0), (300.0, 300.0))
        space.add_point((3.0, 3.0), dxfattribs={"layer": "cut"})
        text(space, "Fold me gently!", (5.0, 5.0))

    told = found(load(dxf(draw)))
    assert [(f.code, f.verdict) for f in told] == [("F66", "watch"), ("F69", "watch"), ("F69", "watch")]
    assert "sketch" in words(told[0]).says
    assert "1 POINT on layer cut" in words(told[1]).says
    assert "1 text " in words(told[2]).says


def test_splines_ellipses_and_bulges_are_read() -> None:
    def draw(space: Modelspace) -> None:
        space.add_lwpolyline(
            [(0.0, 0.0, 0.0), (100.0, 0.0, 1.0), (100.0, 60.0, 0.0), (0.0, 60.0, 0.0)],
            format="xyb", close=True, dxfattribs={"layer": "cut"},
        )  # fmt: skip
        space.add_ellipse((30.0, 30.0), (12.0, 0.0), 0.5, dxfattribs={"layer": "cut"})
        space.add_spline([(60.0, 20.0), (70.0, 30.0), (80.0, 20.0)], dxfattribs={"layer": "mark_b"})

    loaded = load(dxf(draw))
    part = cover(loaded)
    # a bulge of 1 is half a circle, here 30 mm outward
    assert area(loaded) == pytest.approx(6000.0 + pi * 450.0, rel=0.003)
    assert shapely.Polygon(part.cutout[0].polygon_mm).area == pytest.approx(pi * 72.0, rel=0.01)
    marked = np.array(part.mark[0].points_mm)
    assert part.mark[0].face == "b"
    assert marked[0] == pytest.approx([60.0, 20.0])
    assert shapely.LineString(marked).distance(shapely.Point(70.0, 30.0)) < 0.06


def test_a_second_part_in_one_drawing_is_refused() -> None:
    def draw(space: Modelspace) -> None:
        outline(space)
        space.add_circle((300.0, 0.0), 20.0, dxfattribs={"layer": "cut"})

    assert "second outline" in words(found(load(dxf(draw)))[0]).says


def nothing(space: Modelspace) -> None:
    del space


def test_an_empty_drawing_has_no_outline() -> None:
    assert found(load(dxf(nothing)))[0].code == "F62"


def test_an_outline_of_too_many_corners() -> None:
    def draw(space: Modelspace) -> None:
        ring = [(50.0 * cos(a) + 3.0 * cos(40 * a), 50.0 * sin(a)) for a in np.linspace(0, 2 * pi, 700)[:-1]]
        space.add_lwpolyline(ring, close=True, dxfattribs={"layer": "cut"})

    assert "more than 500" in words(found(load(dxf(draw)))[0]).says


# --- folds --------------------------------------------------------------------------------------------------


FOLD = '\n[[part.fold]]\nid = "nose"\nfrom_mm = [80.0, 0.0]\nto_mm = [80.0, 60.0]\nangle_deg = 50.0\n'


def folded(layer: str = "to_paper_b", words_beside: str | None = "nose 35", more: str = "") -> Loaded[Design]:
    def draw(space: Modelspace) -> None:
        outline(space)
        line(space, layer, (80.0, 0.2), (80.2, 60.0))
        if words_beside is not None:
            text(space, words_beside, (83.0, 20.0))

    return load(dxf(draw), more)


@pytest.mark.parametrize(
    ("layer", "beside", "more", "wanted"),
    [
        ("to_paper_b", "nose 35", "", (35.0, "groove", "b")),
        ("to_paper_a", "nose 35", "", (35.0, "groove", "a")),
        ("to_paper_a", "nose 35.5° a", "", (35.5, "groove", "a")),
        ("to_paper_a", "nose 35 b", "", (35.0, "slit", "b")),
        ("to_paper_b", "nose, 35 deg, A", "", (35.0, "slit", "a")),
        ("crush_b", "nose 90 b", "", (90.0, "crush", "b")),
        ("crush_a", "nose 90", "", (90.0, "crush", "a")),
        ("to_paper_b", "nose 35", FOLD, (50.0, "groove", "b")),
        ("to_paper_b", "nose b", FOLD, (50.0, "groove", "b")),
        ("to_paper_b", "nose", FOLD, (50.0, "groove", "b")),
        ("to_paper_b", None, FOLD, (50.0, "groove", "b")),
        ("to_paper_a", None, FOLD + 'method = "slit"\n', (50.0, "slit", "b")),
        ("to_paper_b", None, FOLD.replace("50.0", "90.0") + 'method = "rebate"\n', (90.0, "rebate", "b")),
        ("crush_b", None, FOLD + 'method = "crush"\ntool_width_mm = 6.0\n', (50.0, "crush", "b")),
    ],
)
def test_angle_method_and_face(
    layer: str, beside: str | None, more: str, wanted: tuple[float, str, str]
) -> None:
    """The opened face is the layer's: grooves, rebates and crushes turn to it, slits away from it."""
    loaded = folded(layer, beside, more)
    assert not found(loaded)
    fold = cover(loaded).fold[0]
    assert (fold.angle_deg, fold.method, fold.toward) == wanted
    # the drawn ends are taken
    assert {fold.from_mm, fold.to_mm} == {(80.0, 0.2), (80.2, 60.0)}
    assert fold.tool_width_mm == (6.0 if "tool" in more else None)


@pytest.mark.parametrize(
    ("layer", "beside", "more", "where", "says"),
    [
        ("to_paper_b", None, "", "cover.drawing", "no text says its id"),
        ("to_paper_b", "nose", "", "cover.drawing", "no text says its id and angle"),
        ("crush_b", "nose 90 a", "", "cover.drawing", "a crush turns to face b"),
        ("to_paper_b", None, FOLD + 'method = "crush"\n', "cover.drawing", "layer to_paper_b"),
        ("crush_b", "nose 90", FOLD + 'method = "groove"\n', "cover.drawing", "layer crush_b"),
        (
            "to_paper_b",
            "nose 35",
            FOLD + 'toward = "a"\nmethod = "groove"\n',
            "cover.drawing",
            "turns to face b",
        ),
        ("to_paper_b", "nose", FOLD.replace("[80.0, 0.0]", "[81.0, 0.0]"), "cover.fold.nose", "1.02 mm"),
        ("to_paper_b", "tail 20", FOLD, "cover.fold.nose", "the nearest drawn fold ends 0.20 mm"),
    ],
)
def test_folds_that_are_not_told(layer: str, beside: str | None, more: str, where: str, says: str) -> None:
    loaded = folded(layer, beside, more)
    assert loaded.value is None
    told = next(finding for finding in found(loaded) if finding.verdict == "no-go")
    assert (told.code, told.where) == ("F67", where)
    assert says in words(told).says


def test_lettering_beside_a_fold_is_not_its_name() -> None:
    loaded = folded(words_beside="cover", more=FOLD)
    assert [f.code for f in found(loaded)] == ["F69"]
    assert [fold.id for fold in cover(loaded).fold] == ["nose"]


def test_a_drawing_of_thousands_of_lines_is_refused() -> None:
    def draw(space: Modelspace) -> None:
        outline(space)
        for k in range(3000):
            line(space, "cut", (k * 0.01, 1.0), (k * 0.01, 2.0))

    assert "3001 things" in words(found(load(dxf(draw)))[0]).says


def test_a_ring_of_hundreds_of_loose_lines_closes() -> None:
    """Order and direction at random; the time it takes does not matter to the figures."""

    def draw(space: Modelspace) -> None:
        ring = [(200.0 * cos(a), 100.0 * sin(a)) for a in np.linspace(0.0, 2.0 * pi, 401)[:-1]]
        pairs = list(zip(ring, [*ring[1:], ring[0]], strict=True))
        for k in np.random.default_rng(3).permutation(len(pairs)).tolist():
            p, q = pairs[k] if k % 2 else pairs[k][::-1]
            line(space, "cut", p, q)

    assert area(load(dxf(draw))) == pytest.approx(pi * 20000.0, rel=1e-3)


def test_a_curved_fold_and_two_folds_of_one_name() -> None:
    def curved(space: Modelspace) -> None:
        outline(space)
        space.add_arc((80.0, 30.0), 30.0, -90.0, 90.0, dxfattribs={"layer": "to_paper_b"})

    assert "one straight line" in words(found(load(dxf(curved)))[0]).says

    def twice(space: Modelspace) -> None:
        outline(space)
        for x in (80.0, 40.0):
            line(space, "to_paper_b", (x, 0.0), (x, 60.0))
            text(space, "nose 30", (x + 2.0, 30.0))

    assert found(load(dxf(twice)))[0].code == "F19"
    assert "fold nose already" in words(found(load(dxf(twice), FOLD))[0]).says


def test_own_folds_marks_and_cutouts_keep_their_places() -> None:
    def draw(space: Modelspace) -> None:
        outline(space)
        for x, name in ((40.0, "tail 20"), (80.0, "nose")):
            line(space, "to_paper_b", (x, 0.0), (x, 60.0))
            text(space, name, (x + 2.0, 30.0))
        space.add_circle((20.0, 30.0), 5.0, dxfattribs={"layer": "cut"})

    more = (
        FOLD + '\n[[part.cutout]]\nid = "hole-1"\npolygon_mm = [[55.0, 20.0], [65.0, 20.0], [60.0, 30.0]]\n'
    )
    loaded = load(dxf(draw), more)
    assert not found(loaded)
    part = cover(loaded)
    assert [fold.id for fold in part.fold] == ["nose", "tail"]
    assert [hole.id for hole in part.cutout] == ["hole-1", "hole-2"]


# --- files that are not there, damaged, or not wanted -------------------------------------------------------


def test_a_drawing_is_read_beside_the_design(tmp_path: Path) -> None:
    (tmp_path / "design.toml").write_text(with_plate(), encoding="utf-8")
    missing = load_design(tmp_path / "design.toml", stock=built_in_stock())
    assert missing.value is None
    told = found(missing, "F60")[0]
    assert (told.where, told.params["drawing"]) == ("cover.drawing", "cover.dxf")
    (tmp_path / "cover.dxf").write_bytes(dxf(outline))
    there = load_design(tmp_path / "design.toml", stock=built_in_stock())
    assert area(there) == pytest.approx(7200.0)
    (tmp_path / "cover.dxf").unlink()
    (tmp_path / "cover.dxf").mkdir()
    assert "a folder" in words(found(load_design(tmp_path / "design.toml"), "F60")[0]).says


def test_a_design_that_comes_without_a_folder() -> None:
    told = found(load_design((with_plate()).encode()), "F60")[0]
    assert "not read from a folder" in words(told).says


@pytest.mark.parametrize("name", ["../cover.dxf", "sub/cover.dxf", "cover.svg", "C:cover.dxf"])
def test_only_plain_names_are_looked_for(name: str) -> None:
    loaded = load({name: dxf(outline)}, plate=PLATE.replace("cover.dxf", name))
    assert loaded.value is None
    assert [f.code for f in found(loaded)] == ["F14"]


def test_a_polygon_or_taper_beside_a_drawing_is_one_too_many() -> None:
    polygon = load(dxf(outline), "polygon_mm = [[0.0, 0.0], [50.0, 0.0], [50.0, 50.0]]\n")
    assert polygon.value is None
    assert found(polygon)[0].code == "F31"
    taper = load(dxf(outline), "taper = { root_mm = 50.0, tip_mm = 30.0, height_mm = 60.0 }\n")
    assert found(taper)[0].code == "F31"


@given(st.binary(max_size=300), st.integers(0, 10**9), st.sampled_from(["whole", "cut", "flipped", "text"]))
def test_damaged_files_give_findings_never_a_traceback(noise: bytes, seed: int, way: str) -> None:
    whole = GOOD
    rng = np.random.default_rng(seed)
    at = int(rng.integers(len(whole)))
    data = {
        "whole": noise,
        "cut": whole[:at],
        "flipped": whole[:at] + noise + whole[at + len(noise) :],
        "text": whole.replace(b"60.0", [b"nan", b"1e400", b"", b"-1e99", b"x"][seed % 5]),
    }[way]
    loaded = load(data)
    assert loaded.value is not None or any(f.verdict == "no-go" for f in loaded.findings)
    found(loaded)


def _sample(space: Modelspace) -> None:
    stadium(space)
    line(space, "to_paper_b", (60.0, 0.0), (60.0, 60.0))
    text(space, "nose 35", (62.0, 30.0))


GOOD = dxf(_sample, version="R12")


def test_bytes_that_are_no_drawing() -> None:
    for data in (b"not a drawing", b"", b"AutoCAD Binary DXF\r\n\x1a\x00\x01\x02", bytes(range(256))):
        told = found(load(data))[0]
        assert told.code in {"F61", "F62"}  # the library finds an empty drawing in some
        assert told.where == "cover.drawing"


# --- afterwards ---------------------------------------------------------------------------------------------


def test_the_design_is_whole_without_the_file_and_can_be_changed() -> None:
    loaded = folded(more=FOLD)
    assert loaded.value is not None
    design = loaded.value
    assert hash(design.part) == hash(folded(more=FOLD).value.part)  # type: ignore[union-attr]
    turned = changed(design, "cover.fold.nose.angle_deg", 40.0)
    assert turned is not None
    assert value_of(turned, "cover.fold.nose.angle_deg") == 40.0
    moved = changed(design, "cover.x_mm", 30.0)
    assert moved is not None
    assert value_of(moved, "cover.x_mm") == 30.0


def test_keys_of_a_design_with_a_drawing_are_saved() -> None:
    source = folded(more=FOLD).source
    assert source is not None
    turned = set_value(source.text, "cover.fold.nose.angle_deg", 40.0)
    assert isinstance(turned, str)
    assert "angle_deg = 40.0" in turned
    again = load_design(turned.encode(), stock=built_in_stock(), drawings=dict(source.drawings))
    assert cover(again).fold[0].angle_deg == 40.0
    # what only the drawing holds cannot be changed in the file
    lost = set_value(source.text, "cover.fold.tail.angle_deg", 40.0)
    assert isinstance(lost, Finding)
    assert lost.code == "F36"


def test_the_library_is_not_loaded_for_designs_without_a_drawing() -> None:
    assert ezdxf.__name__ == "ezdxf"
    from tests.house.test_light_start import loaded_after

    code = (
        "from foldwright.design.load import load_design, starter, built_in_stock\n"
        "load_design(starter().encode(), stock=built_in_stock())"
    )
    assert "ezdxf" not in loaded_after(code)
