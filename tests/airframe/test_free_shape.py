"""Free shapes: split, folded, placed, mirrored. Expected numbers: first principles unless said."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given

from foldwright.airframe.bench import Bench
from foldwright.airframe.free_shape import build_free
from foldwright.airframe.kinds import builders
from foldwright.airframe.mirror import mirror_matrix
from foldwright.airframe.model import PartBuild
from foldwright.airframe.plate import build_plate
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, transforms, unfold
from foldwright.geometry.fold.mass import board_moments, mass_properties
from foldwright.geometry.fold.model import Blank, Fold, Panel
from foldwright.geometry.fold.solids import loft
from foldwright.geometry.transform import apply
from tests.airframe.free_shapes import fold, random_shape, shape
from tests.airframe.parts import board, fin
from tests.geometry.fold.sheets_of_panel import mass_ring
from tests.strategies import seeds

Triple = tuple[float, float, float]
Ring = tuple[tuple[float, float], ...]
BENCH = Bench(board(), (), 0.0)
T = 5.0


def blank_of(build: PartBuild) -> Blank:
    assert not build.findings, [words(f).says for f in build.findings]
    return build.blanks[0]


def codes(build: PartBuild) -> list[str]:
    return [finding.code for finding in build.findings]


def face(blank: Blank, panel: str, w: float) -> FloatArray:
    """Corners of a panel's face in the aeroplane."""
    ring = blank.panel(panel).polygon
    return apply(transforms(blank)[panel], np.column_stack([ring, np.full(len(ring), w)]))


# --- folding ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("method", ["groove", "crush", "rebate", "slit"])
@pytest.mark.parametrize("toward", ["a", "b"])
@pytest.mark.parametrize("backward", [False, True])
def test_a_flap_turned_square_stands_on_its_side(method: str, toward: str, *, backward: bool) -> None:
    """A level tray 200 x 120 with a flap beyond x = 150, turned by 90°: the flap stands where its fold is."""
    ends = ((150.0, 120.0), (150.0, 0.0)) if backward else ((150.0, 0.0), (150.0, 120.0))
    one = fold("tail", *ends, angle_deg=90.0, method=method, toward=toward)
    blank = blank_of(build_free(shape(fold=(one,)), BENCH))
    assert [p.name for p in blank.panels] == ["plate", "flap-tail"]
    made = blank.folds[0]
    assert made.hinge == (toward if method == "slit" else {"a": "b", "b": "a"}[toward])
    assert (made.parent, made.child) == ("plate", "flap-tail")
    outer = np.concatenate([face(blank, "flap-tail", w) for w in (0.0, T)])
    # the hinge skin of the fold stays at x = 190 (40 + 150); a slit lets the board stand beyond it
    start = 190.0 if method == "slit" else 185.0
    if method == "slit":
        assert outer[:, 0].min() == pytest.approx(190.0)
        assert outer[:, 0].max() == pytest.approx(195.0)
    else:
        assert outer[:, 0].max() == pytest.approx(190.0)
        assert outer[:, 0].min() == pytest.approx(start)
    # up for toward a, down for toward b, 50 mm from the hinge skin
    skin = 10.0 + (T if made.hinge == "a" else 0.0)
    reach = outer[:, 2].max() - skin if toward == "a" else skin - outer[:, 2].min()
    assert reach == pytest.approx(50.0)


def test_a_crushed_corner_comes_out_longer_by_what_it_saves() -> None:
    bench = Bench(board(radius=3.0), (), 0.0)
    one = fold("tail", (150.0, 0.0), (150.0, 120.0), angle_deg=90.0, method="crush", toward="a")
    blank = blank_of(build_free(shape(fold=(one,)), bench))
    gain = (2.0 - pi / 2.0) * 3.0  # 2 tan 45° - pi/2, times r
    flap = np.concatenate([face(blank, "flap-tail", w) for w in (0.0, T)])
    assert flap[:, 0].max() == pytest.approx(190.0 + gain / 2.0)
    assert flap[:, 2].max() == pytest.approx(10.0 + 50.0 + gain / 2.0)
    wide = blank_of(build_free(shape(fold=({**one, "tool_width_mm": 8.0},)), bench))
    assert (blank.folds[0].tool_width, wide.folds[0].tool_width) == (5.0, 8.0)


