"""Motor mounts, judged by their solids: axis, holes, foot, words, room; every sign and end.

Expected places and directions are worked out here from what the design's keys mean, first principles: a
negative tilt of a rear motor has its propeller end higher, of a front motor lower; side thrust to the right
is a thrust vector that points to the right.
"""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
import shapely
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.airframe.fitting_places import bites, face_area, face_frame, placed_named
from foldwright.airframe.fittings import motor_mount
from foldwright.airframe.fittings.motor_mount import mount_placement
from foldwright.airframe.fittings.mount_room import fitted_rect
from foldwright.airframe.fittings.mount_shape import MotorMountShape
from foldwright.airframe.fittings.mount_words import aside_words, tilt_words
from foldwright.base.messages import told, words
from foldwright.base.types import FloatArray
from foldwright.design.fittings import MotorMount
from foldwright.design.model import Design
from foldwright.flight.thrust_line import side_words
from foldwright.flight.thrust_line import tilt_words as flight_words
from foldwright.geometry.fold.model import Face
from foldwright.geometry.solid.check import faults, mesh_of
from foldwright.geometry.solid.core import Solid, rod
from foldwright.geometry.solid.shape import rectangle
from foldwright.geometry.transform import apply, inverse
from tests.airframe.fittings.demo_designs import Built, built, plain, with_board, with_motor, with_row
from tests.examples import examples
from tests.world import workshop

MOUNT = MotorMount(id="mount")
UP = np.array([0.0, 0.0, 1.0])


def placed_solid(made: Built, name: str = "mount") -> Solid:
    """The solid in the aeroplane."""
    return made.made(name).body.placed(made.named(name).placement)


def mesh(solid: Solid) -> trimesh.Trimesh:
    """For an independent library."""
    own = mesh_of(solid)
    return trimesh.Trimesh(own.vertices, own.faces, process=False)


def out_of(made: Built) -> FloatArray:
    """Direction from the former to the propeller, from the keys alone."""
    motor = made.design.motor
    e, s = radians(motor.tilt_deg), radians(motor.side_deg)
    thrust = np.array([-cos(e) * cos(s), sin(s), sin(e) * cos(s)])  # ahead, to the right, up
    rear = motor.x_mm > 200.0
    return -thrust if rear else thrust


def in_place(made: Built, name: str = "mount") -> trimesh.Trimesh:
    """The mesh with its corners moved into the aeroplane."""
    own = mesh_of(made.made(name).body)
    return trimesh.Trimesh(apply(made.named(name).placement, own.vertices), own.faces, process=False)


def area_facing(body: trimesh.Trimesh, way: FloatArray, off_deg: float) -> float:
    """Area of the faces whose normal lies within some degrees of a direction."""
    return sum(
        float(area)
        for normal, area in zip(body.face_normals, body.area_faces, strict=True)
        if angle(normal, way) <= off_deg
    )


def angle(one: FloatArray, other: FloatArray) -> float:
    """Between two directions, degrees."""
    return degrees(atan2(float(np.linalg.norm(np.cross(one, other))), float(one @ other)))


def upright(design: Design) -> Design:
    """The motor's former without the motor's tilt."""
    return with_row(design, "body", "former", "motor-former", role="former")


CASES = [
    (name, tilt, side, lean)
    for name in ("marram", "teasel")
    for tilt, side in ((-2.9, 0.0), (3.0, 0.0), (0.0, 2.0), (-2.0, -3.0), (0.0, 0.0))
    for lean in ("tilted", "upright")
]


def case(name: str, tilt: float, side: float, lean: str) -> Built:
    """A pusher or a tractor; the motor 6 mm further out, so that every wedge has room."""
    design = plain(name)
    out = 6.0 if name == "marram" else -6.0
    z = 10.0 if name == "marram" else design.motor.z_mm
    design = with_motor(design, tilt_deg=tilt, side_deg=side, x_mm=design.motor.x_mm + out, z_mm=z)
    mount = MotorMount(id="mount", former="body.motor-former")
    return built(upright(design) if lean == "upright" else design, mount)


