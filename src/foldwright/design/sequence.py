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

# Source [2]: dimension, degree, coefficients, first direction numbers. The first eleven dimensions in their
# order, then those of the first 64 whose points, 32 or 256 of them, go least with those before.
_TABLE = (
    (2, 1, 0, (1,)), (3, 2, 1, (1, 3)), (4, 3, 1, (1, 3, 1)), (5, 3, 2, (1, 1, 1)), (6, 4, 1, (1, 1, 3, 3)),
    (7, 4, 4, (1, 3, 5, 13)), (8, 5, 2, (1, 1, 5, 5, 17)), (9, 5, 4, (1, 1, 5, 5, 5)),
    (10, 5, 7, (1, 1, 7, 11, 19)), (11, 5, 11, (1, 1, 5, 1, 1)), (18, 6, 22, (1, 3, 1, 15, 13, 25)),
    (28, 7, 31, (1, 1, 7, 13, 1, 19, 1)), (17, 6, 19, (1, 1, 1, 15, 7, 5)),
    (33, 7, 50, (1, 3, 1, 3, 5, 53, 69)), (29, 7, 32, (1, 3, 7, 5, 13, 19, 59)),
    (61, 9, 52, (1, 3, 7, 7, 31, 19, 83, 137, 221)), (16, 6, 16, (1, 3, 1, 13, 27, 49)),
    (50, 8, 97, (1, 1, 1, 3, 23, 43, 57, 177)), (12, 5, 13, (1, 1, 1, 3, 11)),
    (42, 8, 47, (1, 1, 7, 15, 21, 11, 81, 45)), (40, 8, 22, (1, 3, 1, 11, 11, 11, 77, 249)),
    (39, 8, 21, (1, 3, 5, 15, 31, 59, 63, 97)), (51, 8, 103, (1, 3, 7, 7, 17, 17, 37, 71)),
    (37, 7, 62, (1, 3, 3, 5, 3, 55, 33)), (21, 7, 4, (1, 3, 7, 13, 13, 15, 69)),
    (30, 7, 37, (1, 1, 3, 9, 25, 29, 41)), (36, 7, 59, (1, 1, 7, 9, 13, 61, 49)),
    (58, 9, 25, (1, 1, 1, 11, 11, 17, 63, 105, 183)), (44, 8, 50, (1, 3, 1, 1, 19, 11, 3, 205)),
    (48, 8, 70, (1, 3, 7, 11, 15, 39, 119, 27)),
)  # fmt: skip
MOST_DIMENSIONS = len(_TABLE) + 1
DIMENSIONS = (1, *(row[0] for row in _TABLE))
"""Numbers of the dimensions in source [2], in the order that they are taken here."""
_BITS = 30


def _directions(dimension: int) -> list[int]:
    """Direction numbers v_1 … v_30 of a dimension, scaled by 2^30; source [2], eqs 2-3."""
    if dimension == 0:
        return [1 << (_BITS - i) for i in range(1, _BITS + 1)]
    _, degree, coefficients, first = _TABLE[dimension - 1]
    m = list(first)
    for k in range(degree, _BITS):
        new = m[k - degree] ^ (m[k - degree] << degree)
        for i in range(1, degree):
            if (coefficients >> (degree - 1 - i)) & 1:
                new ^= m[k - i] << i
        m.append(new)
    return [m[i] << (_BITS - 1 - i) for i in range(_BITS)]


def sobol(n: int, dimensions: int) -> FloatArray:
    """First n points (n, dimensions) of the sequence in [0, 1), the origin first, in the order of DIMENSIONS.

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
