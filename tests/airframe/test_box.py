"""Box bodies: flat widths, round trip, overlap, formers, bends.

Expected numbers: closed forms of the fold (first principles; the flat width is the bend deduction of sheet
metal with zero inner radius and the neutral line on the outer skin, K = 1, or on the inner skin, K = 0).
"""

from __future__ import annotations

from math import atan, cos, degrees, pi, radians, sin, tan

import numpy as np
import pytest
import trimesh

from foldwright.airframe.box import build_box
from foldwright.airframe.box_shell import CLEAR, FOLD_STOP, FORMER_GAP, shell_of
from foldwright.airframe.model import PartBuild
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import Material, panels_moments
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.fold.rings import solid_rings
from foldwright.geometry.transform import apply
from tests.airframe.boxes import board, box, plain, random_box, station
from tests.airframe.solids import mesh, overlaps

METHODS = ("groove", "crush", "rebate", "slit")


def blank_of(build: PartBuild, name: str) -> Blank:
    return next(blank for blank in build.blanks if blank.name == f"body/{name}")


def flat_size(blank: Blank) -> FloatArray:
    points = np.concatenate([panel.polygon for panel in blank.panels])
    size: FloatArray = points.max(axis=0) - points.min(axis=0)
    return size


def outer_points(blank: Blank, panel: str) -> FloatArray:
    """The corners of a panel's outer face, folded."""
    polygon = blank.panel(panel).polygon
    flat = np.column_stack([polygon, np.full(len(polygon), blank.thickness)])
    folded: FloatArray = apply(transforms(blank)[panel], flat)
    return folded


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("t", [3.0, 5.0, 6.3])
def test_flat_width_of_a_u(method: str, t: float) -> None:
    width, height = 56.0, 47.0
    blank = blank_of(build_box(plain(width, height, corner=method, tool_width_mm=2 * t), board(t)), "main")
    expected = width + 2 * height - (4 * t if method == "slit" else 0.0)
    assert flat_size(blank)[1] == pytest.approx(expected, abs=1e-9)
    assert flat_size(blank)[0] == pytest.approx(200.0, abs=1e-9)


def test_a_crushed_corner_saves_its_rounding() -> None:
    """(2 tan 45 deg - pi/2) r a corner: 0.43 r, 1.3 mm at r = 3 mm (first principles)."""
    blank = blank_of(
        build_box(plain(56, 47, corner="crush", tool_width_mm=10), board(5.0, radius=3.0)), "main"
    )
    assert flat_size(blank)[1] == pytest.approx(56 + 2 * 47 - 2 * (2 - pi / 2) * 3.0, abs=1e-9)


@pytest.mark.parametrize("method", METHODS)
@pytest.mark.parametrize("bend", ["groove", "slit", "crush"])
@pytest.mark.parametrize("t", [3.0, 4.9, 6.0])
def test_outer_dimensions_hold_when_the_board_changes(method: str, bend: str, t: float) -> None:
    build = build_box(box(corner=method, bend=bend, tool_width_mm=12), board(t))
    main = blank_of(build, "main")
    right = np.concatenate([outer_points(main, name) for name in ("right-fore", "right", "right-2")])
    slack = t * tan(0.5 * atan(8 / 60)) if bend == "slit" else 1e-9  # a slit's fold line lies inside
    for x, half, top in ((-60, 20, 10), (385, 20, 22)):
        near = right[np.abs(right[:, 0] - x) < 1.0]
        assert near[:, 1] == pytest.approx(half, abs=1e-9)
        assert near[:, 2].max() == pytest.approx(top, abs=1e-9)
    middle = outer_points(main, "right")
    assert middle[:, 1] == pytest.approx(28.0, abs=1e-9)
    assert middle[:, 2].max() == pytest.approx(22.0, abs=0.9 * slack + 1e-9)
    floor = outer_points(main, "floor")
    assert floor[:, 2] == pytest.approx(-30.0, abs=1e-9)


