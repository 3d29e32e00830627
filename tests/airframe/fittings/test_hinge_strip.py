"""Hinge strips: on the face that the hinge line lies in, evenly along it, clear of horns."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.airframe.control_line import control_lines
from foldwright.airframe.fitting_places import bites
from foldwright.airframe.fittings.hinge_strip import BESIDE_MM, END_MM, HingeStripShape, places_for
from foldwright.base.messages import words
from foldwright.design.fittings import HingeStrip
from foldwright.make.fittings.hinge_strip import solid
from tests.airframe.fittings.controls import World, built, horn
from tests.examples import examples


def strips(made: World) -> list[object]:
    return [f for f in made.airframe.fittings if isinstance(f.shape, HingeStripShape)]


def strip(control: str, **keys: object) -> HingeStrip:
    return HingeStrip.model_validate({"id": "hinge", "control": control} | keys)


@pytest.mark.parametrize(
    ("name", "control"),
    [
        ("marram", "wing.elevon"),
        ("bracken", "wing.elevon"),
        ("teasel", "fin.rudder"),
        ("samphire", "tail.ruddervator"),
    ],
)
def test_webs_lie_on_the_hinge_line(name: str, control: str) -> None:
    """Origin: first principles."""
    made = built(name, strip(control))
    lines = control_lines(made.airframe, control)
    found = [f for f in made.airframe.fittings if isinstance(f.shape, HingeStripShape)]
    assert len(found) == 3 * len(lines)
    for one in found:
        middle = one.placement[:3, 3]
        near = min(lines, key=lambda line: float(np.linalg.norm(line.ends.mean(axis=0) - middle)))
        off = middle - near.ends[0]
        assert float(np.linalg.norm(off - (off @ near.outward) * near.outward)) < 1e-6
        assert one.placement[:3, 2] @ near.upper == pytest.approx(1.0)  # all of these hinge on the upper face
        assert isinstance(one.shape, HingeStripShape)
        there = solid(one.shape, made.site.printer).body.placed(one.placement)
        assert not {k: v for k, v in bites(made.airframe, there).items() if v > 1e-6}
        assert one.printed.filament.id == "tpu"  # the printers of the demo workshops hold PETG
    assert not made.found("P46")


def test_a_horn_on_the_same_face_makes_room() -> None:
    """The horn's foot takes the middle of the line; the strip steps aside. Under the wing it does not."""
    elevon = horn("wing.elevon", "servo", face="upper", at_mm=170.0)
    made = built("marram", elevon, strip("wing.elevon"))
    under = built("marram", elevon.model_copy(update={"face": "under"}), strip("wing.elevon"))
    moved, kept = made.fitting("hinge-2/right"), under.fitting("hinge-2/right")
    assert kept.figures["at_mm"] == pytest.approx(129.0)
    assert abs(moved.figures["at_mm"] - 129.0) >= 5.0
    foot = made.fitting("horn/right")
    low, high = np.sort(foot.corners[:, 1])[[0, -1]]
    a, b = np.sort(moved.corners[:, 1])[[0, -1]]
    assert b <= low - BESIDE_MM + 1e-6 or a >= high + BESIDE_MM - 1e-6


def test_findings() -> None:
    tight = built("marram", strip("wing.elevon", count=15)).found("P45")
    assert len(tight) == 1
    assert tight[0].value == 11.0
    assert "Set count to 11" in words(tight[0]).cure
    brittle = built("marram", strip("wing.elevon", filament="pla")).found("P46")
    assert len(brittle) == 1
    assert brittle[0].params["filament"] == "PLA"
    assert built("marram", strip("wing.flap")).found("P36")[0].where == "fitting.hinge.control"


@settings(max_examples=examples(200), deadline=None)
@given(
    st.floats(20, 600), st.integers(1, 20), st.floats(5, 60),
    st.lists(st.tuples(st.floats(0, 600), st.floats(1, 60)), max_size=3),
)  # fmt: skip
def test_places(length: float, count: int, long: float, others: list[tuple[float, float]]) -> None:
    """Origin: first principles: within the ends, apart, and off whatever stands there."""
    taken = [(a, a + wide) for a, wide in others]
    found = places_for(length, count, long, taken)
    assert len(found) <= count
    for place in found:
        assert place - long / 2.0 >= END_MM - 1e-3
        assert place + long / 2.0 <= length - END_MM + 1e-3
        for a, b in taken:
            assert place + long / 2.0 <= a - BESIDE_MM + 1e-3 or place - long / 2.0 >= b + BESIDE_MM - 1e-3
    assert all(b - a >= long + BESIDE_MM - 1e-3 for a, b in pairwise(found))
    if not taken and length > count * (long + 2.0 * BESIDE_MM) + 2.0 * END_MM:
        assert len(found) == count
