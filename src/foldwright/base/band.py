"""A prediction and how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.base.types import FloatArray


@dataclass(frozen=True, slots=True)
class Band:
    """One predicted number with its 5-95 % range and what it rests on.

    value: centre value (sample 0 of the run that gave the band).
    low, high: 5th and 95th percentile, same unit as value.
    unit: unit as printed, e.g. "mm", "g", "m/s", "% chord"; "" for a pure number.
    basis: one phrase saying what the number rests on.
    missing: share of the samples (0-1) for which the quantity does not exist, e.g. no trim was found.
    """

    value: float
    low: float
    high: float
    unit: str
    basis: str
    missing: float = 0.0

    @classmethod
    def of(cls, samples: FloatArray, unit: str, basis: str) -> Band:
        """Band of a one-dimensional sample axis whose first element is the centre value.

        Samples that are not a number are counted in `missing`, never dropped in silence. If the centre
        itself does not exist the value is NaN.
        """
        flat = np.atleast_1d(np.asarray(samples, dtype=np.float64))
        good = flat[np.isfinite(flat)]
        missing = 1.0 - good.size / flat.size
        if good.size == 0:
            return cls(float("nan"), float("nan"), float("nan"), unit, basis, 1.0)
        low, high = np.percentile(good, (5.0, 95.0))
        return cls(float(flat[0]), float(low), float(high), unit, basis, missing)
