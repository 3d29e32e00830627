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
        ordered = np.sort(good)
        low, high = (percentile(ordered, share) for share in (0.05, 0.95))
        return cls(float(flat[0]), low, high, unit, basis, missing)


def percentile(ordered: FloatArray, share: float) -> float:
    """The value below which a share (0-1) of a rising row lies, straight between neighbours.

    As numpy.percentile gives it, to the last bit, at a tenth of its time for a short row.
    """
    place = (len(ordered) - 1) * share
    low = int(place)
    part, before = place - low, float(ordered[low])
    after = float(ordered[min(low + 1, len(ordered) - 1)])
    return before + (after - before) * part if part < 0.5 else after - (after - before) * (1.0 - part)
