"""Board tools: roller, bevel guides, squaring blocks."""

from __future__ import annotations

from functools import cache
from math import radians, tan

import numpy as np
import pytest
import shapely
import trimesh

from foldwright.base.messages import words
from foldwright.design.load import built_in_stock, load_design
from foldwright.evaluate import evaluate
from foldwright.geometry.solid.check import faults, mesh_of
from foldwright.geometry.solid.core import Solid
from foldwright.make.printing import laid
from foldwright.make.tools import Tool, ToolBench, bevel_guide, roller, squaring_block
from tests.world import EXAMPLES, workshop


@cache
def _bench(name: str, corner: str = "groove", shop: str = "school-laser") -> ToolBench:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    text = text.replace('corner = "groove"', f'corner = "{corner}"')
    design = load_design(text.encode(), stock=built_in_stock()).value
    assert design is not None
    bench = workshop(shop)
    evaluation = evaluate(design, bench, built_in_stock(), None, "interactive")
    assert evaluation.results is not None
    assert bench.printer is not None
    return ToolBench(evaluation, evaluation.results, bench.printer)


def _solid(tool: Tool) -> Solid:
    assert tool.made is not None
    return tool.made.body


def _all() -> list[Tool]:
    benches = [_bench("marram"), _bench("bracken"), _bench("teasel", "crush", "club-sheets")]
    makers = (roller.make, bevel_guide.make, squaring_block.make)
    return [tool for bench in benches for make in makers for tool in make(bench)]


def test_every_tool_is_sound_and_prints_without_support() -> None:
    tools = _all()
    assert len(tools) >= 10
    for tool in tools:
        assert tool.made is not None
        assert not faults(tool.made.body), tool.name
        mesh = mesh_of(laid(tool.made.body, tool.made.lay)[0])
        found = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
        assert found.is_watertight
        assert found.volume == pytest.approx(tool.made.body.volume, rel=1e-5)  # grid of 1e-4 mm
        low = (found.face_normals[:, 2] < -0.72) & (found.triangles_center[:, 2] > 0.02)
        # only the crowns of the axle's hole, 4 mm across, in two prongs 5 mm wide
        assert float(found.area_faces[low].sum()) <= (2 * 4.5 * 5.0 if tool.name == "crush-roller" else 0.0)


def test_a_roller_only_where_folds_are_crushed() -> None:
    assert not roller.make(_bench("marram"))
    made = roller.make(_bench("teasel", "crush", "club-sheets"))
    assert [tool.name for tool in made] == ["crush-roller", "crush-roller-hub"]
    # two M12 washers of 2.5 mm (ISO 7089) make the club's 5 mm
    assert made[0].figures["band_mm"] == 5.0
    assert made[0].figures["washers"] == 2.0
    assert "fingers" in made[0].use


@pytest.mark.parametrize(
    ("wide", "name", "count"), [(3.0, "M16", 1), (5.0, "M12", 2), (6.0, "M16", 2), (4.8, "M12", 2)]
)
def test_washers_come_near_the_width(wide: float, name: str, count: int) -> None:
    stack = roller.stack_for(wide, 5.0)
    assert stack is not None
    assert (stack.name, stack.count) == (name, count)
    assert stack.proud >= 5.5


def test_no_washers_is_a_finding() -> None:
    assert roller.stack_for(40.0, 5.0) is None
    bench = _bench("marram")
    assert roller.stack_for(1.0, bench.results.airframe.board.thickness) is None
    (finding,) = roller._none(40.0, 5.0, "").findings
    assert words(finding).cure


def test_the_fork_takes_washers_and_axle() -> None:
    stack = roller.stack_for(5.0, 5.0)
    assert stack is not None
    area, gap = roller.fork_area(stack, 0.3)
    washers = shapely.box(-stack.outer / 2.0, -stack.wide / 2.0, stack.outer / 2.0, stack.wide / 2.0)
    assert not area.intersects(washers)
    assert gap == pytest.approx(5.0 + 0.4 + 0.6)  # stack, play of the hub, clearance on both sides
    assert roller.hub(stack, 0.3).size[0] == pytest.approx(13.0 - 0.3, abs=0.01)


def test_guides_lean_as_the_folds_want() -> None:
    found = bevel_guide.bevels(_bench("marram").results.airframe)
    # body corners turn 90 degrees: flanks at 45; elevons clear 30; the ridge turns 20.85: flanks at 10
    assert [each.degrees for each in found] == [45, 30, 10]
    for tool in bevel_guide.make(_bench("marram")):
        mesh = mesh_of(_solid(tool))
        normals = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False).face_normals
        angle = radians(tool.figures["angle_deg"])
        # the guide face looks ahead (-y) and up, leaning back by the angle
        want = np.array([0.0, -np.cos(angle), np.sin(angle)])
        assert float((normals @ want).max()) > 1.0 - 1e-6
        # its edge lies on the board and on the line, and the face leads down past it
        assert _solid(tool).bounds[0] == pytest.approx([0.0, 0.0, 0.0], abs=1e-6)
        assert "Fingers" in tool.use


def test_a_blade_on_the_guide_meets_the_fold() -> None:
    # a groove's flank runs from t tan(theta / 2) beside the fold down to it (geometry.fold.methods)
    bench = _bench("marram")
    t = bench.results.airframe.board.thickness
    for one in bench.results.airframe.placed:
        for fold in one.blank.folds:
            angle = bevel_guide.flank(fold)
            if fold.method == "groove":
                assert angle is not None
                assert t * tan(angle) == pytest.approx(t * tan(fold.angle / 2.0))
            elif fold.method != "live":
                assert angle is None


@pytest.mark.parametrize("angle", [60, 75, 90, 105, 120, 135])
def test_blocks_have_their_angle_and_leave_the_bead(angle: int) -> None:
    area = squaring_block.block_area(radians(angle), 40.0)
    assert isinstance(area, shapely.Polygon)
    assert area.distance(shapely.Point(0.0, 0.0)) == pytest.approx(squaring_block.BEAD_MM, abs=0.05)
    points = shapely.get_coordinates(area)
    turns = np.degrees(np.arctan2(points[:, 1], points[:, 0]))
    assert turns.min() == pytest.approx(0.0, abs=1e-6)
    assert turns.max() == pytest.approx(angle, abs=1e-6)
    assert area.buffer(-3.0).geom_type == "Polygon"  # one piece, nowhere thinner than 6 mm


def test_blocks_for_the_corners_there_are() -> None:
    (tool,) = squaring_block.make(_bench("marram"))
    assert tool.figures["angle_deg"] == 90.0
    assert tool.copies == 2
    # room between the sides 46 mm: four fifths of it, in steps of 5
    assert tool.figures["arm_mm"] == 35.0
    plain = squaring_block.block_area(radians(90.0), 35.0).area * squaring_block.HIGH_MM
    assert _solid(tool).volume < plain - 1.0  # letters are sunk into it
