"""Joints between parts as they are designed: every kind of surface with every kind of body.

Expected: first principles (two boards never stand in one place; figures worked out beside them).
"""

from __future__ import annotations

from math import radians, tan
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from pydantic import TypeAdapter

from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining import joiners
from foldwright.airframe.kinds import builders
from foldwright.airframe.model import PartBuild
from foldwright.base.messages import words
from foldwright.design.parts import Joint, Part
from tests.airframe.joints import T, corners, shared
from tests.airframe.parts import board
from tests.examples import examples

PARTS: TypeAdapter[Any] = TypeAdapter(Part)
JOINTS: TypeAdapter[Any] = TypeAdapter(Joint)
BOUGHT = (("boom", Bought(8.0, 8.0, 20.0, "wood", "square")), ("j", Bought(4.0, 4.0, 9.0, "wood", "rod")))
BENCH = Bench(board(), BOUGHT, 0.0)
Bays = tuple[dict[str, float], ...]


def built(kind: str, **keys: Any) -> tuple[Any, PartBuild]:
    """A part of a design and what is built of it."""
    made = PARTS.validate_python({"kind": kind, "id": kind.replace("_", "-"), **keys})
    return made, builders()[type(made)](made, BENCH)


def part(kind: str, **keys: Any) -> tuple[Any, PartBuild]:
    """The same for parts whose own findings must not stand in the way."""
    made, build = built(kind, **keys)
    assert not [f for f in build.findings if f.verdict == "no-go"], build.findings
    return made, build


def joined(
    kind: str, one: tuple[Any, PartBuild], other: tuple[Any, PartBuild], **keys: Any
) -> tuple[PartBuild, PartBuild, Joined]:
    a, b = one[1].id, other[1].id
    joint = JOINTS.validate_python({"kind": kind, "id": "j", "parts": (a, b), **keys})
    done = joiners()[type(joint)].join(
        {a: one[0], b: other[0]}, {a: one[1], b: other[1]}, joint, BENCH
    )  # fmt: skip
    for found in done.findings:
        assert words(found).says
        assert words(found).cure
    return done.changed.get(a, one[1]), done.changed.get(b, other[1]), done


def station(x: float, width: float, bottom: float, top: float) -> dict[str, float]:
    return {"x_mm": x, "width_mm": width, "bottom_mm": bottom, "top_mm": top}


def box(**keys: Any) -> tuple[Any, PartBuild]:
    rows = (station(0, 56, -30, 40), station(250, 56, -30, 40), station(500, 36, 0, 40))
    return part("box", **{"station": rows, **keys})


def sheet() -> tuple[Any, PartBuild]:
    ring = ((0, -30), (300, -30), (550, 0), (550, 40), (0, 40))
    doubler = ({"id": "front", "from_mm": 20, "to_mm": 260},)
    return part("profile_body", polygon_mm=ring, doubler=doubler)


def plate_wing(**keys: Any) -> tuple[Any, PartBuild]:
    table = {"x_mm": 60.0, "z_mm": 25.0, "span_mm": 800.0, "chord_mm": 160.0, **keys}
    return part("plate_wing", **table)


def tailplane(**keys: Any) -> tuple[Any, PartBuild]:
    table = {"x_mm": 420.0, "z_mm": 30.0, "span_mm": 300.0, "chord_mm": 90.0, "role": "tailplane", **keys}
    return part("plate_wing", **table)


def folded(**keys: Any) -> tuple[Any, PartBuild]:
    table: dict[str, Any] = {
        "x_mm": 50.0, "z_mm": 20.0, "span_mm": 900.0, "chord_mm": 200.0,
        "spar": {"x_mm": 56.0, "height_mm": 13.0}, "strip": {"aft_mm": 120.0}, **keys,
    }  # fmt: skip
    return part("folded_wing", **table)


def fin(**keys: Any) -> tuple[Any, PartBuild]:
    table: dict[str, Any] = {
        "x_mm": 425.0, "z_mm": 40.0,
        "taper": {"root_mm": 75.0, "tip_mm": 50.0, "height_mm": 90.0, "tip_aft_mm": 25.0}, **keys,
    }  # fmt: skip
    return part("plate", **table)


RISING = ({"chord_mm": 130.0, "dihedral_deg": 5.0, "aft_mm": 15.0},)
SWEPT = ({"chord_mm": 150.0, "aft_mm": 160.0},)


