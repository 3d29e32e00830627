"""Judgement values and their samples."""

from __future__ import annotations

import subprocess
import sys
import warnings

import numpy as np
import pytest

from foldwright.design.assumptions import DEFAULTS, Assumptions, assumptions_for
from foldwright.design.load import load_design, load_workshop
from foldwright.design.sequence import DIMENSIONS, MOST_DIMENSIONS, sobol, standard_normal
from tests.design.samples import MARRAM, WORKSHOP


@pytest.mark.parametrize("n", [1, 2, 7, 32, 100, 256])
def test_the_sequence_against_another_library(n: int) -> None:
    """Other library: scipy.stats.qmc.Sobol without scrambling uses the same published table."""
    from scipy.stats import qmc

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # it warns where n is no power of two
        whole = qmc.Sobol(max(DIMENSIONS), scramble=False, bits=30).random(n)
        reference = whole[:, np.array(DIMENSIONS) - 1]
    assert np.array_equal(sobol(n, MOST_DIMENSIONS), reference)


def test_the_sequence_refuses_what_it_cannot_do() -> None:
    with pytest.raises(ValueError, match="dimensions"):
        sobol(4, MOST_DIMENSIONS + 1)
    with pytest.raises(ValueError, match="dimensions"):
        sobol(4, 0)
    with pytest.raises(ValueError, match="at least 1"):
        standard_normal(0, 2)


def test_sample_0_is_the_centre_exactly() -> None:
    for n in (1, 2, 32, 256):
        samples = Assumptions().samples(n)
        assert list(samples) == list(DEFAULTS)
        for name, column in samples.items():
            assert column.shape == (n,)
            assert column[0] == DEFAULTS[name].value


def test_mean_and_spread_of_256_samples() -> None:
    """First principles: the quantiles k/256 are symmetric, so the mean is the centre; cutting off the last
    256th at each end takes about 2 % of the standard deviation."""
    samples = Assumptions().samples(256)
    for name, d in DEFAULTS.items():
        assert samples[name].mean() == pytest.approx(d.value, abs=2e-3 * d.sd)
        assert samples[name].std() == pytest.approx(d.sd, rel=0.03)
        low, high = np.percentile(samples[name], (5.0, 95.0))
        assert low == pytest.approx(d.value - 1.645 * d.sd, abs=0.05 * d.sd)
        assert high == pytest.approx(d.value + 1.645 * d.sd, abs=0.05 * d.sd)


def test_the_columns_are_independent_enough() -> None:
    """Regression: largest correlation 0.08 of 256 samples; of 32 samples none above 0.25 among those that
    move the trim most."""
    z = standard_normal(256, len(DEFAULTS))
    correlation = np.corrcoef(z.T) - np.eye(len(DEFAULTS))
    assert np.abs(correlation).max() < 0.1
    few = np.corrcoef(standard_normal(32, 8).T) - np.eye(8)
    assert np.abs(few).max() < 0.25


def test_changing_one_leaves_the_others() -> None:
    base = Assumptions()
    other = base.changed("c_lmax", 0.9, 0.05, "stall tests")
    assert other["c_lmax"].source == "stall tests"
    assert other.centre("c_lmax") == 0.9
    before, after = base.samples(64), other.samples(64)
    assert all(np.array_equal(before[k], after[k]) for k in DEFAULTS if k != "c_lmax")
    assert after["c_lmax"].mean() == pytest.approx(0.9, abs=1e-3)
    with pytest.raises(KeyError):
        base.changed("nothing", 1.0, 1.0, "")
    with pytest.raises(KeyError):
        base.centre("nothing")


def test_samples_cannot_be_written_to_and_stay_possible() -> None:
    samples = Assumptions().changed("mass_scale", 1.0, 0.5, "wild").samples(256)
    assert samples["mass_scale"].min() >= DEFAULTS["mass_scale"].least
    assert samples["mass_scale"].max() <= DEFAULTS["mass_scale"].most
    with pytest.raises(ValueError, match="read-only"):
        samples["mass_scale"][0] = 3.0


def test_the_same_numbers_in_another_process() -> None:
    code = (
        "from foldwright.design.assumptions import Assumptions\n"
        "print(repr([(k, v.tolist()) for k, v in Assumptions().samples(16).items()]))"
    )
    out = [
        subprocess.run(
            [sys.executable, "-c", code],
            capture_output=True,
            text=True,
            check=True,
            env={"PYTHONHASHSEED": seed},
        ).stdout
        for seed in ("1", "2")
    ]
    assert out[0] == out[1]
    assert out[0].strip() == repr([(k, v.tolist()) for k, v in Assumptions().samples(16).items()])


def test_design_and_workshop_have_their_say() -> None:
    text = MARRAM + "\n[assumptions.cm0_shift]\nvalue = 0.002\nsd = 0.01\n"
    design, workshop = load_design(text.encode()).value, load_workshop(WORKSHOP.encode()).value
    assert design is not None
    assert workshop is not None
    ours = assumptions_for(design, workshop)
    assert (ours["cm0_shift"].value, ours["cm0_shift"].sd) == (0.002, 0.01)
    assert ours["cm0_shift"].source == "set in the design file"
    assert ours["mass_scale"].sd == pytest.approx(0.04)
    assert assumptions_for(design) == Assumptions().changed(
        "cm0_shift", 0.002, 0.01, "set in the design file"
    )
    more = load_design((text + "[assumptions.mass_scale]\nvalue = 1.1\nsd = 0.02\n").encode()).value
    assert more is not None
    assert assumptions_for(more, workshop).centre("mass_scale") == 1.1


def test_every_assumption_says_where_it_comes_from() -> None:
    for d in DEFAULTS.values():
        assert d.source
        assert d.meaning
        assert d.least < d.value < d.most or d.value in (d.least, d.most)
        assert 0.0 < d.sd <= (d.most - d.least) / 2.0
