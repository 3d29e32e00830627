"""Hidden-line views: expected figures from first principles, and rays cast by another library."""

from __future__ import annotations

from collections.abc import Callable
from math import cos, hypot, radians, sin, sqrt, tan

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.base.types import BoolArray, FloatArray
from foldwright.geometry import views
from foldwright.geometry.cut_view import section
from foldwright.geometry.facets import Solid, box, polyhedron, prismatoid, ring_normal, unit
from foldwright.geometry.fills import Fill
from foldwright.geometry.hidden import Picture, candidate_segments, picture, visible_parts
from foldwright.geometry.scene import build_scene, face_polygons, triangulate
from foldwright.geometry.views import View
from tests.examples import examples

SQUARE = np.array([[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]])


def area(fills: tuple[Fill, ...]) -> float:
    return float(sum(shapely.Polygon(f.outer, f.holes).area for f in fills))


def total(shown: Picture, kind: str) -> float:
    return sum(line.length for line in shown.lines if line.kind == kind)


def surface(solid: Solid) -> trimesh.Trimesh:
    pieces = [triangulate(f, solid.points, unit(ring_normal(solid.points[list(f[0])]))) for f in solid.faces]
    return trimesh.Trimesh(solid.points, np.concatenate(pieces), process=False)


def random_rotation(rng: np.random.Generator) -> FloatArray:
    q, r = np.linalg.qr(rng.normal(size=(3, 3)))
    q = q * np.sign(np.diag(r))
    if np.linalg.det(q) < 0.0:
        q[:, 0] = -q[:, 0]
    return np.asarray(q, dtype=np.float64)


def random_plate(rng: np.random.Generator, name: str, spread: float = 60.0, pierced: bool = True) -> Solid:
    """A star-shaped, often notched plate with bevelled rim, sometimes with a hole, anywhere at any angle."""
    count = int(rng.integers(4, 11))
    angles = np.linspace(0.0, 2.0 * np.pi, count, endpoint=False) + rng.uniform(0.0, 0.3)
    radii = rng.uniform(18.0, 45.0, count)
    ring = radii[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    placement = np.eye(4)
    placement[:3, :3] = random_rotation(rng)
    placement[:3, 3] = rng.uniform(-spread, spread, 3)
    hole = 4.0 * np.column_stack([np.cos(angles), np.sin(angles)]) * rng.uniform(0.6, 1.6)
    holes = [hole] if pierced and rng.uniform() < 0.5 else []
    inner = ring * rng.uniform(0.85, 1.0)
    return prismatoid(name, ring, inner, placement, rng.uniform(3.0, 8.0), holes=holes)


# Views ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("view", "aft", "right_wing", "above"),
    [
        (views.top(), (0.0, -1.0), (1.0, 0.0), (0.0, 0.0)),
        (views.bottom(), (0.0, -1.0), (-1.0, 0.0), (0.0, 0.0)),
        (views.side(), (1.0, 0.0), (0.0, 0.0), (0.0, 1.0)),
        (views.side("right"), (-1.0, 0.0), (0.0, 0.0), (0.0, 1.0)),
        (views.front(), (0.0, 0.0), (-1.0, 0.0), (0.0, 1.0)),
        (views.rear(), (0.0, 0.0), (1.0, 0.0), (0.0, 1.0)),
    ],
)
def test_views_show_the_aeroplane_the_right_way_round(
    view: View, aft: tuple[float, float], right_wing: tuple[float, float], above: tuple[float, float]
) -> None:
    # First principles: what somebody who stands there sees.
    seen = view.project(np.eye(3))
    np.testing.assert_allclose(seen[:, :2], [aft, right_wing, above], atol=1e-15)
    assert np.linalg.det(view.axes) == pytest.approx(1.0)


def test_three_quarter_views_look_from_ahead_and_above() -> None:
    for side, beside in (("left", -1.0), ("right", 1.0)):
        view = views.three_quarter("left" if side == "left" else "right", 40.0, 30.0)
        toward = view.axes[2]
        assert toward[0] == pytest.approx(-cos(radians(30.0)) * cos(radians(40.0)))
        assert toward[1] == pytest.approx(beside * cos(radians(30.0)) * sin(radians(40.0)))
        assert toward[2] == pytest.approx(0.5)
        assert view.axes[1, 2] > 0.0


def test_a_view_needs_an_upright() -> None:
    with pytest.raises(ValueError, match="upright"):
        View((0.0, 0.0, 2.0), (0.0, 0.0, 1.0))
    with pytest.raises(ValueError, match="upright"):
        View((0.0, 0.0, 0.0), (0.0, 0.0, 1.0))