def test_the_panel_at_the_origin_stays_put_else_the_largest() -> None:
    ends = ((50.0, 0.0), (50.0, 120.0))
    near = blank_of(build_free(shape(fold=(fold("f", *ends),)), BENCH))
    assert near.panel("plate").polygon[:, 0].max() == pytest.approx(50.0)
    far = tuple((x + 10.0, y) for x, y in shape().polygon_mm or ())
    away = blank_of(build_free(shape(polygon_mm=far, fold=(fold("f", (60.0, 0.0), (60.0, 120.0)),)), BENCH))
    assert away.panel("plate").polygon[:, 0].min() == pytest.approx(60.0)


def test_a_box_blank_folds_to_a_tray() -> None:
    """Four flaps of 30 mm round a floor of 100 x 60, turned up: outer corners meet at right angles."""
    a, b, h = 100.0, 60.0, 30.0
    ring = (
        (0.0, 0.0), (0.0, -h), (a, -h), (a, 0.0), (a + h, 0.0), (a + h, b), (a, b), (a, b + h), (0.0, b + h),
        (0.0, b), (-h, b), (-h, 0.0),
    )  # fmt: skip
    sides = {"right": ((a, 0.0), (0.0, 0.0)), "back": ((a, b), (a, 0.0)), "left": ((0.0, b), (a, b)),
             "front": ((0.0, 0.0), (0.0, b))}  # fmt: skip
    folds = tuple(fold(name, *ends, angle_deg=90.0, toward="a") for name, ends in sides.items())
    blank = blank_of(build_free(shape(polygon_mm=ring, fold=folds), BENCH))
    assert [p.name for p in blank.panels] == ["plate", "flap-right", "flap-back", "flap-left", "flap-front"]
    box = np.concatenate([face(blank, p.name, 0.0) for p in blank.panels])
    assert box.min(axis=0) == pytest.approx([40.0, 0.0, 10.0])
    assert box.max(axis=0) == pytest.approx([140.0, 60.0, 40.0])


@given(seeds())
def test_random_shapes_fold_and_unfold(rng: np.random.Generator) -> None:
    """Folded panels laid flat again by `unfold` (which knows planes only) give the blank back, 1e-9 mm."""
    part = random_shape(rng)
    build = build_free(part, BENCH)
    for blank in build.blanks:
        assert not build.findings
        places = transforms(blank)
        assert all(np.linalg.det(place[:3, :3]) == pytest.approx(1.0) for place in places.values())
        again = unfold(
            "again", T, tuple(_space(panel, places) for panel in blank.panels),
            tuple(_space_fold(blank, one) for one in _from_root(blank)), places["plate"][:3, 0],
        )  # fmt: skip
        offset = again.panel("plate").polygon[0] - blank.panel("plate").polygon[0]
        for panel in blank.panels:
            assert np.abs(again.panel(panel.name).polygon - offset - panel.polygon).max() < 1e-9
        for one in again.folds:
            mine = next(f for f in blank.folds if f.name == one.name)
            assert (one.hinge, one.toward) == (mine.hinge, mine.toward)
            assert one.angle == pytest.approx(mine.angle, abs=1e-9)
    if part.mirrored:
        right, left = build.blanks
        for panel in right.panels:
            for w in (0.0, T):
                one_side, other = face(right, panel.name, w) * [1.0, -1.0, 1.0], face(left, panel.name, w)
                assert np.abs(np.sort(one_side, axis=0) - np.sort(other, axis=0)).max() < 1e-9


def _space(panel: Panel, places: dict[str, FloatArray]) -> SpacePanel:
    matrix = places[panel.name]
    flat = np.column_stack([panel.polygon, np.zeros(len(panel.polygon))])
    corners = apply(matrix, flat)
    return SpacePanel(panel.name, matrix[:3, 2], float(matrix[:3, 2] @ matrix[:3, 3]), corners)


def _from_root(blank: Blank) -> list[Fold]:
    reached, row = {blank.root}, list[Fold]()
    while len(row) < len(blank.folds):
        row += [f for f in blank.folds if f.parent in reached and f not in row]
        reached |= {f.child for f in row}
    return row