@pytest.mark.parametrize("seed", range(0, 300, 3))
def test_random_boxes_fold_back_and_do_not_overlap(seed: int) -> None:
    part, plate, tilt = random_box(np.random.default_rng(seed))
    build = build_box(part, plate, tilt)
    shell, found = shell_of(part, plate)
    assert shell is not None
    assert not found
    assert not overlaps(build)
    for blank in build.blanks:
        placed = transforms(blank)
        for fold in blank.folds:
            w = blank.thickness if fold.hinge == "a" else 0.0
            line = np.array([[*fold.p, w], [*fold.q, w]])
            gap = apply(placed[fold.parent], line) - apply(placed[fold.child], line)
            assert np.abs(gap).max() < 1e-9
    for blank in build.blanks:
        for panel in blank.panels:
            kind = panel.name.split("-")[0]
            if kind in {"right", "left"}:
                points = outer_points(blank, panel.name)
                x = float(points[:, 0].mean())
                m = shell.half.slope(x)
                sign = 1.0 if kind == "right" else -1.0
                normal = transforms(blank)[panel.name][:3, 2]
                assert normal * [1, sign, 1] == pytest.approx([-sin(atan(m)), cos(atan(m)), 0.0], abs=1e-9)
                plane = shell.half.at(x) + m * (points[:, 0] - x)
                assert points[:, 1] * sign == pytest.approx(plane, abs=1e-9)
            if kind == "floor":
                points = outer_points(blank, panel.name)
                x = float(points[:, 0].mean())
                plane = shell.bottom.at(x) + shell.bottom.slope(x) * (points[:, 0] - x)
                assert points[:, 2] == pytest.approx(plane, abs=1e-9)


@pytest.mark.parametrize("seed", range(0, 300, 10))
def test_left_and_right_are_mirror_images(seed: int) -> None:
    part, plate, tilt = random_box(np.random.default_rng(seed))
    main = blank_of(build_box(part, plate, tilt), "main")
    for panel in main.panels:
        if not panel.name.startswith("right"):
            continue
        right = outer_points(main, panel.name)
        left = outer_points(main, panel.name.replace("right", "left"))[::-1] * [1.0, -1.0, 1.0]
        shift = next(n for n in range(len(left)) if np.allclose(np.roll(left, n, axis=0), right, atol=1e-9))
        assert np.roll(left, shift, axis=0) == pytest.approx(right, abs=1e-9)
        mirrored = main.panel(panel.name.replace("right", "left"))
        assert sum(cut.b for cut in mirrored.cuts) == pytest.approx(
            sum(cut.b for cut in panel.cuts), abs=1e-12
        )


@pytest.mark.parametrize("bend", ["groove", "slit", "crush"])
def test_every_turn(bend: str) -> None:
    build = build_box(box(bend=bend, tool_width_mm=12), board())
    turns = {fold.name: degrees(fold.angle) for fold in blank_of(build, "main").folds}
    expected = {
        "floor/right": 90.0,
        "floor/left": 90.0,
        "right/right-2": degrees(atan(8 / 135)),
        "left/left-2": degrees(atan(8 / 135)),
        "right/right-fore": degrees(atan(8 / 60)),
        "left/left-fore": degrees(atan(8 / 60)),
        "floor/floor-2": degrees(atan(12 / 135)),
        "floor/floor-fore": degrees(atan(4 / 60)),
    }
    assert turns == pytest.approx(expected, abs=1e-9)
    deck = blank_of(build, "fore").folds
    assert [degrees(fold.angle) for fold in deck] == pytest.approx([degrees(atan(12 / 60))], abs=1e-9)
    toward = {fold.name: fold.toward for fold in blank_of(build, "main").folds}
    assert set(toward.values()) == {"b"}


def test_a_hollow_bend_turns_outward() -> None:
    part = box(
        station=(
            station(0, 60, 0, 50),
            station(150, 60, 0, 50),
            station(200, 40, 0, 50),
            station(300, 40, 0, 50),
        ),
        former=(),
        deck=(),
    )
    folds = {fold.name: fold for fold in blank_of(build_box(part, board()), "main").folds}
    first, second = folds["right/right-2"], folds["right-2/right-3"]
    assert (first.toward, first.hinge) == ("b", "a")
    assert (second.toward, second.hinge) == ("a", "b")
    assert second.angle == pytest.approx(first.angle, abs=1e-12)


def test_the_corner_fold_stops_before_the_bend() -> None:
    shell, _ = shell_of(box(), board())
    assert shell is not None
    aft = 5.0 * tan(atan(12 / 135) / 2) + FOLD_STOP
    fore = 5.0 * tan(atan(8 / 60) / 2) + FOLD_STOP
    assert shell.run == pytest.approx((fore, 250 - aft), abs=1e-9)


@pytest.mark.parametrize("corner", ["groove", "rebate", "crush"])
def test_the_tail_former_fits(corner: str) -> None:
    """Width w - 2t/cos(tau) - 2 gap/cos(tau) where its wider face stands, bevel t*tan(tau) (closed form)."""
    t, tau = 5.0, atan(8 / 135)
    part = box(corner=corner, tool_width_mm=12, former=({"id": "end", "x_mm": 370, "role": "tail"},), deck=())
    build = build_box(part, board(t))
    panel = blank_of(build, "end").panels[0]
    outer = 56 - 2 * 8 / 135 * (370 - 250)
    width = np.ptp(panel.polygon[:, 0])
    assert width == pytest.approx(outer - 2 * t / cos(tau) - 2 * FORMER_GAP / cos(tau), abs=1e-9)
    floor, side = t * 12 / 135, t * tan(tau)
    assert sorted(cut.a for cut in panel.cuts) == pytest.approx([0.0, side, side, floor], abs=1e-9)
    assert not overlaps(build)