# Solids -----------------------------------------------------------------------------------------------------


def test_a_prismatoid_is_closed_and_has_its_volume() -> None:
    # First principles: the frustum of a pyramid, h/3·(A + B + sqrt(AB)), less a hole of 2 x 3 mm.
    hole = np.array([[4.0, 4.0], [6.0, 4.0], [6.0, 7.0], [4.0, 7.0]])
    inner = 5.0 + 0.8 * (SQUARE - 5.0)
    for bore in (hole, hole[::-1]):
        mesh = surface(prismatoid("p", SQUARE, inner, np.eye(4), 5.0, holes=[bore]))
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(5.0 / 3.0 * (100.0 + 64.0 + 80.0) - 30.0)


def test_a_wall_that_is_not_planar_becomes_triangles_and_stays_closed() -> None:
    twisted = SQUARE + np.array([[0.0, 0.0], [0.0, 1.0], [0.0, 0.0], [1.0, 0.0]])
    solid = prismatoid("p", SQUARE, twisted, np.eye(4), 5.0)
    assert surface(solid).is_watertight
    assert len(solid.faces) > 6


def test_corners_of_face_b_may_coincide() -> None:
    # First principles: a wedge of length 10, height 5 and base 10 has 250 mm³.
    wedge = np.array([[0.0, 5.0], [10.0, 5.0], [10.0, 5.0], [0.0, 5.0]])
    mesh = surface(prismatoid("w", SQUARE, wedge, np.eye(4), 5.0))
    assert mesh.is_watertight
    assert mesh.volume == pytest.approx(250.0)


