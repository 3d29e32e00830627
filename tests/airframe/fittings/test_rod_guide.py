"""Push rod guides: their bores lie on the straight line from arm to horn, their feet on board."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest

from foldwright.airframe.coming_off import taken_off
from foldwright.airframe.fitting_places import bites
from foldwright.airframe.fittings.horn_asked import through
from foldwright.airframe.fittings.horn_words import notes_of
from foldwright.airframe.fittings.rod_guide import RodGuideShape
from foldwright.base.messages import words
from foldwright.design.fittings import ControlHorn, RodGuide
from foldwright.geometry.transform import apply
from foldwright.make.fittings.rod_guide import solid
from tests.airframe.fittings.controls import built, horn

ELEVATOR = horn("tail.elevator", "elevator-servo")
RUDDER = horn("fin.rudder", "rudder-servo")


def guide(**keys: float) -> RodGuide:
    return RodGuide.model_validate({"id": "guide", "horn": "horn"} | keys)


@pytest.mark.parametrize("one", [ELEVATOR, RUDDER], ids=["elevator", "rudder"])
def test_bores_lie_on_the_rod(one: ControlHorn) -> None:
    """Origin: first principles."""
    made = built("teasel", one, guide())
    start, end = made.drive(one).rod
    along = (end - start) / np.linalg.norm(end - start)
    found = [f for f in made.airframe.fittings if isinstance(f.shape, RodGuideShape)]
    # 420 mm in pieces of 90 at most are five pieces; where the deck is in the way one more is taken
    assert len(found) in {4, 5}
    places = []
    for each in found:
        shape = each.shape
        assert isinstance(shape, RodGuideShape)
        for x in (-4.0, 0.0, 4.0):
            bore = apply(each.placement, np.array([x, 0.0, shape.height + x * np.tan(shape.lean)]))
            off = bore - start
            miss = float(np.linalg.norm(off - (off @ along) * along))
            assert miss < 0.1  # heights are rounded to a tenth
        places.append(float((each.placement[:3, 3] - start) @ along))
        there = solid(shape, made.site.printer).body.placed(each.placement)
        assert not {k: v for k, v in bites(made.airframe, there).items() if v > 1e-6}
        assert each.placement[:3, :3] @ each.placement[:3, :3].T == pytest.approx(np.eye(3), abs=1e-9)
    length = float(np.linalg.norm(end - start))
    assert all(0.0 < b - a <= 90.0 * 1.5 for a, b in pairwise([0.0, *places, length]))
    assert not made.found("P43")


def test_short_rods_need_none() -> None:
    made = built("marram", horn("wing.elevon", "servo"), guide())
    assert not [f for f in made.airframe.fittings if isinstance(f.shape, RodGuideShape)]
    assert not made.found("P43")
    near = built("marram", horn("wing.elevon", "servo"), guide(every_mm=36.0))
    found = [f for f in near.airframe.fittings if isinstance(f.shape, RodGuideShape)]
    assert {f.id for f in found} == {"guide-1/right", "guide-1/left"}
    assert found[0].blank == "wing/main"


def test_findings() -> None:
    """Samphire's rods run along a stick, which is no board to stand on."""
    free = built("samphire", horn("tail.ruddervator", "right-servo"), guide()).found("P43")
    assert len(free) == 1
    assert free[0].value is not None
    assert free[0].value > 90.0
    assert "guides" in words(free[0]).says
    lost = built("marram", horn("wing.elevon", "servo"), RodGuide(id="guide", horn="other")).found("P48")
    assert lost[0].where == "fitting.guide.horn"
    assert lost[0].params["known"] == "horn"


def test_none_on_what_comes_off() -> None:
    """Teasel's wing is banded on and its halves lie beside the rods; nothing of it carries a guide."""
    made = built("teasel", RUDDER, guide())
    off = {joint.parts[0] for joint in made.airframe.joints if not joint.glued}
    assert off == {"wing"}
    blanks = [f.blank for f in made.airframe.fittings if isinstance(f.shape, RodGuideShape)]
    assert blanks
    assert not [name for name in blanks if name.split("/")[0] in off or name in made.airframe.loose]
    away = taken_off(made.airframe)
    assert {name.split("/")[0] for name in away} == {"wing", "body"}
    assert {name for name in away if name.startswith("body/")} == set(made.airframe.loose)


def test_a_rod_of_the_part_itself_is_guided_there() -> None:
    """A wing that comes off with its servos and ailerons in it keeps their guides."""
    made = built("teasel", RUDDER, guide())
    wing = {one.blank.name for one in made.airframe.placed if one.part == "wing"}
    assert wing <= taken_off(made.airframe)
    assert not wing & taken_off(made.airframe, "wing")
    assert set(made.airframe.loose) <= taken_off(made.airframe, "wing")


def test_a_rod_through_what_comes_off() -> None:
    """P111 in place of P35 for a board that comes off; Teasel's rudder rod passes the rear deck, glued."""
    made = built("teasel", RUDDER)
    drive = made.drive(RUDDER)
    deck = next(hit.blank for hit in drive.other_board if "deck" in hit.blank)
    assert through(RUDDER, drive, frozenset()) == []
    found = through(RUDDER, drive, frozenset({deck}))
    assert [(one.code, one.where, one.params["blank"]) for one in found] == [("P111", "fitting.horn", deck)]
    told_of = [note.about for note in notes_of(RUDDER, drive, made.airframe.fittings[0], frozenset({deck}))]
    assert deck not in told_of[1:]
    assert "comes off" in words(found[0]).says
