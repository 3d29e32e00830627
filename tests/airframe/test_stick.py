"""Sticks and booms. Expected numbers: length times grams per metre (first principles)."""

from __future__ import annotations

from math import hypot
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.model import PartBuild
from foldwright.airframe.stick import build_stick
from foldwright.base.messages import catalogue, words
from foldwright.design.parts import Stick
from foldwright.geometry.fold.mass import mass_properties
from tests.airframe.boxes import board
from tests.examples import examples
from tests.strategies import seeds

TUBE = Bought(8.0, 6.0, 14.0, "carbon", "tube")


def stick(bought: Bought | None = TUBE, **changes: Any) -> PartBuild:
    table = {"kind": "stick", "id": "boom", "stock": "tube-8", "from_mm": 100, "to_mm": 600, "z_mm": 12}
    bench = Bench(board(), () if bought is None else (("boom", bought),), 0.0)
    return build_stick(Stick.model_validate({**table, **changes}), bench)


def test_one_stick() -> None:
    build = stick()
    assert not build.blanks
    assert not build.findings
    (item,) = build.masses
    props = mass_properties(item.moments)
    assert props.mass == pytest.approx(0.5 * 14.0)
    assert props.cg == pytest.approx([350.0, 0.0, 12.0])
    assert props.inertia[1, 1] == pytest.approx(7.0 * 500.0**2 / 12.0)  # a thin rod
    (bar,) = build.bars
    assert (bar.id, bar.width, bar.height, bar.material, bar.form) == ("boom", 8.0, 6.0, "carbon", "tube")
    assert bar.ends.tolist() == [[100.0, 0.0, 12.0], [600.0, 0.0, 12.0]]
    (body,) = build.bodies
    assert (body.x.tolist(), body.width.tolist(), body.height.tolist()) == ([100, 600], [8, 8], [6, 6])
    (note,) = build.notes
    assert catalogue()[note.code].says.format(**note.params) == "Cut the stick to 500.0 mm; 1 of them."


@pytest.mark.parametrize("y", [90.0, -90.0])
def test_twin_booms(y: float) -> None:
    build = stick(mirrored=True, y_mm=y, rear_z_mm=32.0)
    assert [bar.id for bar in build.bars] == ["boom/right", "boom/left"]
    assert [bar.ends[0, 1] for bar in build.bars] == [90.0, -90.0]
    total = np.sum([item.moments for item in build.masses], axis=0)
    assert mass_properties(total).cg == pytest.approx([350.0, 0.0, 22.0], abs=1e-9)
    long = hypot(500.0, 20.0)
    assert total[3, 3] == pytest.approx(2 * 14.0 * long / 1000.0)
    assert build.notes[0].params == {"length": pytest.approx(long, abs=0.05), "count": 2}
    assert build.bodies[0].height == pytest.approx([6.0 * long / 500.0] * 2)


def test_too_short() -> None:
    (item,) = stick(to_mm=140).findings
    assert (item.code, item.where, item.value, item.limit) == ("G153", "boom.to_mm", 40.0, 50.0)
    assert words(item).cure == "Set to_mm to 150.0 or more, or from_mm to as much less."
    assert not stick(to_mm=150).findings


def test_not_in_stock_is_said_elsewhere() -> None:
    build = stick(None)
    assert not build.findings
    assert not build.masses


@settings(max_examples=examples(200))
@given(seeds())
def test_sticks_at_random(rng: np.random.Generator) -> None:
    """A pair is its own mirror image and weighs twice one; the note says how long to cut it."""
    place: dict[str, Any] = {
        "from_mm": float(rng.uniform(-100, 100)), "to_mm": float(rng.uniform(200, 900)),
        "y_mm": float(rng.uniform(5, 200)), "z_mm": float(rng.uniform(-50, 50)),
        "rear_z_mm": float(rng.uniform(-50, 50)),
    }  # fmt: skip
    one, pair = stick(**place), stick(**place, mirrored=True)
    flip = np.diag([1.0, -1.0, 1.0, 1.0])
    right, left = pair.masses
    assert np.abs(right.moments - flip @ left.moments @ flip).max() < 1e-6
    assert right.moments == pytest.approx(one.masses[0].moments)
    long = float(np.linalg.norm(one.bars[0].ends[1] - one.bars[0].ends[0]))
    assert one.masses[0].moments[3, 3] == pytest.approx(14.0 * long / 1000.0)
    assert float(one.notes[0].params["length"]) == pytest.approx(long, abs=0.05 + 1e-9)