def _space_fold(blank: Blank, one: Fold) -> SpaceFold:
    parent, child = fold_sides(blank, one)
    return SpaceFold(
        one.name, one.parent, one.child, parent[0], child[0], one.method, one.hinge, one.tool_width
    )


@given(seeds())
def test_random_shapes_divide_the_outline_and_weigh_what_the_mesh_library_says(
    rng: np.random.Generator,
) -> None:
    part = random_shape(rng)
    blank = blank_of(build_free(part, BENCH))
    area = sum(shapely.Polygon(panel.polygon).area for panel in blank.panels)
    assert area == pytest.approx(shapely.Polygon(part.polygon_mm).area, rel=1e-12)
    assert len(blank.folds) == len(blank.panels) - 1 == len(part.fold)
    places = transforms(blank)
    meshes = []
    for panel in blank.panels:
        solid = loft(mass_ring(panel, 0.0), mass_ring(panel, 1.0), T)
        mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
        meshes.append(mesh.apply_transform(places[panel.name]))
    foam = BENCH.board.material
    volume = sum(float(mesh.volume) for mesh in meshes)
    first = sum((np.array(mesh.center_mass) * mesh.volume for mesh in meshes), np.zeros(3))
    bare = type(foam)(T, foam.foam_g_mm3, 0.0)
    ours = mass_properties(board_moments(((blank, places),), bare))
    assert ours.mass == pytest.approx(volume * foam.foam_g_mm3, rel=1e-9)
    assert np.allclose(ours.cg, first / volume, atol=1e-7)


# --- where it stands --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("plane", "y", "normal", "first", "second"),
    [
        ("upright", 50.0, (0, 1, 0), (1, 0, 0), (0, 0, 1)),
        ("upright", -50.0, (0, -1, 0), (1, 0, 0), (0, 0, 1)),
        ("upright", 0.0, (0, 1, 0), (1, 0, 0), (0, 0, 1)),
        ("level", 50.0, (0, 0, 1), (1, 0, 0), (0, 1, 0)),
        ("across", 50.0, (-1, 0, 0), (0, 1, 0), (0, 0, 1)),
    ],
)
def test_planes_and_faces(plane: str, y: float, normal: Triple, first: Triple, second: Triple) -> None:
    """The form's axes lie along the aeroplane's, and face A looks where it should."""
    part = shape(plane=plane, y_mm=y, polygon_mm=((0.0, 0.0), (80.0, 0.0), (80.0, 30.0), (0.0, 50.0)))
    blank = blank_of(build_free(part, BENCH))
    a, b = face(blank, "plate", T), face(blank, "plate", 0.0)
    assert (a - b)[0] == pytest.approx(T * np.array(normal))
    start = np.array([40.0, y, 10.0])
    under = 0.0 if plane == "level" else -T / 2.0
    wanted = [
        start + under * np.array(normal) + x * np.array(first) + v * np.array(second)
        for x, v in part.polygon_mm or ()
    ]
    assert np.sort(np.array(wanted).round(9), axis=0) == pytest.approx(np.sort(b.round(9), axis=0))


@pytest.mark.parametrize("y", [50.0, -50.0, 0.0])
def test_the_top_leans_outward(y: float) -> None:
    part = shape(plane="upright", y_mm=y, lean_deg=30.0, z_mm=0.0)
    blank = blank_of(build_free(part, BENCH))
    top = (face(blank, "plate", T) + face(blank, "plate", 0.0)) / 2.0
    high = top[np.argmax(top[:, 2])]
    side = -1.0 if y < 0.0 else 1.0
    assert high[1] - y == pytest.approx(side * 120.0 * sin(radians(30.0)))
    assert high[2] == pytest.approx(120.0 * cos(radians(30.0)))


