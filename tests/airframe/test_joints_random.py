"""Any wing on any box by any joint: no board in one place, sound outlines, folds that keep their ends.

Expected: first principles. Seeds, not a search: every run tries the same bodies.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from pydantic import TypeAdapter

from foldwright.airframe.bench import Bought
from foldwright.airframe.box import build_box
from foldwright.airframe.joining import joiners
from foldwright.airframe.model import PartBuild
from foldwright.base.messages import words
from foldwright.design.parts import BandOn, Joint, Saddle, Through
from foldwright.geometry.fold.checks import check_flat, check_rings
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.transform import apply
from tests.airframe.boxes import random_box
from tests.airframe.joints import bench, halves, shared

JOINTS: TypeAdapter[Any] = TypeAdapter(Joint)
DOWELS = {"G166", "G167", "G168", "G169"}  # findings that leave the seat as it is


def random_joint(kind: str, rng: np.random.Generator) -> Saddle | Through | BandOn:
    """A joint of that kind; dowels stand anywhere."""
    keys: dict[str, Any] = {"kind": kind, "id": "j", "parts": ("wing", "body")}
    if kind == "band_on":
        front, rear = rng.uniform(0.0, 80.0), rng.uniform(100.0, 220.0)
        heights = rng.uniform(-15.0, 15.0, 2)
        keys |= {
            "dowel": "rod", "front_x_mm": float(front), "rear_x_mm": float(rear),
            "front_z_mm": float(heights[0]), "rear_z_mm": float(heights[1]),
        }  # fmt: skip
    made: Saddle | Through | BandOn = JOINTS.validate_python(keys)
    return made


@pytest.mark.parametrize("kind", ["saddle", "through", "band_on"])
@pytest.mark.parametrize("seed", range(30))
def test_random_wings_on_random_boxes(kind: str, seed: int) -> None:
    rng = np.random.default_rng(seed)
    part, sheet, tilt = random_box(rng)
    other = build_box(part, sheet, tilt)
    wing = halves(
        x=float(rng.uniform(-50, 250)), z=float(rng.uniform(-40, 40)), aft=float(rng.uniform(-60, 120)),
        rise=float(rng.uniform(-10, 12)), incidence=float(rng.uniform(-3, 5)),
        tip=float(rng.uniform(40, 100)),
    )  # fmt: skip
    joint = random_joint(kind, rng)
    tools = bench("j", Bought(4.0, 4.0, 9.0, "wood", "rod"))
    done = joiners()[type(joint)].join({}, {"wing": wing, "body": other}, joint, tools)
    for found in done.findings:
        assert words(found).says
        assert words(found).cure
    body = done.changed.get("body", other)
    if all(f.verdict != "no-go" or f.code in DOWELS for f in done.findings):
        assert shared(wing, body) == 0.0
        assert done.shown is not None
        assert done.shown.first
        assert done.shown.second
    for blank in body.blanks:
        assert not [*check_rings(blank), *check_flat(blank)]
    assert folds_hold(body)


def folds_hold(body: PartBuild) -> bool:
    """Whether parent and child put both ends of every fold in one place."""
    for blank in body.blanks:
        places = transforms(blank)
        for fold in blank.folds:
            w = blank.thickness if fold.hinge == "a" else 0.0
            line = np.array([[*fold.p, w], [*fold.q, w]])
            if not np.allclose(apply(places[fold.parent], line), apply(places[fold.child], line), atol=1e-6):
                return False
    return True