@pytest.mark.parametrize(("name", "tilt", "side", "lean"), CASES)
def test_motor_face_and_foot(name: str, tilt: float, side: float, lean: str) -> None:
    """The motor's face is square to the thrust line, the foot lies on the former (0.05 degrees, issue)."""
    made = case(name, tilt, side, lean)
    assert made.codes == []
    solid, body, out = placed_solid(made), in_place(made), out_of(made)
    former = placed_named(made.airframe, "body/motor-former")
    assert former is not None
    normal = former.transforms["plate"][:3, 2]
    towards = normal if float(normal @ out) > 0.0 else -normal
    for way in (out, -towards):
        assert area_facing(body, way, 0.05) > 200.0
        # slivers of triangles lean by what rounding their corners takes
        assert area_facing(body, way, 0.05) > 0.99 * area_facing(body, way, 0.5)
    assert faults(solid) == ()
    # touching the former, biting nothing
    assert all(volume < 1.0 for volume in bites(made.airframe, solid).values())
    reach = apply(inverse(former.transforms["plate"]), np.asarray(mesh_of(solid).vertices))[:, 2]
    on_a = float(normal @ out) > 0.0
    assert (abs(reach.min() - former.blank.thickness) if on_a else abs(reach.max())) < 0.01
    # what the builder reads agrees with the solid: the propeller end is higher where `out` rises
    note = next(told(n.code, "", n.params).says for n in made.airframe.notes if n.code == "P16")
    if tilt:
        assert ("higher" in note) == (out[2] > 0.0)
        assert f"{abs(tilt):g}°" in note
    if side:
        assert ("aeroplane's right" in note) == (out[1] > 0.0)
    shape = made.named("mount").shape
    assert isinstance(shape, MotorMountShape)
    if tilt:
        assert ("HI" in shape.words[1]) == (out[2] > 0.0)
    if side:
        assert shape.words[2].endswith("R") == (out[1] > 0.0)


@pytest.mark.parametrize(("name", "tilt", "side", "lean"), CASES[::3])
def test_holes_where_the_stock_says(name: str, tilt: float, side: float, lean: str) -> None:
    """Middles of the motor's holes in the aeroplane to 0.01 mm, cut by another library."""
    made = case(name, tilt, side, lean)
    motor, out = made.fitted.motor, out_of(made)
    centre = np.array(motor.place_mm) - motor.length_mm * out
    up = UP - (UP @ out) * out
    up /= np.linalg.norm(up)
    # who looks at the propeller from outside looks against `out`; up is up, so the right hand is
    right = np.cross(up, out)
    # seen from behind (pusher) the right hand is the aeroplane's right, seen from ahead its left
    assert (right[1] > 0.0) == (name == "marram")
    section = mesh(placed_solid(made)).section(plane_origin=centre - 1.0 * out, plane_normal=out)
    assert section is not None
    middles = [np.asarray(line)[:-1].mean(axis=0) + 1.0 * out for line in section.discrete]
    for across, turn in motor.bolts_mm:
        a = radians(turn)
        wanted = centre + across / 2.0 * (sin(a) * right + cos(a) * up)
        assert min(float(np.linalg.norm(m - wanted)) for m in middles) < 0.01
    assert min(float(np.linalg.norm(m - centre)) for m in middles) < 0.01


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
@pytest.mark.parametrize("shop", ["school-laser", "home-knife", "club-sheets"])
def test_demo_designs(name: str, shop: str) -> None:
    """On every board the mount fits, replaces the rough mass, and its masses agree (0.5 g or 10 %)."""
    made = built(plain(name), MOUNT, shop=shop)
    assert made.codes == []
    fitting = made.named("mount")
    body = made.made("mount").body
    assert fitting.shape.volume == pytest.approx(body.volume, rel=0.01)  # words and arrow are left out
    assert fitting.shape.surface == pytest.approx(body.area, rel=0.1)
    assert np.allclose(np.asarray(fitting.shape.box), np.asarray(body.bounds), atol=0.01)
    masses = [item.id for item in made.airframe.masses]
    assert "motor-mount" not in masses
    assert masses.count("mount") == 1
    former = placed_named(made.airframe, "body/motor-former")
    assert former is not None
    # the foot keeps its gap to the edges of the face that it stands on
    out = out_of(made)
    face: Face = "a" if float(former.transforms["plate"][:3, 2] @ out) > 0.0 else "b"
    local = inverse(face_frame(former, "plate", face)) @ fitting.placement
    foot = [v for v in apply(local, np.asarray(mesh_of(body).vertices)) if abs(v[2]) < 0.01]
    hull = shapely.MultiPoint(np.asarray(foot)[:, :2]).convex_hull
    whole = shapely.get_parts(face_area(former, "plate", face))
    outline = shapely.union_all([shapely.Polygon(part.exterior) for part in whole])
    assert outline.buffer(-0.45).contains(hull)


