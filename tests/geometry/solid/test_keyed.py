"""Keyed cuts: pieces and gap make up the area exactly, the gap is as wide all along (first principles)."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import affinity

from foldwright.geometry.solid.core import area_of
from foldwright.geometry.solid.keyed import Key, chords, key_area, key_positions, keyed_cut, keyed_gap
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
    assert left.distance(right) == pytest.approx(clearance, abs=1e-6)
    # The gap's area is the length of the line, key flanks and all, times the clearance; corners apart.
    flank = ((lean / 2) ** 2 + 16) ** 0.5
    chord = float(np.diff(chords(area, p, q)).sum())
    length = chord + len(places) * (2 * flank + key.head - key.neck)
    assert gap.area == pytest.approx(length * clearance, abs=clearance * 4 + 1e-6)


def test_the_left_piece_bears_the_keys() -> None:
    area = shapely.box(0, -20, 60, 20)
    left, right = keyed_cut(area, (0, 0), (60, 0), [30], KEY, 0.2)
    # Left of +x is +y; the key reaches to -y.
    assert left.bounds == pytest.approx((0, -4.9, 60, 20))
    assert right.bounds == pytest.approx((0, -20, 60, -0.1))
    assert left.contains(shapely.Point(30, -4))
    assert not right.contains(shapely.Point(30, -4))
    back, _ = keyed_cut(area, (60, 0), (0, 0), [30], KEY, 0.2)
    assert back.bounds == pytest.approx((0, -20, 60, 4.9))


def test_a_dovetail_holds_and_goes_in_from_above_only() -> None:
    left, right = keyed_cut(shapely.box(0, -20, 60, 20), (0, 0), (60, 0), [30], KEY, 0.2)
    pulled = affinity.translate(left, 0, 1.0)
    assert pulled.intersection(right).area > 0.1
    assert affinity.translate(left, 0, 0.05).intersection(right).area == pytest.approx(0.0)


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
