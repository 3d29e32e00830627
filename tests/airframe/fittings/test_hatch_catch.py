"""Hatch catches: the tongue lies under the wing's leading edge, clear of all board."""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe.fitting_places import bites, pieces_of, placed_named
from foldwright.airframe.fittings.hatch_catch import HatchCatchShape
from foldwright.airframe.marking import place_marks
from foldwright.base.messages import words
from foldwright.design.fittings import HatchCatch
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import Solid, box
from foldwright.make.fittings.hatch_catch import solid
from tests.airframe.fittings.demo_designs import Built, built, plain, with_row
from tests.world import workshop

SHOPS = ("school-laser", "home-knife", "club-sheets")
CATCH = HatchCatch(id="catch", deck="body.hatch")


def placed(made: Built) -> Solid:
    """In the aeroplane."""
    return made.made("catch").body.placed(made.named("catch").placement)


def wing_over(made: Built, low: tuple[float, float, float], high: tuple[float, float, float]) -> float:
    """Least z of the wing's board within a block."""
    probe = box(low, high)
    found = [
        float(common.bounds[0][2])
        for one in made.airframe.placed
        if one.part == "wing"
        for piece in pieces_of(one)
        if (common := piece.solid & probe).volume > 1e-6
    ]
    return min(found)


@pytest.mark.parametrize("name", ["teasel", "bracken"])
@pytest.mark.parametrize("shop", SHOPS)
def test_tongue_under_the_leading_edge(name: str, shop: str) -> None:
    """Clearance under the wing over the tongue, pad flush under the hatch, nothing bitten."""
    made = built(plain(name), CATCH, shop=shop)
    assert made.codes == []
    catch, body = made.named("catch"), placed(made)
    assert all(volume < 1.0 for volume in bites(made.airframe, body).values())
    hatch = placed_named(made.airframe, "body/hatch")
    assert hatch is not None
    rear = max(pieces_of(hatch), key=lambda piece: float(piece.high[0]))
    low, high = body.bounds
    edge = float(rear.high[0])
    # under the hatch from 16 mm ahead of its rear edge
    assert low[0] == pytest.approx(edge - 16.0, abs=1e-6)
    x = edge + catch.figures["gap_mm"]
    assert high[0] == pytest.approx(x + catch.figures["tongue_mm"], abs=1e-6)
    assert catch.figures["tongue_mm"] > 5.0
    # the wing's lowest board over the tongue is one clearance above it
    tip = body & box((x + 0.1, low[1], low[2] - 1.0), (high[0] + 1.0, high[1], high[2] + 1.0))
    above = wing_over(made, (x, low[1], -50.0), (high[0], high[1], 80.0))
    printer = made.workshop.printer
    assert printer is not None
    assert above - float(tip.bounds[1][2]) == pytest.approx(printer.clearance_mm, abs=0.35)
    assert above - float(tip.bounds[1][2]) >= printer.clearance_mm - 1e-6


def test_shortened_before_a_former() -> None:
    """Teasel's cabin former stands 10 mm behind the leading edge: the tongue ends before it."""
    made = built(plain("teasel"), CATCH)
    assert 8.0 < made.named("catch").figures["tongue_mm"] < 10.0
    assert float(placed(made).bounds[1][0]) < 200.0


def test_former_between_hatch_and_wing() -> None:
    """Marram's saddle former: P27 with the notch, drawn on the former's face; with the notch it is free."""
    made = built(plain("marram"), CATCH)
    assert made.codes == ["P27"]
    finding = next(one for one in made.airframe.findings if one.code == "P27")
    assert finding.verdict == "watch"
    body = placed(made)
    bitten = {name: v for name, v in bites(made.airframe, body).items() if v > 1.0}
    assert list(bitten) == ["body/saddle-former:plate"]
    former = placed_named(made.airframe, "body/saddle-former")
    assert former is not None
    piece = pieces_of(former)[0]
    half, top = float(finding.params["wide"]) / 2.0, float(piece.high[2])
    notch = box((100.0, -half, top - float(finding.params["deep"])), (300.0, half, top + 1.0))
    assert ((piece.solid - notch) & body).volume < 1e-6
    marked, lost = place_marks(made.airframe, made.airframe.guides)
    assert [one for one in lost if "catch" in str(one.params)] == []
    drawn = placed_named(marked, "body/saddle-former")
    assert drawn is not None
    assert "catch-notch" in [mark.name for mark in drawn.blank.marks]


def test_no_wing_in_reach() -> None:
    """P25 with the distance where the hatch ends far ahead of the wing."""
    design = with_row(plain("marram"), "body", "deck", "hatch", to_mm=120.0)
    made = built(design, CATCH)
    assert made.codes == ["P25"]
    said = words(made.airframe.findings[-1])
    assert "57.3 mm behind it" in said.says  # 177 less 120 less the hatch's gap of 1, plus the nose's turn
    assert made.airframe.fittings == ()


@pytest.mark.parametrize("top", [-8.0, -5.3, -2.2, -1.0, 0.0, 1.0, 3.0])
@pytest.mark.parametrize("gap", [3.0, 6.3])
def test_closed_forms(top: float, gap: float) -> None:
    """Section times width is the solid, in one body, whatever the drop."""
    shape = HatchCatchShape(20.0, (16.0, 2.0), 1.6, gap, 12.0, top)
    body = solid(shape, workshop().printer).body  # type: ignore[arg-type]
    assert shape.volume == pytest.approx(body.volume, rel=1e-6)
    assert shape.surface == pytest.approx(body.area, rel=1e-6)
    assert np.allclose(np.asarray(shape.box), np.asarray(body.bounds), atol=1e-6)
    assert faults(body) == ()
