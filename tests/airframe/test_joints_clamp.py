"""Parts on sticks. Expected numbers: first principles."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.joined import Joined
from foldwright.airframe.joining.clamp import join
from foldwright.airframe.model import Bar, PartBuild
from foldwright.base.messages import words
from foldwright.design.parts import Clamp
from foldwright.geometry.fold.mass import mass_properties
from tests.airframe.joints import bench, level, standing


def stick(y: float = 0.0, z: float = 0.0, rear_z: float | None = None, *others: Bar) -> PartBuild:
    """A stick 8 mm wide and 10 mm high from x = 0 to 300."""
    ends = np.array([(0.0, y, z), (300.0, y, z if rear_z is None else rear_z)])
    return PartBuild("stick", (), bars=(Bar("stick", ends, 8.0, 10.0, "wood", "square"), *others))


def joined(one: PartBuild, other: PartBuild, **changes: Any) -> Joined:
    data = {"kind": "clamp", "id": "clamp", "parts": (one.id, "stick"), **changes}
    return join({}, {one.id: one, "stick": other}, Clamp.model_validate(data), bench())


@pytest.mark.parametrize(("z", "direction"), [(5.0, "+z"), (-10.0, "-z")])
def test_a_board_over_and_under(z: float, direction: str) -> None:
    """The stick reaches from z = -5 to 5; a board of 5 mm on it at 5, under it at -10."""
    done = joined(level(z=z), stick())
    assert done.findings == ()
    guides = done.changed["tail"].guides
    assert [guide.direction for guide in guides] == [direction] * 2
    assert sorted(guide.points[0][1] for guide in guides) == [-4.0, 4.0]
    assert [guide.points[0][0] for guide in guides] == [0.0] * 2
    assert [guide.points[1][0] for guide in guides] == [120.0] * 2
    mass = mass_properties(done.changed["stick"].masses[0].moments)
    assert mass.mass == pytest.approx(2.0)
    assert mass.cg == pytest.approx([60.0, 0.0, 5.0 if z > 0 else -5.0])
    assert done.shown is not None
    assert done.shown.glued
    assert done.shown.second == ("stick: x = 0.0 to 120.0 mm",)


@pytest.mark.parametrize(
    ("z", "way", "gap"),
    [(9.0, "down", 4.0), (3.0, "up", -2.0), (-13.0, "up", 3.0), (-8.0, "down", -2.0)],
)
def test_gaps_and_overlaps(z: float, way: str, gap: float) -> None:
    done = joined(level(z=z), stick())
    assert [(f.code, f.verdict) for f in done.findings] == [("G176", "no-go")]
    assert done.findings[0].value == pytest.approx(gap)
    assert words(done.findings[0]).cure == f"Move tail by {abs(gap)} mm {way}."


@pytest.mark.parametrize(("y", "ways"), [(6.5, ("+y", 1.0)), (-6.5, ("-y", -1.0))])
def test_a_fin_beside_the_stick(y: float, ways: tuple[str, float]) -> None:
    """A fin's board from |y| = 4 to 9 beside a stick 8 mm wide."""
    done = joined(standing(y=y, z=-20.0), stick())
    assert done.findings == ()
    assert {guide.direction for guide in done.changed["fin"].guides} == {ways[0]}
    mass = mass_properties(done.changed["stick"].masses[0].moments)
    assert mass.cg[1] == pytest.approx(4.0 * ways[1])


def test_a_fin_on_top_of_the_stick() -> None:
    assert joined(standing(z=5.0), stick()).findings == ()
    done = joined(standing(z=7.0), stick())
    assert done.findings[0].value == pytest.approx(2.0)


def test_a_stick_that_falls() -> None:
    """From z = 0 in front to -10 at x = 300: under a level board it gapes from 0 on; the least gap counts."""
    assert joined(level(z=5.0), stick(rear_z=-10.0)).findings == ()
    done = joined(level(z=5.0), stick(rear_z=30.0))
    # at x = 120 the stick's top stands at 5 + 12
    assert done.findings[0].value == pytest.approx(-12.0)


def test_two_booms() -> None:
    other = Bar("stick-left", np.array([(0.0, -60.0, 0.0), (300.0, -60.0, 0.0)]), 8.0, 10.0, "wood", "square")
    done = joined(level(z=5.0), stick(60.0, 0.0, None, other), mass_g=3.0)
    assert done.findings == ()
    assert [mass_properties(item.moments).mass for item in done.changed["stick"].masses] == [1.5, 1.5]
    assert len(done.changed["tail"].guides) == 4
    high = replace(other, ends=other.ends + np.array([0.0, 0.0, 4.0]))
    done = joined(level(z=5.0), stick(60.0, 0.0, None, high))
    assert [f.code for f in done.findings] == ["G176"]
    assert done.findings[0].value == pytest.approx(-4.0)


def test_far_away() -> None:
    done = joined(level(x0=400.0, x1=500.0), stick())
    assert [(f.code, f.value) for f in done.findings] == [("G177", 100.0)]
    assert done.shown is None
    assert words(done.findings[0]).says


def test_not_glued() -> None:
    done = joined(level(z=5.0), stick(), glued=False)
    assert done.shown is not None
    assert not done.shown.glued