@pytest.mark.parametrize("kind", ["saddle", "through"])
@pytest.mark.parametrize("bay", [(), RISING, SWEPT])
def test_plate_wings_in_boxes_and_sheets(kind: str, bay: Bays) -> None:
    z = 25.0 if kind == "saddle" else 8.0
    for other in (box(), sheet()):
        one, body, done = joined(kind, plate_wing(bay=bay, z_mm=z), other)
        assert done.findings == ()
        assert shared(one, body) == 0.0
        assert done.shown is not None
        assert done.shown.first
        assert done.shown.second


@pytest.mark.parametrize("bay", [(), RISING, ({"chord_mm": 140.0, "aft_mm": 120.0},)])
def test_folded_wings_in_boxes_and_sheets(bay: Bays) -> None:
    for other in (box(), sheet()):
        one, body, done = joined("saddle", folded(bay=bay), other)
        assert done.findings == ()
        assert shared(one, body) == 0.0


def test_a_rising_wing_under_bands() -> None:
    keys = {
        "dowel": "rod", "front_x_mm": 35.0, "front_z_mm": 10.0, "rear_x_mm": 240.0, "rear_z_mm": 10.0,
    }  # fmt: skip
    one, body, done = joined("band_on", plate_wing(bay=RISING), box(), **keys)
    assert done.findings == ()
    assert shared(one, body) == 0.0
    assert len(body.bars) == 2


def test_a_tailplane_and_its_fin() -> None:
    """Tailplane in the tail's sides, the fin on it: root at z = 30 + 5, tabs flush with z = 30."""
    tail = tailplane(control=({"id": "elevator", "kind": "elevator", "chord_mm": 30.0, "inner_mm": 12.0,
                               "outer_mm": 145.0},))  # fmt: skip
    upright, level, done = joined("slot_tab", fin(), tail, tab_length_mm=14.0, to_mm=60.0)
    assert done.findings == ()
    assert corners(upright)[:, 2].min() == pytest.approx(30.0)
    assert shared(upright, level) == 0.0
    other, body, seat = joined("saddle", (tail[0], level), box())
    assert seat.findings == ()
    assert shared(other, body) == 0.0
    assert shared(upright, body) == 0.0


def test_a_fin_on_an_elevator() -> None:
    """Off the centre line, its tabs would go through the elevator, hinge 60 mm behind the leading edge."""
    tail = tailplane(control=({"id": "elevator", "kind": "elevator", "chord_mm": 30.0, "inner_mm": 12.0,
                               "outer_mm": 145.0},))  # fmt: skip
    _, _, done = joined("slot_tab", fin(y_mm=60.0), tail, tab_length_mm=14.0)
    assert {(f.code, f.verdict) for f in done.findings} == {("G160", "no-go")}


def test_a_fin_with_a_rudder_keeps_its_tabs_ahead_of_it() -> None:
    rudder = {"id": "rudder", "kind": "rudder", "chord_mm": 25.0, "inner_mm": 0.0, "outer_mm": 80.0}
    one, other, done = joined("slot_tab", fin(control=(rudder,)), tailplane(), tab_length_mm=12.0)
    assert done.findings == ()
    low = corners(one)
    tabs = low[low[:, 2] < 34.0]
    # the hinge at the root stands 50 mm behind the root's leading edge, x = 425
    assert tabs[:, 0].max() < 475.0
    assert shared(one, other) == 0.0


@pytest.mark.parametrize("lean", [-20.0, 0.0, 15.0])
@pytest.mark.parametrize("surface", ["plate", "folded"])
def test_twin_fins_near_the_tips_of_a_swept_wing(lean: float, surface: str) -> None:
    if surface == "plate":
        wing = plate_wing(bay=({"chord_mm": 150.0, "aft_mm": 160.0},))
        place = {"x_mm": 60.0 + 160.0 * 360.0 / 400.0 + 20.0, "y_mm": 360.0}
    else:
        wing = folded(bay=({"chord_mm": 180.0, "aft_mm": 160.0},))
        place = {"x_mm": 50.0 + 160.0 * 400.0 / 450.0 + 128.0, "y_mm": 400.0}
    twin = fin(
        **place, mirrored=True, lean_deg=lean, taper={"root_mm": 45.0, "tip_mm": 30.0, "height_mm": 60.0}
    )
    one, other, done = joined("slot_tab", twin, wing, tab_length_mm=12.0)
    assert done.findings == ()
    assert shared(one, other) < 0.1
    right, left = (corners(PartBuild("x", (blank,))) for blank in one.blanks)
    twin_left = left * [1.0, -1.0, 1.0]
    assert np.sort(right.round(5), axis=0) == pytest.approx(np.sort(twin_left.round(5), axis=0), abs=1e-5)
    top, root = right[right[:, 2].argmax()], right[right[:, 2].argmin()]
    # leaning outward is positive: its top stands further out
    assert np.sign(round((top[1] - root[1]) / 20.0)) == np.sign(lean)


