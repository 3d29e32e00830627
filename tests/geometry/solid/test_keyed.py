"""Keyed cuts: pieces and gap are the area exactly; butt faces touch, keys have a fit (first principles)."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from foldwright.geometry.solid.core import Area, area_of
from foldwright.geometry.solid.keyed import (
    BUTT_MM,
    FIT_SHARE,
    Key,
    chords,
    key_area,
    key_positions,
    keyed_cut,
    keyed_gap,
)
from tests.examples import examples

KEY = Key(6.0, 9.0, 5.0)
FRAME = area_of(shapely.box(0, 0, 200, 120).difference(shapely.box(20, 20, 180, 100)))


@settings(max_examples=examples(60))
@given(st.floats(0, 2 * pi), st.floats(-15, 15), st.floats(0.05, 0.6), st.floats(0, 3))
def test_pieces_and_gap_make_the_area(way: float, off: float, clearance: float, lean: float) -> None:
    area = area_of(shapely.Point(0, 0).buffer(60).difference(shapely.Point(5, 40).buffer(6)))
    p = (off * -sin(way) - 10 * cos(way), off * cos(way) - 10 * sin(way))
    q = (p[0] + 20 * cos(way), p[1] + 20 * sin(way))
    key = Key(5.0, 5.0 + lean, 4.0)
    places = (-15.0, 10.0, 24.0)
    left, right = keyed_cut(area, p, q, places, key, clearance)
    gap = keyed_gap(area, p, q, places, key, clearance)
    assert left.area + right.area + gap.area == pytest.approx(area.area, rel=1e-9)
    assert left.intersection(right).area < 1e-9
    assert left.union(right).union(gap).symmetric_difference(area).area < 1e-6
    fit = FIT_SHARE * clearance
    butt = min(BUTT_MM, fit)
    assert left.distance(right) == pytest.approx(butt, abs=1e-6)
    # The gap: the line less the necks times the butt gap, flanks and tips times the fit; corners apart.
    flank = ((lean / 2) ** 2 + 16) ** 0.5
    chord = float(np.diff(chords(area, p, q)).sum())
    wanted = (chord - len(places) * key.neck) * butt + len(places) * (2 * flank + key.head) * fit
    assert gap.area == pytest.approx(wanted, abs=fit * 4 + 1e-6)


def test_the_left_piece_bears_the_keys() -> None:
    area = shapely.box(0, -20, 60, 20)
    left, right = keyed_cut(area, (0, 0), (60, 0), [30], KEY, 0.2)
    # Left of +x is +y; the key reaches to -y.
    assert left.bounds == pytest.approx((0, -4.95, 60, 20))
    assert right.bounds == pytest.approx((0, -20, 60, -0.025))
    assert left.contains(shapely.Point(30, -4))
    assert not right.contains(shapely.Point(30, -4))
    back, _ = keyed_cut(area, (60, 0), (0, 0), [30], KEY, 0.2)
    assert back.bounds == pytest.approx((0, -20, 60, 4.95))


def test_a_dovetail_holds_and_goes_in_from_above_only() -> None:
    left, right = keyed_cut(shapely.box(0, -20, 60, 20), (0, 0), (60, 0), [30], KEY, 0.2)
    pulled = affinity.translate(left, 0, 1.0)
    assert pulled.intersection(right).area > 0.1
    assert affinity.translate(left, 0, 0.05).intersection(right).area == pytest.approx(0.0)


@pytest.mark.parametrize("clearance", [0.15, 0.35, 0.6])
def test_pushed_together_a_plate_is_as_long_as_drawn(clearance: float) -> None:
    """Three joints in a row take 0.15 mm, whatever the printer's clearance: the butt faces meet first."""
    bar, at = area_of(shapely.box(0, 0, 400, 26)), (100.0, 200.0, 300.0)
    pieces, rest = [], bar
    for x in at:
        rest_left, rest = keyed_cut(rest, (x, 0), (x, 26), [13], KEY, clearance)
        pieces.append(rest_left)
    pieces.append(rest)
    moved: Area = pieces[0]
    for number, piece in enumerate(pieces[1:], 1):
        pushed = affinity.translate(piece, -number * min(BUTT_MM, FIT_SHARE * clearance), 0)
        assert moved.intersection(pushed).area < 1e-6
        # a hair more and the butt faces press on one another, not the key's tip on its socket
        deeper = affinity.translate(pushed, -0.01, 0).intersection(moved)
        assert deeper.area == pytest.approx(0.01 * (26 - KEY.neck), abs=0.01)
        moved = area_of(moved.union(pushed))
    assert moved.bounds[2] - moved.bounds[0] >= 400.0 - 0.15 - 1e-6


def test_one_dovetail_does_not_turn() -> None:
    """Butt faces 26 mm long and 0.05 mm apart turn by no more than about 0.05/13 rad = 0.22°."""
    left, right = keyed_cut(area_of(shapely.box(0, 0, 200, 26)), (100, 0), (100, 26), [13], KEY, 0.35)
    for degrees in (-0.6, 0.6):
        turned = affinity.translate(affinity.rotate(right, degrees, origin=(100, 13)), -0.025, 0)
        assert turned.intersection(left).area > 0.2


def test_no_clearance_leaves_no_gap() -> None:
    left, right = keyed_cut(FRAME, (100, -10), (100, 130), [20, 120], KEY, 0.0)
    assert left.area + right.area == pytest.approx(FRAME.area)
    assert left.union(right).symmetric_difference(FRAME).area < 1e-9
    with pytest.raises(ValueError, match="no area is left"):
        keyed_gap(FRAME, (100, -10), (100, 130), [20, 120], KEY, 0.0)


def test_chords_and_places_of_keys() -> None:
    np.testing.assert_allclose(chords(FRAME, (100, -10), (100, 130)), [(10, 30), (110, 130)])
    places = key_positions(FRAME, (100, -10), (100, 130), KEY, 2.0, 18.0)
    assert places == pytest.approx((20.0, 120.0))
    assert all(FRAME.covers(key_area((100, -10), (100, 130), s, KEY, 2.0)) for s in places)
    assert key_positions(FRAME, (100, -10), (100, 130), Key(12, 18, 5), 2.0, 18.0) == ()
    many = key_positions(shapely.box(0, 0, 100, 60), (0, 30), (1, 30), KEY, 2.0, 20.0)
    assert many == pytest.approx((10, 30, 50, 70, 90))
    # Beside an edge the key's own room is missing.
    assert key_positions(shapely.box(0, 0, 100, 60), (0, 5), (1, 5), KEY, 2.0, 20.0) == ()


def test_what_cannot_be_cut_is_refused() -> None:
    area = shapely.box(0, -20, 60, 20)
    with pytest.raises(ValueError, match="too close"):
        keyed_cut(area, (0, 0), (60, 0), [30, 36], KEY, 0.2)
    with pytest.raises(ValueError, match="nothing of the key"):
        keyed_cut(area, (0, 0), (60, 0), [30], KEY, 5.0)
    with pytest.raises(ValueError, match="two different"):
        keyed_cut(area, (0, 0), (0, 0), [30], KEY, 0.2)
    with pytest.raises(ValueError, match="no area is left"):
        keyed_cut(area, (0, 30), (60, 30), [], KEY, 0.2)
    with pytest.raises(ValueError, match="narrower"):
        Key(6, 5, 4)