@pytest.mark.parametrize(
    ("turned", "goes_to"),
    [
        ((90.0, 0.0, 0.0), (1.0, -3.0, 2.0)), ((0.0, 90.0, 0.0), (3.0, 2.0, -1.0)),
        ((0.0, 0.0, 90.0), (-2.0, 1.0, 3.0)), ((90.0, 90.0, 0.0), (2.0, -3.0, -1.0)),
        ((90.0, 0.0, 90.0), (3.0, 1.0, 2.0)),
    ],
)  # fmt: skip
def test_turns_are_right_handed_about_x_then_y_then_z(turned: Triple, goes_to: Triple) -> None:
    """What lies at (1, 2, 3) from the origin; turns worked out by hand."""
    still = blank_of(build_free(shape(), BENCH)).placement
    moved = blank_of(build_free(shape(turn_deg=turned), BENCH)).placement
    start = np.array([40.0, 0.0, 10.0])
    flat = np.linalg.solve(still, np.append(start + np.array([1.0, 2.0, 3.0]), 1.0))
    assert (moved @ flat)[:3] - start == pytest.approx(goes_to)


def test_mirrored_shapes_with_marks_and_holes() -> None:
    part = shape(
        plane="upright", y_mm=60.0, mirrored=True, fold=(fold("f", (120.0, 0.0), (90.0, 120.0)),),
        mark=({"id": "datum", "face": "b", "points_mm": ((20.0, 20.0), (60.0, 40.0))},),
        cutout=({"id": "window", "polygon_mm": ((30.0, 50.0), (50.0, 50.0), (40.0, 70.0))},),
    )  # fmt: skip
    right, left = build_free(part, BENCH).blanks
    assert left.mirror_of == right.name
    assert left.placement == pytest.approx(mirror_matrix(right.placement))
    assert [m.face for m in left.marks] == ["b"]
    assert left.panel("plate").holes[0].shape == (3, 2)


def test_a_plain_fin_is_the_same_either_way() -> None:
    """Against the plain plate's own module."""
    for y in (312.0, -312.0):
        plain, free = (
            build_plate(fin(y_mm=y, mirrored=False), board()),
            build_free(fin(y_mm=y, mirrored=False), BENCH),
        )
        one, other = plain.blanks[0], blank_of(free)
        for w in (0.0, T):
            assert np.sort(face(one, "plate", w), axis=0) == pytest.approx(
                np.sort(face(other, "plate", w), axis=0)
            )
        mine, theirs = free.surfaces[0], plain.surfaces[0]
        assert mine.le == pytest.approx(theirs.le, abs=2e-3)
        assert mine.chord == pytest.approx(theirs.chord, abs=2e-3)
        assert mine.role == "fin"


def test_plates_with_folds_turns_or_holes_are_built_here() -> None:
    build = builders()[type(shape())]
    free = build(shape(turn_deg=(0.0, 0.0, 90.0)), BENCH).blanks[0]
    assert free.placement == pytest.approx(
        build_free(shape(turn_deg=(0.0, 0.0, 90.0)), BENCH).blanks[0].placement
    )
    bent = build(shape(fold=(fold("f", (150.0, 0.0), (150.0, 120.0)),)), BENCH).blanks[0]
    assert [panel.name for panel in bent.panels] == ["plate", "flap-f"]
    assert build(shape(plane="across"), BENCH).blanks[0].placement[0, 2] == pytest.approx(-1.0)


# --- marks and cut-outs -----------------------------------------------------------------------------------


def test_a_mark_across_a_fold_is_on_both_panels() -> None:
    mark = {"id": "line", "face": "a", "points_mm": ((100.0, 60.0), (180.0, 60.0))}
    part = shape(fold=(fold("f", (150.0, 0.0), (150.0, 120.0)),), mark=(mark,))
    build = build_free(part, BENCH)
    assert {m.panel: m.points[:, 0].tolist() for m in blank_of(build).marks} == {
        "plate": pytest.approx([100.0, 150.0]), "flap-f": pytest.approx([150.0, 180.0])
    }  # fmt: skip
    inner = build_free(shape(fold=part.fold, mark=({**mark, "face": "b"},)), BENCH)
    assert codes(inner) == ["G191"]
    assert inner.findings[0].verdict == "watch"
    # the groove is t*tan(20°) wide on each side
    assert inner.findings[0].params["length"] == pytest.approx(2.0 * T * np.tan(radians(20.0)))