@pytest.mark.parametrize("mirrored", [True, False])
def test_level_plates_into_the_sides_of_a_box(mirrored: bool) -> None:
    """Canard halves: root edges at the outer faces, y = 28, tabs flush with the inner ones at 23."""
    ring = ((0, 0), (60, 0), (50, 90), (10, 90))
    half = part("plate", plane="level", x_mm=40.0, y_mm=30.0, z_mm=10.0, polygon_mm=ring, mirrored=mirrored)
    one, body, done = joined("slot_tab", half, box(), tab_length_mm=12.0)
    assert done.findings == ()
    y = np.abs(corners(one)[:, 1])
    assert (y.min(), y.max()) == pytest.approx((23.0, 28.0 + 90.0))
    holes = {panel.name: len(panel.holes) for panel in body.blanks[0].panels if panel.holes}
    assert holes == ({"right": 2, "left": 2} if mirrored else {"right": 2})
    assert shared(one, body) == 0.0


def test_a_plate_across_a_wing() -> None:
    """A rib standing across a plate wing, upper face at z = 25 + 5, off the centre line."""
    ring = ((0, 0), (80, 0), (60, 30), (20, 30))
    rib = part("plate", plane="across", x_mm=120.0, y_mm=60.0, z_mm=33.0, polygon_mm=ring, lifting=False)
    one, wing, done = joined("slot_tab", rib, plate_wing(), tab_length_mm=12.0)
    assert done.findings == ()
    z = corners(one)[:, 2]
    assert (z.min(), z.max()) == pytest.approx((25.0, 60.0))
    assert shared(one, wing) == 0.0


@pytest.mark.parametrize("mirrored", [True, False])
def test_a_fin_turned_upside_down_hangs_under_a_wing(mirrored: bool) -> None:
    """Turned by 180 degrees about x: root at the under face z = 25, tabs up to 30."""
    hung = fin(x_mm=80.0, y_mm=150.0, z_mm=20.0, turn_deg=(180.0, 0.0, 0.0), mirrored=mirrored)
    one, wing, done = joined("slot_tab", hung, plate_wing(), tab_length_mm=14.0)
    assert done.findings == ()
    z = corners(one)[:, 2]
    assert (z.min(), z.max()) == pytest.approx((25.0 - 90.0, 30.0))
    assert shared(one, wing) == 0.0
    # what the lattice sees hangs too
    le = one.surfaces[0].le[:, 2]
    assert (le.max(), le.min()) == pytest.approx((25.0, -65.0), abs=0.01)


def test_a_v_tail_on_a_sheet() -> None:
    tail = part("v_tail", x_mm=430.0, z_mm=12.0, root_mm=90.0, tip_mm=60.0, length_mm=150.0)
    one, body, done = joined("saddle", tail, sheet())
    assert done.findings == ()
    assert shared(one, body) == 0.0
    one, body, done = joined("saddle", tail, box())
    assert done.findings == ()
    assert shared(one, body) == 0.0


@pytest.mark.parametrize(("z", "fine"), [(4.0, True), (-9.0, True), (0.0, False)])
def test_a_tailplane_on_a_boom(z: float, fine: bool) -> None:
    """A boom 8 mm high at z = 0: on it at 4, under it at -9, not in it."""
    boom = part("stick", id="boom", stock="square-8", from_mm=250.0, to_mm=520.0, z_mm=0.0)
    _, _, done = joined("clamp", tailplane(z_mm=z), boom)
    assert [f.code for f in done.findings] == ([] if fine else ["G176"])


