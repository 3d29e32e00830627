"""Settings that every test shares."""

from __future__ import annotations

import sys
from collections.abc import Generator

import pytest
from hypothesis import HealthCheck, settings

from tests.examples import TIMES, examples

# Every run draws the same examples on every machine, so a failure seen once is seen always;
# FOLDWRIGHT_EXAMPLES_TIMES=10 pytest tests/geometry draws ten times as many, and new ones.
settings.register_profile(
    "ours",
    derandomize=TIMES == 1,
    max_examples=examples(100),
    deadline=None,
    database=None,
    print_blob=True,
    suppress_health_check=[HealthCheck.too_slow],
)
settings.load_profile("ours")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_call(item: pytest.Item) -> Generator[None, object, object]:
    """Run tests marked `untraced` without the tracer that counts lines: it would double their time."""
    tracer = sys.gettrace()
    if tracer is None or item.get_closest_marker("untraced") is None:
        return (yield)
    sys.settrace(None)
    try:
        return (yield)
    finally:
        sys.settrace(tracer)