@pytest.mark.parametrize("exit_to", ["down", "up", "left", "right", "none"])
@pytest.mark.parametrize("name", ["marram", "teasel"])
def test_way_out_for_the_leads(name: str, exit_to: str) -> None:
    """The notch opens to the aeroplane's side that is asked for, and spares the holes."""
    made = built(
        plain(name), MotorMount.model_validate({"id": "mount", "kind": "motor_mount", "exit": exit_to})
    )
    shape = made.named("mount").shape
    assert isinstance(shape, MotorMountShape)
    if exit_to == "none":
        assert shape.notch is None
        return
    assert shape.notch is not None
    x0, y0, x1, y1 = shape.notch
    middle = np.array([(x0 + x1) / 2.0, (y0 + y1) / 2.0, 0.0])
    way = made.named("mount").placement[:3, :3] @ middle
    wanted = {"down": -way[2], "up": way[2], "left": -way[1], "right": way[1]}[exit_to]
    assert wanted > 8.0
    for x, y in shape.bolts:
        assert max(x0 - x, x - x1, y0 - y, y - y1) > shape.bolt / 2.0 + 0.8
    assert faults(made.made("mount").body) == ()


@pytest.mark.parametrize("name", ["marram", "teasel", "bracken"])
@pytest.mark.parametrize("shop", ["school-laser", "home-knife", "club-sheets"])
def test_comes_off_again(name: str, shop: str) -> None:
    """Screws about the thrust line go straight through mount, former and plate; a driver passes the motor;
    the plate bites nothing.
    """
    made = built(plain(name), MOUNT, shop=shop)
    mount = made.named("mount")
    assert isinstance(mount.shape, MotorMountShape)
    assert len(mount.shape.screws) == 4
    solids = [placed_solid(made), placed_solid(made, "mount/backing")]
    assert faults(solids[1]) == ()
    assert all(volume < 1.0 for volume in bites(made.airframe, solids[1]).values())
    out = mount.placement[:3, 2]
    for x, y in mount.shape.screws:
        start = apply(mount.placement, np.array([x, y, 0.0]))
        shank = rod((start + 20.0 * out).tolist(), (start - 40.0 * out).tolist(), 2.0)
        assert [(solid & shank).volume for solid in solids] == [0.0, 0.0]
        # a washer's worth of plastic about the shank in both
        ring = rod((start + 20.0 * out).tolist(), (start - 40.0 * out).tolist(), 4.5)
        assert all((solid & ring).volume > 5.0 for solid in solids)
        assert hypot(x, y) > (made.fitted.motor.diameter_mm + 3.8) / 2.0  # head of M2: 3.8 mm (ISO 4762)
    marks = [one for one in made.airframe.guides if one.name == "screw"]
    assert len(marks) == 8
    for k, (x, y) in enumerate(mount.shape.screws):
        start = apply(mount.placement, np.array([x, y, 0.0]))
        middle = np.mean(marks[2 * k].points, axis=0)
        assert float(np.linalg.norm(np.cross(middle - start, out))) < 1e-6
    assert mount.extra_g == pytest.approx(2.0 + 4 * 0.55)
    codes = [one.code for one in made.airframe.notes]
    assert "P120" in codes
    assert "P121" not in codes
    said = next(told(n.code, "", n.params).says for n in made.airframe.notes if n.code == "P120")
    long = float(said.split("about ")[1].split(" mm")[0])
    reach = mount.shape.depth(mount.shape.screws[0]) + made.airframe.board.thickness + 1.6
    assert reach + 1.6 < long < reach + 6.0


