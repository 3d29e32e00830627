"""Hinges of two halves on one line with a fin's slot between them are read back as two."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from foldwright.geometry.fold.model import Blank
from foldwright.make.plans import complete
from foldwright.make.readback import check_files
from tests.make.plan_samples import ABOUT, bundle
from tests.make.sheet_samples import workshop
from tests.make.test_kinds_read_back import LARGE, blanks_of

TAIL: dict[str, Any] = {
    "kind": "plate_wing", "id": "tail", "role": "tailplane", "x_mm": 580.0, "z_mm": 10.0, "span_mm": 360.0,
    "chord_mm": 118.0,
    "control": (
        {"id": "elevator", "kind": "elevator", "chord_mm": 36.0, "inner_mm": 12.0, "outer_mm": 170.0},
    ),
}  # fmt: skip


def with_slot() -> Blank:
    """The tailplane with a slot of 15 x 5 mm in the middle between its two hinges."""
    (blank,) = blanks_of(TAIL)
    hinges = [fold for fold in blank.folds if fold.name.startswith("elevator")]
    middle = np.mean([point for fold in hinges for point in (fold.p, fold.q)], axis=0)
    along = (hinges[0].q - hinges[0].p) / hinges[0].length
    across = np.array([-along[1], along[0]])
    ring = np.array(
        [middle + a * along + b * across for a, b in ((-2.5, -7.5), (2.5, -7.5), (2.5, 7.5), (-2.5, 7.5))]
    )
    panels = [
        replace(panel, holes=(ring,)) if panel.name == hinges[0].parent else panel for panel in blank.panels
    ]
    return replace(blank, panels=tuple(panels))


@pytest.mark.parametrize(("kind", "kerf"), [("laser", 0.3), ("knife", 0.0)])
def test_a_slot_between_two_hinges_does_not_join_them(kind: str, kerf: float) -> None:
    shop = workshop(cutter__kind=kind, cutter__kerf_mm=kerf, cutter__to_paper=True, **LARGE)
    report = check_files(complete(bundle((with_slot(),), shop), ABOUT))
    assert report.holds, report.findings
