"""Washout and bent spars of a wing of single board.

Expected numbers: first principles (plane geometry) unless a line says otherwise.
"""

from __future__ import annotations

from math import radians, sin
from typing import Any

import pytest

from foldwright.airframe.flat_wing import build_plate_wing
from foldwright.airframe.model import Note, PartBuild
from foldwright.base.messages import told, words
from tests.airframe.flats import bench, plate_wing

SPAR = {"x_mm": 54.0, "stock": "rod-3"}
TAPER = {"chord_mm": 120.0, "aft_mm": 20.0}


def made(**changes: Any) -> PartBuild:
    return build_plate_wing(plate_wing(**changes), bench())


def notes(build: PartBuild, code: str) -> list[Note]:
    return [note for note in build.notes if note.code == code]


def said(note: Note) -> str:
    return told(note.code, note.about, note.params).says


@pytest.mark.parametrize(
    ("holder", "word"),
    [
        ({"spar": SPAR}, "the spar"),
        ({"doubler": {"to_mm": 60.0}}, "the doubler"),
        ({"spar": SPAR | {"x_mm": 90.0}, "doubler": {"to_mm": 60.0}}, "the spar in and the doubler on"),
        ({"camber": ({"x_mm": 60.0, "turn_deg": 8.0},)}, "camber fold"),
    ],
)
def test_washout_stands_on_a_block_while_what_holds_it_dries(holder: dict[str, Any], word: str) -> None:
    build = made(bay=(TAPER | {"washout_deg": 3.0},), **holder)
    assert build.findings == ()
    (note,) = notes(build, "G200")
    assert note.params["block"] == pytest.approx(120.0 * sin(radians(3.0)), abs=0.05)
    assert note.params["y"] == 400.0
    assert "under the trailing edge" in said(note)
    assert word in said(note)


def test_washed_in_the_leading_edge_stands_on_the_block() -> None:
    (note,) = notes(made(bay=(TAPER | {"washout_deg": -2.0},), spar=SPAR), "G200")
    assert note.params["block"] == pytest.approx(120.0 * sin(radians(2.0)), abs=0.05)
    assert "under the leading edge" in said(note)


def test_bare_board_holds_no_twist_and_the_cures_clear() -> None:
    bay = TAPER | {"washout_deg": 3.0}
    build = made(bay=(bay,))
    (found,) = build.findings
    assert (found.code, found.verdict, found.where) == ("G201", "watch", "wing.bay.1.washout_deg")
    assert build.blanks
    assert notes(build, "G200") == []
    need = found.params["need"]
    assert need == 300.0  # three quarters of the bay of 400 mm [judgement]
    assert made(bay=(bay,), spar=SPAR | {"reach_mm": need}).findings == ()
    assert made(bay=(bay,), doubler={"to_mm": 60.0, "reach_mm": need}).findings == ()
    assert made(bay=(bay | {"washout_deg": 0.0},)).findings == ()
    (short,) = made(bay=(bay,), spar=SPAR | {"reach_mm": 200.0}).findings
    assert "ends at 200 mm" in words(short).says


def test_only_the_bay_that_is_twisted_wants_something_that_holds_it() -> None:
    inner = {"end_mm": 200.0, "chord_mm": 180.0}
    outer = TAPER | {"washout_deg": 2.0}
    (found,) = made(bay=(inner, outer), spar=SPAR | {"reach_mm": 200.0}).findings
    assert (found.where, found.params["flat"], found.params["need"]) == ("wing.bay.2.washout_deg", 0.0, 350.0)
    same = made(bay=(inner | {"washout_deg": 2.0}, outer), spar=SPAR | {"reach_mm": 200.0})
    assert same.findings == ()  # both ends of the outer bay are turned alike


def test_a_spar_over_a_dihedral_root_gets_a_joiner_of_twice_the_angle() -> None:
    build = made(spar=SPAR, bay=({"chord_mm": 180.0, "dihedral_deg": 5.0},), incidence_deg=3.0)
    (note,) = notes(build, "G202")
    assert note.params["place"] == "at the root"
    assert note.params["bend"] == "10.0° seen from ahead (tips up)"
    assert note.params["long"] == 80  # 40 mm on either side [judgement]
    assert "joiner" in said(note)


def test_breaks_get_joiners_of_the_difference() -> None:
    bays = (
        {"end_mm": 200.0, "chord_mm": 180.0, "dihedral_deg": 2.0},
        {"chord_mm": 180.0, "dihedral_deg": 9.0},
    )
    root, outer = notes(made(spar=SPAR, bay=bays), "G202")
    assert root.params["bend"] == "4.0° seen from ahead (tips up)"
    assert outer.params["place"] == "200.0 mm from the centre line on both sides"
    assert outer.params["bend"] == "7.0° seen from ahead (tips up)"
    drooped = ({"end_mm": 200.0, "chord_mm": 180.0}, {"chord_mm": 180.0, "dihedral_deg": -6.0})
    (one,) = notes(made(spar=SPAR, bay=drooped), "G202")
    assert one.params["bend"] == "6.0° seen from ahead (tips down)"


def test_a_swept_spar_bends_in_plan_and_a_straight_one_not_at_all() -> None:
    swept = {"chord_mm": 180.0, "aft_mm": 100.0}
    (note,) = notes(made(spar=SPAR, bay=(swept,)), "G202")
    assert note.params["bend"] == "28.1° seen from above (swept aft)"  # 2*atan(100/400)
    assert notes(made(spar=SPAR), "G202") == []
    short = made(spar=SPAR | {"reach_mm": 30.0}, bay=({"chord_mm": 180.0, "dihedral_deg": 5.0},))
    assert notes(short, "G202")[0].params["long"] == 60  # no longer than the spar's own lengths