@pytest.mark.parametrize(
    ("points", "code"),
    [
        (((190.0, 60.0), (230.0, 60.0)), "G190"), (((230.0, 60.0),), "G190"),
        (((151.0, 20.0), (151.0, 60.0)), "G191"), (((151.0, 20.0),), "G191"),
    ],
)  # fmt: skip
def test_marks_that_cannot_be_drawn(points: Ring, code: str) -> None:
    mark = {"id": "line", "face": "b", "points_mm": points}
    build = build_free(shape(fold=(fold("f", (150.0, 0.0), (150.0, 120.0)),), mark=(mark,)), BENCH)
    assert codes(build) == [code]
    assert build.findings[0].verdict == "no-go"
    assert build.findings[0].where == "tray.mark.line"
    assert words(build.findings[0]).cure
    if code == "G190":
        assert build.findings[0].params["away"] == pytest.approx(30.0, abs=1e-4)


def test_holes_are_in_their_panels_and_weigh_nothing() -> None:
    window = {"id": "window", "polygon_mm": ((160.0, 50.0), (180.0, 50.0), (180.0, 70.0), (160.0, 70.0))}
    folds = (fold("f", (150.0, 0.0), (150.0, 120.0)),)
    plain, cut = (blank_of(build_free(shape(fold=folds, cutout=c), BENCH)) for c in ((), (window,)))
    assert len(cut.panel("flap-f").holes) == 1
    mass = [board_moments([(b, transforms(b))], BENCH.board.material)[3, 3] for b in (plain, cut)]
    assert mass[0] - mass[1] == pytest.approx(400.0 * 400e-6)


@pytest.mark.parametrize(
    ("ring", "code"),
    [
        (((140.0, 50.0), (170.0, 50.0), (160.0, 70.0)), "G188"),
        (((151.0, 50.0), (170.0, 50.0), (160.0, 70.0)), "G188"),
        (((180.0, 50.0), (220.0, 50.0), (190.0, 70.0)), "G189"),
        (((180.0, 50.0), (200.0, 50.0), (200.0, 70.0)), "G189"),
    ],
)
def test_cutouts_that_cannot_be(ring: Ring, code: str) -> None:
    folds = (fold("f", (150.0, 0.0), (150.0, 120.0)),)
    build = build_free(shape(fold=folds, cutout=({"id": "w", "polygon_mm": ring},)), BENCH)
    assert codes(build) == [code]
    assert build.findings[0].where == "tray.cutout.w"
    assert words(build.findings[0]).cure
    if code == "G188":
        moved = tuple((x + float(build.findings[0].params["short"]), y) for x, y in ring)
        assert not build_free(shape(fold=folds, cutout=({"id": "w", "polygon_mm": moved},)), BENCH).findings


def test_cutouts_in_each_other() -> None:
    one = {"id": "w", "polygon_mm": ((20.0, 20.0), (60.0, 20.0), (60.0, 60.0))}
    build = build_free(shape(cutout=(one, {**one, "id": "v"})), BENCH)
    assert codes(build) == ["G189"]


# --- folds that cannot be ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("folds", "code"),
    [
        ((fold("f", (150.0, 5.0), (150.0, 120.0)),), "G183"),
        ((fold("f", (150.0, 0.0), (150.0, 125.0)),), "G183"),
        ((fold("f", (150.0, 0.0), (150.0, 120.0)), fold("g", (0.0, 60.0), (200.0, 60.0))), "G184"),
        ((fold("f", (150.0, 0.0), (150.0, 120.0)), fold("g", (0.0, 60.0), (150.0, 60.0))), "G184"),
        ((fold("f", (150.0, 0.0), (150.0, 120.0)), fold("g", (150.0, 120.0), (150.0, 0.0))), "G184"),
        ((fold("f", (0.0, 0.0), (200.0, 0.0)),), "G185"),
        ((fold("f", (150.0, 0.0), (150.0, 0.0)),), "G185"),
        ((fold("f", (199.995, 0.0), (199.995, 120.0)),), "G185"),
        ((fold("f", (150.0, 0.0), (150.0, 120.0), method="rebate", angle_deg=80.0),), "G186"),
        ((fold("f", (150.0, 0.0), (150.0, 120.0), angle_deg=160.0),), "G186"),
    ],
)
def test_folds_that_cannot_be(folds: tuple[dict[str, object], ...], code: str) -> None:
    build = build_free(shape(fold=folds), BENCH)
    assert set(codes(build)) == {code}
    assert build.blanks == ()
    assert build.findings[0].where.startswith("tray.fold.")
    assert words(build.findings[0]).cure


