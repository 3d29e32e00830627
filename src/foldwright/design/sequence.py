"""Evenly spread points for sampling, the same on every run: an unscrambled Sobol sequence.

Sources: [1] I. M. Sobol', USSR Comput. Math. Math. Phys. 7 (1967) 86-112. [2] S. Joe, F. Y. Kuo,
Constructing Sobol sequences with better two-dimensional projections, SIAM J. Sci. Comput. 30 (2008)
2635-2654, direction numbers of the table new-joe-kuo-6. [3] I. A. Antonov, V. M. Saleev, USSR Comput.
Math. Math. Phys. 19 (1979) 252-256 (order by Gray code).
"""

from __future__ import annotations

from functools import lru_cache
from statistics import NormalDist

import numpy as np

from foldwright.base.types import FloatArray

# Source [2]: degree, coefficients, first direction numbers, of dimensions 2 to 32.
_TABLE = (
    (1, 0, (1,)), (2, 1, (1, 3)), (3, 1, (1, 3, 1)), (3, 2, (1, 1, 1)), (4, 1, (1, 1, 3, 3)),
    (4, 4, (1, 3, 5, 13)), (5, 2, (1, 1, 5, 5, 17)), (5, 4, (1, 1, 5, 5, 5)), (5, 7, (1, 1, 7, 11, 19)),
    (5, 11, (1, 1, 5, 1, 1)), (5, 13, (1, 1, 1, 3, 11)), (5, 14, (1, 3, 5, 5, 31)),
    (6, 1, (1, 3, 3, 9, 7, 49)), (6, 13, (1, 1, 1, 15, 21, 21)), (6, 16, (1, 3, 1, 13, 27, 49)),
    (6, 19, (1, 1, 1, 15, 7, 5)), (6, 22, (1, 3, 1, 15, 13, 25)), (6, 25, (1, 1, 5, 5, 19, 61)),
    (7, 1, (1, 3, 7, 11, 23, 15, 103)), (7, 4, (1, 3, 7, 13, 13, 15, 69)), (7, 7, (1, 1, 3, 13, 7, 35, 63)),
    (7, 8, (1, 3, 5, 9, 1, 25, 53)), (7, 14, (1, 3, 1, 13, 9, 35, 107)), (7, 19, (1, 3, 1, 5, 27, 61, 31)),
    (7, 21, (1, 1, 5, 11, 19, 41, 61)), (7, 28, (1, 3, 5, 3, 3, 13, 69)), (7, 31, (1, 1, 7, 13, 1, 19, 1)),
    (7, 32, (1, 3, 7, 5, 13, 19, 59)), (7, 37, (1, 1, 3, 9, 25, 29, 41)), (7, 41, (1, 3, 5, 13, 23, 1, 55)),
    (7, 42, (1, 3, 7, 3, 13, 59, 17)),
)  # fmt: skip
MOST_DIMENSIONS = len(_TABLE) + 1
_BITS = 30


def _directions(dimension: int) -> list[int]:
    """Direction numbers v_1 … v_30 of a dimension, scaled by 2^30; source [2], eqs 2-3."""
    if dimension == 0:
        return [1 << (_BITS - i) for i in range(1, _BITS + 1)]
    degree, coefficients, first = _TABLE[dimension - 1]
    m = list(first)
    for k in range(degree, _BITS):
        new = m[k - degree] ^ (m[k - degree] << degree)
        for i in range(1, degree):
            if (coefficients >> (degree - 1 - i)) & 1:
                new ^= m[k - i] << i
        m.append(new)
    return [m[i] << (_BITS - 1 - i) for i in range(_BITS)]


def sobol(n: int, dimensions: int) -> FloatArray:
    """First n points (n, dimensions) of the sequence in [0, 1), the origin first.

    Raises ValueError for fewer than 1 or more than `MOST_DIMENSIONS` dimensions.
    """
    if not 1 <= dimensions <= MOST_DIMENSIONS:
        raise ValueError(f"dimensions must be 1 to {MOST_DIMENSIONS}")
    v = np.array([_directions(j) for j in range(dimensions)], dtype=np.int64)
    points = np.zeros((n, dimensions), dtype=np.int64)
    for i in range(1, n):
        lowest_zero = (~(i - 1) & i).bit_length() - 1  # source [3]
        points[i] = points[i - 1] ^ v[:, lowest_zero]
    return points / float(1 << _BITS)


@lru_cache(maxsize=32)
def standard_normal(n: int, dimensions: int) -> FloatArray:
    """Samples (n, dimensions) of independent standard normals; row 0 is all zeros (the centre).

    Rows 1 … n-1 are the Sobol points after the origin through the inverse normal distribution. Where n is
    a power of two each column holds the quantiles k/n, k = 1 … n-1, once, so its mean is zero.
    Raises ValueError for n < 1.
    """
    if n < 1:
        raise ValueError("n must be at least 1")
    z = np.zeros((n, dimensions))
    if n > 1:
        # a few thousand quantiles take less time than importing a library of them
        quantile = NormalDist().inv_cdf
        points = sobol(n, dimensions)[1:]
        z[1:] = np.reshape([quantile(point) for point in points.ravel().tolist()], points.shape)
    z.setflags(write=False)
    return z
