"""Solids of trays, legs and skids: closed, as heavy as reckoned, clear of board and equipment, printable."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import radians, sin

import numpy as np
import pytest
import trimesh

from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fitting_places import bites
from foldwright.airframe.fittings.landing_leg import SCREW_MM, LegShape
from foldwright.airframe.tray_shape import TrayShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import faults, mesh_of
from foldwright.geometry.solid.core import Solid, box
from foldwright.make.fittings import makers
from foldwright.make.printing import Made, laid
from tests.airframe.fittings.sites_c import BOARD, LEG, TRAYS, Built, built, put, skid

PLANS: dict[str, tuple[str, str, Callable[[str], str]]] = {
    "marram": ("marram", TRAYS + skid(150.0, 380.0), str),
    "bracken": ("bracken", TRAYS + skid(100.0, 250.0), str),
    "teasel": ("teasel", LEG + skid(560.0, 640.0), str),
    "board": ("marram", BOARD, str),
    "side": (
        "teasel", LEG,
        put("y_mm = 22.0\nz_mm = -28.0\nlong_mm = 78.0", "y_mm = 26.0\nz_mm = -20.0\nlong_mm = 86.0"),
    ),
}  # fmt: skip
STEEP = sin(radians(45.5))
"""A face that looks down more steeply than 45 degrees wants support (common practice, no source)."""


@cache
def _plan(name: str) -> Built:
    design, extra, edit = PLANS[name]
    return built(design, extra, edit)


def _made(one: Fitting) -> Made:
    made: Made = makers()[type(one.shape)](one.shape, Printer())
    return made


def _mesh(solid: Solid) -> trimesh.Trimesh:
    mesh = mesh_of(solid)
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)


@pytest.mark.parametrize("name", sorted(PLANS))
def test_closed_and_as_reckoned(name: str) -> None:
    plan = _plan(name)
    assert plan.airframe.fittings
    for one in plan.airframe.fittings:
        made = _made(one)
        assert not faults(made.body), one.id
        mesh = _mesh(made.body)  # trimesh: another library
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(made.body.volume, rel=1e-5)  # corners are on a grid of 1e-4 mm
        # closed form against the solid: round things are polygons of 48 sides
        assert made.body.volume == pytest.approx(one.shape.volume, rel=3e-3), one.id
        low, high = one.shape.box
        assert np.allclose(made.body.bounds[0], low, atol=0.03), one.id
        assert np.allclose(made.body.bounds[1], high, atol=0.03), one.id


@pytest.mark.parametrize("name", sorted(PLANS))
def test_clear_of_board_and_equipment(name: str) -> None:
    plan = _plan(name)
    for one in plan.airframe.fittings:
        placed = _made(one).body.placed(one.placement)
        assert sum(bites(plan.airframe, placed).values()) < 0.5, one.id
        for item in plan.fitted.items:
            if isinstance(one.shape, TrayShape) and one.shape.pegs and item.holes_mm is not None:
                continue  # its pegs stand in the board's holes
            at, half = np.array(item.place_mm), np.array(item.size_mm) / 2.0
            assert (placed & box(at - half, at + half)).volume < 0.01, (one.id, item.id)


@pytest.mark.parametrize("name", sorted(PLANS))
def test_printed_without_support(name: str) -> None:
    for one in _plan(name).airframe.fittings:
        made = _made(one)
        assert not made.support
        mesh = _mesh(laid(made.body, made.lay)[0])
        over = (mesh.face_normals[:, 2] < -STEEP) & (mesh.triangles_center[:, 2] > 0.02)
        allowed = 0.0
        if isinstance(one.shape, TrayShape):
            # roofs over a tie's tunnel and a strap's groove: bridged, a few mm wide
            for hollow in one.shape.hollows:
                (x0, y0), (x1, y1) = np.min(hollow.ring, axis=0), np.max(hollow.ring, axis=0)
                assert min(x1 - x0, y1 - y0) <= 4.5
                allowed += (x1 - x0) * (y1 - y0) * 1.02
        if isinstance(one.shape, LegShape):
            allowed = one.shape.holes * SCREW_MM * one.shape.thick  # crowns of holes that lie across
        assert float(mesh.area_faces[over].sum()) <= allowed, one.id


def test_a_leg_lies_on_its_side() -> None:
    one = _plan("teasel").fitting("main-leg/right")
    made = _made(one)
    body, _ = laid(made.body, made.lay)
    assert isinstance(one.shape, LegShape)
    # its width is its height on the bed, so the lines of the print run along the strip
    assert body.size[2] == pytest.approx(one.shape.wide, abs=1e-6)
    assert "side" in made.orientation


def test_hands_of_a_leg_are_mirror_images() -> None:
    plan = _plan("teasel")
    right, left = (_made(plan.fitting(f"main-leg/{side}")).body for side in ("right", "left"))
    over = right.mirrored((0.0, 1.0, 0.0))
    assert (over - left).volume + (left - over).volume < 0.5
    # the right one's toe is on the right
    assert right.bounds[1][1] > 20.0
    assert left.bounds[0][1] < -20.0


def test_a_legs_mass_lies_where_its_solid_has_it() -> None:
    plan = _plan("teasel")
    one = plan.fitting("main-leg/right")
    mesh = _mesh(_made(one).body.placed(one.placement))
    (mass,) = [item for item in plan.airframe.masses if item.id == one.id]
    cg = mass.moments[:3, 3] / mass.moments[3, 3]
    assert np.allclose(mesh.center_mass, cg, atol=3.0)  # the toe is thicker than the line


def test_screws_go_through_the_pad() -> None:
    plan = _plan("teasel")
    one = plan.fitting("main-leg/right")
    body, shape = _made(one).body, one.shape
    assert isinstance(shape, LegShape)
    for spot in shape.spots:
        pin = box((-0.5, -spot - 0.5, -10.0), (0.5, -spot + 0.5, 1.0))
        assert (body & pin).volume == 0.0


def test_channels_are_as_wide_as_asked() -> None:
    one = _plan("marram").fitting("controller-tray")
    assert isinstance(one.shape, TrayShape)
    walls = [np.array(each.ring) for each in one.shape.raised if not each.level]
    # behind the post (6 mm long) a wall to either side, 4 mm apart (channel_mm)
    long = [ring for ring in walls if np.isclose(np.ptp(ring[:, 1]), 1.2)]
    assert len(long) == 2
    inner = sorted(float(np.abs(ring[:, 1]).min()) for ring in long)
    assert inner == pytest.approx([2.0, 2.0])
