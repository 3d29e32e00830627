"""Blocks: heights of the notes, slopes of what lies on them, held against the folded wing."""

from __future__ import annotations

import re
from dataclasses import replace
from math import atan2, degrees, radians, tan

import numpy as np
import pytest
import shapely
from scipy.spatial import ConvexHull

from foldwright.airframe.model import Note
from foldwright.airframe.section import slice_contour
from foldwright.geometry.solid.check import faults
from foldwright.geometry.transform import apply, turn
from foldwright.make.tools import tip_blocks
from foldwright.make.tools.flat_plates import fits
from foldwright.make.tools.tip_blocks import TOP_MM, block_area, blocks
from tests.make.tools.benches import SMALL, STARTERS, bench, results


def test_flat_wings_need_none() -> None:
    assert tip_blocks.make(bench("marram")) == ()
    assert tip_blocks.make(bench("sedge")) == ()


@pytest.mark.parametrize("name", ["teasel", "samphire", "thrift"])
def test_tip_blocks_are_near_what_the_note_says(name: str) -> None:
    """The note reckons along the leading edge, the blocks where they stand: within 3 mm, Teasel's alike."""
    found = results(name)
    note = next(one for one in found.airframe.notes if one.code == "G198")
    tools = tip_blocks.make(bench(name))
    assert sum(tool.copies for tool in tools) == 2
    for tool in tools:
        assert tool.figures["height_mm"] == pytest.approx(note.params["block"], abs=3.0)
        assert f"{tool.figures['height_mm']:g} mm" in tool.use
    if name == "teasel":
        assert [tool.figures["height_mm"] for tool in tools] == [note.params["block"]]


@pytest.mark.parametrize("name", ["teasel", "samphire"])
def test_both_blocks_carry_the_half_at_the_twist_of_the_other(name: str) -> None:
    """Folded panels rolled until three corners of the left half's convex hull lie on the table (an
    independent hull, by scipy): at the places that the use text names the underside of the right tip is as
    high as the block there, within the half millimetre that blocks are made to.
    """
    found = results(name)
    wing = found.airframe.wing
    corners = np.concatenate([
        apply(one.transforms[panel.name], np.insert(panel.polygon, 2, w, axis=1))
        for one in found.airframe.placed if one.part == "wing"
        for panel in one.blank.panels for w in (0.0, one.blank.thickness)
    ])  # fmt: skip
    joint = float(wing.le[1, 1])
    left = corners[(corners[:, 1] < 0.5) & (corners[:, 1] > -joint - 1.0)]
    hull = ConvexHull(left)
    middle = left.mean(axis=0)
    # the face of the hull under its own middle: outward normal down
    below = [
        (float((eq[:2] @ middle[:2] + eq[3]) / -eq[2]), eq)
        for eq, face in zip(hull.equations, hull.simplices, strict=True)
        if eq[2] < -0.5
        and shapely.Polygon(left[face][:, :2]).buffer(0.01).contains(shapely.Point(middle[:2]))
    ]
    plane = min(below, key=lambda row: row[0])[1]
    tools = tip_blocks.make(bench(name))
    spots = [float(spot) for spot in re.findall(r"(\d+) mm", tools[0].use.split("middles")[1])[:2]]
    heights = [tool.figures["height_mm"] for tool in tools for _ in range(tool.copies)]
    section = [(y, slice_contour([one for one in found.airframe.placed if one.part == "wing"], y))
               for y in (float(wing.le[-1, 1]) - 30.0, float(wing.le[-1, 1]) - 3.0)]  # fmt: skip
    for spot, height in zip(spots, heights, strict=True):
        rows = []
        for y, cut in section:
            x = cut.bounds[0] + spot
            strip = cut.intersection(shapely.box(x - 8.0, -500.0, x + 8.0, 500.0))
            points = shapely.get_coordinates(strip)
            rows.append(min(-float(plane[:3] @ (px, y, pz) + plane[3]) for px, pz in points.tolist()))
        at_end = rows[1] + (rows[1] - rows[0]) * 3.0 / 27.0
        assert at_end == pytest.approx(height, abs=0.8)
    if name == "teasel":
        assert max(spots) < 95.0 - 8.0  # both under the strip, 95 mm wide


