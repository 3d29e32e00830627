"""Wings held on by rubber bands over dowels. Expected numbers: first principles."""

from __future__ import annotations

from math import hypot, pi
from typing import Any

import numpy as np
import pytest
import shapely

from foldwright.airframe.bench import Bought
from foldwright.airframe.box import build_box
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining.band_on import join
from foldwright.airframe.model import PartBuild
from foldwright.base.messages import catalogue, words
from foldwright.design.parts import BandOn
from foldwright.geometry.fold.mass import mass_properties
from tests.airframe.boxes import box, station
from tests.airframe.joints import bench, halves, profile, shared
from tests.airframe.parts import board

ROWS = (station(0, 56, -30, 22), station(200, 56, -30, 22))
ROUND = Bought(4.0, 4.0, 9.0, "wood", "rod")
STRIP = Bought(5.0, 3.0, 9.0, "wood", "strip")


def body(**changes: Any) -> PartBuild:
    return build_box(box(**{"station": ROWS, "former": (), "deck": (), **changes}), board())


def joint(**changes: Any) -> BandOn:
    data = {
        "kind": "band_on", "id": "bands", "parts": ("wing", "body"), "dowel": "dowel-4",
        "front_x_mm": 40.0, "front_z_mm": 5.0, "rear_x_mm": 175.0, "rear_z_mm": 5.0,
    }  # fmt: skip
    return BandOn.model_validate(data | changes)


def joined(
    wing: PartBuild, other: PartBuild, bought: Bought = ROUND, **changes: Any
) -> tuple[PartBuild, Joined]:
    done = join({}, {"wing": wing, "body": other}, joint(**changes), bench("bands", bought))
    return done.changed.get("body", other), done


def seated() -> PartBuild:
    """A board from x = 60 to 160, its under face at z = 18."""
    return halves(tip=100.0, z=18.0)


def test_two_dowels_through_both_sides() -> None:
    """Body 56 mm wide and 12 mm over at each side: dowels of 80 mm, 0.72 g each; holes 4.2 mm wide."""
    new, done = joined(seated(), body())
    assert done.findings == ()
    assert [bar.id for bar in new.bars] == ["bands/front-dowel", "bands/rear-dowel"]
    front = new.bars[0]
    assert front.ends == pytest.approx(np.array([(40.0, -40.0, 5.0), (40.0, 40.0, 5.0)]))
    assert (front.width, front.height, front.material, front.form) == (4.0, 4.0, "wood", "rod")
    for side in ("left", "right"):
        holes = new.blanks[0].panel(side).holes
        assert len(holes) == 2
        for hole in holes:
            shape = shapely.Polygon(hole)
            assert shape.area == pytest.approx(pi * 2.1**2, rel=0.03)
            # a round dowel of 4 mm goes in
            assert shape.covers(shape.centroid.buffer(2.1 - 1e-6))
    by_id = {item.id: mass_properties(item.moments) for item in new.masses}
    assert by_id["bands/front-dowel"].mass == pytest.approx(0.72)
    assert by_id["bands/front-dowel"].cg == pytest.approx([40.0, 0.0, 5.0])
    # four bands of 0.8 g over the middle of the wing, on its upper face
    assert by_id["bands/bands"].mass == pytest.approx(3.2)
    assert by_id["bands/bands"].cg == pytest.approx([110.0, 0.0, 23.0], abs=0.1)


def test_the_wing_is_seated_and_comes_off() -> None:
    new, done = joined(seated(), body())
    assert done.shown is not None
    assert not done.shown.glued
    assert not [seam for seam in new.seams if seam.id.startswith("bands")]
    assert shared(seated(), new) == 0.0
    assert "body/main right: cut-out" in done.shown.second
    assert "body/main right: hole for a dowel" in done.shown.second
    notes = {note.code: note for note in done.changed["wing"].notes}
    assert set(notes) == {"G170", "G179"}
    said = catalogue()["G170"].says.format(**notes["G170"].params)
    assert said.startswith("Hold wing down on body with 4 rubber bands, crossed")


def test_how_far_a_band_goes() -> None:
    """From (40, 5) up to the wing's corner (60, 23), over to (160, 23) and down to (175, 5)."""
    _, done = joined(seated(), body())
    assert done.shown is not None
    over = hypot(20.0, 18.0) + 100.0 + hypot(15.0, 18.0)
    assert done.shown.figures["band_way_mm"] == pytest.approx(over, abs=0.1)
    assert done.shown.figures["band_way_crossed_mm"] == pytest.approx(hypot(over, 68.0), abs=0.1)
    assert done.shown.figures["dowel_distance_mm"] == 135.0
    assert done.shown.figures["chord_mm"] == 100.0


