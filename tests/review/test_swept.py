"""A swept tailless pusher of flat board: washout asked for and cured, one balance line across its span.

The trainer's parts put to another use, for two rules only; it is no aeroplane to build.
"""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.airframe.marking import place_marks
from foldwright.base.messages import words
from foldwright.cure import find_cures
from foldwright.design.load import rebuilt
from foldwright.design.model import Design
from foldwright.geometry.fold.marks import station_of
from foldwright.review.marks import mark_requests
from tests.review.samples import one
from tests.review.test_trainer import SHOP, subject, trainer
from tests.world import judge


def swept(washout_deg: float = 0.0) -> Design:
    """Root 185 mm, tip 130 mm, tip's leading edge 150 mm further aft at 480 mm: quarter line 15.9° aft."""
    data = trainer().model_dump(mode="json", exclude_none=True)
    parts = {part["id"]: part for part in data["part"]}
    wing, fin, body = parts["wing"], parts["fin"], parts["body"]
    # the spar holds what washout the cure asks for
    wing |= {"x_mm": 150.0, "incidence_deg": 0.0, "camber": [], "spar": {"x_mm": 60.0, "stock": "dowel-4"}}
    wing["bay"] = [{"chord_mm": 130.0, "aft_mm": 150.0, "washout_deg": washout_deg}]
    wing["control"] = [
        {"id": "elevon", "kind": "elevon", "chord_mm": 35.0, "inner_mm": 200.0, "outer_mm": 440.0}
    ]
    fin |= {"x_mm": 320.0, "y_mm": 462.0, "z_mm": 40.0, "mirrored": True, "control": []}
    for station, x in zip(body["station"], (0.0, 300.0, 420.0), strict=True):
        station["x_mm"] = x
    body["former"][1]["x_mm"] = 145.0
    body["deck"] = []
    data["design"]["layout"] = "swept tailless"
    data["part"] = [wing, fin, body]
    data["joint"] = [
        {"kind": "saddle", "id": "wing-body", "parts": ["wing", "body"]},
        {"kind": "slot_tab", "id": "fin-wing", "parts": ["fin", "wing"]},
    ]
    data["equipment"] = [item for item in data["equipment"] if item["id"] in ("receiver", "controller")]
    found = rebuilt(data)
    if found is None:
        raise ValueError("refused on reading")
    return found


def test_a_swept_wing_without_washout_is_found_and_cured() -> None:
    """1.5° is the least that is held to be usual [judgement], so the cure is 1.5° more."""
    result = judge(swept(), SHOP)
    finding = next(f for f in result.findings if f.code == "T25")
    assert (finding.verdict, finding.where) == ("watch", "wing.bay.1.washout_deg")
    assert finding.params["sweep"] == 16
    cures = {cure.key: cure.after for cure in find_cures(result, finding)}
    assert cures["wing.bay.1.washout_deg"] == pytest.approx(1.5, abs=0.51)
    assert one(subject(swept(2.0)), "T25").verdict == "clear"


def test_balance_marks_are_one_line_across_a_swept_wing() -> None:
    flying = subject(swept())
    asked = [request for request in mark_requests(flying) if request.name == "balance"]
    airframe, lost = place_marks(flying.airframe, asked)
    assert [words(finding).says for finding in lost] == []
    places = [
        station_of(placed.blank, mark, placed.transforms)
        for placed in airframe.placed
        for mark in placed.blank.marks
        if mark.name == "balance"
    ]
    assert len(places) == 2
    assert np.concatenate(places)[:, 0] == pytest.approx(flying.balance.placed.x)
    assert sorted(np.sign(each[0, 1]) for each in places) == [-1.0, 1.0]