@pytest.mark.parametrize("name", ["teasel", "samphire", "thrift"])
def test_the_folded_tip_lies_on_its_block(name: str) -> None:
    """The folded wing rolled until its left half lies flat: the underside of the right tip is where the block
    ends, within the rounding of the note and the curve of the underside, and slopes as its top does.
    """
    found = results(name)
    wing = found.airframe.wing
    rise = atan2(wing.le[1, 2] - wing.le[0, 2], wing.le[1, 1] - wing.le[0, 1])
    # the left half falls to the left by the rise: rolled about x by -rise it is level
    level = turn(np.zeros(3), np.array([1.0, 0.0, 0.0]), rise)
    corners = np.concatenate(
        [
            apply(level @ one.transforms[panel.name], np.insert(panel.polygon, 2, w, axis=1))
            for one in found.airframe.placed
            if one.part == "wing"
            for panel in one.blank.panels
            for w in (0.0, one.blank.thickness)
        ]
    )
    left = corners[corners[:, 1] < -50.0]
    right = corners[corners[:, 1] > corners[:, 1].max() - 3.0]
    block = blocks(found)[0]
    assert float(right[:, 2].min() - left[:, 2].min()) == pytest.approx(block.height, abs=2.5)
    assert degrees(block.slope) == pytest.approx(
        degrees(rise) + degrees(atan2(*(wing.le[-1] - wing.le[-2])[[2, 1]].tolist())), abs=1e-6
    )


def test_brackens_washout_block_is_the_notes() -> None:
    note = next(one for one in results("bracken").airframe.notes if one.code == "G113")
    (tool,) = tip_blocks.make(bench("bracken"))
    assert tool.figures["height_mm"] == note.params["block"]
    assert tool.figures["slope_deg"] == pytest.approx(float(note.params["washout"]))
    assert "trailing edge 400 mm from the centre line" in tool.use


def test_the_top_slopes_away_from_the_lip() -> None:
    area = block_area(60.0, radians(13.0), lip=True)
    for x, height in ((0.0, 60.0), (TOP_MM, 60.0 - TOP_MM * tan(radians(13.0)))):
        cut = area.intersection(shapely.LineString([(x + (1e-6 if x == 0.0 else -1e-6), -1.0), (x, 99.0)]))
        assert cut.bounds[3] == pytest.approx(height, abs=1e-3)
    assert area.bounds[3] == pytest.approx(63.0)


def test_every_sort_of_note_has_its_block() -> None:
    found = results("teasel")
    names: dict[str, float | int | str] = {"inner": "wing/right", "outer": "wing/outer", "y": 300.0}
    notes = (
        Note("G198", "wing", {"block": -40}),
        Note("G34", "wing", {**names, "block": 25.5}),
        Note("G36", "wing", {**names, "block": 12.0}),
        Note("G200", "wing", {"y": 300.0, "block": 7.5, "washout": -2.0, "edge": "leading"}),
        Note("G113", "wing", {"y": 300.0, "block": 0.4, "washout": 0.1, "edge": "trailing"}),
    )
    made = blocks(replace(found, airframe=replace(found.airframe, notes=notes)))
    assert [(one.name, one.height, one.lip) for one in made] == [
        ("wing-root-block", 40.0, False),
        ("wing-bay-block-1", 25.5, True),
        ("wing-bay-block-2", 12.0, False),
        ("wing-washout-block", 7.5, False),
    ]
    assert made[0].slope == made[2].slope == 0.0
    assert made[3].label == "washin"
    assert "leading edge" in made[3].use


@pytest.mark.parametrize("name", STARTERS)
@pytest.mark.parametrize("bed", [SMALL, (90.0, 90.0, 90.0)])
def test_blocks_fit_or_stand_on_something(name: str, bed: tuple[float, float, float]) -> None:
    place = bench(name, bed)
    for tool in tip_blocks.make(place):
        assert tool.made is not None
        assert faults(tool.made.body) == ()
        assert fits(tool.made.body, place.printer)
        rest = tool.figures["height_mm"] - tool.figures["made_mm"]
        assert [one.code for one in tool.findings] == (["P70"] if rest > 0.0 else [])
        assert (f"block of {rest:.1f} mm" in tool.use) == (rest > 0.0)
