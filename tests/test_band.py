"""Bands of samples: their ends are numpy's percentiles, to the last bit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.base.band import Band, percentile

VALUES = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=300)


@given(VALUES)
def test_ends_are_those_of_another_library(values: list[float]) -> None:
    """numpy.percentile, its straight line between neighbours."""
    wanted = np.percentile(np.array(values), (5.0, 95.0))
    band = Band.of(np.array(values), "m", "test")
    assert (band.low, band.high) == (float(wanted[0]), float(wanted[1]))
    assert band.value == values[0]


def test_what_is_missing_is_counted() -> None:
    band = Band.of(np.array([2.0, np.nan, 4.0, np.inf]), "m", "test")
    assert band.missing == 0.5
    assert [band.low, band.high] == pytest.approx([2.1, 3.9])
    none = Band.of(np.array([np.nan]), "m", "test")
    assert none.missing == 1.0
    assert np.isnan(none.value)


def test_one_value_is_its_own_percentile() -> None:
    assert percentile(np.array([3.0]), 0.95) == 3.0