def test_a_strip_for_a_dowel() -> None:
    new, done = joined(seated(), body(), STRIP)
    assert done.findings == ()
    for hole in new.blanks[0].panel("right").holes:
        assert sorted(np.ptp(hole, axis=0)) == pytest.approx([3.2, 5.2])


def test_sides_that_slant() -> None:
    """In a side that turns by atan(10/100) the hole is longer: 4.2/cos + 5 tan along it."""
    rows = (station(0, 56, -30, 22), station(100, 56, -30, 22), station(200, 36, -30, 22))
    new, done = joined(halves(x=0.0, tip=100.0, z=18.0), body(station=rows), front_x_mm=-20.0)
    assert "G166" in {f.code for f in done.findings}
    new, done = joined(
        halves(x=30.0, tip=100.0, z=18.0), body(station=rows), front_x_mm=15.0, rear_x_mm=150.0
    )
    assert {f.code for f in done.findings} <= {"G168"}
    (hole,) = new.blanks[0].panel("right-2").holes
    assert sorted(np.ptp(hole, axis=0)) == pytest.approx([4.2, 4.2 * hypot(1.0, 0.1) + 0.5], abs=0.05)
    # the outer face is at y = 23 there and 0.2 mm further out at the hole's front
    assert float(new.bars[1].ends[:, 1].max()) == pytest.approx(12.0 + 23.0 + 0.21, abs=0.05)


def test_a_sheet_has_one_side() -> None:
    new, done = joined(halves(tip=100.0, z=18.0), profile())
    assert done.findings == ()
    assert len(new.blanks[0].panels[0].holes) == 2
    assert np.ptp(new.bars[0].ends[:, 1]) == pytest.approx(5.0 + 24.0)


@pytest.mark.parametrize(
    ("changes", "code", "verdict"),
    [
        ({"front_x_mm": -30.0}, "G166", "no-go"),  # ahead of the body
        ({"front_z_mm": 40.0}, "G166", "no-go"),  # above it
        ({"front_z_mm": 16.0}, "G167", "watch"),  # 22 - 16 - 2.1 = 3.9 mm to the upper edge
        ({"front_x_mm": 3.0}, "G167", "watch"),
        ({"front_x_mm": 100.0}, "G168", "watch"),  # under the wing
        ({"rear_x_mm": 162.0}, "G168", "watch"),
    ],
)
def test_dowels_in_wrong_places(changes: dict[str, Any], code: str, verdict: str) -> None:
    _, done = joined(seated(), body(), **changes)
    assert {(f.code, f.verdict) for f in done.findings} == {(code, verdict)}
    for found in done.findings:
        assert words(found).says
        assert words(found).cure


def test_the_cure_of_a_dowel_under_the_wing() -> None:
    """Edges at 60 and 160 mm, 2 mm of dowel, 3 mm of room: 55 and 165 mm."""
    _, done = joined(seated(), body(), front_x_mm=58.0, rear_x_mm=162.0)
    assert [f.params["need"] for f in done.findings] == [55.0, 165.0]
    assert joined(seated(), body(), front_x_mm=55.0, rear_x_mm=165.0)[1].findings == ()


def test_the_nearest_place_for_a_dowel() -> None:
    """5 mm of board, 2 mm of dowel and 0.2 of play from the front edge at x = 0."""
    _, done = joined(seated(), body(), front_x_mm=-30.0)
    found = done.findings[0]
    assert float(found.params["near_x"]) == pytest.approx(7.2, abs=0.1)
    assert float(found.params["near_z"]) == pytest.approx(5.0, abs=0.1)


def test_a_former_in_the_dowels_way() -> None:
    _, done = joined(seated(), body(former=({"id": "one", "x_mm": 38.0},)))
    assert [(f.code, f.params["blank"]) for f in done.findings] == [("G169", "body/one")]
    assert not joined(seated(), body(former=({"id": "one", "x_mm": 46.0},)))[1].findings


def test_a_wing_that_is_nowhere_near() -> None:
    _, done = joined(halves(x=400.0), body())
    assert [f.code for f in done.findings] == ["G178"]
    assert done.shown is None