@pytest.mark.parametrize("seed", range(0, 300, 6))
def test_formers_leave_no_more_than_their_gap(seed: int) -> None:
    """Every former's side edges lie FORMER_GAP from the sides' inner faces, unless a bend runs through it."""
    part, plate, tilt = random_box(np.random.default_rng(seed))
    build = build_box(part, plate, tilt)
    shell, _ = shell_of(part, plate)
    assert shell is not None
    for former in part.former:
        blank = next((b for b in build.blanks if b.name == f"body/{former.id}"), None)
        assert blank is not None
        low, high = solid_rings(blank.panels[0])
        points = np.concatenate(
            [
                apply(blank.placement, np.column_stack([low, np.zeros(len(low))])),
                apply(blank.placement, np.column_stack([high, np.full(len(high), blank.thickness)])),
            ]
        )
        x0, x1 = points[:, 0].min() - 2, points[:, 0].max() + 2
        if len(shell.inner.between(x0, x1)) > 2 or len(shell.floor.between(x0, x1)) > 2:
            continue
        m = shell.inner.slope(x0)
        gaps = [(shell.inner.at(x) - abs(y)) * cos(atan(m)) for x, y, _ in points]
        assert gaps == pytest.approx([FORMER_GAP] * len(gaps), abs=1e-9)
        stand = [z - shell.floor.at(x) for x, _, z in points]
        assert min(stand) == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("degrees_up", [-3.0, 3.0, -10.0])
def test_motor_former_is_square_to_the_thrust_line(degrees_up: float) -> None:
    """Thrust (-cos e, 0, sin e), so the shaft runs aft along (cos e, 0, -sin e) (first principles)."""
    tilt = radians(degrees_up)
    blank = blank_of(build_box(box(), board(), tilt), "mount")
    normal = blank.placement[:3, 2]
    assert normal == pytest.approx([cos(tilt), 0.0, -sin(tilt)], abs=1e-12)
    propeller_end = 100.0 * normal[2]
    points = outer_points(blank, "plate")
    lean = points[points[:, 2] > 0, 0].mean() - points[points[:, 2] < 0, 0].mean()
    if degrees_up < 0:
        assert propeller_end > 0.0
        assert lean < 0.0
    else:
        assert propeller_end < 0.0
        assert lean > 0.0


def test_a_former_of_its_own_tilt_keeps_it() -> None:
    part = box(former=({"id": "mount", "x_mm": 375, "role": "motor", "tilt_deg": -2.0},), deck=())
    blank = blank_of(build_box(part, board(), 0.1), "mount")
    assert blank.placement[2, 2] == pytest.approx(sin(radians(2.0)), abs=1e-12)


def test_faces_look_outward() -> None:
    build = build_box(box(), board())
    for name, axis, sign in (
        ("nose", 0, -1),
        ("middle", 0, -1),
        ("mount", 0, 1),
        ("lid", 2, 1),
        ("tray", 2, 1),
    ):
        assert blank_of(build, name).placement[axis, 2] * sign == pytest.approx(1.0, abs=1e-12)
    main = blank_of(build, "main")
    placed = transforms(main)
    assert placed["floor"][2, 2] == pytest.approx(-1.0)
    assert placed["right"][1, 2] == pytest.approx(1.0)
    assert placed["left"][1, 2] == pytest.approx(-1.0)
    for matrix in placed.values():
        assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0)


def test_decks_rest_where_they_should() -> None:
    build = build_box(box(), board(5.0))
    top = {name: outer_points(blank_of(build, name), panel)[:, 2] for name, panel in
           (("lid", "hatch"), ("aft", "deck"), ("tray", "tray"))}  # fmt: skip
    assert top["lid"] == pytest.approx(22.0, abs=1e-9)
    assert top["aft"] == pytest.approx(27.0, abs=1e-9)
    assert top["tray"] == pytest.approx(-10.0, abs=1e-9)
    lid = outer_points(blank_of(build, "lid"), "hatch")
    assert np.abs(lid[:, 1]) == pytest.approx(28 - 5 - 0.3, abs=1e-9)
    assert (lid[:, 0].min(), lid[:, 0].max()) == pytest.approx((60.3, 149.7), abs=1e-9)
    middle = outer_points(blank_of(build, "middle"), "plate")
    assert middle[:, 2].max() == pytest.approx(17.0, abs=1e-9)  # under the hatch