def test_a_fold_over_a_notch_runs_off_the_board() -> None:
    ring = (
        (0.0, 0.0), (200.0, 0.0), (200.0, 120.0), (120.0, 120.0), (120.0, 60.0), (80.0, 60.0), (80.0, 120.0),
        (0.0, 120.0),
    )  # fmt: skip
    build = build_free(shape(polygon_mm=ring, fold=(fold("f", (0.0, 90.0), (200.0, 90.0)),)), BENCH)
    assert codes(build) == ["G187"]
    assert build.findings[0].params["length"] == pytest.approx(40.0, abs=0.01)
    along = build_free(shape(polygon_mm=ring, fold=(fold("f", (0.0, 60.0), (200.0, 60.0)),)), BENCH)
    assert codes(along) == ["G197"]
    assert "(120.00, 60.00) mm" in words(along.findings[0]).cure
    two = (fold("f", (0.0, 60.0), (80.0, 60.0)), fold("g", (120.0, 60.0), (200.0, 60.0)))
    assert len(blank_of(build_free(shape(polygon_mm=ring, fold=two), BENCH)).panels) == 3


@pytest.mark.parametrize("off", [-0.09, 0.09])
def test_ends_a_hair_off_the_outline_are_brought_on_to_it(off: float) -> None:
    build = build_free(shape(fold=(fold("f", (150.0, off), (120.0, 120.0 - off)),)), BENCH)
    one = blank_of(build).folds[0]
    assert sorted([one.p[1], one.q[1]]) == [0.0, 120.0]
    corner = build_free(shape(fold=(fold("f", (0.05, 0.05), (200.0, 119.95)),)), BENCH)
    ends = blank_of(corner).folds[0]
    assert {tuple(ends.p), tuple(ends.q)} == {(0.0, 0.0), (200.0, 120.0)}


def test_the_finding_of_a_stray_end_says_where_to_put_it() -> None:
    build = build_free(shape(plane="upright", fold=(fold("f", (150.0, 5.0), (150.0, 120.0)),)), BENCH)
    assert "Put that end at (150.00, 0.00) mm" in words(build.findings[0]).cure


def test_controls_are_for_plain_plates() -> None:
    build = build_free(shape(plane="upright", pivot={"x_mm": 30.0}), BENCH)
    assert codes(build) == ["G196"]
    assert (build.blanks, build.findings[0].where) == ((), "tray.pivot")
    assert words(build.findings[0]).cure


def test_folds_are_glued_along_the_skin_that_they_hang_by() -> None:
    """A groove that turns up hangs by face B, the under face at z = 10; the same on the other side."""
    one = fold("tail", (150.0, 0.0), (150.0, 120.0), angle_deg=90.0, toward="a")
    build = build_free(shape(fold=(one,), y_mm=20.0, mirrored=True), BENCH)
    assert [seam.id for seam in build.seams] == ["tray/right/tail", "tray/left/tail"]
    assert np.sort(build.seams[0].points, axis=0) == pytest.approx(
        np.array([(190.0, 20.0, 10.0), (190.0, 140.0, 10.0)])
    )
    assert np.sort(build.seams[1].points[:, 1]) == pytest.approx([-140.0, -20.0])
    assert build.titles == {"tray/right": "Shape, right", "tray/left": "Shape, left"}


# --- lifting ----------------------------------------------------------------------------------------------


def test_a_bent_level_shape_lifts_with_its_camber_and_dihedral() -> None:
    """A plate 600 mm of span, tips turned up by 20°: half the tip's width times sin 20° higher, t/2 on."""
    ring = ((0.0, 0.0), (150.0, 0.0), (150.0, 300.0), (0.0, 300.0))
    tip = fold("tip", (0.0, 200.0), (150.0, 200.0), angle_deg=20.0, toward="a", method="slit")
    build = build_free(shape(polygon_mm=ring, fold=(tip,), lifting=True, y_mm=1.0, mirrored=True), BENCH)
    surface = build.surfaces[0]
    assert surface.symmetric
    assert surface.role == "other"
    assert surface.chord == pytest.approx(150.0)
    rise = surface.le[-1, 2] - surface.le[0, 2]
    assert rise == pytest.approx(100.0 * sin(radians(20.0)), abs=1.2 * T * sin(radians(20.0)))
    assert surface.le[-1, 1] - 1.0 == pytest.approx(200.0 + 100.0 * cos(radians(20.0)), abs=T)
    assert surface.twist == pytest.approx(0.0, abs=1e-9)
    assert surface.camber == pytest.approx(0.0, abs=1e-9)


