"""Bodies of several tapers and floor slopes, and what cannot be folded. Expected numbers: arithmetic."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldwright.airframe.box import build_box
from foldwright.airframe.box_main import GIVE
from foldwright.airframe.box_shell import FLAT_ROOM, shell_of
from foldwright.airframe.model import PartBuild
from foldwright.base.messages import words
from foldwright.base.words import bodies
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.flatcheck import flat_overlaps
from foldwright.geometry.fold.path import path_overlaps
from tests.airframe.boxes import board, box, station
from tests.airframe.solids import overlaps

TRAINER = (
    station(0, 40, -28, 18), station(70, 62, -36, 30), station(250, 62, -36, 30), station(560, 20, 0, 24)
)  # fmt: skip


def trainer(t: float, **changes: Any) -> PartBuild:
    table: dict[str, Any] = {
        "station": TRAINER,
        "former": (
            {"id": "mount", "x_mm": 0, "role": "motor"},
            {"id": "front", "x_mm": 72, "hole": ({"width_mm": 20, "z_mm": -5},)},
            {"id": "rear", "x_mm": 245, "hole": ({"width_mm": 20, "z_mm": 0},)},
            {"id": "post", "x_mm": 400},
            {"id": "end", "x_mm": 550, "role": "tail"},
        ),
        "deck": (
            {"id": "cowl", "from_mm": 5, "to_mm": 70},
            {"id": "lid", "role": "hatch", "from_mm": 70, "to_mm": 110},
            {"id": "tray", "role": "tray", "from_mm": 78, "to_mm": 170, "z_mm": -15},
            {"id": "back", "role": "rolled", "from_mm": 250, "to_mm": 555, "rise_mm": 11, "facets": 6},
        ),
        "opening": ({"id": "air", "role": "inlet", "x_mm": 40, "length_mm": 20, "height_mm": 10},),
        "work": ({"kind": "bare", "face": "b", "panel": "back"},),
    }
    return build_box(box(**{**table, **changes}), board(t), np.radians(-2.0))


@pytest.mark.parametrize("t", [3.0, 4.0, 5.0])
def test_a_trainers_body(t: float) -> None:
    """Nose taper, straight cabin, long taper to 20 mm with the floor rising 36 mm: all of it builds."""
    build = trainer(t)
    assert not build.findings
    assert len(build.blanks) == 10
    assert not overlaps(build)
    for blank in build.blanks:
        assert not check_blank(blank, FoldRules())
    main = next(blank for blank in build.blanks if blank.name == "body/main")
    assert {panel.name for panel in main.panels} == {
        "floor", "floor-fore", "floor-2", "right", "right-fore", "right-2", "left", "left-fore", "left-2"
    }  # fmt: skip
    assert transforms(main)["floor"][2, 2] == pytest.approx(-1.0)
    (mount,) = build.mounts
    assert mount.fore == 0.0


def test_a_side_as_long_as_its_own_outer_face() -> None:
    """Groove bends leave the outer skin whole, so its flat length is that of the outer face."""
    main = trainer(5.0).blanks[0]
    length = sum(float(np.ptp(main.panel(name).polygon[:, 0])) for name in ("right-fore", "right", "right-2"))
    assert length == pytest.approx(np.hypot(70, 11) + 180 + np.hypot(310, 21), abs=1e-9)


def test_sides_that_cross_in_the_flat() -> None:
    """A floor 40 mm under a run 56 mm wide: 28 mm less 0.3 of room is the most."""
    rows = (station(0, 56, -30, 22), station(150, 56, -30, 22), station(250, 50, -70, 22))
    build = build_box(box(station=rows, former=(), deck=()), board())
    (item,) = build.findings
    assert (item.code, item.where, item.verdict) == ("G140", "body.station.3.bottom_mm", "no-go")
    assert item.value == pytest.approx(40.0)
    assert item.limit == pytest.approx(28.0 - FLAT_ROOM)
    assert not build.blanks
    assert words(item).cure == (
        "Raise bottom_mm of station 3 to -57.7 mm, or make the folded run 24.6 mm wider."
    )
    raised = (*rows[:2], station(250, 50, -57.7, 22))
    cured = build_box(box(station=raised, former=(), deck=()), board())
    assert not cured.findings
    assert all(not flat_overlaps(blank) for blank in cured.blanks)
    wider = tuple({**row, "width_mm": row["width_mm"] + 24.6} for row in rows)
    assert not build_box(box(station=wider, former=(), deck=()), board()).findings


def test_the_run_that_folds_without_crossing_is_taken() -> None:
    """The longest run lies 40 mm above a shorter one; folded along the lower one nothing crosses."""
    rows = (
        station(0, 56, -10, 30), station(180, 56, -10, 30), station(300, 56, -50, 30),
        station(420, 56, -50, 30),
    )  # fmt: skip
    shell, found = shell_of(box(station=rows, former=(), deck=()), board())
    assert not found
    assert shell is not None
    assert shell.section == (300.0, 420.0)
    build = build_box(box(station=rows, former=(), deck=()), board())
    assert not overlaps(build)
    assert all(not flat_overlaps(blank) for blank in build.blanks)


def test_a_floor_that_bites_on_the_way_is_a_piece_of_its_own() -> None:
    rows = (station(0, 60, -30, 30), station(150, 60, -30, 30), station(260, 44, -52, 30))
    build = build_box(box(station=rows, former=(), deck=()), board())
    main = build.blanks[0]
    assert not [found for found in path_overlaps(main) if found.depth > GIVE]
    assert not overlaps(build)
    joined = trainer(4.0, former=(), deck=(), opening=())
    assert [blank.name for blank in joined.blanks] == ["body/main"]  # a floor that rises hangs on


def test_enough_that_prints_as_enough_is_enough() -> None:
    """20 mm outside on 5 mm board in a long taper: 9.98 mm inside prints as 10.0."""
    assert not build_box(box(station=TRAINER, former=(), deck=()), board(5.0)).findings
    (item,) = build_box(box(station=TRAINER, former=(), deck=()), board(5.1)).findings
    assert item.code == "G41"


def test_every_finding_of_bodies_has_words() -> None:
    assert set(bodies.CATALOGUE) == {f"G{number}" for number in range(140, 160)}
