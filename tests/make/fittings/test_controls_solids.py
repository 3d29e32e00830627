"""Solids of horns, servo frames, rod guides and hinge strips: sound, as large as their closed forms."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.airframe.fittings.hinge_strip import HingeStripShape
from foldwright.airframe.fittings.horn import HornShape
from foldwright.airframe.fittings.rod_guide import LONG_MM, RodGuideShape
from foldwright.airframe.fittings.servo_frame import ServoFrameShape
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import faults, mesh_of
from foldwright.geometry.solid.core import box, rod
from foldwright.make.fittings import hinge_strip, horn, makers, rod_guide, servo_frame
from foldwright.make.printing import Made, laid
from tests.examples import examples

PRINTER = Printer()
SLACK = 1e-6


def check(made: Made, shape: HornShape | ServoFrameShape | RodGuideShape | HingeStripShape) -> None:
    """One closed body in its own box, laid flat on the bed."""
    assert not faults(made.body, made.bodies)
    low, high = made.body.bounds
    np.testing.assert_allclose(low, shape.box[0], atol=0.02)
    np.testing.assert_allclose(high, shape.box[1], atol=0.02)
    body, _ = laid(made.body, made.lay)
    # a first layer that holds: at least a tenth of what the print covers touches the bed
    assert body.slice_at(0.05).area > 0.1 * body.shadow().area


def test_all_are_found() -> None:
    assert {HornShape, ServoFrameShape, RodGuideShape, HingeStripShape} <= set(makers())


def overhang(made: Made) -> float:
    """Largest area that hangs in the air from one layer to the next, mm² (holes closing over not counted)."""
    body, _ = laid(made.body, made.lay)
    top, worst, below = float(body.bounds[1][2]), 0.0, None
    for z in np.arange(0.1, top, 0.2).tolist():
        here = body.slice_at(z)
        if below is not None:
            worst = max(worst, float(here.difference(below.buffer(0.25)).area))
        below = here
    return worst


@pytest.mark.parametrize("hand", [1, -1])
@pytest.mark.parametrize("mark", ["", "R", "L"])
def test_horn(hand: int, mark: str) -> None:
    """The closed form leaves the letter out; without one it is exact. Origin: first principles."""
    shape = HornShape(hand, 14.0, 3.9, 18.2, 10.0, 2.0, 2.4, 1.4, mark)
    made = horn.solid(shape, PRINTER)
    check(made, shape)
    if mark:
        bare = horn.solid(HornShape(hand, 14.0, 3.9, 18.2, 10.0, 2.0, 2.4, 1.4), PRINTER)
        cut = (bare.body - made.body).volume
        assert 2.0 < cut < 12.0
        assert made.body.volume == pytest.approx(bare.body.volume - cut, abs=1e-3)
    else:
        assert made.body.volume == pytest.approx(shape.volume, rel=SLACK)
    assert overhang(made) < 2.2 * 2.0  # only holes in the upright foot close over


@pytest.mark.parametrize("hand", [1, -1])
def test_horn_hole_and_lay(hand: int) -> None:
    """A wire passes the eye and nothing else is there; the foot stands up, the blade lies on the bed."""
    shape = HornShape(hand, 14.0, 3.9, 18.2, 10.0, 2.0, 2.4, 1.4, "R")
    made = horn.solid(shape, PRINTER)
    wire = rod((0.0, -20.0, 14.0), (0.0, 20.0, 14.0), 1.38)
    assert (made.body & wire).volume == 0.0
    thick = rod((0.0, -20.0, 14.0), (0.0, 20.0, 14.0), 1.8)
    ring = (made.body & thick).volume
    assert ring == pytest.approx(pi / 4 * (1.8**2 - 1.4**2) * 2.4, rel=0.02)  # first principles
    # what reaches ahead of the hinge line stands steep over it: the control can turn by 60° toward the horn
    ahead = made.body & box((-50.0, -50.0, -1.0), (-1e-3, 50.0, 50.0))
    corners = mesh_of(ahead).vertices
    assert float(np.degrees(np.arctan2(corners[:, 2], -corners[:, 0])).min()) > 60.0
    foot = made.body & box((0.0, -50.0, 0.0), (50.0, 50.0, 1.0))
    y = foot.bounds[0][1], foot.bounds[1][1]
    assert (y[1] > 5.0) == (hand > 0)
    assert (y[0] < -5.0) == (hand < 0)
    body, _ = laid(made.body, made.lay)
    assert float(body.size[2]) == pytest.approx(shape.wide)
    assert body.slice_at(0.1).area == pytest.approx(shape.blade.area - pi * 0.49, rel=1e-3)


def test_letters_read_right() -> None:
    """Origin: seen from the foot's side with the eye up, an L has its bar at the lower right; for either
    hand. The letter's groove is cut off and looked at.
    """
    for hand in (1, -1):
        numbers = (hand, 20.0, 3.9, 22.0, 10.0, 2.0, 2.4, 1.4)
        bare, marked = (horn.solid(HornShape(*numbers, mark), PRINTER).body for mark in ("", "L"))
        # turned by 90° about x, y goes to z and z to -y: a section half way down the groove
        cut = [one.turned(x=pi / 2.0).slice_at(hand * 0.95) for one in (bare, marked)]
        groove = cut[0].difference(cut[1]).buffer(-0.05, join_style="mitre")
        assert groove.area == pytest.approx(0.8 * 6.3, abs=0.8)  # an L of 4.5 mm: 0.9 wide, drawn in by 0.05
        x0, y0, x1, y1 = groove.bounds
        top = groove.intersection(shapely.box(-50.0, y0, 50.0, (y0 + y1) / 2.0))
        bar = groove.intersection(shapely.box(-50.0, y1 - 0.7, 50.0, y1))
        at = (top.bounds[0] + top.bounds[2]) / 2.0
        # seen from +y with z up, x runs to the left; from -y to the right
        assert (at > (x0 + x1) / 2.0) == (hand > 0)
        assert bar.bounds[2] - bar.bounds[0] > 1.5 * (top.bounds[2] - top.bounds[0])


@settings(max_examples=examples(60), deadline=None)
@given(
    st.sampled_from([1, -1]), st.floats(8, 25), st.floats(1, 8), st.floats(14, 22), st.floats(1.6, 4),
    st.floats(0.8, 2.5), st.sampled_from(["", "R", "L"]),
)  # fmt: skip
def test_any_horn(
    hand: int, height: float, fore: float, long: float, thick: float, hole: float, mark: str
) -> None:
    shape = HornShape(hand, height, fore, long, 10.0, 2.0, thick, hole, mark)
    made = horn.solid(shape, PRINTER)
    check(made, shape)
    assert made.body.volume == pytest.approx(shape.volume, rel=0.03)


FRAMES = [
    ServoFrameShape((23.6, 12.8), (5.0, 5.0, 5.0, 5.0), 1.6, (0.0, 0.0, 0.0), 0.0, 0.0, 5.0, (4.0, 2.5)),
    ServoFrameShape((20.6, 9.1), (5.0, 5.0, 4.1, 5.0), 1.6, (4.7, 4.3, 11.5), 12.0, 1.28, 0.0, (0.0, 0.0)),
    ServoFrameShape((23.6, 12.8), (5.45, 5.45, 2.0, 1.4), 1.6, (5.45, 8.0, 1.6), 13.9, 1.6, 0.0, (0.0, 0.0)),
]


@pytest.mark.parametrize("shape", FRAMES, ids=["collar", "posts", "rim"])
def test_servo_frame(shape: ServoFrameShape) -> None:
    """Volume against the closed form; the case passes; printed without anything hanging in the air."""
    made = servo_frame.solid(shape, PRINTER)
    check(made, shape)
    assert made.body.volume == pytest.approx(shape.volume, rel=SLACK)
    assert overhang(made) < 1e-6
    long, wide = shape.pocket
    case = box((-long / 2.0, -wide / 2.0, -5.0), (long / 2.0, wide / 2.0, 30.0))
    assert (made.body & case).volume < 1e-6


@pytest.mark.parametrize("lean", [0.0, 0.12, -0.12])
@pytest.mark.parametrize("height", [3.0, 8.7, 20.0])
def test_rod_guide(height: float, lean: float) -> None:
    """Volume against the closed form, exact where the bore does not lean; a straight tube passes."""
    shape = RodGuideShape(height, 2.3, 1.64, lean)
    made = rod_guide.solid(shape, PRINTER)
    check(made, shape)
    assert made.body.volume == pytest.approx(shape.volume, rel=SLACK if lean == 0.0 else 0.01)
    run = 20.0
    tube = rod((-run, 0.0, height - run * np.tan(lean)), (run, 0.0, height + run * np.tan(lean)), 2.0)
    assert (made.body & tube).volume == 0.0
    body, _ = laid(made.body, made.lay)
    assert float(body.size[2]) == pytest.approx(LONG_MM)
    assert overhang(made) < 0.5


def test_hinge_strip() -> None:
    """Origin: first principles."""
    shape = HingeStripShape(20.0, 10.0, 1.0, 0.4)
    made = hinge_strip.solid(shape, PRINTER)
    check(made, shape)
    assert made.body.volume == pytest.approx(shape.volume, rel=SLACK)
    web = made.body & box((-0.9, -50.0, -1.0), (0.9, 50.0, 5.0))
    assert float(web.size[2]) == pytest.approx(0.4)
    small = HingeStripShape(10.0, 5.0, 1.0, 0.4)
    assert not small.glue_holes
    assert hinge_strip.solid(small, PRINTER).body.volume == pytest.approx(small.volume, rel=SLACK)
