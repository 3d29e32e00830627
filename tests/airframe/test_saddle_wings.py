"""Saddles for wings that rise, sweep and taper, in boxes and in a sheet. Expected: first principles."""

from __future__ import annotations

from math import radians, tan
from typing import Any

import numpy as np
import pytest
import shapely

from foldwright.airframe.box import build_box
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining.saddle import join
from foldwright.airframe.model import PartBuild
from foldwright.airframe.saddle import seat
from foldwright.base.messages import words
from foldwright.design.parts import Saddle
from foldwright.geometry.fold.model import Blank
from tests.airframe.boxes import box, station
from tests.airframe.joints import bench, halves, profile, shared
from tests.airframe.parts import board

ROWS = (station(0, 56, -30, 22), station(120, 56, -30, 22), station(260, 36, -18, 22))


def body(**changes: Any) -> PartBuild:
    return build_box(box(**{"station": ROWS, "former": (), "deck": (), **changes}), board())


def joint(**changes: Any) -> Saddle:
    return Saddle.model_validate({"kind": "saddle", "id": "seat", "parts": ("wing", "body"), **changes})


def joined(wing: PartBuild, other: PartBuild, **changes: Any) -> tuple[PartBuild, Joined]:
    done = join({}, {"wing": wing, "body": other}, joint(**changes), bench())
    return done.changed["body"], done


def outline(blank: Blank, name: str) -> shapely.Polygon:
    return shapely.Polygon(blank.panel(name).polygon)


@pytest.mark.parametrize("rise", [-6.0, 0.0, 5.0, 12.0])
@pytest.mark.parametrize("aft", [-40.0, 0.0, 90.0])
@pytest.mark.parametrize("x", [20.0, 80.0])
def test_wing_and_box_share_no_board(rise: float, aft: float, x: float) -> None:
    """Straight and tapering sides alike; what is cut out left and right is alike."""
    wing = halves(x=x, aft=aft, rise=rise, z=12.0)
    new, done = joined(wing, body())
    assert done.findings == ()
    assert shared(wing, new) == 0.0
    old = body().blanks[0]
    gone = [
        sum(outline(old, panel.name).area - outline(new.blanks[0], panel.name).area
            for panel in old.panels if panel.name.startswith(side))
        for side in ("left", "right")
    ]  # fmt: skip
    assert gone[0] == pytest.approx(gone[1], rel=1e-6)
    assert gone[0] > 500.0


def test_how_deep_a_rising_wing_sits() -> None:
    """Under face at y: 12 + y tan 5; lowest over the side from y = 23 to 28, less the clearance 0.3/cos 5."""
    wing = halves(x=10.0, rise=5.0, z=12.0, tip=100.0)
    new, done = joined(wing, body())
    assert done.shown is not None
    low = 12.0 + 23.0 * tan(radians(5.0)) - 0.3
    # the side reaches down to the floor's outer face at -30
    assert done.shown.figures["left_below_mm"] == pytest.approx(low + 30.0, abs=0.02)
    assert done.shown.figures["seat_length_mm"] == pytest.approx(100.0 + 0.6, abs=0.05)
    assert new.blanks


def test_a_wing_in_a_sheet() -> None:
    """Board 5 mm thick at z = 15, 100 mm chord at the sheet: from 15 - 0.3 up all is open."""
    wing = halves(tip=100.0)
    new, done = joined(wing, profile())
    assert done.findings == ()
    shape = shapely.Polygon(new.blanks[0].panels[0].polygon)
    assert shape.area == pytest.approx(300.0 * 70.0 - 100.6 * (40.0 - 14.7), abs=0.5)
    assert done.shown is not None
    assert done.shown.first[:2] == ("wing/left plate: in the cut-out", "wing/right plate: in the cut-out")
    assert done.shown.second[0] == "body/main plate: cut-out"
    assert shared(wing, new) == 0.0


