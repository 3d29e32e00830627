"""Which assumption contributes most to the band of each prediction.

A straight line through the samples, y = b_0 + Σ b_i x_i, all standardised: b_i² is the share of the variance
that input i brings by itself, and R² how much of it all inputs together explain that way. Where the line
explains too little, the same is done with the ranks of y and x. What is left, 1 - Σ b_i², is bends, inputs
that work on each other, and chance.

The inputs are sampled without correlation, so that the shares hardly overlap. It takes many more samples than
inputs: the interactive detail has too few.

Source
1. A. Saltelli et al., *Sensitivity Analysis*, 2000, ch. 6: (rank) regression coefficients as shares.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.assumptions import Assumptions
from foldwright.flight.air import Flown
from foldwright.flight.balance import Balance
from foldwright.flight.envelope import along
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.trim import Trim, Trims
from foldwright.physics.trim import edge_up

LEAST_SAMPLES = 4
"""Samples for each input, at least [judgement]."""
STRAIGHT = 0.7
"""R² from which the straight line is believed; below it ranks are taken (source 1: 0.7)."""
SMALL = 0.02
"""A share below this is not told from chance [judgement]."""

TITLES: Mapping[str, str] = MappingProxyType(
    {
        "all_up": "all-up weight",
        "static_margin": "static margin",
        "launch_trim": "launch trim",
        "cruise_trim": "cruise trim",
        "power_trim": "trim change by power",
        "stall": "stall speed",
        "glide": "best glide",
        "sink": "least sink",
        "top": "top speed",
        "launch_climb": "climb at launch",
        "cruise_current": "cruise current",
        "time_flown": "time aloft",
        "full_current": "current at full throttle",
        "lost": "height lost in the throw",
        "bank": "bank after the throw",
    }
)
"""Predictions that are taken apart, in the order of telling."""


@dataclass(frozen=True, slots=True)
class Share:
    """One input: name of the assumption, share of the variance (0-1), and whether more of it means more."""

    name: str
    share: float
    rises: bool


@dataclass(frozen=True, slots=True)
class Shares:
    """Where the band of one prediction comes from.

    shares: the inputs that count, greatest first; none where the prediction hardly varies. explained: R² of
    all inputs together. ranks: whether of the ranks, because a straight line did not do.
    """

    prediction: str
    title: str
    shares: tuple[Share, ...]
    explained: float
    ranks: bool

    @property
    def most(self) -> Share | None:
        """The greatest contributor."""
        return self.shares[0] if self.shares else None


def predictions(lift: Lift, balance: Balance, trims: Trims, flown: Flown) -> dict[str, FloatArray]:
    """Samples (n,) of the predictions of `TITLES`, in the units of their bands; some lack where no launch was
    flown.
    """
    found, speed = flown.envelope, trims.launch.condition.speed
    spare = along(found.full - found.level.force, found.level.speeds, speed)
    launch = _up(trims.launch)
    at_rest = found.drive.fresh().at(1.0, 0.0, found.density)
    told = {
        "all_up": balance.mass_samples,
        "static_margin": 100.0 * lift.margin(balance.cg_samples),
        "launch_trim": launch,
        "cruise_trim": _up(trims.cruise),
        "power_trim": flown.power.changes,
        **{name: found.samples[name] for name in ("stall", "glide", "sink", "top")},
        # rate of climb in proportion to thrust to spare over weight
        "launch_climb": np.asarray(spare / balance.mass_samples),
        **{name: found.samples[name] for name in ("cruise_current", "time_flown")},
        "full_current": np.asarray(at_rest.cell_current),
    }
    if flown.throw is not None:
        told |= {"lost": flown.throw.flown.lost, "bank": flown.throw.flown.bank}
    return told


def _up(trim: Trim) -> FloatArray:
    """Trailing edge up at the station, mm, (n,)."""
    return edge_up(trim.station.sense * trim.state.delta, trim.station.chord)


def shares(
    predicted: Mapping[str, FloatArray], assumptions: Assumptions, samples: Samples
) -> tuple[Shares, ...]:
    """Shares of every prediction, in the order of `TITLES`; none where there are too few samples.

    predicted: (n,) by name. samples: of the assumptions, the same n. A sample without a value is left out.
    """
    names = [entry.name for entry in assumptions.entries if float(np.ptp(samples[entry.name])) > 0.0]
    if not names:
        return ()
    inputs = np.stack([samples[name] for name in names], axis=1)
    if len(inputs) < LEAST_SAMPLES * len(names):
        return ()
    return tuple(
        _shares(name, predicted[name], inputs, names)
        for name in TITLES
        if name in predicted and _enough(predicted[name], len(names))
    )


def _enough(values: FloatArray, inputs: int) -> bool:
    return int(np.isfinite(values).sum()) >= LEAST_SAMPLES * inputs


def _shares(name: str, values: FloatArray, inputs: FloatArray, names: list[str]) -> Shares:
    there = np.isfinite(values)
    y, x = values[there], inputs[there]
    if float(np.ptp(y)) <= 1e-9 * max(1.0, float(np.abs(y).max())):
        return Shares(name, TITLES[name], (), 1.0, ranks=False)
    slopes, explained = _line(y, x)
    ranks = explained < STRAIGHT
    if ranks:
        slopes, explained = _line(_ranks(y), np.stack([_ranks(column) for column in x.T], axis=1))
    found = [
        Share(each, float(slope**2), bool(slope > 0.0))
        for each, slope in zip(names, slopes, strict=True)
        if slope**2 >= SMALL
    ]
    found.sort(key=lambda one: (-round(one.share, 6), one.name))
    return Shares(name, TITLES[name], tuple(found), explained, ranks=ranks)


def _line(y: FloatArray, x: FloatArray) -> tuple[FloatArray, float]:
    """Slopes (k,) of standardised y (n,) over standardised x (n, k), and R²."""
    spread = x.std(axis=0)
    wanted = (y - y.mean()) / y.std()
    given = (x - x.mean(axis=0)) / np.where(spread > 0.0, spread, 1.0)
    slopes = np.linalg.lstsq(given, wanted, rcond=None)[0]
    left = wanted - given @ slopes
    return np.asarray(slopes), float(1.0 - left @ left / (wanted @ wanted))


def _ranks(values: FloatArray) -> FloatArray:
    """Rank of each value, equal ones alike (the middle of theirs)."""
    _, place, counts = np.unique(values, return_inverse=True, return_counts=True)
    middle = np.cumsum(counts) - 0.5 * (counts - 1.0)
    return np.asarray(middle[place.reshape(values.shape)], dtype=np.float64)
