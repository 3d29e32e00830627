"""Wings pushed through closed slots. Expected numbers: first principles."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.airframe.box import build_box
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining.through import join
from foldwright.airframe.model import PartBuild
from foldwright.airframe.wing import build_wing
from foldwright.base.messages import catalogue, words
from foldwright.design.parts import Through
from tests.airframe.boxes import box, station
from tests.airframe.joints import bench, halves, profile, shared
from tests.airframe.parts import board, wing
from tests.examples import examples

ROWS = (station(0, 56, -30, 40), station(250, 56, -30, 40))


def body(**changes: Any) -> PartBuild:
    return build_box(box(**{"station": ROWS, "former": (), "deck": (), **changes}), board())


def joint(**changes: Any) -> Through:
    return Through.model_validate({"kind": "through", "id": "slot", "parts": ("wing", "body"), **changes})


def joined(one: PartBuild, other: PartBuild, **changes: Any) -> tuple[PartBuild, Joined]:
    done = join({}, {"wing": one, "body": other}, joint(**changes), bench())
    return done.changed.get("body", other), done


@pytest.mark.parametrize("clearance", [0.0, 0.3, 1.0])
def test_the_slot_is_the_section_and_its_play(clearance: float) -> None:
    """A board 5 mm thick with 100 mm chord: 100 x 5, and the clearance all round."""
    one = halves(tip=100.0, z=5.0)
    new, done = joined(one, body(), clearance_mm=clearance)
    assert done.findings == ()
    for name in ("left", "right"):
        (hole,) = new.blanks[0].panel(name).holes
        size = np.ptp(hole, axis=0)
        assert sorted(size) == pytest.approx([5.0 + 2 * clearance, 100.0 + 2 * clearance], abs=0.05)
    assert shared(one, new) == 0.0


def test_a_folded_wing_leaves_no_core() -> None:
    """A hollow section: the foam inside it goes too, so the hole has no island."""
    one = build_wing(wing(x_mm=20.0, z_mm=0.0, control=()), board())
    new, done = joined(one, body())
    assert done.findings == ()
    panel = new.blanks[0].panel("right")
    assert len(panel.holes) == 1
    # the section's outer area of about 220 mm x 5 to 22 mm, not the board's own
    assert shapely.Polygon(panel.holes[0]).area > 220.0 * 10.0
    assert shared(one, new) == 0.0


def test_a_slot_in_a_sheet() -> None:
    one = halves(tip=100.0, z=5.0)
    new, done = joined(one, profile())
    assert done.findings == ()
    assert [len(panel.holes) for panel in new.blanks[0].panels] == [1]
    assert shared(one, new) == 0.0
    # glued all round: 2 (100.6 + 5.6) mm
    (line,) = [seam.points for seam in new.seams if seam.id.startswith("slot/")]
    assert np.linalg.norm(np.diff(line, axis=0), axis=1).sum() == pytest.approx(212.4, abs=0.2)
    assert np.abs(line[:, 1]).max() == pytest.approx(0.0, abs=1e-9)
    assert not [s for s in joined(one, profile(), glued=False)[0].seams if s.id.startswith("slot/")]


@pytest.mark.parametrize(
    ("z", "where", "left", "verdict"),
    [
        (-26.0, "below", -26.0 - 0.3 + 30.0, "watch"),
        (31.0, "above", 40.0 - 31.0 - 5.0 - 0.3, "watch"),
        (-31.0, "below", -1.3, "no-go"),
        (37.0, "above", -2.3, "no-go"),
    ],
)
def test_bridges(z: float, where: str, left: float, verdict: str) -> None:
    """At least 8 mm of the sheet from z = -30 to 40 above and below the wing's board of 5 mm."""
    new, done = joined(halves(tip=100.0, z=z), profile())
    assert [(f.code, f.verdict) for f in done.findings] == [("G163", verdict)]
    found = done.findings[0]
    assert found.params["where_to"] == where
    assert found.value == pytest.approx(left, abs=0.02)
    assert words(found).cure.startswith("Raise" if where == "below" else "Lower")
    assert bool(new.blanks[0].panels[0].holes) == (verdict == "watch")
    shift = float(found.params["shift"]) * (1.0 if where == "below" else -1.0)
    assert joined(halves(tip=100.0, z=z + shift), profile())[1].findings == ()