def test_a_tapered_wing_in_a_sheet_is_seated_by_its_middle() -> None:
    """The section between the sheet's faces, y = -2.5 to 2.5: the leading edge of a swept wing at y = 0."""
    wing = halves(tip=60.0, aft=100.0)
    new, _ = joined(wing, profile())
    ring = new.blanks[0].panels[0].polygon
    seat_x = ring[np.abs(ring[:, 1] - 14.7) < 0.05][:, 0]
    assert seat_x.min() == pytest.approx(60.0 - 0.3, abs=1.0)
    assert shared(wing, new) == 0.0


def test_it_comes_off_when_not_glued() -> None:
    wing = halves()
    new, done = joined(wing, body(), glued=False)
    assert done.shown is not None
    assert not done.shown.glued
    assert not [seam for seam in new.seams if seam.id.startswith("seat")]
    glued, kept = joined(wing, body())
    assert kept.shown is not None
    assert kept.shown.glued
    assert [seam for seam in glued.seams if seam.id.startswith("seat")]


def test_a_wing_behind_the_body() -> None:
    """The sides end at x = 260; the wing begins at 300, 40 mm behind them."""
    _, done = joined(halves(x=300.0), body())
    assert [(f.code, f.where, f.value) for f in done.findings] == [("G178", "wing", 40.0)]
    assert "forward by at least 40.0 mm" in words(done.findings[0]).cure
    assert done.shown is None


def test_a_deck_in_the_way_only_outboard() -> None:
    """A wing that falls outward by 12 degrees clears a tray in the middle, not at its edges."""
    deck = {"id": "tray", "role": "tray", "from_mm": 10, "to_mm": 110, "z_mm": 8.0}
    wing = halves(x=20.0, z=10.0, rise=-12.0, chord=80.0, tip=80.0)
    done = seat(wing, body(deck=(deck,)), joint(), board())
    # at the tray's edge, y = 22, the wing's under face is at 10 - 22 tan 12 = 5.3
    assert [f.code for f in done.findings] == ["G71"]
    level = seat(halves(x=20.0, z=10.0, chord=80.0, tip=80.0), body(deck=(deck,)), joint(), board())
    assert level.findings == ()


def test_a_deck_arched_over_the_sides_is_no_side() -> None:
    """Facets of a rolled deck stand steep at its edges; the wing's way through them is a finding."""
    roof = {"id": "roof", "from_mm": 10, "to_mm": 110, "role": "rolled", "rise_mm": 12.0}
    made = build_box(box(station=ROWS[:2], former=(), deck=(roof,)), board())
    if any(blank.name == "body/roof" for blank in made.blanks):
        done = seat(halves(x=20.0, z=10.0), made, joint(), board())
        assert {f.code for f in done.findings} == {"G71"}
        assert not [place for place in done.cut if place.startswith("body/roof")]


def test_a_v_that_reaches_the_floor() -> None:
    """Under face -27 at the middle, -20.8 at the sides (15 degrees): 9 mm of side left, floor to -25."""
    one, other = halves(x=10.0, z=-27.0, rise=15.0), body()
    new, done = joined(one, other)
    (found,) = [f for f in done.findings if f.code == "G59"]
    assert (found.where, found.verdict) == ("body/main/floor", "no-go")
    lift = float(found.params["lift"])
    # from -27.3 to above the floor's inner face at -25, and the 8 mm that a side would keep
    assert lift == pytest.approx(-25.0 + 27.3 + 8.0, abs=0.3)
    again, done = joined(halves(x=10.0, z=-27.0 + lift, rise=15.0), other)
    assert done.findings == ()
    assert shared(halves(x=10.0, z=-27.0 + lift, rise=15.0), again) == 0.0
    assert new.blanks


def test_less_left_than_the_corner_needs() -> None:
    """3 mm left over the corner's mitre of 5 mm: nothing holds, so it is no mere weakness."""
    _, done = joined(halves(x=10.0, z=-26.7), body())
    weak = [f for f in done.findings if f.code == "G58"]
    assert weak
    assert {f.verdict for f in weak} == {"no-go"}
    _, done = joined(halves(x=10.0, z=-23.7), body())
    assert {f.verdict for f in done.findings if f.code == "G58"} == {"watch"}