def test_glued_for_good_where_there_is_no_room_for_screws(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is free behind the former: no plate, no holes, the whole block, a note that says so."""
    monkeypatch.setattr(motor_mount, "behind", lambda _airframe, _stood: shapely.Polygon())
    made = built(plain("teasel"), MOUNT)
    shape = made.named("mount").shape
    assert isinstance(shape, MotorMountShape)
    assert shape.screws == ()
    assert shape.trunk == shape.outline
    assert [one.id for one in made.airframe.fittings] == ["mount"]
    codes = [one.code for one in made.airframe.notes]
    assert "P121" in codes
    assert "P120" not in codes
    assert made.named("mount").extra_g == pytest.approx(2.0)
    how = next(told(n.code, "", n.params).says for n in made.airframe.notes if n.code == "P16")
    assert "epoxy, for good" in how
    assert "screw" not in [one.name for one in made.airframe.guides]


@pytest.mark.parametrize(("name", "cut"), [("marram", True), ("bracken", True), ("teasel", False)])
def test_leads_get_through_the_former(name: str, cut: bool) -> None:
    """Marram's and Bracken's formers have no hole: one is marked at the way out; Teasel has one already."""
    made = built(plain(name), MOUNT)
    marks = [one for one in made.airframe.guides if one.name == "lead"]
    assert len(marks) == int(cut)
    assert ("P122" in [one.code for one in made.airframe.notes]) == cut
    shape = made.named("mount").shape
    assert isinstance(shape, MotorMountShape)
    assert shape.notch is not None
    former = placed_named(made.airframe, "body/motor-former")
    assert former is not None
    x0, _, x1, y1 = shape.notch
    # the inner edge of the notch and 6 mm on, seen along the thrust axis: in the hole marked, or cut already
    spots = np.array([(x, y, 0.0) for x in (x0, x1) for y in (y1, y1 - 6.0)])
    lines = apply(made.named("mount").placement, spots)
    local = apply(inverse(former.transforms["plate"]), lines)[:, :2]
    if cut:
        drawn = apply(inverse(former.transforms["plate"]), np.array(marks[0].points))[:, :2]
        holes = shapely.Polygon(drawn)
        plate = shapely.Polygon(former.blank.panels[0].polygon)
        assert plate.buffer(-1.9).contains(holes)
        assert all(holes.distance(shapely.Point(*at)) < 0.6 for at in local.tolist())
        body = placed_solid(made, "mount/backing")
        middle = np.mean(np.array(marks[0].points)[:4], axis=0)
        out = made.named("mount").placement[:3, 2]
        lead = rod((middle + 20.0 * out).tolist(), (middle - 40.0 * out).tolist(), 4.0)
        assert (body & lead).volume == 0.0
    else:
        hole = shapely.Polygon(former.blank.panels[0].holes[0])
        way = shapely.MultiPoint(local).convex_hull
        assert way.intersection(hole).area > 0.5 * way.area


def test_pair_is_handed() -> None:
    """The left mount's axis is the right one's mirror image; the screw holes are not mirrored."""
    design = with_motor(plain("marram"), mirrored=True, y_mm=3.0, side_deg=2.0)
    made = built(design, MOUNT)
    right, left = made.named("mount/right"), made.named("mount/left")
    flip = np.array([1.0, -1.0, 1.0])
    assert np.allclose(right.placement[:3, 2] * flip, left.placement[:3, 2], atol=1e-12)
    assert np.allclose(right.placement[:3, 3] * flip, left.placement[:3, 3], atol=1e-9)
    assert right.placement[1, 2] < 0.0  # thrust to the right: the propeller end points to the left
    assert isinstance(right.shape, MotorMountShape)
    assert isinstance(left.shape, MotorMountShape)
    assert right.shape.bolts == left.shape.bolts
    assert (right.shape.words[2], left.shape.words[2]) == ("2 L", "2 R")
    ids = [item.id for item in made.airframe.masses]
    assert [name for name in ids if "mount" in name] == ["mount/right", "mount/left"]


def test_words_agree_with_the_flight_room() -> None:
    """One aeroplane, one sentence: the same words as the drive's own."""
    for tilt in (-3.0, -0.02, 0.0, 2.5):
        for rear in (True, False):
            side = "rear" if rear else "front"
            assert tilt_words(tilt, rear) == flight_words(tilt, side)  # type: ignore[arg-type]
            assert aside_words(tilt, rear) == side_words(tilt, side, False)  # type: ignore[arg-type]


def test_no_room_says_how_much() -> None:
    """P10 names the propeller plane that gives room; with it the mount is made."""
    near = built(with_motor(plain("marram"), x_mm=414.0), MOUNT)
    finding = next(one for one in near.airframe.findings if one.code == "P10")
    assert finding.where == "motor.x_mm"
    assert near.airframe.fittings == ()
    assert "motor-mount" in [item.id for item in near.airframe.masses]
    assert f"Set motor.x_mm to {finding.params['x']}" in words(finding).cure
    cured = built(with_motor(plain("marram"), x_mm=float(finding.params["x"])), MOUNT)
    assert cured.codes == []
    front = built(with_motor(plain("teasel"), x_mm=-20.0), MOUNT)
    said = next(one for one in front.airframe.findings if one.code == "P10")
    assert float(said.params["x"]) < -20.0
    assert built(with_motor(plain("teasel"), x_mm=float(said.params["x"])), MOUNT).codes == []


def test_mount_larger_than_the_former() -> None:
    """P11 says on which side how much is lacking; lowering the thrust line by it lets the mount in."""
    high = built(with_motor(plain("marram"), z_mm=16.0), MOUNT)
    finding = next(one for one in high.airframe.findings if one.code == "P11")
    assert finding.params["side"] == "up"
    lack = float(finding.params["lack"])
    assert built(with_motor(plain("marram"), z_mm=16.0 - lack), MOUNT).codes == []
    wide = built(with_motor(plain("marram"), y_mm=8.0), MOUNT)
    assert next(one for one in wide.airframe.findings if one.code == "P11").params["side"] == "right"


def test_filament_beside_a_hot_motor() -> None:
    """P12 for one that softens at 60 degrees; left out, one is taken that stands it."""
    soft = built(plain("marram"), MotorMount(id="mount", filament="pla"))
    assert soft.codes == ["P12"]
    base = workshop("school-laser")
    assert base.printer is not None
    bench = base.model_copy(update={"printer": base.printer.model_copy(update={"material": "pla"})})
    assert built(plain("marram"), MOUNT, shop=bench).named("mount").printed.filament.id == "petg"
    hard = base.model_copy(update={"printer": base.printer.model_copy(update={"material": "asa"})})
    assert built(plain("marram"), MOUNT, shop=hard).named("mount").printed.filament.id == "asa"


def test_no_former_in_reach() -> None:
    """P13 where the thrust line passes beside every former."""
    assert built(with_motor(plain("marram"), z_mm=80.0), MOUNT).codes == ["P13"]


def test_stand_off_is_hollow() -> None:
    """A long gap gives walls, not a block; 80 mm of them are too long."""
    far = built(with_motor(plain("marram"), x_mm=445.0), MOUNT)
    shape = far.named("mount").shape
    assert isinstance(shape, MotorMountShape)
    assert shape.hollow
    x0, y0, x1, y1 = shape.outline
    assert shape.volume < 0.55 * (x1 - x0) * (y1 - y0) * shape.foot[0]
    body = far.made("mount").body
    assert shape.volume == pytest.approx(body.volume, rel=0.01)
    assert faults(body) == ()
    assert built(with_motor(plain("marram"), x_mm=490.0), MOUNT).codes == ["P15"]


@pytest.mark.parametrize("thickness", [3.0, 4.0, 6.0])
def test_other_boards(thickness: float) -> None:
    """The foot follows the former's face through all boards; a mount too large says so and bites nothing."""
    made = built(plain("marram"), MOUNT, shop=with_board(workshop("school-laser"), thickness))
    if made.airframe.fittings:
        assert (
            bites(made.airframe, placed_solid(made)) == {}
            or max(bites(made.airframe, placed_solid(made)).values()) < 1.0
        )
    else:
        assert set(made.codes) <= {"P10", "P11"}


def test_rectangles_in_some_room() -> None:
    """First principles: in a square of 20 mm about (2, 0) sides reach 8, 10, 12, 10, or what is wished."""
    room = rectangle(20.0, 20.0, (2.0, 0.0))
    found = fitted_rect(room, (-5.0, -5.0, 5.0, 5.0), 11.0)
    assert found == pytest.approx((-8.0, -10.0, 11.0, 10.0), abs=1e-4)
    assert fitted_rect(room, (-9.0, -5.0, 5.0, 5.0), 11.0) is None


def test_axis_of_placement() -> None:
    """A level pusher's mount looks straight aft with y up and x to the right; a tractor's x to the left."""
    motor = built(with_motor(plain("marram"), tilt_deg=0.0), MOUNT).fitted.motor
    rear = mount_placement(motor, 1.0, 1.0)
    assert np.allclose(rear[:3, :3], np.array([[0.0, 0.0, 1.0], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0]]))
    front = mount_placement(motor, -1.0, 1.0)
    assert np.allclose(front[:3, 2], (-1.0, 0.0, 0.0))
    assert np.allclose(front[:3, 0], (0.0, -1.0, 0.0))
    assert hypot(*rear[:2, 1]) < 1e-12


