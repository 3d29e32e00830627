"""Parts put together: what a builder cannot fold becomes a finding."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe import build
from foldwright.airframe.bench import Bench
from foldwright.airframe.build import board_of, folded
from foldwright.airframe.model import PartBuild
from foldwright.base.messages import words
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from tests.airframe.parts import board, wing
from tests.world import workshop


def _step(part: FoldedWing, _bench: Bench) -> PartBuild:
    """Two level panels 2 mm apart in height, to be joined by a groove: their planes meet nowhere."""
    up = np.array([0.0, 0.0, 1.0])

    def level(name: str, x: float, z: float) -> SpacePanel:
        corners = np.array([(x, 0.0, z), (x + 50.0, 0.0, z), (x + 50.0, 40.0, z), (x, 40.0, z)])
        return SpacePanel(name, up, z, corners)

    panels = (level("one", 0.0, 0.0), level("two", 50.0, 2.0))
    unfold(
        f"{part.id}/main",
        5.0,
        panels,
        (SpaceFold("f", "one", "two", 1, 3, "groove", "a"),),
        np.array([1.0, 0, 0]),
    )
    raise AssertionError("these planes do not meet")


def test_planes_that_do_not_meet_are_a_finding(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(build, "builders", lambda: {FoldedWing: _step})
    shape = folded((wing(id="odd-wing"),), (), Bench(board(), (), 0.0))
    assert shape.placed == ()
    assert [(f.code, f.where, f.value) for f in shape.findings] == [("G09", "odd-wing/main/f", 2.0)]
    assert words(shape.findings[0]).cure


def test_the_board_is_the_workshops_mean() -> None:
    made = board_of(workshop())
    assert made.thickness == pytest.approx(5.0)
    # 480 g/m² in all, of which twice 100 g/m² are paper
    assert made.material.foam_g_mm3 * 5.0 == pytest.approx(280e-6)
