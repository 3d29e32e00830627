"""The throw gauge: true heights, the right way up, zero at the skin that the hinge lies in."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import radians, sin

import numpy as np
import pytest
import shapely
from shapely import affinity

from foldwright.airframe.model import Control
from foldwright.geometry.fold.model import Fold
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import Area
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.shape import at_place, middle_of
from foldwright.make.card_controls import controls
from foldwright.make.tools import throw_gauge
from foldwright.make.tools.throw_gauge import (
    GRIP_MM,
    THICK_MM,
    Gauge,
    Marks,
    gauge_solid,
    gauges,
    marks_of,
    reach,
    ticks,
)
from tests.make.evaluations import marram, stalled_at_launch
from tests.make.tools.benches import STARTERS, bench, results

ROWS = ("this end up", "Test A")
UP_DOWN = ("up", "down")
GAUGE = Gauge("elevon", Marks(17.3, -7.4, 5.1), 16.0, 5.3, True, UP_DOWN, 48.0)


def _spans(section: Area, x: float, most: float = 200.0) -> list[tuple[float, float]]:
    """From and to, upward, of what a section holds on an upright line."""
    cut = section.intersection(shapely.LineString([(x, -200.0), (x, most)]))
    return sorted((part.bounds[1], part.bounds[3]) for part in shapely.get_parts(cut))


def test_marks_are_chord_times_sine() -> None:
    """First principles: 50 mm behind a hinge, 30 degrees up stands 25 mm over it."""
    control = Control("c", "elevator", (), 50.0, 0.0, 100.0, (0.7, 0.7), radians(30.0), radians(20.0))
    free = (radians(90.0), radians(90.0))
    assert marks_of(control, 0.0, 50.0, free).up == pytest.approx(25.0)
    assert marks_of(control, 0.0, 50.0, free).down == pytest.approx(-50.0 * sin(radians(20.0)))
    trimmed = marks_of(control, radians(5.0), 50.0, (radians(32.0), radians(10.0)))
    assert trimmed.up == pytest.approx(50.0 * sin(radians(32.0)))
    assert trimmed.down == pytest.approx(-50.0 * sin(radians(10.0)))
    assert trimmed.trim == pytest.approx(50.0 * sin(radians(5.0)))


@pytest.mark.parametrize("name", STARTERS)
def test_marks_are_the_cards_figures(name: str) -> None:
    """To the card's tenth of a mm, ends and trim (our own card, worked out elsewhere)."""
    rows = {row["control"]: row for row in controls(results(name))}
    for gauge in gauges(results(name), 0.3):
        row = rows[gauge.name.rsplit("-", 1)[-1]]
        if gauge.chord != pytest.approx(row["chord_mm"]):
            continue
        ends = [one["mm"] for one in row["ends"]]
        assert ends == pytest.approx([gauge.marks.up, -gauge.marks.down], abs=0.051)
        assert [one["way"] for one in row["ends"]] == list(gauge.ways)
        if gauge.marks.trim is not None:
            assert row["neutral_up_mm"]["value"] == pytest.approx(gauge.marks.trim, abs=0.051)


def test_notches_stand_at_true_heights_in_the_solid() -> None:
    section = gauge_solid(GAUGE, ROWS, 0.8, 0.6).slice_at(THICK_MM - 1.0)
    edges = _spans(section, 8.0 - 0.02)
    gaps = [(a + b) / 2.0 for (_, a), (b, _) in pairwise(edges)]
    assert gaps == pytest.approx([-7.4, 5.1, 17.3], abs=0.02)
    assert np.array(_spans(section, -8.0 + 0.02)) == pytest.approx(np.array(edges))


def test_graduations_are_every_two_mm_from_zero() -> None:
    section = gauge_solid(GAUGE, ROWS, 0.8, 0.6).slice_at(0.3)
    low, high = reach(GAUGE)
    edges = _spans(section, 8.0 - 1.9, high)
    middles = [(a + b) / 2.0 for (_, a), (b, _) in pairwise(edges)]
    wanted = [y for y in ticks(GAUGE) if low < y < high]
    assert middles == pytest.approx(wanted, abs=0.02)
    assert 0.0 in wanted
    assert np.diff(wanted) == pytest.approx(2.0)


