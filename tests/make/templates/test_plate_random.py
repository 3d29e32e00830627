"""Template plates of random wings, boards, printers and templates: all that holds of every plate."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given, settings

from foldwright.airframe.model import Board
from foldwright.airframe.wing import build_wing
from foldwright.design.parts import FoldedWing
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.mass import Material
from foldwright.geometry.fold.model import Blank
from foldwright.make.templates.group import groups_of
from foldwright.make.templates.plate import plate_of
from tests.examples import examples
from tests.make.sheet_samples import workshop
from tests.make.templates.plate_checks import check_plate, check_traced
from tests.strategies import random_folded_wing, seeds


def random_blanks(rng: np.random.Generator) -> tuple[Blank, ...]:
    t = float(rng.uniform(3.0, 6.0))
    board = Board(t, Material(t, 3.0e-5, 0.0), 0.0, t, 0.5)
    return build_wing(FoldedWing.model_validate(random_folded_wing(rng)), board).blanks


def random_workshop(rng: np.random.Generator) -> Workshop:
    """Beds of 120 to 350 mm, and every key of the template at random."""
    tool = str(rng.choice(["pencil", "blade"]))
    bed = tuple(float(v) for v in rng.uniform(120.0, 350.0, 2))
    return workshop(
        cutter={"kind": "knife", "kerf_mm": 0.0, "to_paper": bool(rng.random() < 0.8)},
        printer={"bed_mm": (*bed, 150.0)},
        template={
            "tool": tool,
            "plate_mm": float(rng.uniform(1.6, 5.0)),
            "recess_mm": float(rng.uniform(0.3, 0.8)),
            "rim_mm": float(rng.uniform(8.0, 24.0)),
            "slot_mm": float(rng.uniform(0.9, 2.2)),
            "letter_mm": float(rng.uniform(3.0, 12.0)),
            "stem_mm": float(rng.uniform(0.8, 1.4)),
            **({"offset_mm": float(rng.uniform(0.0, 0.6))} if rng.random() < 0.5 else {}),
        },
    )


def check_all(rng: np.random.Generator) -> int:
    blanks, bench = random_blanks(rng), random_workshop(rng)
    by_name = {blank.name: blank for blank in blanks}
    kind = "rim" if rng.random() < 0.7 else "full"
    found = groups_of(blanks, bench.cutter)
    missing = {finding.where for finding in found.findings}
    assert missing | {name for group in found.groups for name in group.names} == set(by_name)
    for group in found.groups:
        made = plate_of(group, "rim" if kind == "rim" else "full", bench)
        assert made.plate is not None
        for name in group.names:
            check_traced(made.plate, by_name[name], bench)
        check_plate(made.plate, bench)
    return len(found.groups)


def test_some_random_plates() -> None:
    """Guards the longer test of this file: most seeds give something to check."""
    counts = [check_all(np.random.default_rng(seed)) for seed in (0, 1, 2, 3)]
    assert sum(counts) >= 4


@pytest.mark.slow
@pytest.mark.untraced
@settings(max_examples=examples(20), deadline=None)
@given(seeds())
def test_what_holds_of_every_plate(rng: np.random.Generator) -> None:
    assume(check_all(rng) > 0)