@settings(max_examples=examples(6), deadline=None)
@given(
    name=st.sampled_from(["marram", "teasel"]),
    tilt=st.floats(-5.0, 5.0),
    side=st.floats(-4.0, 4.0),
    out=st.floats(0.0, 40.0),
    thickness=st.floats(3.0, 6.0),
    lean=st.booleans(),
)
def test_any_thrust_line(
    name: str, tilt: float, side: float, out: float, thickness: float, lean: bool
) -> None:
    """Whatever the thrust line and the board: a mount that turns into it and bites nothing, or a finding."""
    design = plain(name)
    way = out if name == "marram" else -out
    design = with_motor(
        design,
        tilt_deg=round(tilt, 2),
        side_deg=round(side, 2),
        x_mm=design.motor.x_mm + round(way, 1),
        z_mm=8.0,
    )
    design = upright(design) if lean else design
    made = built(
        design,
        MotorMount(id="mount", former="body.motor-former"),
        shop=with_board(workshop(), round(thickness, 2)),
    )
    if not made.airframe.fittings:
        assert any(code in ("P10", "P11", "P13") for code in made.codes)
        return
    solid, body = placed_solid(made), in_place(made)
    assert faults(solid) == ()
    assert all(volume < 1.0 for volume in bites(made.airframe, solid).values())
    assert area_facing(body, out_of(made), 0.05) > 200.0
    assert made.named("mount").shape.volume == pytest.approx(solid.volume, rel=0.02)
