"""Random folded wings of every planform: flat and folded again, no overlap, marks close, masses agree.

All limits are first principles: the figures that the closed forms promise (fold geometry of the design).
"""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest
from hypothesis import assume, given, settings
from shapely.geometry import Polygon

from foldwright.airframe.marking import place_marks
from foldwright.airframe.model import Airframe, Board, PartBuild, Placed, Thrust
from foldwright.airframe.wing import build_wing
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.flatcheck import flat_overlaps, outline
from foldwright.geometry.fold.mass import Material
from foldwright.geometry.fold.solids import overlaps
from tests.airframe.flats import CLOSES, mass_error, round_trip
from tests.examples import examples
from tests.geometry.fold.test_random_wings import LEAST_VOLUME, worst_mark
from tests.strategies import random_folded_wing, seeds


def random_board(rng: np.random.Generator) -> Board:
    t = float(rng.uniform(3.0, 6.0))
    return Board(t, Material(t, 3.0e-5, 0.0), 0.0, t, 0.5)


def built(rng: np.random.Generator) -> tuple[FoldedWing, Board, PartBuild]:
    board = random_board(rng)
    part = FoldedWing.model_validate(random_folded_wing(rng))
    return part, board, build_wing(part, board)


def test_most_random_wings_can_be_folded() -> None:
    """Guards the other tests of this file: what they skip is the lesser part, and every layout is met."""
    met: Counter[str] = Counter()
    for seed in range(120):
        part, _, build = built(np.random.default_rng(seed))
        met["built" if build.blanks else "refused"] += 1
        met.update({"main" if any(b.name == "wing/main" for b in build.blanks) else "pairs"})
        met.update(panel.name for blank in build.blanks for panel in blank.panels)
        if build.blanks:
            met.update({f"{len(part.bay)} bays", part.nose.method, part.trailing.kind, f"tip {part.tip}"})
    assert met["built"] >= 70
    wanted = "main pairs strip front-right strip-right-2 slit mitre two_fold level straight control1-left"
    for name in (*wanted.split(), "0 bays", "1 bays", "2 bays", "3 bays", "tip cap"):
        assert met[name] > 2, (name, met)


@pytest.mark.slow
@pytest.mark.untraced
@settings(max_examples=examples(2000))
@given(seeds())
def test_what_holds_of_every_wing(rng: np.random.Generator) -> None:
    """One wing drawn and folded, then asked all that the closed forms promise."""
    _, board, build = built(rng)
    assume(build.blanks)
    for blank in build.blanks:
        if not blank.mirror_of:
            assert round_trip(blank) <= CLOSES
            assert mass_error(blank, board.material) <= 1e-9
    placed = tuple(Placed("wing", blank, transforms(blank)) for blank in build.blanks)
    assert overlaps([(one.blank, one.transforms) for one in placed], LEAST_VOLUME) == ()
    main = max(build.blanks, key=lambda blank: len(blank.panels))
    assert worst_mark(main, rng) <= CLOSES
    _guides_land(board, build, placed)


def _guides_land(board: Board, build: PartBuild, placed: tuple[Placed, ...]) -> None:
    """The wing's own marks are on the strip: the spar's inside, the centre line outside."""
    thrust = Thrust(0.0, 0.0, 0.0, 0.0, None, 0.0)
    frame = Airframe(board, placed, build.surfaces, (), (), thrust, ())
    marked, missed = place_marks(frame, build.guides)
    assert missed == ()
    for one in marked.placed:
        for mark in one.blank.marks:
            assert mark.panel.startswith("strip")
            assert mark.face == ("b" if mark.name == "spar" else "a")


@pytest.mark.slow
@settings(max_examples=examples(100))
@given(seeds())
def test_every_check_of_a_blank_is_clear(rng: np.random.Generator) -> None:
    """Fold limits, cuts, the way from flat to folded (boards give 1 mm there, FoldRules); one flat piece."""
    _, board, build = built(rng)
    assume(build.blanks)
    for blank in build.blanks:
        assert check_blank(blank, FoldRules(squeeze_share=board.squeeze_share)) == ()
        assert flat_overlaps(blank) == ()
        assert isinstance(outline(blank), Polygon), "the blank falls apart"
