"""A wing with slots goes into a body: nothing of the body is left standing in them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import shapely

from foldwright.airframe.joining.saddle import join as join_saddle
from foldwright.airframe.joining.through import join as join_through
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import PartBuild
from foldwright.design.parts import Saddle, Through
from tests.airframe.joints import bench, halves, profile

SLOT = np.array([(30.0, 0.1), (45.0, 0.1), (45.0, 5.1), (30.0, 5.1)])


def slotted(z: float) -> PartBuild:
    """A wing with a slot in each half beside the centre line, over both faces of the body's sheet."""
    right = halves(tip=100.0, z=z).blanks[0]
    (panel,) = right.panels
    right = replace(right, panels=(replace(panel, holes=(SLOT,)),))
    return PartBuild("wing", (right, mirror_blank(right, "wing/left")))


@pytest.mark.parametrize(("way", "z"), [("saddle", 35.0), ("through", 5.0)])
def test_nothing_stands_in_a_slot_of_the_wing(way: str, z: float) -> None:
    parts, shop = {"wing": slotted(z), "body": profile()}, bench()
    if way == "saddle":
        done = join_saddle({}, parts, Saddle(kind="saddle", id="s", parts=("wing", "body")), shop)
    else:
        done = join_through({}, parts, Through(kind="through", id="s", parts=("wing", "body")), shop)
    (panel,) = done.changed["body"].blanks[0].panels
    (whole,) = profile().blanks[0].panels
    taken = shapely.Polygon(whole.polygon).difference(shapely.Polygon(panel.polygon, panel.holes))
    # a wing of 100 x 5 mm with 0.3 mm of play, from a sheet whose top lies level with it or far above
    assert taken.area == pytest.approx(100.6 * (5.3 if way == "saddle" else 5.6), abs=0.5)