def test_a_doubler_inside_a_body() -> None:
    ring = ((0, -20), (100, -20), (100, 20), (0, 20))
    plate = part("plate", x_mm=40.0, y_mm=20.0, z_mm=0.0, polygon_mm=ring, mirrored=True, lifting=False)
    one, body, done = joined("patch", plate, box(), panel="right", face="b")
    assert done.findings == ()
    assert np.abs(corners(one)[:, 1]).max() == pytest.approx(28.0 - T)
    assert shared(one, body) == 0.0
    assert len(one.masses) == 2


def test_how_high_a_rising_wing_stands_at_the_sides() -> None:
    """Under face 25 mm at the middle, 5 degrees: 27.01 at y = 23; 0.3 of play; the sides begin at -30."""
    _, _, done = joined("saddle", plate_wing(bay=({"chord_mm": 160.0, "dihedral_deg": 5.0},)), box())
    assert done.shown is not None
    low = 25.0 + 23.0 * tan(radians(5.0)) - 0.3
    assert done.shown.figures["left_below_mm"] == pytest.approx(low + 30.0, abs=0.05)


@st.composite
def random_wings(draw: st.DrawFn) -> tuple[Any, PartBuild, float, float, float]:
    """A wing of single or folded board, tapered, swept either way, with or without dihedral.

    With it: half span, leading edge at the tip and chord there, mm.
    """
    span, chord = draw(st.floats(500.0, 900.0)), draw(st.floats(150.0, 220.0))
    tip, aft = chord * draw(st.floats(0.6, 1.0)), draw(st.floats(-60.0, 160.0))
    bay = {"chord_mm": tip, "aft_mm": aft, "dihedral_deg": draw(st.sampled_from([0.0, 3.0, 7.0]))}
    keys: dict[str, Any] = {
        "x_mm": draw(st.floats(20.0, 120.0)), "z_mm": draw(st.floats(10.0, 30.0)), "span_mm": span,
        "chord_mm": chord, "incidence_deg": draw(st.floats(-1.0, 4.0)), "bay": (bay,),
    }  # fmt: skip
    kind = draw(st.sampled_from(["plate_wing", "folded_wing"]))
    if kind == "folded_wing":
        keys |= {
            "spar": {"x_mm": 0.3 * chord, "height_mm": draw(st.floats(9.0, 12.0))},
            "strip": {"aft_mm": 0.6 * chord},
        }
    made, build = built(kind, **keys)
    assume(not [f for f in build.findings if f.verdict == "no-go"])
    assume(build.blanks)
    return made, build, span / 2.0, keys["x_mm"] + aft, tip


@settings(max_examples=examples(40))
@given(random_wings(), st.floats(0.5, 0.92), st.floats(-15.0, 25.0), st.floats(0.0, 0.4))
def test_fins_on_random_wings(
    wing: tuple[Any, PartBuild, float, float, float], out: float, lean: float, clearance: float
) -> None:
    """Fins stand behind the middle of the chord; what they run into besides their slots is a finding."""
    made, build, half, tip_x, tip = wing
    root_x = float(made.x_mm)
    chord = made.chord_mm + out * (tip - made.chord_mm)
    x = root_x + out * (tip_x - root_x) + 0.68 * chord
    twin = fin(
        x_mm=x, y_mm=out * half, z_mm=30.0, mirrored=True, lean_deg=lean,
        taper={"root_mm": 0.25 * chord, "tip_mm": 20.0, "height_mm": 50.0},
    )  # fmt: skip
    one, other, done = joined(
        "slot_tab", twin, (made, build), tab_length_mm=8.0, tabs=1, clearance_mm=clearance
    )
    if any(f.verdict == "no-go" for f in done.findings):
        assert done.changed == {}
    elif not {f.code for f in done.findings} & {"G162"}:
        assert shared(one, other) < 1.0


@settings(max_examples=examples(40))
@given(random_wings(), st.sampled_from(["saddle", "through"]), st.booleans(), st.floats(0.0, 0.5))
def test_random_wings_in_bodies(
    wing: tuple[Any, PartBuild, float, float, float], kind: str, flat: bool, clearance: float
) -> None:
    made, build, *_ = wing
    one, body, done = joined(kind, (made, build), sheet() if flat else box(), clearance_mm=clearance)
    if not any(f.verdict == "no-go" for f in done.findings):
        # without clearance: steps of 0.02 mm along a cut-out are left out
        assert shared(one, body) < (9.0 if clearance < 0.02 else 0.001)
        assert done.shown is not None
