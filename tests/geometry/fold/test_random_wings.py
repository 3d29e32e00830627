"""Random wings of constant chord: flat and folded again, no overlap, marks close, masses as a mesh has.

All limits are first principles: the figures that the closed forms promise.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldwright.airframe.model import Board
from foldwright.airframe.wing import build_wing
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.marks import MarkMiss, land, station_of
from foldwright.geometry.fold.mass import Material
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.fold.solids import overlaps
from tests.airframe.flats import CLOSES, corners, mass_error, round_trip

COUNT = 200
LEAST_VOLUME = 1e-3
UP, DOWN = np.array([0.0, 0.0, 1.0]), np.array([0.0, 0.0, -1.0])


def random_wing(rng: np.random.Generator) -> FoldedWing:
    """A wing of any nose, ridge and trailing part; it may turn out not to be foldable."""
    chord = float(rng.uniform(120.0, 260.0))
    spar = chord * float(rng.uniform(0.22, 0.34))
    strip = chord * float(rng.uniform(0.5, 0.7))
    span = float(rng.uniform(400.0, 900.0))
    method = str(rng.choice(["slit", "mitre", "two_fold"]))
    kind = str(rng.choice(["level", "straight"]))
    control = {
        "id": "elevon", "chord_mm": float(rng.uniform(0.14, 0.22)) * chord,
        "inner_mm": 0.1 * span, "outer_mm": float(rng.uniform(0.4, 0.5)) * span,
        "end_gap_mm": float(rng.uniform(0.0, 2.0)),
    }  # fmt: skip
    data: dict[str, Any] = {
        "kind": "folded_wing", "id": "wing", "x_mm": float(rng.uniform(50.0, 200.0)),
        "z_mm": float(rng.uniform(-20.0, 60.0)), "incidence_deg": float(rng.uniform(-3.0, 5.0)),
        "span_mm": span, "chord_mm": chord, "nose": {"method": method},
        "spar": {"x_mm": spar, "height_mm": float(rng.uniform(0.05, 0.09)) * chord},
        "ridge": {"method": str(rng.choice(["groove", "crush", "slit"]))},
        "strip": {"aft_mm": strip}, "trailing": {"kind": kind}, "control": (control,),
    }  # fmt: skip
    if kind == "level" and rng.random() < 0.5:
        data["strip"] |= {"runs_on": True, "land_mm": 0.05 * chord}
    return FoldedWing.model_validate(data)


def random_board(rng: np.random.Generator) -> Board:
    t = float(rng.uniform(2.8, 6.0))
    return Board(t, Material(t, 3.0e-5, 0.0), 0.0, t, 0.5)


def wings(count: int) -> list[tuple[Board, tuple[Blank, ...]]]:
    """The first wings of a seeded run that can be folded."""
    rng = np.random.default_rng(1000)
    made: list[tuple[Board, tuple[Blank, ...]]] = []
    while len(made) < count:
        board = random_board(rng)
        blanks = build_wing(random_wing(rng), board).blanks
        if blanks:
            made.append((board, blanks))
    return made


def worst_mark(blank: Blank, rng: np.random.Generator) -> float:
    """Farthest that a mark comes back from where it was wanted, mm, over five rays."""
    panels = list(corners(blank).values())
    worst, hits = 0.0, 0
    for _ in range(5):
        # somewhere within a panel as it lies, so that a swept wing is not missed
        points = panels[int(rng.integers(len(panels)))]
        x, y = rng.dirichlet(np.ones(len(points))) @ points[:, :2]
        way = UP if rng.random() < 0.5 else DOWN
        found = land(blank, np.array([x, y, -500.0 * way[2]]), way, "m")
        if isinstance(found, MarkMiss):
            continue
        hits += 1
        worst = max(worst, float(np.abs(station_of(blank, found)[0, :2] - (x, y)).max()))
    assert hits >= 1
    return worst


@pytest.mark.slow
@pytest.mark.untraced
def test_random_wings() -> None:
    rng = np.random.default_rng(4)
    for board, blanks in wings(COUNT):
        main = blanks[0]
        assert round_trip(main) <= CLOSES
        assert overlaps([(blank, transforms(blank)) for blank in blanks], LEAST_VOLUME) == ()
        assert worst_mark(main, rng) <= CLOSES
        assert mass_error(main, board.material) <= 1e-9


@pytest.mark.slow
def test_random_wings_are_sound_by_every_check() -> None:
    for board, blanks in wings(60):
        for blank in blanks:
            assert check_blank(blank, FoldRules(squeeze_share=board.squeeze_share)) == ()


def test_deflected_elevons_stay_clear() -> None:
    for board, blanks in wings(20):
        main = blanks[0]
        live = [fold for fold in main.folds if fold.method == "live"]
        assert live
        for share in (-1.0, 0.5, 1.0):
            places = transforms(main, deflection={fold.name: share * fold.limit for fold in live})
            assert overlaps([(main, places)], LEAST_VOLUME) == (), board.thickness