def test_a_hole_lies_where_it_is_asked_for() -> None:
    hole = {"y_mm": 4.0, "z_mm": -6.0, "width_mm": 12.0}
    for role, x, aft in (
        ("former", 150, False),
        ("tail", 150, True),
        ("motor", 150, False),
        ("motor", 300, True),
    ):
        part = box(former=({"id": "one", "x_mm": x, "role": role, "hole": (hole,)},), deck=())
        blank = blank_of(build_box(part, board(), -0.08), "one")
        ring = blank.panels[0].holes[0]
        # face A is outside: a motor in front stands on the forward face, one behind on the aft one
        assert (blank.placement[0, 2] > 0.0) == aft
        forward = 0.0 if aft else blank.thickness
        centre = apply(blank.placement, np.array([*ring.mean(axis=0), forward]))
        assert centre[1:] == pytest.approx([4.0, -6.0], abs=1e-9)
        radius = np.hypot(*(ring - ring.mean(axis=0)).T)
        assert radius == pytest.approx(6.0, abs=1e-9)
        step = np.hypot(*(np.roll(ring, -1, axis=0) - ring).T).max()
        assert 6.0 - np.sqrt(36.0 - step**2 / 4) <= 0.02


def test_a_floor_that_cannot_hang_on_is_a_piece_of_its_own() -> None:
    """A tail that grows wider and deeper: floor and sides would lie over each other in the flat."""
    wider = box(
        station=(station(0, 50, 0, 40), station(200, 50, 0, 40), station(300, 70, -15, 40)),
        former=(),
        deck=(),
    )
    build = build_box(wider, board())
    assert [blank.name for blank in build.blanks] == ["body/main", "body/floor-aft"]
    assert not overlaps(build)


def test_the_free_floor_stays_clear_of_the_sides() -> None:
    build = build_box(box(former=(), deck=()), board())
    floor = outer_points(blank_of(build, "main"), "floor-2")
    end = floor[np.abs(floor[:, 0] - 385) < 1e-6]
    tau, phi = atan(8 / 135), atan(12 / 135)
    inner = 20 - 5 / cos(tau) - CLEAR / cos(tau) - 5 * sin(phi) * tan(atan(8 / 60))
    assert np.abs(end[:, 1]) == pytest.approx(inner, abs=1e-6)


def test_body_sections() -> None:
    body = build_box(box(), board()).bodies[0]
    assert body.x.tolist() == [-60, 0, 250, 385]
    assert body.width.tolist() == pytest.approx([40, 56, 56, 40])
    assert body.height.tolist() == pytest.approx([36, 52, 52, 40])


def test_glue_lines_are_named_and_long_enough() -> None:
    seams = {seam.id: seam for seam in build_box(box(), board()).seams}
    length = {
        name: float(np.linalg.norm(np.diff(s.points, axis=0), axis=1).sum()) for name, s in seams.items()
    }
    assert all(seam.kind == "glue" for seam in seams.values())
    assert length["body/corner/right"] == length["body/corner/left"] == pytest.approx(248.446, abs=1e-3)
    assert length["body/middle"] == pytest.approx(45.8 + 42 + 42 + 45.8, abs=0.01)
    assert "body/lid/right" not in seams


@pytest.mark.parametrize("corner", ["groove", "rebate", "slit"])
def test_mass_against_a_mesh_library(corner: str) -> None:
    """Foam only, so that mass is density times volume; mass, CG and inertia from triangles."""
    build = build_box(box(corner=corner, bend="groove"), board())
    foam = Material(5.0, 2.0e-5, 0.0)
    for blank in build.blanks:
        moments = panels_moments(blank.panels, foam)
        for panel, own in zip(blank.panels, moments, strict=True):
            points, triangles = mesh(panel, blank.thickness, np.eye(4))
            solid = trimesh.Trimesh(points, triangles, process=False)
            assert own[3, 3] == pytest.approx(2.0e-5 * solid.volume, rel=1e-9)
            assert own[:3, 3] / own[3, 3] == pytest.approx(solid.center_mass, abs=1e-9)


def test_same_input_same_body() -> None:
    one, other = (build_box(box(), board(), -0.05) for _ in range(2))
    for a, b in zip(one.blanks, other.blanks, strict=True):
        assert all(np.array_equal(p.polygon, q.polygon) for p, q in zip(a.panels, b.panels, strict=True))