def test_a_slot_that_runs_out_at_the_rear() -> None:
    """Chord from 230 to 330 and 0.3 more, the sheet ends at 300."""
    new, done = joined(halves(x=230.0, tip=100.0, z=5.0), profile())
    assert [(f.code, f.params["end"]) for f in done.findings] == [("G164", "rear")]
    assert done.findings[0].value == pytest.approx(30.3, abs=0.02)
    assert new.blanks[0].panels[0].holes == ()
    shift = float(done.findings[0].params["shift"])
    assert joined(halves(x=230.0 - shift, tip=100.0, z=5.0), profile())[1].findings == ()


def test_a_slot_that_runs_out_at_the_front() -> None:
    _, done = joined(halves(x=-20.0, tip=100.0, z=5.0), profile())
    assert [(f.code, f.params["end"]) for f in done.findings] == [("G164", "front")]
    assert done.findings[0].value == pytest.approx(20.3, abs=0.02)


def test_a_slot_across_a_bend() -> None:
    """The bend goes on above and below; both panels lose their part and still fold."""
    rows = (station(0, 56, -30, 40), station(110, 56, -30, 40), station(250, 40, -30, 40))
    one = halves(z=5.0)
    new, done = joined(one, body(station=rows))
    assert done.findings == ()
    assert shared(one, new) == 0.0
    cut = {place.split(" ")[1].split(":")[0] for place in (done.shown.second if done.shown else ())}
    assert {"left", "right", "left-2", "right-2"} <= cut


def test_formers_make_room() -> None:
    """A former 60 mm high behind the leading edge: the wing takes 5.6 mm; of two pieces the larger stays."""
    former = {"id": "one", "x_mm": 100}
    one = halves(z=5.0)
    new, done = joined(one, body(former=(former,)))
    assert done.findings == ()
    assert shared(one, new) == 0.0
    piece = next(blank for blank in new.blanks if blank.name == "body/one").panels[0].polygon
    # floor's inner face -25 to the wing's 4.7, or 10.3 to 40: the upper piece, 29.7 mm each
    assert np.ptp(piece[:, 1]) == pytest.approx(29.7, abs=0.02)


def test_a_deck_in_the_way() -> None:
    deck = {"id": "tray", "role": "tray", "from_mm": 10, "to_mm": 110, "z_mm": 8.0}
    _, done = joined(halves(z=5.0), body(deck=(deck,)))
    assert [(f.code, f.where) for f in done.findings] == [("G165", "body.deck.tray.to_mm")]
    assert done.findings[0].params["ahead"] == pytest.approx(59.7, abs=0.1)
    # the chord there: 100 mm less 30 mm of taper over 250 mm of half span, out at the body's side
    assert 156.0 < float(done.findings[0].params["behind"]) < 160.4
    above = {**deck, "z_mm": 18.0}
    assert joined(halves(z=5.0), body(deck=(above,)))[1].findings == ()
    below = {**deck, "z_mm": -5.0}
    assert joined(halves(z=5.0), body(deck=(below,)))[1].findings == ()


def test_what_is_shown_and_told() -> None:
    _, done = joined(halves(z=5.0), body())
    assert done.shown is not None
    assert set(done.shown.second[:2]) == {"body/main left: slot", "body/main right: slot"}
    notes = {note.code: note for note in done.changed["wing"].notes}
    assert set(notes) == {"G171", "G179"}
    assert "slots of body" in catalogue()["G171"].says.format(**notes["G171"].params)
    assert done.shown.glued


@settings(max_examples=examples(40))
@given(
    x=st.floats(-40.0, 220.0),
    z=st.floats(-45.0, 45.0),
    aft=st.floats(-60.0, 90.0),
    rise=st.floats(-8.0, 8.0),
    incidence=st.floats(-4.0, 6.0),
    sheet=st.booleans(),
)
def test_wing_and_body_never_share_board(
    x: float, z: float, aft: float, rise: float, incidence: float, sheet: bool
) -> None:
    one = halves(x=x, z=z, aft=aft, rise=rise, incidence=incidence)
    other = profile() if sheet else body(former=({"id": "one", "x_mm": 100},))
    new, done = joined(one, other)
    for found in done.findings:
        assert words(found).says
        assert words(found).cure
    excused = {"G163", "G164", "G178", "G70", "G72"}
    if not any(found.verdict == "no-go" for found in done.findings):
        assert shared(one, new) == 0.0
    else:
        assert {found.code for found in done.findings} & excused
