"""What coupons read, turned into keys: against first principles and the fold model's own closed forms."""

from __future__ import annotations

from math import pi, radians, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.workshop import Printer
from foldwright.geometry.fold.methods import crush_least_width, radius_gain
from foldwright.make.coupons.measure import KEYS, Reading, What, missing, value_of
from foldwright.make.coupons.readings import (
    band_for,
    clearance_from_fit,
    kerf_from_fit,
    outer_radius_from,
    squeeze_share_from,
)
from tests.world import workshop


def test_kerf_is_half_the_difference_of_tab_and_slot() -> None:
    """A tab of 20 mm cut with 0.3 mm of kerf is 19.7; a slot of 19.4 becomes 19.7 (first principles)."""
    assert kerf_from_fit(20.0, 19.4) == pytest.approx(0.3)
    assert kerf_from_fit(20.0, 20.1) == 0.0


def test_clearance_is_half_the_difference_of_hole_and_pin() -> None:
    assert clearance_from_fit(8.5, 8.0) == pytest.approx(0.25)
    assert clearance_from_fit(7.9, 8.0) == 0.0


def test_radius_of_a_right_angle() -> None:
    """Legs to the corner of the mould lines less the quarter circle: 2 r - pi r / 2 (first principles)."""
    radius = 3.0
    assert outer_radius_from(160.0, 160.0 + 2.0 * radius - pi * radius / 2.0, 90.0) == pytest.approx(radius)
    assert outer_radius_from(160.0, 159.8, 90.0) == 0.0


@given(st.floats(0.0, 10.0), st.floats(20.0, 170.0))
def test_radius_turns_the_fold_models_gain_round(radius: float, angle: float) -> None:
    outside = 160.0 + radius_gain(radians(angle), radius)
    assert outer_radius_from(160.0, outside, angle) == pytest.approx(radius, abs=1e-6)


@given(st.floats(0.0, 1.0), st.floats(1.0, 15.0), st.floats(20.0, 170.0))
def test_squeeze_turns_the_least_band_round(share: float, thickness: float, angle: float) -> None:
    """Held against `crush_least_width`, which the folding checks ask."""
    band = band_for(share, thickness, angle)
    assert band == pytest.approx(crush_least_width(radians(angle), thickness, share))
    assert squeeze_share_from(band, thickness, angle) == pytest.approx(share, abs=1e-9)


def test_squeeze_by_hand() -> None:
    """5 mm board at a right angle: the wedge is 2 * 5 mm wide, so 4 mm leave 0.6 of it (first principles)."""
    assert squeeze_share_from(4.0, 5.0, 90.0) == pytest.approx(0.6)
    assert squeeze_share_from(12.0, 5.0, 90.0) == 0.0
    assert squeeze_share_from(4.0, 5.0, 120.0) == pytest.approx(1.0 - 4.0 / (10.0 * tan(pi / 3.0)))


@pytest.mark.parametrize("angle", [0.0, 180.0, -90.0, float("nan")])
def test_no_fold_at_all_is_an_error(angle: float) -> None:
    with pytest.raises(ValueError, match="degrees"):
        outer_radius_from(160.0, 161.0, angle)
    with pytest.raises(ValueError, match="wedge"):
        squeeze_share_from(4.0, 5.0, angle)


@pytest.mark.parametrize(
    ("what", "reading", "wanted"),
    [
        ("kerf", Reading(0.25), 0.25),
        ("clearance", Reading(0.35), 0.35),
        ("squeeze", Reading(0.65), 0.65),
        ("squeeze", Reading(band=4.8, angle=90.0), 0.49),
        ("radius", Reading(flat=160.0, outside=161.2), 2.8),
        ("radius", Reading(flat=160.0, outside=159.7), 0.0),
    ],
)
def test_readings_give_the_key_its_value(what: What, reading: Reading, wanted: float) -> None:
    """Home board: 4.75 mm in the mean; 1 - 4.8 / 9.5 = 0.49; 1.2 / 0.4292 = 2.80 (by hand)."""
    assert value_of(what, reading, workshop("home-knife")) == pytest.approx(wanted, abs=1e-9)
    assert missing(what, reading) == ""
    assert what in KEYS


@pytest.mark.parametrize(
    ("what", "reading"),
    [
        ("kerf", Reading(-0.1)),
        ("kerf", Reading(float("nan"))),
        ("radius", Reading(flat=160.0, outside=150.0)),
        ("radius", Reading(flat=0.0, outside=150.0)),
        ("radius", Reading(flat=160.0, outside=161.0, angle=180.0)),
        ("squeeze", Reading(band=-4.0)),
        ("squeeze", Reading(band=float("inf"))),
    ],
)
def test_readings_that_cannot_be_are_told(what: What, reading: Reading) -> None:
    found = value_of(what, reading, workshop())
    assert isinstance(found, Finding)
    assert (found.code, found.where) == ("P82", KEYS[what])
    assert words(found).cure


def test_what_is_missing_is_said() -> None:
    assert missing("radius", Reading(flat=160.0)) == "--flat and --outside"
    assert missing("squeeze", Reading()) == "the figure on the coupon or --band"
    with pytest.raises(ValueError, match="kerf needs the figure"):
        value_of("kerf", Reading(), workshop())


def test_clearance_without_a_printer() -> None:
    bare = workshop("home-knife").model_copy(update={"printer": None})
    found = value_of("clearance", Reading(0.3), bare)
    assert isinstance(found, Finding)
    assert (found.code, words(found).title) == ("P84", "clearance without a printer")
    with_one = bare.model_copy(update={"printer": Printer()})
    assert value_of("clearance", Reading(0.3), with_one) == pytest.approx(0.3)
