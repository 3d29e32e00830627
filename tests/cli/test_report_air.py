"""What `check` says of the air, in words and in JSON."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import log

import numpy as np
import pytest

from foldwright.base.band import Band
from foldwright.cli.report import NAMES, figures, figures_data
from foldwright.cli.report_air import (
    air_data,
    air_figures,
    contributor_figures,
    contributors,
    throw_text,
)
from foldwright.evaluate import Results
from foldwright.make.card_data import NOT_ASSESSED
from tests.cli.commands import DESIGN, Said, run
from tests.world import evaluated, judge, with_values

LINES = (
    "stall", "glide", "least sink", "top speed", "climb", "static thrust", "cruise", "time aloft",
    "neutral tilt", "throw", "cruise modes",
)  # fmt: skip


def results() -> Results:
    found = evaluated().results
    assert found is not None
    return found


@cache
def said() -> Said:
    return run("check", DESIGN, "--no-cures")


def test_every_line_has_its_name_and_fits_beside_it() -> None:
    told = dict(air_figures(results()))
    assert set(LINES) <= set(told)
    for name, _ in (*figures(results()), *contributor_figures(contributors(evaluated()))):
        assert len(name) + 2 < NAMES
    for line in LINES:
        assert f"  {line} " in said().out


def test_the_verdict_says_what_is_left_out() -> None:
    last = said().out.strip().splitlines()[-1]
    assert "not assessed" in last
    for name in NOT_ASSESSED:
        assert name in last.lower()
    for name in ("drive", "launch"):
        assert name not in last.lower()
    assert run("check", DESIGN, "--no-cures", "--json").data["not_assessed"] == list(NOT_ASSESSED)


def test_the_greatest_contributors_are_named() -> None:
    assert "bands rest on" in said().out
    assert "stall speed c_lmax" in said().out
    rows = run("check", DESIGN, "--no-cures", "--json").data["contributors"]
    stall = next(row for row in rows if row["prediction"] == "stall")
    assert stall["shares"][0]["name"] == "c_lmax"
    assert not stall["shares"][0]["rises"]


def test_the_data_has_units_and_bands_in_their_order() -> None:
    data = air_data(results())
    flown = results().flown.envelope
    for key in ("stall_m_s", "glide", "top_m_s", "time_aloft_min", "static_current_a", "cruise_throttle_pct"):
        assert data[key]["low"] < data[key]["value"] < data[key]["high"]
    assert data["cruise_throttle_pct"]["value"] == pytest.approx(100.0 * flown.cruise_throttle.value)
    assert data["throw"]["throttle_from_to_pct"][0] <= data["throw"]["throttle_pct"]
    assert set(data) <= set(figures_data(results()))


def test_where_nothing_is_thrown_nothing_is_said_of_it() -> None:
    quick = judge(with_values())
    assert quick.results is not None
    assert "throw" not in dict(air_figures(quick.results))
    assert air_data(quick.results)["throw"] is None
    assert contributor_figures(contributors(quick)) == []


def test_a_throw_that_never_climbs_away_is_told() -> None:
    throw = results().flown.throw
    assert throw is not None
    none = replace(throw, throttle=None, trim=None, window=np.zeros_like(throw.window), good=0.02)
    assert throw_text(none, 9.0).startswith("no throttle and trim that were tried climb away at 9 m/s; 2 %")
    down = replace(throw, throttle=0.7, trim=-1.2, trim_range=(-2.0, 0.5))
    assert "trailing edge 1.2 mm down (2.0 mm down to 0.5 mm up)" in throw_text(down, 9.0)


def test_a_cruise_that_is_not_flown_says_none() -> None:
    fast = judge(with_values(targets__cruise_speed_m_s=34.0)).results
    assert fast is not None
    told = dict(air_figures(fast))
    assert "none" in told["cruise"]
    assert "none" in told["time aloft"]


def test_modes_that_do_not_swing_and_a_joined_spiral() -> None:
    found, none = results(), Band.of(np.array([np.nan]), "s", "made up")
    modes = found.flown.modes
    still = replace(modes, short_period=replace(modes.short_period, period=none), spiral=none)
    told = air_figures(replace(found, flown=replace(found.flown, modes=still)))
    words = " ".join(text for _, text in told)
    assert "short period does not swing" in words
    assert "spiral joined with the roll mode" in words
    doubling = replace(modes, spiral=replace(modes.spiral, value=log(2.0) / 6.0))
    told = air_figures(replace(found, flown=replace(found.flown, modes=doubling)))
    assert "spiral doubles in 6.0 s" in " ".join(text for _, text in told)
