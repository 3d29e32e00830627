"""Settings that every test shares."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

# "steady" draws the same examples on every machine, so a failure seen once is seen always.
# "search" draws new ones: HYPOTHESIS_PROFILE=search pytest tests/geometry
settings.register_profile(
    "steady",
    derandomize=True,
    deadline=None,
    database=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.register_profile("search", deadline=None, max_examples=1000, print_blob=True)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "steady"))
