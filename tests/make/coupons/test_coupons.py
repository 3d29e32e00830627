"""Coupons as they are cut, folded and printed: what they show is what the keys mean."""

from __future__ import annotations

from itertools import pairwise
from math import degrees, dist, floor

import numpy as np
import pytest
import shapely

from foldwright.base.messages import words
from foldwright.design.load import built_in_stock
from foldwright.design.workshop import Printer, Template, Workshop
from foldwright.geometry.lettering import width_mm
from foldwright.geometry.solid.check import faults
from foldwright.make.coupons import fold_strips, kerf_comb, power_ladder
from foldwright.make.coupons.clearance_gauge import (
    GRIP_HIGH_MM,
    PIN_MM,
    PLATE_MM,
    clearances,
    gauge_pin,
    gauge_plate,
)
from foldwright.make.coupons.gather import coupons, drawing_files
from foldwright.make.coupons.prints import coupon_jobs, filament_of
from foldwright.make.drawing import Drawing, Path, Text
from foldwright.make.formats.dxf import read_dxf, read_header
from foldwright.make.formats.pens import layer_name
from tests.world import WORKSHOPS, workshop


def _rings(drawing: Drawing) -> list[shapely.Polygon]:
    return [
        shapely.Polygon(one.points) for one in drawing.items if isinstance(one, Path) and one.pen == "cut"
    ]


@pytest.mark.parametrize("kerf", [0.0, 0.07, 0.2, 0.31, 0.55])
def test_the_comb_cut_with_a_kerf_reads_that_kerf(kerf: float) -> None:
    """Every line is cut half a kerf to either side: the greatest figure whose slot still takes the tab."""
    outline, *rings = _rings(kerf_comb.kerf_comb(workshop()))
    slots = [one.buffer(kerf / 2.0, join_style="mitre") for one in rings if outline.covers(one)]
    tabs = [one.buffer(-kerf / 2.0, join_style="mitre") for one in rings if not outline.covers(one)]
    assert len(tabs) == kerf_comb.TABS
    wide = tabs[0].bounds[2] - tabs[0].bounds[0]
    taken = [
        figure
        for figure, slot in zip(kerf_comb.steps(workshop()), slots, strict=True)
        if slot.bounds[2] - slot.bounds[0] >= wide - 1e-6
    ]
    assert max(taken) == pytest.approx(floor(kerf / kerf_comb.STEP_MM + 1e-6) * kerf_comb.STEP_MM)
    thickness = workshop().board.thickness
    assert min(one.bounds[3] - one.bounds[1] for one in slots) > thickness


def test_the_combs_bar_is_a_hundred_mm() -> None:
    marks = [
        one for one in kerf_comb.kerf_comb(workshop()).items if isinstance(one, Path) and one.pen == "mark"
    ]
    assert max(one.points[1][0] - one.points[0][0] for one in marks) == pytest.approx(100.0)


def _bands(drawing: Drawing) -> list[float]:
    """Widths between the crush lines of each strip."""
    lines = [one for one in drawing.items if isinstance(one, Path) and one.pen == "crush"]
    found = []
    for ring in _rings(drawing):
        inside = sorted(
            one.points[0][0] for one in lines if ring.buffer(1e-6).covers(shapely.LineString(one.points))
        )
        if inside:
            assert len(inside) == 2
            assert sum(inside) / 2.0 == pytest.approx(ring.centroid.x)
            found.append(inside[1] - inside[0])
    return found


def test_bands_squeeze_the_shares_written_beside_them() -> None:
    """5 mm board (mean of the school's places): 2 t (1 - share) at a right angle (first principles)."""
    bench = workshop()
    found = _bands(fold_strips.fold_strips(bench))
    wanted = [2.0 * bench.board.thickness * (1.0 - share) for share in fold_strips.SHARES]
    assert found[:2] == pytest.approx([bench.fold.crush_width_mm] * 2)
    assert found[2:] == pytest.approx(wanted, abs=0.006)


def test_the_card_shows_turns_from_straight_on() -> None:
    drawing = fold_strips.fold_strips(workshop())
    texts = {
        one.text: one.at for one in drawing.items if isinstance(one, Text) and one.text in {"60", "90", "120"}
    }
    base = next(
        one for one in drawing.items
        if isinstance(one, Path) and one.pen == "mark" and dist(*one.points) > 40.0
    )  # fmt: skip
    corner = np.array(base.points[1])
    marks = [
        one for one in drawing.items
        if isinstance(one, Path) and one.pen == "mark" and one.points[1][1] > corner[1] + 20.0
    ]  # fmt: skip
    turns = sorted(degrees(np.arctan2(*(np.array(one.points[1]) - corner)[::-1])) for one in marks)
    assert turns == pytest.approx(range(60, 125, 5))
    assert texts["120"][0] < texts["90"][0] < texts["60"][0]


def test_every_step_of_the_ladder_has_a_layer_and_a_colour_of_its_own() -> None:
    layers = [layer_name(pen, face) for pen, face in power_ladder.LAYERS]
    looks = dict(power_ladder.looks())
    assert len(set(layers)) == len(layers) == len(looks)
    assert len({one.colour for one in looks.values()}) == len(layers)
    drawn = [
        one
        for one in power_ladder.power_ladder(workshop()).items
        if isinstance(one, Path) and one.pen != "cut"
    ]
    heights = [
        max(one.points[0][1] for one in drawn if layer_name(one.pen, one.face) == name) for name in layers
    ]
    assert all(upper > lower for upper, lower in pairwise(heights))