@pytest.mark.parametrize("hinge_up", [True, False])
def test_the_jaw_of_the_hinge_skin_stands_at_zero(hinge_up: bool) -> None:
    gauge = Gauge("elevon", Marks(17.3, -7.4, 5.1), 16.0, 5.3, hinge_up, UP_DOWN, 48.0)
    section = gauge_solid(gauge, ROWS, 0.8, 0.6).slice_at(THICK_MM + GRIP_MM / 2.0)
    lower, upper = _spans(section, 0.0)
    assert upper[0] - lower[1] == pytest.approx(5.3)
    assert (upper[0] if hinge_up else lower[1]) == pytest.approx(0.0, abs=1e-9)


def test_letters_read_right_from_behind() -> None:
    """z points forward from the face that is read, so letters stand mirrored in the frame of the solid."""
    solid = gauge_solid(GAUGE, ("this end up",), 0.8, 0.6)
    _, high = reach(GAUGE)
    flag = shapely.box(-60.0, high + 0.5, 60.0, high + 30.0)
    ink = flag.intersection(solid.slice_at(1.5)).difference(solid.slice_at(0.2)).buffer(-0.1).buffer(0.1)
    assert ink.area > 10.0
    low_x, low_y, high_x, high_y = ink.bounds
    seen = affinity.scale(ink, -1.0, 1.0, origin=(0.0, 0.0))
    found, mirrored = list[float](), list[float]()
    for height in np.arange(3.6, 6.01, 0.05).tolist():
        text = middle_of(letters("this end up", height, 0.8))
        if abs((text.bounds[3] - text.bounds[1]) - (high_y - low_y)) < 0.06:
            wanted = at_place(text, (-(low_x + high_x) / 2.0, (low_y + high_y) / 2.0))
            found.append(seen.intersection(wanted).area / ink.area)
            turned = affinity.scale(wanted, -1.0, 1.0)
            mirrored.append(seen.intersection(turned).area / ink.area)
    assert max(found) > 0.8
    assert max(mirrored) < 0.6


def test_zero_lies_in_the_skin_of_the_hinge() -> None:
    """Held against the fold itself: which way does the normal of its hinge face look in the aeroplane?"""
    for name in STARTERS:
        found = results(name)
        for gauge in gauges(found, 0.3):
            folds = [
                (placed, fold)
                for placed in found.airframe.placed
                for fold in placed.blank.folds
                for surface in found.airframe.surfaces
                for control in surface.controls
                if control.id == gauge.name and fold.name == control.fold_names[0]
                and placed.part == surface.id.split("/")[0]
            ]  # fmt: skip
            assert folds
            placed, fold = folds[0]
            assert isinstance(fold, Fold)
            normal = placed.transforms[fold.parent][:3, 2] * (1.0 if fold.hinge == "a" else -1.0)
            up = -float(normal[1]) if gauge.ways == ("left", "right") else float(normal[2])
            assert (up > 0.0) == gauge.hinge_up, (name, gauge.name)


@pytest.mark.parametrize("name", STARTERS)
def test_one_gauge_a_control_and_all_sound(name: str) -> None:
    tools = throw_gauge.make(bench(name))
    assert len({tool.name for tool in tools}) == len(tools) > 0
    for tool in tools:
        assert tool.made is not None
        assert faults(tool.made.body) == ()
        assert "straight scale" in tool.use
        assert " -" not in tool.use.replace(" - ", "")


def test_without_a_trim_the_ends_count_from_in_line() -> None:
    """Launched far too slowly there is no trim: no notch for it, and the travel of the design file alone."""
    found = stalled_at_launch(marram()).results
    assert found is not None
    (gauge,) = gauges(found, 0.3)
    control = found.airframe.wing.controls[0]
    assert gauge.marks.trim is None
    assert gauge.marks.up == pytest.approx(control.chord * sin(control.up))
    assert gauge.marks.down == pytest.approx(-control.chord * sin(control.down))


def test_gauges_of_one_name_say_whose_they_are() -> None:
    found = results("teasel")
    surfaces = tuple(
        replace(one, controls=tuple(replace(c, id="flap") for c in one.controls))
        for one in found.airframe.surfaces
    )
    both = replace(found, airframe=replace(found.airframe, surfaces=surfaces))
    assert [one.name for one in gauges(both, 0.3)] == ["tail-flap", "fin-flap"]


def test_fins_say_left_and_right() -> None:
    rudder = next(one for one in throw_gauge.make(bench("teasel")) if one.name.endswith("rudder"))
    assert "left" in rudder.use
    assert "right" in rudder.use
    assert " up" not in rudder.use
