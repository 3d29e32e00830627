"""Mass, centre of gravity and inertia against an independent mesh library and closed forms."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from hypothesis import given

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import (
    MassProperties,
    Material,
    board_moments,
    box_moments,
    line_moments,
    mass_properties,
    moved,
    panels_moments,
    point_moments,
)
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Panel
from foldwright.geometry.fold.solids import loft, prism
from foldwright.geometry.transform import frame
from tests.geometry.fold.sheets_of_panel import mass_ring, skin_ring
from tests.strategies import random_panel, random_strip, seeds

T = 5.0
FOAM = Material(T, 3.1e-5, 0.0)
WHOLE = Material(T, 3.1e-5, 1.1e-4)
AREAL = T * 3.1e-5 + 2.0 * 1.1e-4
RELATIVE = 1e-9


def panel_moments(panel: Panel, material: Material) -> FloatArray:
    """Moments (4, 4) of one panel in its blank frame."""
    moments: FloatArray = panels_moments((panel,), material)[0]
    return moments


def mesh_properties(panel: Panel, density: float, thickness: float = T) -> MassProperties:
    """The foam of a panel, pressed foam included, as the mesh library weighs it."""
    solid = loft(mass_ring(panel, 0.0), mass_ring(panel, 1.0), thickness, panel.holes)
    mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
    assert mesh.is_watertight
    mesh.density = density
    found = mesh.mass_properties
    return MassProperties(float(found.mass), np.array(found.center_mass), np.array(found.inertia))


def assert_same(ours: MassProperties, theirs: MassProperties) -> None:
    assert ours.mass == pytest.approx(theirs.mass, rel=RELATIVE)
    assert np.allclose(ours.cg, theirs.cg, rtol=RELATIVE, atol=RELATIVE * 100.0)
    scale = float(np.abs(theirs.inertia).max())
    assert np.allclose(ours.inertia, theirs.inertia, rtol=0.0, atol=RELATIVE * scale)


@given(seeds())
def test_foam_agrees_with_the_mesh_library(rng: np.random.Generator) -> None:
    panel = random_panel(rng, T)
    assert_same(mass_properties(panel_moments(panel, FOAM)), mesh_properties(panel, FOAM.foam_g_mm3))


def test_300_random_panels_agree_with_the_mesh_library() -> None:
    rng = np.random.default_rng(7)
    panels = [random_panel(rng, T) for _ in range(300)]
    assert sum(1 for panel in panels if panel.holes) > 50
    for panel, moments in zip(panels, panels_moments(panels, FOAM), strict=True):
        assert_same(mass_properties(moments), mesh_properties(panel, FOAM.foam_g_mm3))


@given(seeds())
def test_paper_agrees_with_thin_sheets_of_the_mesh_library(rng: np.random.Generator) -> None:
    """Two sheets of foam as thin as wanted have the paper's moments in the limit; area and first moments
    are those of the sheet at any thickness, so they are compared exactly."""
    panel = random_panel(rng, T)
    paper = mass_properties(panel_moments(panel, Material(T, 0.0, 1.0)))
    parts = []
    for w, face in ((0.0, "b"), (T, "a")):
        ring = skin_ring(panel, "a" if face == "a" else "b")
        solid = loft(ring, ring, 1.0, panel.holes)
        mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
        centre = np.array([*mesh.center_mass[:2], w])
        second = np.array(mesh.moment_inertia)
        parts.append((float(mesh.volume), centre, second))
    mass = sum(area for area, _, _ in parts)
    cg = sum((area * centre for area, centre, _ in parts), np.zeros(3)) / mass
    assert paper.mass == pytest.approx(mass, rel=RELATIVE)
    assert np.allclose(paper.cg, cg, rtol=RELATIVE, atol=1e-7)
    about_z = sum(
        second[2, 2] + area * float(((centre - cg)[:2] ** 2).sum()) for area, centre, second in parts
    )
    assert paper.inertia[2, 2] == pytest.approx(about_z, rel=RELATIVE)


@given(seeds())
def test_a_folded_blank_agrees_with_its_placed_meshes(rng: np.random.Generator) -> None:
    blank = random_strip(rng)
    material = Material(blank.thickness, 3.1e-5, 0.0)
    places = transforms(blank)
    ours = mass_properties(board_moments(((blank, places),), material))
    meshes = []
    for panel in blank.panels:
        solid = loft(mass_ring(panel, 0.0), mass_ring(panel, 1.0), blank.thickness)
        mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
        meshes.append(mesh.apply_transform(places[panel.name]))
    points = np.concatenate([mesh.vertices for mesh in meshes])
    starts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    faces = np.concatenate([mesh.faces + start for mesh, start in zip(meshes, starts, strict=False)])
    whole = trimesh.Trimesh(points, faces, process=False)
    whole.density = material.foam_g_mm3
    found = whole.mass_properties
    theirs = MassProperties(float(found.mass), np.array(found.center_mass), np.array(found.inertia))
    assert_same(ours, theirs)


def test_a_plate_has_the_inertia_of_a_thin_plate() -> None:
    # Published: I_z = m(a² + b²)/12 about the middle of a plate a by b.
    plate = Panel("p", _rectangle(120.0, 80.0), (SQUARE,) * 4)
    found = mass_properties(panel_moments(plate, WHOLE))
    mass = 120.0 * 80.0 * AREAL
    assert found.mass == pytest.approx(mass, rel=1e-12)
    assert np.allclose(found.cg, (60.0, 40.0, T / 2.0))
    assert found.inertia[2, 2] == pytest.approx(mass * (120.0**2 + 80.0**2) / 12.0, rel=1e-12)
    # First principles: foam t²/12, two papers (t/2)² each
    through = mass * 80.0**2 / 12.0 + 120.0 * 80.0 * (
        T * WHOLE.foam_g_mm3 * T * T / 12.0 + WHOLE.paper_g_mm2 * T * T / 2.0
    )
    assert found.inertia[0, 0] == pytest.approx(through, rel=1e-12)


def _rectangle(a: float, b: float) -> FloatArray:
    return np.array([(0.0, 0.0), (a, 0.0), (a, b), (0.0, b)])


def test_wedges_cut_away_are_gone_and_pressed_ones_stay() -> None:
    # First principles: a bevel of width c over length L lacks c*t/2 * L of foam and c*L of one paper.
    ring = _rectangle(100.0, 60.0)
    square = panel_moments(Panel("p", ring, (SQUARE,) * 4), WHOLE)[3, 3]
    cut = panel_moments(Panel("p", ring, (EdgeCut(b=4.0), SQUARE, SQUARE, SQUARE)), WHOLE)[3, 3]
    lost = 4.0 * T / 2.0 * 100.0 * WHOLE.foam_g_mm3 + 4.0 * 100.0 * WHOLE.paper_g_mm2
    assert square - cut == pytest.approx(lost, rel=1e-12)
    pressed = EdgeCut(b=4.0, squeezed=True)
    assert panel_moments(Panel("p", ring, (pressed, SQUARE, SQUARE, SQUARE)), WHOLE)[3, 3] == pytest.approx(
        square
    )
    rebate = EdgeCut(a=T, b=T, paper_a=True)
    cleared = panel_moments(Panel("p", ring, (rebate, SQUARE, SQUARE, SQUARE)), WHOLE)[3, 3]
    gone = T * T * 100.0 * WHOLE.foam_g_mm3 + T * 100.0 * WHOLE.paper_g_mm2
    assert square - cleared == pytest.approx(gone, rel=1e-12)


@pytest.mark.parametrize("order", [1, -1])
def test_a_hole_is_not_there_whichever_way_it_runs(order: int) -> None:
    hole = (np.array([20.0, 20.0]) + _rectangle(10.0, 8.0))[::order]
    panel = Panel("p", _rectangle(100.0, 60.0), (SQUARE,) * 4, (hole, hole + 30.0))
    found = panel_moments(panel, WHOLE)
    assert found[3, 3] == pytest.approx((6000.0 - 160.0) * AREAL, rel=1e-12)


def test_a_line_of_glue() -> None:
    # First principles: a rod of length L has I = m L²/12 about its middle.
    line = np.array([(10.0, -50.0, 3.0), (10.0, 20.0, 3.0), (10.0, 50.0, 3.0)])
    found = mass_properties(line_moments(line, 0.01))
    assert found.mass == pytest.approx(1.0, rel=1e-12)
    assert np.allclose(found.cg, (10.0, 0.0, 3.0), atol=1e-12)
    assert np.allclose(np.diag(found.inertia), (1e4 / 12.0, 0.0, 1e4 / 12.0), atol=1e-9)


def test_a_box_and_points() -> None:
    box = mass_properties(box_moments(np.array([1.0, 2.0, 3.0]), np.array([10.0, 20.0, 30.0]), 6.0))
    assert np.allclose(box.cg, (1.0, 2.0, 3.0))
    # First principles: m(b² + c²)/12
    assert np.allclose(np.diag(box.inertia), (650.0, 500.0, 250.0))
    turned = np.array([(0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0)])
    swapped = mass_properties(box_moments(np.zeros(3), np.array([10.0, 20.0, 30.0]), 6.0, turned))
    assert np.allclose(np.diag(swapped.inertia), (500.0, 650.0, 250.0))
    pair = point_moments(np.array([1.0, 0.0, 0.0]), 2.0) + point_moments(np.array([-1.0, 0.0, 0.0]), 2.0)
    dumbbell = mass_properties(pair)
    assert np.allclose(np.diag(dumbbell.inertia), (0.0, 4.0, 4.0))


@given(seeds())
def test_moving_a_body_moves_its_centre_and_turns_its_inertia(rng: np.random.Generator) -> None:
    moments = panel_moments(random_panel(rng, T), WHOLE)
    place = frame(rng.uniform(-300.0, 300.0, 3), rng.normal(size=3), rng.normal(size=3))
    before, after = mass_properties(moments), mass_properties(moved(moments, place))
    assert after.mass == pytest.approx(before.mass, rel=1e-12)
    assert np.allclose(after.cg, place[:3, :3] @ before.cg + place[:3, 3], atol=1e-9)
    turned = place[:3, :3] @ before.inertia @ place[:3, :3].T
    assert np.allclose(after.inertia, turned, rtol=1e-8, atol=1e-9 * float(np.abs(turned).max()))


def test_blanks_add_up() -> None:
    blanks = [random_strip(np.random.default_rng(seed)) for seed in (1, 2)]
    same = [Blank(b.name, T, b.panels, b.folds, b.root, b.placement) for b in blanks]
    parts = [(blank, transforms(blank)) for blank in same]
    each = [board_moments(((blank, places),), WHOLE) for blank, places in parts]
    assert np.allclose(board_moments(parts, WHOLE), each[0] + each[1], rtol=1e-12)
    assert np.array_equal(board_moments((), WHOLE), np.zeros((4, 4)))


def test_what_has_no_mass_has_no_centre() -> None:
    with pytest.raises(ValueError, match="no mass"):
        mass_properties(np.zeros((4, 4)))


def test_a_blank_of_other_board_is_refused() -> None:
    blank = random_strip(np.random.default_rng(1))
    with pytest.raises(ValueError, match="material"):
        board_moments(((blank, transforms(blank)),), Material(blank.thickness + 0.1, 1e-5, 1e-4))


def test_the_prism_lacks_what_is_pressed() -> None:
    panel = Panel("p", _rectangle(100.0, 60.0), (EdgeCut(b=4.0, squeezed=True), SQUARE, SQUARE, SQUARE))
    solid = prism(panel, T)
    mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
    assert mesh.volume == pytest.approx(6000.0 * T - 4.0 * T / 2.0 * 100.0, rel=1e-12)


@given(seeds())
def test_skins_weigh_as_sheets_on_their_own_faces(rng: np.random.Generator) -> None:
    """Against the mesh library: each skin is a sheet of the paper's outline, at the face's own height."""
    plain = random_panel(rng, T)
    on_a, on_b = rng.uniform(-1e-4, 3e-4, 2).tolist()
    skinned = replace(plain, skin=(on_a, on_b))
    more = panel_moments(skinned, WHOLE) - panel_moments(plain, WHOLE)
    for weight, face, w in ((on_a, "a", T), (on_b, "b", 0.0)):
        ring = skin_ring(plain, "a" if face == "a" else "b")
        solid = loft(ring, ring, 1.0, plain.holes)
        mesh = trimesh.Trimesh(solid.points, solid.triangles, process=False)
        first = np.array([*mesh.center_mass[:2], w, 1.0]) * float(mesh.volume) * weight
        more[:, 3] -= first
    scale = float(np.abs(panel_moments(plain, WHOLE)[:, 3]).max())
    assert np.allclose(more[:, 3], 0.0, atol=1e-9 * scale)


def test_peeling_both_papers_leaves_the_foam() -> None:
    # First principles, with a hole and a bevel: only the foam's moments are left.
    rng = np.random.default_rng(3)
    for panel in (random_panel(rng, T) for _ in range(50)):
        bare = replace(panel, skin=(-WHOLE.paper_g_mm2, -WHOLE.paper_g_mm2), bare=(True, True))
        scale = float(np.abs(panel_moments(panel, WHOLE)).max())
        assert np.allclose(panel_moments(bare, WHOLE), panel_moments(panel, FOAM), atol=1e-12 * scale)


def test_paint_on_one_face_of_a_plate() -> None:
    # First principles: 30 g/m² on face A of 120 x 80 mm with a bevel of 4 mm there and a hole of 20 x 10 mm.
    hole = _rectangle(20.0, 10.0) + 30.0
    panel = Panel("p", _rectangle(120.0, 80.0), (EdgeCut(a=4.0), SQUARE, SQUARE, SQUARE), (hole,))
    painted = replace(panel, skin=(30e-6, 0.0))
    more = panel_moments(painted, WHOLE) - panel_moments(panel, WHOLE)
    area = 120.0 * 76.0 - 200.0
    assert more[3, 3] == pytest.approx(30e-6 * area, rel=1e-12)
    assert more[2, 3] == pytest.approx(30e-6 * area * T, rel=1e-12)
    assert more[0, 3] == pytest.approx(30e-6 * (120.0 * 76.0 * 60.0 - 200.0 * 40.0), rel=1e-12)
    assert more[1, 3] == pytest.approx(30e-6 * (120.0 * 76.0 * 42.0 - 200.0 * 35.0), rel=1e-12)
    other = replace(panel, skin=(0.0, 30e-6))
    assert panel_moments(other, WHOLE)[2, 3] == pytest.approx(panel_moments(panel, WHOLE)[2, 3], rel=1e-12)