@pytest.mark.parametrize("name", WORKSHOPS)
def test_drawings_say_their_key_and_stay_on_their_pieces(name: str) -> None:
    found = coupons(workshop(name))
    keys = {
        "kerf-comb": "cutter.kerf_mm",
        "fold-strips": "fold.outer_radius_mm",
        "power-ladder": "cutter.to_paper",
    }
    for title, drawing in found.drawings:
        texts = [one for one in drawing.items if isinstance(one, Text)]
        assert any(keys[title] in one.text for one in texts)
        pieces = shapely.union_all(_rings(drawing))
        page = shapely.box(0.0, 0.0, drawing.width_mm, drawing.height_mm)
        for one in texts:
            long = width_mm(one.text, one.height_mm)
            start = one.at[0] - (long / 2.0 if one.align == "centre" else 0.0)
            line = shapely.LineString([(start, one.at[1]), (start + long, one.at[1])])
            assert pieces.covers(line), one.text
        assert page.covers(pieces)


@pytest.mark.parametrize("name", WORKSHOPS)
def test_only_a_laser_gets_the_ladder(name: str) -> None:
    bench = workshop(name)
    names = [title for title, _ in coupons(bench).drawings]
    assert ("power-ladder" in names) == (bench.cutter.kind == "laser")


@pytest.mark.parametrize("name", WORKSHOPS)
def test_files_read_back_as_drawn(name: str) -> None:
    bench = workshop(name)
    found = coupons(bench)
    files = drawing_files(found, bench)
    assert set(files) == {
        f"{title}.{ending}" for title, _ in found.drawings for ending in ("dxf", "svg", "pdf")
    }
    for title, drawing in found.drawings:
        data = files[f"{title}.dxf"]
        read = [one for one in read_dxf(data) if isinstance(one, Path) and one.pen == "cut"]
        assert sum(shapely.Polygon(one.points).area for one in read) == pytest.approx(
            sum(one.area for one in _rings(drawing)), abs=1e-3
        )
        assert read_header(data).version == bench.cutter.dxf
    assert drawing_files(coupons(bench), bench) == files


def test_holes_of_the_gauge_are_as_wide_as_they_say() -> None:
    section = gauge_plate(Template()).slice_at(PLATE_MM / 2.0)
    assert isinstance(section, shapely.Polygon)
    holes = sorted(
        (shapely.Polygon(ring) for ring in section.interiors),
        key=lambda one: (-round(one.centroid.y), one.centroid.x),
    )
    sides = [one.bounds[2] - one.bounds[0] for one in holes]
    assert sides == pytest.approx([PIN_MM + 2.0 * one for one in clearances()], abs=1e-4)
    assert [one.area for one in holes] == pytest.approx([side * side for side in sides], abs=1e-3)


def test_the_pin_is_square_and_both_are_sound() -> None:
    pin, plate = gauge_pin(), gauge_plate(Template())
    assert faults(pin) == faults(plate) == ()
    assert pin.slice_at(GRIP_HIGH_MM + 5.0).bounds == pytest.approx((-4.0, -4.0, 4.0, 4.0))
    # nothing overhangs: every section of the pin above its grip lies within the one below
    heights = [0.5, GRIP_HIGH_MM - 0.5, GRIP_HIGH_MM + 1.0, float(pin.size[2]) - 0.2]
    sections = [pin.slice_at(z) for z in heights]
    assert all(low.buffer(1e-6).covers(high) for low, high in pairwise(sections))


def test_gauge_prints_on_a_small_bed() -> None:
    bench = workshop("home-knife")
    printer = Printer(bed_mm=(120.0, 120.0, 120.0))
    filament = filament_of(printer, built_in_stock())
    assert filament is not None
    jobs, found = coupon_jobs(coupons(bench), printer, filament)
    assert [job.path for job in jobs] == ["coupons/clearance-gauge-plate", "coupons/clearance-gauge-pin"]
    assert found == ()
    assert all(0.5 < job.grams < 40.0 for job in jobs)
    tiny = Printer(bed_mm=(50.0, 50.0, 50.0))
    jobs, found = coupon_jobs(coupons(bench), tiny, filament)
    assert [job.name for job in jobs] == ["clearance-gauge-pin"]
    assert [(one.code, one.verdict) for one in found] == [("P06", "watch")]
    assert filament_of(Printer(material="pine-8x3"), built_in_stock()) is None


def _with(bench: Workshop, **changes: object) -> Workshop:
    return bench.model_copy(update=changes)


def test_no_printer_no_gauge_and_it_is_said() -> None:
    found = coupons(_with(workshop("home-knife"), printer=None))
    assert found.made == ()
    assert [(one.code, one.verdict) for one in found.findings] == [("P80", "clear")]
    assert words(found.findings[0]).says.endswith("no clearance gauge is made.")


def test_a_bed_smaller_than_a_coupon_is_told() -> None:
    bench = workshop()
    small = _with(bench, cutter=bench.cutter.model_copy(update={"bed_mm": (150.0, 150.0)}))
    found = coupons(small).findings
    assert {one.code for one in found} == {"P81"}
    assert "fold strips" in words(found[0]).says + words(found[-1]).says
    assert coupons(bench).findings == ()


@pytest.mark.parametrize("thickness", [1.0, 3.0, 6.0, 15.0])
def test_boards_of_any_thickness_give_drawings(thickness: float) -> None:
    bench = workshop()
    thick = _with(bench, board=bench.board.model_copy(update={"thickness_mm": (thickness,)}))
    found = coupons(thick)
    assert drawing_files(found, thick)
    for _, drawing in found.drawings:
        rings = _rings(drawing)
        assert all(one.is_valid and one.area > 0.0 for one in rings)
