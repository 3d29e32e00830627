"""Which input a band comes from: known lines, the demo aeroplanes, and bands that shrink with their input."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import numpy as np
import pytest

from foldwright.base.band import Band
from foldwright.design.assumptions import Assumptions, assumptions_for
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.flight.shares import TITLES, Shares, predictions, shares
from tests.world import EXAMPLES, workshop

DESIGNS = ["marram", "teasel", "bracken"]


@cache
def design(name: str) -> Design:
    found = load_design(EXAMPLES / f"{name}.toml", stock=built_in_stock()).value
    assert found is not None
    return found


@cache
def judged(name: str) -> Evaluation:
    return evaluate(design(name), workshop(), built_in_stock())


def told(name: str) -> dict[str, Shares]:
    done = judged(name)
    assert done.results is not None
    found = done.results
    predicted = predictions(found.lift, found.balance, found.trims, found.flown)
    rows = shares(predicted, done.assumptions, done.assumptions.samples(256))
    return {row.prediction: row for row in rows}


def test_shares_of_a_straight_line_are_its_squares() -> None:
    """First principles: the variance of 3 a - 4 b with a, b independent and of variance 1 is 9 + 16."""
    base = Assumptions()
    samples = base.samples(1024)
    a, b = (
        (samples[name] - base[name].value) / base[name].sd for name in ("c_lmax", "neutral_point_shift_pct")
    )
    rows = shares({"stall": np.asarray(3.0 * a - 4.0 * b)}, base, samples)
    assert [(one.name, one.rises) for one in rows[0].shares] == [
        ("neutral_point_shift_pct", False), ("c_lmax", True),
    ]  # fmt: skip
    assert [one.share for one in rows[0].shares] == pytest.approx([16.0 / 25.0, 9.0 / 25.0], abs=0.03)
    assert rows[0].explained == pytest.approx(1.0)
    assert not rows[0].ranks


def test_a_bent_line_is_told_by_its_ranks() -> None:
    """Ranks do not feel how a rising line is bent (first principles)."""
    base = Assumptions()
    samples = base.samples(512)
    z = (samples["warp_deg"] - base["warp_deg"].value) / base["warp_deg"].sd
    rows = shares({"bank": np.exp(4.0 * z)}, base, samples)
    assert rows[0].ranks
    assert rows[0].most is not None
    assert rows[0].most.name == "warp_deg"
    assert rows[0].most.share > 0.95


def test_what_does_not_vary_comes_from_nothing() -> None:
    samples = Assumptions().samples(256)
    rows = shares({"stall": np.full(256, 7.0)}, Assumptions(), samples)
    assert rows[0].shares == ()
    assert rows[0].most is None


def test_too_few_samples_say_nothing() -> None:
    few = Assumptions().samples(32)
    assert shares({"stall": few["c_lmax"]}, Assumptions(), few) == ()
    many = Assumptions().samples(256)
    half = np.where(np.arange(256) < 200, np.nan, many["c_lmax"])
    assert shares({"stall": half}, Assumptions(), many) == ()


def test_assumptions_without_spread_have_no_shares() -> None:
    fixed = Assumptions()
    for entry in fixed.entries:
        fixed = fixed.changed(entry.name, entry.value, 0.0, "known")
    samples = fixed.samples(256)
    assert shares({"stall": samples["c_lmax"]}, fixed, samples) == ()


@pytest.mark.parametrize("name", DESIGNS)
def test_what_the_formulas_say_contributes_most_does(name: str) -> None:
    """V_s ∝ C_Lmax^-½ and W^½: the spread of c_lmax is some 15 %, that of the mass 2 %.

    Static current does not know of the airframe. All-up weight knows of the board alone.
    """
    found = told(name)
    most = {key: row.most for key, row in found.items()}
    stall, current, mass = most["stall"], most["full_current"], most["all_up"]
    assert stall is not None
    assert current is not None
    assert mass is not None
    assert (stall.name, stall.rises) == ("c_lmax", False)
    assert stall.share > 0.8
    assert (current.name, current.rises) == ("propeller_power_factor", True)
    assert (mass.name, mass.rises) == ("mass_scale", True)
    assert mass.share == pytest.approx(1.0)


@pytest.mark.parametrize("name", DESIGNS)
def test_every_prediction_is_taken_apart(name: str) -> None:
    found = told(name)
    assert list(found) == list(TITLES)
    for row in found.values():
        assert 0.0 < row.explained <= 1.0 + 1e-9
        assert sum(one.share for one in row.shares) <= 1.15
        assert [one.share for one in row.shares] == sorted((one.share for one in row.shares), reverse=True)


def test_shares_are_the_same_every_time() -> None:
    assert told("marram") == told("marram")


BANDS: dict[str, tuple[str, Callable[[Results], Band]]] = {
    "c_lmax": ("stall", lambda found: found.flown.envelope.stall),
    "suction_share": ("glide", lambda found: found.flown.envelope.glide),
    "body_drag_factor": ("top speed", lambda found: found.flown.envelope.top),
    "propeller_power_factor": ("full current", lambda found: found.flown.envelope.static.current),
    "cell_resistance_factor": ("full current", lambda found: found.flown.envelope.static.current),
    "thrust_factor": ("climb", lambda found: found.flown.power.climb),
    "cm0_shift": ("cruise trim", lambda found: found.trims.cruise.up),
    "neutral_point_shift_pct": ("static margin", lambda found: found.balance.static_margin),
    "cg_shift_mm": ("static margin", lambda found: found.balance.static_margin),
}


@pytest.mark.parametrize("name", sorted(BANDS))
def test_a_band_shrinks_with_the_spread_of_its_input(name: str) -> None:
    """A fifth of the spread: a narrower band about the same value."""
    base = assumptions_for(design("marram"), workshop())
    entry = base[name]
    narrow = base.changed(name, entry.value, 0.2 * entry.sd, "narrowed")
    wide_run, thin_run = (
        evaluate(design("marram"), workshop(), built_in_stock(), each, "interactive").results
        for each in (base, narrow)
    )
    assert wide_run is not None
    assert thin_run is not None
    wide, thin = (BANDS[name][1](each) for each in (wide_run, thin_run))
    assert thin.value == pytest.approx(wide.value, rel=1e-9)
    assert 0.0 < thin.high - thin.low < wide.high - wide.low


@pytest.mark.parametrize("name", DESIGNS)
def test_raw_samples_are_what_the_bands_are_of(name: str) -> None:
    found = judged(name).results
    assert found is not None
    flown = found.flown.envelope
    for key, values in flown.samples.items():
        band = getattr(flown, key)
        assert values.shape == (256,)
        assert band.value == float(values[0])
