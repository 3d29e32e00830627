"""Bodies cut from flat sheet. Expected numbers: arithmetic on the outline (first principles)."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings

from foldwright.airframe.area_glue import AREA_GLUE_G_M2
from foldwright.airframe.bench import Bench
from foldwright.airframe.model import PartBuild
from foldwright.airframe.profile_body import build_profile_body
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.design.parts import ProfileBody
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.marks import MarkMiss, land_line, station_of
from foldwright.geometry.fold.mass import Material, mass_properties, panels_moments
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply
from tests.airframe.boxes import board
from tests.airframe.solids import mesh, overlaps
from tests.examples import examples
from tests.strategies import seeds

OUTLINE = ((0, -20), (0, 20), (120, 35), (260, 30), (560, 25), (560, 0), (200, -40))


def flat(t: float = 5.0, **changes: Any) -> PartBuild:
    table: dict[str, Any] = {"kind": "profile_body", "id": "body", "polygon_mm": OUTLINE}
    part = ProfileBody.model_validate({**table, **changes})
    return build_profile_body(part, Bench(board(t), (), 0.0))


def only(build: PartBuild) -> Finding:
    assert len(build.findings) == 1, build.findings
    return build.findings[0]


def face(blank: Blank, w: float) -> FloatArray:
    polygon = blank.panels[0].polygon
    points: FloatArray = apply(blank.placement, np.column_stack([polygon, np.full(len(polygon), w)]))
    return points


@pytest.mark.parametrize("t", [3.0, 5.0])
def test_the_plate_stands_in_the_plane_of_symmetry(t: float) -> None:
    build = flat(t)
    (main,) = build.blanks
    assert main.placement[:3, 2] == pytest.approx([0, 1, 0])
    assert face(main, t)[:, 1] == pytest.approx(t / 2)
    assert face(main, 0.0)[:, 1] == pytest.approx(-t / 2)
    got = {(round(x, 9), round(z, 9)) for x, _, z in face(main, t).tolist()}
    assert got == {(float(x), float(z)) for x, z in OUTLINE}
    assert not build.floors
    assert not build.mounts


def test_doublers() -> None:
    build = flat(doubler=({"id": "fore", "from_mm": 0, "to_mm": 150},))
    assert [blank.name for blank in build.blanks] == ["body/main", "body/fore-right", "body/fore-left"]
    _, right, left = build.blanks
    assert left.mirror_of == "body/fore-right"
    assert face(right, 5.0)[:, 1] == pytest.approx(7.5)
    assert face(right, 0.0)[:, 1] == pytest.approx(2.5)
    assert face(left, 5.0)[:, 1] == pytest.approx(-7.5)
    assert right.placement[:3, 2] == pytest.approx([0, 1, 0])
    assert left.placement[:3, 2] == pytest.approx([0, -1, 0])
    points = face(right, 5.0)
    assert (points[:, 0].min(), points[:, 0].max()) == pytest.approx((0.0, 150.0))
    assert points[:, 2].min() == pytest.approx(-35.0)  # -20 - 20 * 150/200
    assert not overlaps(build)
    (mount,) = build.mounts
    assert (mount.blank, mount.fore, mount.aft) == ("body/main", 0.0, 0.0)


def test_a_doubled_tail_carries_a_pushers_motor() -> None:
    (mount,) = flat(doubler=({"id": "aft", "from_mm": 400, "to_mm": 560},)).mounts
    assert (mount.fore, mount.aft) == (560.0, 560.0)


def test_glue_between_the_boards() -> None:
    build = flat(doubler=({"id": "fore", "from_mm": 0, "to_mm": 120},))
    area = 120 * (40 + 67) / 2  # heights 20 + 20 and 35 + 32 mm
    for item, side in zip(build.masses, (1.0, -1.0), strict=True):
        props = mass_properties(item.moments)
        assert item.group == "joint"
        assert props.mass == pytest.approx(AREA_GLUE_G_M2 * 1e-6 * area, rel=1e-9)
        assert props.cg[1] == pytest.approx(side * 2.5)
        assert props.cg[0] == pytest.approx(120 / 3 * (40 + 2 * 67) / (40 + 67))  # of a trapezium


def test_openings_go_through_all_boards() -> None:
    window = {"id": "bay", "role": "access", "x_mm": 100, "z_mm": 0, "length_mm": 30, "height_mm": 20}
    build = flat(doubler=({"id": "fore", "from_mm": 0, "to_mm": 150},), opening=(window,))
    assert not build.findings
    for blank in build.blanks:
        (ring,) = blank.panels[0].holes
        points = apply(blank.placement, np.column_stack([ring, np.zeros(len(ring))]))
        assert (points[:, 0].min(), points[:, 0].max()) == pytest.approx((85.0, 115.0))
        assert (points[:, 2].min(), points[:, 2].max()) == pytest.approx((-10.0, 10.0))
    (gap,) = build.gaps
    assert (gap.id, gap.role, gap.size) == ("body.bay", "access", (30.0, 20.0))
    assert gap.centre == pytest.approx([100.0, 2.5, 0.0])
    assert gap.normal == pytest.approx([0.0, 1.0, 0.0])
    assert sum(float(item.moments[3, 3]) for item in build.masses) == pytest.approx(
        2 * AREA_GLUE_G_M2 * 1e-6 * (sum_of(build.blanks[1]) - 600.0), rel=1e-9
    )


def sum_of(blank: Blank) -> float:
    return float(shapely.Polygon(blank.panels[0].polygon).area)


def test_sections_for_the_moment() -> None:
    body = flat(doubler=({"id": "mid", "from_mm": 200, "to_mm": 300},)).bodies[0]
    assert (np.diff(body.x) > 0).all()
    assert np.interp([100, 250, 400], body.x, body.width) == pytest.approx([5, 15, 5])
    assert np.interp(0.0, body.x, body.height) == pytest.approx(40.0, abs=1e-5)
    assert np.interp(120.0, body.x, body.height) == pytest.approx(67.0, abs=1e-5)
    assert np.interp(560.0, body.x, body.height) == pytest.approx(25.0, abs=1e-5)


def test_guides_show_where_doublers_begin_and_end() -> None:
    build = flat(doubler=({"id": "mid", "from_mm": 200, "to_mm": 300},))
    main = build.blanks[0]
    assert len(build.guides) == 4
    ways = {"-y": (0.0, -1.0, 0.0), "+y": (0.0, 1.0, 0.0)}
    for guide in build.guides:
        way = np.array(ways[guide.direction])
        start = np.array(guide.points) - 2000.0 * way
        (mark,) = land_line(main, start, way, guide.name, guide.face)
        assert not isinstance(mark, MarkMiss)
        assert mark.face == ("a" if guide.direction == "-y" else "b")
        back = station_of(main, mark)
        assert np.abs(back[:, [0, 2]] - np.array(guide.points)[:, [0, 2]]).max() < 1e-9
        assert guide.needs in {"body/mid-right", "body/mid-left"}


def test_a_thin_neck() -> None:
    """From x = 300 to 500 mm the outline is cut down to 15 mm, from -10 to 5 mm."""
    thin = ((0, -20), (0, 20), (300, 20), (300, 5), (500, 5), (500, 20), (560, 20), (560, -10), (300, -10))
    item = only(flat(polygon_mm=thin))
    assert (item.code, item.verdict, item.where) == ("G150", "watch", "body.polygon_mm")
    assert item.value == pytest.approx(15.0, abs=0.01)
    assert "5.0 mm higher" in words(item).cure
    assert not flat(polygon_mm=thin, doubler=({"id": "mid", "from_mm": 290, "to_mm": 510},)).findings


def test_an_opening_makes_a_neck() -> None:
    window = {"id": "bay", "role": "access", "x_mm": 450, "z_mm": 9, "length_mm": 30, "height_mm": 22}
    item = only(flat(opening=(window,)))
    left = (25 + 5 * 95 / 300) + 40 * 95 / 360 - 22  # outline at 465 mm less the window
    assert item.code == "G150"
    assert item.value == pytest.approx(left, abs=0.01)


def test_doubler_off_the_body_in_pieces_and_on_another() -> None:
    off = only(flat(doubler=({"id": "fore", "from_mm": -5, "to_mm": 150},)))
    assert (off.code, off.where) == ("G151", "body.doubler.fore.from_mm")
    assert only(flat(doubler=({"id": "fore", "from_mm": 500, "to_mm": 570},))).where.endswith("to_mm")
    fork = ((0, -40), (0, 40), (300, 40), (300, 15), (100, 15), (100, -15), (300, -15), (300, -40))
    pieces = flat(polygon_mm=fork, doubler=({"id": "aft", "from_mm": 150, "to_mm": 300},)).findings
    assert ("G152", "watch") in {(item.code, item.verdict) for item in pieces}
    both = flat(
        doubler=({"id": "one", "from_mm": 0, "to_mm": 150}, {"id": "two", "from_mm": 140, "to_mm": 250})
    )
    assert (only(both).code, only(both).where) == ("G159", "body.doubler.two.from_mm")
    assert "body/two-right" not in {blank.name for blank in both.blanks}


def test_an_opening_off_the_sheet_and_at_its_edge() -> None:
    hole = {"id": "wire", "role": "lead", "shape": "round", "x_mm": 100, "z_mm": 60, "length_mm": 10}
    assert only(flat(opening=(hole,))).code == "G141"
    near = only(flat(opening=({**hole, "x_mm": 5, "z_mm": 0},)))
    assert (near.code, near.verdict) == ("G142", "no-go")  # its rim touches the edge


@settings(max_examples=examples(150))
@given(seeds())
def test_flat_bodies_at_random(rng: np.random.Generator) -> None:
    """Masses against a mesh library, no overlap, every corner where the outline says."""
    t = float(rng.uniform(3, 6))
    count = int(rng.integers(3, 8))
    x = np.cumsum(rng.uniform(30, 150, count))
    top, low = rng.uniform(10, 40, count), rng.uniform(-40, -10, count)
    ring = [*zip(x, low, strict=True), *zip(x[::-1], top[::-1], strict=True)]
    start = float(rng.uniform(x[0], x[-1] - 20))
    build = flat(
        t, polygon_mm=tuple((float(p), float(q)) for p, q in ring),
        doubler=({"id": "one", "from_mm": start, "to_mm": float(rng.uniform(start + 6, x[-1]))},),
        opening=({"id": "eye", "role": "camera", "shape": "round", "x_mm": float(rng.uniform(x[0], x[-1])),
                  "length_mm": 9},),
    )  # fmt: skip
    assert not overlaps(build)
    foam = Material(t, 2.0e-5, 0.0)
    for blank in build.blanks:
        (own,) = panels_moments(blank.panels, foam)
        points, triangles = mesh(blank.panels[0], t, np.eye(4))
        solid = trimesh.Trimesh(points, triangles, process=False)
        assert own[3, 3] == pytest.approx(2.0e-5 * solid.volume, rel=1e-9)
        assert np.abs(transforms(blank)["plate"] - blank.placement).max() < 1e-12
    outline = {(round(float(p), 6), round(float(q), 6)) for p, q in ring}
    got = {(round(float(p), 6), round(float(q), 6)) for p, _, q in face(build.blanks[0], 0.0)}
    assert got == outline
