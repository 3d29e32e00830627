"""Rules of the sheets on outlines that are hard to measure."""

from __future__ import annotations

from dataclasses import replace
from math import cos, sin

import numpy as np
import pytest

from foldwright.airframe.model import Placed
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.review.sheet_rules import thin_places
from tests.review.samples import subject_of
from tests.world import marram

JAGGED = np.array([
    (7.520, 2.475), (17.427, 16.815), (6.522, 9.625), (16.009, 25.170), (-0.033, 5.674), (-16.264, 13.623),
    (-13.991, 6.541), (-39.864, -0.481), (8.353, -25.918),
])  # fmt: skip
"""Spikes beside one another: shrunk and grown, it holds a shell within a shell, which is no shape."""


@pytest.mark.parametrize("turn", [0.0, 0.3, 2.0])
def test_spikes_beside_one_another_are_measured(turn: float) -> None:
    """First principles: how a part lies does not change what of it is thin. The area in mm²: regression."""
    ring = JAGGED @ np.array([[cos(turn), sin(turn)], [-sin(turn), cos(turn)]])
    plate = Blank("plate", 5.0, (Panel("plate", ring, (SQUARE,) * len(ring)),), (), "plate", np.eye(4))
    subject = subject_of(marram())
    placed = (Placed("plate", plate, transforms(plate)),)
    (said,) = thin_places(replace(subject, airframe=replace(subject.airframe, placed=placed)))
    assert (said.code, said.verdict) == ("S83", "watch")
    assert said.value == pytest.approx(33.34, abs=0.01)