def test_a_shape_alike_on_both_sides_is_symmetric() -> None:
    """A tailplane drawn whole: its right half is given, root on the centre line; one drawn askew is not."""
    ring = ((0.0, 0.0), (40.0, -150.0), (100.0, -150.0), (110.0, 0.0), (100.0, 150.0), (40.0, 150.0))
    surface = build_free(shape(polygon_mm=ring, lifting=True), BENCH).surfaces[0]
    assert surface.symmetric
    assert surface.le[:, 1] == pytest.approx([0.0, 150.0], abs=0.01)
    assert surface.le[:, 0] == pytest.approx([40.0, 80.0], abs=0.01)
    assert surface.chord == pytest.approx([110.0, 60.0], abs=0.01)
    assert surface.le[:, 2] == pytest.approx(12.5)
    askew = (*ring[:3], (120.0, 0.0), (100.0, 160.0), *ring[5:])
    assert not build_free(shape(polygon_mm=askew, lifting=True), BENCH).surfaces[0].symmetric


def test_a_spanwise_fold_is_camber() -> None:
    """Tail third turned down by 30°: nose-up twist of its chord line and positive camber."""
    ring = ((0.0, 0.0), (150.0, 0.0), (150.0, 300.0), (0.0, 300.0))
    bend = fold("bend", (100.0, 0.0), (100.0, 300.0), angle_deg=30.0, toward="b")
    surface = build_free(shape(polygon_mm=ring, fold=(bend,), lifting=True), BENCH).surfaces[0]
    drop, long = 50.0 * sin(radians(30.0)), 100.0 + 50.0 * cos(radians(30.0))
    assert surface.twist[0] == pytest.approx(np.arctan(drop / long), abs=0.02)
    assert surface.camber.max() == pytest.approx(
        100.0 * sin(np.arctan(drop / long)) / np.hypot(drop, long), abs=0.02
    )
    assert surface.camber.min() > -1e-3


def test_a_fin_bent_to_the_left_has_its_camber_there() -> None:
    """Standing, up of a section is to the left: a tail third turned to the right (toward a) is nose-left."""
    ring = ((0.0, 0.0), (150.0, 0.0), (150.0, 200.0), (0.0, 200.0))
    bend = fold("bend", (100.0, 0.0), (100.0, 200.0), angle_deg=30.0, toward="a")
    surface = build_free(
        shape(polygon_mm=ring, fold=(bend,), lifting=True, plane="upright", role="fin"), BENCH
    ).surfaces[0]
    assert surface.upright
    assert surface.twist[0] > 0.1
    assert surface.camber.max() > 0.02
    assert surface.le[:, 1] == pytest.approx(0.0, abs=1e-6)


def test_a_panel_across_the_span_is_left_out_and_told() -> None:
    ring = ((0.0, 0.0), (150.0, 0.0), (150.0, 300.0), (0.0, 300.0))
    plate = fold("end", (0.0, 250.0), (150.0, 250.0), angle_deg=90.0, toward="a")
    build = build_free(shape(polygon_mm=ring, fold=(plate,), lifting=True), BENCH)
    assert codes(build) == ["G193"]
    assert build.findings[0].where == "tray/main/flap-end"
    assert build.surfaces[0].le[-1, 1] == pytest.approx(250.0, abs=0.01)
    assert build.surfaces[0].le[:, 2] == pytest.approx(12.5)


def test_a_plate_across_the_flow_is_no_lifting_surface() -> None:
    build = build_free(shape(plane="across", lifting=True), BENCH)
    assert codes(build) == ["G192"]
    assert words(build.findings[0]).cure == "Write lifting = false."
    assert build.findings[0].where == "tray.lifting"