def test_solids_that_cannot_be_are_refused() -> None:
    with pytest.raises(ValueError, match="same number"):
        prismatoid("p", SQUARE, SQUARE[:3], np.eye(4), 5.0)
    with pytest.raises(ValueError, match="thickness"):
        prismatoid("p", SQUARE, SQUARE, np.eye(4), 0.0)
    corners = np.array([[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    with pytest.raises(ValueError, match="one side"):
        polyhedron("open", corners, [((0, 1, 2),)])
    with pytest.raises(ValueError, match="twice"):
        polyhedron("twice", corners, [((0, 1, 2),), ((0, 1, 3),)])


# Lines ------------------------------------------------------------------------------------------------------


# The three axes foreshortened alike.
ISOMETRIC = views.View((-1.0, -1.0, 1.0), (0.0, 0.0, 1.0))


def test_a_cube_shows_nine_of_its_twelve_edges() -> None:
    # First principles: three faces, six silhouette edges and three inner ones; the hidden corner's three not.
    cube = box("cube", (0.0, 0.0, 0.0), (10.0, 10.0, 10.0))
    for view in (views.three_quarter(), ISOMETRIC, views.three_quarter("right", 150.0, -20.0)):
        assert len(picture([cube], view).lines) == 9
        assert len(cube.edges) == 12
    shown = picture([cube], ISOMETRIC)
    # Isometric foreshortening sqrt(2/3); the outline is a regular hexagon of 3·sqrt(3)/2·s².
    assert [line.length for line in shown.lines] == pytest.approx([10.0 * sqrt(2.0 / 3.0)] * 9)
    assert area(shown.fills) == pytest.approx(1.5 * sqrt(3.0) * 100.0 * 2.0 / 3.0)
    assert area(shown.silhouette) == pytest.approx(area(shown.fills))


def test_a_view_along_an_axis_draws_each_edge_once() -> None:
    cube = box("cube", (0.0, 0.0, 0.0), (10.0, 10.0, 10.0))
    for view in (views.top(), views.bottom(), views.side(), views.front(), views.rear()):
        shown = picture([cube], view)
        assert len(shown.lines) == 4
        assert total(shown, "outline") == pytest.approx(40.0)
        assert len(shown.fills) == 1


def test_a_box_before_another_hides_what_it_covers() -> None:
    # From above: a 10 x 10 box 20 mm up covers a corner of a 20 x 20 box; 5 mm of two edges are hidden.
    low = box("low", (0.0, 0.0, 0.0), (20.0, 20.0, 5.0))
    high = box("high", (15.0, 15.0, 20.0), (25.0, 25.0, 25.0))
    shown = picture([low, high], views.top())
    assert total(shown, "outline") == pytest.approx(40.0 + 80.0 - 10.0)
    assert area(shown.fills) == pytest.approx(400.0 + 100.0 - 25.0)
    # The other way round in the list and seen from below the same rule holds.
    assert total(picture([high, low], views.bottom()), "outline") == pytest.approx(80.0 + 40.0 - 10.0)


def test_the_hidden_length_follows_the_angle_of_sight() -> None:
    # Seen from the side, raised by e: a wall of height h on a plate covers h/tan(e) of it behind.
    plate = box("plate", (0.0, 0.0, -2.0), (10.0, 100.0, 0.0))
    wall = box("wall", (2.0, 40.0, 0.0), (8.0, 42.0, 10.0))
    elevation = radians(30.0)
    view = View((0.0, -cos(elevation), sin(elevation)), (0.0, 0.0, 1.0))
    shown = picture([plate, wall], view)
    top_area = 1000.0 * sin(elevation) + 10.0 * 2.0 * cos(elevation)
    wall_area = 6.0 * 10.0 * cos(elevation) + 6.0 * 2.0 * sin(elevation)
    hidden = 6.0 * (2.0 + 10.0 / tan(elevation)) * sin(elevation)
    assert area(shown.fills) == pytest.approx(top_area + wall_area - hidden)


def test_plates_that_pass_through_each_other_have_a_seam() -> None:
    # A thin upright plate through a lying one. Their upper faces' seam: 20 mm on each side that is seen.
    lying = box("lying", (-20.0, -20.0, -1.0), (20.0, 20.0, 1.0))
    upright = box("upright", (-10.0, -1.0, -12.0), (10.0, 1.0, 12.0))
    view = View((0.3, -1.0, 2.0), (0.0, 0.0, 1.0))
    shown = picture([lying, upright], view)
    axes = view.axes
    ends = np.array([[-10.0, -1.0, 1.0], [10.0, -1.0, 1.0]]) @ axes.T
    wanted = sorted(tuple(np.round(p[:2], 6)) for p in ends)
    corners = [np.round([(v.x1, v.y1), (v.x2, v.y2)], 6).tolist() for v in shown.lines]
    found = [sorted((tuple(a), tuple(b))) for a, b in corners]
    assert wanted in found
    assert "fold" not in {line.kind for line in shown.lines}


def test_a_seam_on_a_diagonal_of_a_face_is_not_lost() -> None:
    # The seam runs exactly from corner to corner, where a face is split into triangles.
    lying = box("lying", (-10.0, -10.0, -1.0), (10.0, 10.0, 1.0))
    placement = np.eye(4)
    turn = sqrt(0.5)
    placement[:3, :3] = np.array([[turn, 0.0, turn], [turn, 0.0, -turn], [0.0, 1.0, 0.0]])
    ring = np.array([[-20.0, -9.0], [20.0, -9.0], [20.0, 9.0], [-20.0, 9.0]])
    for sign in (1.0, -1.0):
        upright = prismatoid("upright", ring, ring, placement, 2.0)
        for view in (View((sign, -0.4, 1.5), (0.0, 0.0, 1.0)), View((-0.2, sign, 1.5), (0.0, 0.0, 1.0))):
            seam = picture([lying, upright], view)
            shadow = picture([lying], view)
            assert len(seam.lines) > len(shadow.lines) + 8
            ends = np.array([[-10.0, -10.0, 1.0], [10.0, 10.0, 1.0]]) @ view.axes.T
            length = hypot(*(ends[1] - ends[0])[:2])
            assert any(line.length == pytest.approx(length, abs=1e-6) for line in seam.lines) == (
                view.axes[2] @ np.array([turn, -turn, 0.0]) < 0.0
            )


def test_something_is_seen_through_a_hole() -> None:
    # First principles, from above: of a 20 mm rod's two long edges under a 10 x 10 hole, 10 mm each are seen.
    hole = np.array([[5.0, 5.0], [15.0, 5.0], [15.0, 15.0], [5.0, 15.0]])
    ring = 2.0 * SQUARE
    plate = prismatoid("plate", ring, ring, np.eye(4), 2.0, holes=[hole])
    rod = box("rod", (0.0, 9.0, -10.0), (20.0, 11.0, -8.0))
    shown = picture([plate, rod], views.top())
    assert total(shown, "outline") == pytest.approx(80.0 + 40.0 + 20.0)
    assert area(shown.fills) == pytest.approx(300.0 + 20.0)
    assert len(picture([plate], views.top()).fills[0].holes) == 1


def test_a_notched_face_shows_only_true_edges() -> None:
    notched = np.array([[0.0, 0], [30, 0], [30, 30], [20, 30], [20, 10], [10, 10], [10, 30], [0, 30]])
    plate = prismatoid("u", notched, notched, np.eye(4), 3.0)
    shown = picture([plate], views.top())
    assert len(shown.lines) == 8
    assert total(shown, "outline") == pytest.approx(160.0)
    under = box("under", (12.0, -5.0, -9.0), (18.0, 35.0, -5.0))
    both = picture([plate, under], views.top())
    # In the notch 2 x 20 mm are seen, beyond the plate 5 mm at each end with its end edge.
    assert total(both, "outline") == pytest.approx(160.0 + 2 * 25.0 + 2 * 5.0 + 2 * 6.0)


def test_folds_are_told_from_outlines_and_outlines_win() -> None:
    left = prismatoid("left", SQUARE, SQUARE, np.eye(4), 1.0, fold_edges={1})
    moved = np.eye(4)
    moved[0, 3] = 10.0
    folded = prismatoid("right", SQUARE, SQUARE, moved, 1.0, fold_edges={3})
    plain = prismatoid("right", SQUARE, SQUARE, moved, 1.0)
    shown = picture([left, folded], views.top())
    assert (total(shown, "fold"), total(shown, "outline")) == pytest.approx((10.0, 60.0))
    shown = picture([left, plain], views.top())
    assert (total(shown, "fold"), total(shown, "outline")) == pytest.approx((0.0, 70.0))


def test_a_mitred_fold_is_one_line_without_gaps() -> None:
    # First principles: two panels meet at 90° with mitres; nothing is to be seen between them.
    inner = np.array([[0.0, 0.0], [9.0, 0.0], [9.0, 10.0], [0.0, 10.0]])
    lying = prismatoid("lying", SQUARE, inner, np.eye(4), 1.0, fold_edges={1})
    upright = np.eye(4)
    upright[:3, :3] = np.array([[0.0, 0.0, 1.0], [0.0, -1.0, 0.0], [1.0, 0.0, 0.0]])
    upright[:3, 3] = (9.0, 10.0, -9.0)
    standing = prismatoid("standing", SQUARE, inner, upright, 1.0, fold_edges={1})
    view = View((2.0, -3.0, 1.5), (0.0, 0.0, 1.0))
    shown = picture([lying, standing], view)
    # The fold along y from (10, 0, 1), and the mitre at its near end down to (9, 0, 0).
    lengths = [float(np.hypot(*(view.axes @ way)[:2])) for way in ([0.0, 10.0, 0.0], [1.0, 0.0, 1.0])]
    folds = sorted(line.length for line in shown.lines if line.kind == "fold")
    assert folds == pytest.approx(sorted(lengths))
    assert len(shown.silhouette) == 1
    assert shown.silhouette[0].holes == ()


def test_a_cylinder_shows_its_silhouette_and_no_facets() -> None:
    angles = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False)
    circle = 10.0 * np.column_stack([np.cos(angles), np.sin(angles)])
    rod = prismatoid("rod", circle, circle, np.eye(4), 40.0)
    shown = picture([rod], views.side())
    upright = [line for line in shown.lines if abs(line.x1 - line.x2) < 1e-9]
    assert len(upright) == 2
    assert [line.length for line in upright] == pytest.approx([40.0, 40.0])


# Fills ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_fills_cover_the_union_of_all_front_faces_once(seed: int) -> None:
    # First principles: what is seen, is seen once. The union is made by another route (shapely).
    rng = np.random.default_rng(seed)
    solids = [random_plate(rng, str(k)) for k in range(6)]
    view = views.three_quarter("left", rng.uniform(5.0, 175.0), rng.uniform(-70.0, 70.0))
    shown = picture(solids, view)
    scene = build_scene(solids, view)
    union = shapely.union_all(face_polygons(scene, np.flatnonzero(scene.front)))
    assert area(shown.fills) == pytest.approx(union.area, rel=1e-6)
    assert area(shown.silhouette) == pytest.approx(union.area, rel=1e-6)


def test_faces_of_one_shade_become_one_fill() -> None:
    row = [box(str(k), (10.0 * k, 0.0, 0.0), (10.0 * k + 10.0, 10.0, 2.0)) for k in range(5)]
    assert len(picture(row, views.top()).fills) == 1
    mixed = [*row, box("rod", (0.0, 10.0, 0.0), (50.0, 20.0, 2.0), tone="wood")]
    assert [fill.tone for fill in picture(mixed, views.top()).fills] == ["board", "wood"]


def test_where_front_faces_coincide_the_first_solid_is_seen() -> None:
    lower = box("a", (0.0, 0.0, 0.0), (10.0, 10.0, 5.0), tone="first")
    upper = box("b", (5.0, 0.0, 0.0), (15.0, 10.0, 5.0), tone="second")
    areas = {f.tone: shapely.Polygon(f.outer).area for f in picture([lower, upper], views.top()).fills}
    assert areas == pytest.approx({"first": 100.0, "second": 50.0})


def test_nothing_gives_an_empty_picture() -> None:
    shown = picture([], views.top())
    assert (shown.lines, shown.fills, shown.silhouette, shown.bounds) == ((), (), (), (0.0, 0.0, 0.0, 0.0))


# Against rays cast by another library -----------------------------------------------------------------------


def ray_hidden(mesh: trimesh.Trimesh, points: FloatArray, view: View, lift: float) -> BoolArray:
    """True where a ray from a point, lifted a little towards the eye, meets the mesh."""
    toward = view.axes[2]
    cast: Callable[[FloatArray, FloatArray], BoolArray] = mesh.ray.intersects_any
    hits = cast(points + lift * toward, np.tile(toward, (len(points), 1)))
    return np.asarray(hits, dtype=np.bool_)


def test_sampled_points_agree_with_ray_casting() -> None:
    # Other library: trimesh (rays). A point counts as seen where it is seen just beside its edge on either
    # side; points within 0.05 mm of a change are left out, and so is what the sideways nudge cannot tell.
    agreed, compared = 0, 0
    for seed in range(12):
        rng = np.random.default_rng(100 + seed)
        solids = [random_plate(rng, str(k), spread=30.0) for k in range(5)]
        view = views.three_quarter("right", rng.uniform(5.0, 175.0), rng.uniform(-70.0, 70.0))
        scene = build_scene(solids, view)
        segments = candidate_segments(solids, scene)
        owner, low, high = visible_parts(segments, scene)
        pieces = [surface(solid) for solid in solids]
        mesh = sum(pieces[1:], pieces[0])
        edge = np.repeat(np.arange(len(segments.start)), 6)
        t = np.tile(np.linspace(0.05, 0.95, 6), len(segments.start)) + 0.013
        along = (segments.end - segments.start)[edge]
        seen = np.zeros(len(edge), dtype=np.bool_)
        near = np.zeros(len(edge), dtype=np.bool_)
        length = np.hypot(along[:, 0], along[:, 1])
        for o, a, b in zip(owner, low, high, strict=True):
            mine = edge == o
            seen |= mine & (a < t) & (t < b)
            near |= mine & ((np.abs(t - a) * length < 0.05) | (np.abs(t - b) * length < 0.05))
        points = segments.start[edge] + t[:, None] * along
        beside = np.column_stack([-along[:, 1], along[:, 0], np.zeros(len(edge))]) / length[:, None] * 1e-4
        hidden = np.logical_and(
            *(ray_hidden(mesh, (points + s * beside) @ view.axes, view, 1e-2) for s in (1.0, -1.0))
        )
        compared += int((~near).sum())
        agreed += int((seen == ~hidden)[~near].sum())
    assert compared > 2500
    assert agreed / compared > 0.999, (agreed, compared)


# Sections ---------------------------------------------------------------------------------------------------


def test_a_section_shows_walls_and_holes() -> None:
    # First principles: a 20 x 20 x 2 plate with a 10 mm hole cut through its middle leaves two pieces 5 x 2.
    hole = np.array([[5.0, 5.0], [15.0, 5.0], [15.0, 15.0], [5.0, 15.0]])
    plate = prismatoid("plate", 2.0 * SQUARE, 2.0 * SQUARE, np.eye(4), 2.0, holes=[hole])
    cuts = section([plate], views.side(), (0.0, 10.0, 0.0))
    assert [c.name for c in cuts] == ["plate", "plate"]
    assert [shapely.Polygon(c.outer).area for c in cuts] == pytest.approx([10.0, 10.0])
    flat = section([plate], views.top(), (0.0, 0.0, 1.0))
    assert len(flat) == 1
    assert len(flat[0].holes) == 1
    assert shapely.Polygon(flat[0].outer, flat[0].holes).area == pytest.approx(300.0)
    assert section([plate], views.top(), (0.0, 0.0, 5.0)) == ()


@settings(max_examples=examples(60))
@given(seed=st.integers(0, 10_000), offset=st.floats(-20.0, 20.0))
def test_section_areas_agree_with_another_library(seed: int, offset: float) -> None:
    # Other library: trimesh's own section of the same closed surface.
    rng = np.random.default_rng(seed)
    solid = random_plate(rng, "p", spread=5.0)
    view = views.three_quarter()
    through = offset * view.axes[2]
    cuts = section([solid], view, (float(through[0]), float(through[1]), float(through[2])))
    ours = sum(shapely.Polygon(c.outer, c.holes).area for c in cuts)
    path = surface(solid).section(view.axes[2], through)
    theirs = 0.0 if path is None else float(path.to_2D()[0].area)
    assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-4)
