"""What a box body says when it cannot be made. Expected numbers: arithmetic on the stations."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldwright.airframe.box import build_box
from foldwright.airframe.model import PartBuild
from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.base.words import body
from tests.airframe.boxes import board, box, plain, station

STRAIGHT = (station(0, 56, -30, 22), station(250, 56, -30, 22))


def only(build: PartBuild) -> Finding:
    assert len(build.findings) == 1, build.findings
    return build.findings[0]


def straight(**changes: Any) -> PartBuild:
    return build_box(box(**{"station": STRAIGHT, "former": (), "deck": (), **changes}), board())


def names(build: PartBuild) -> list[str]:
    return [blank.name.removeprefix("body/") for blank in build.blanks]


def test_too_narrow() -> None:
    build = build_box(plain(15, 40), board())
    assert not build.blanks
    first = build.findings[0]
    assert (first.code, first.where, first.verdict) == ("G41", "body.station.1.width_mm", "no-go")
    said = words(first)
    assert said.says == "At station 1 5.0 mm are left inside two 5.0 mm walls."
    assert said.cure == "Widen the station to 20.0 mm, or use board no thicker than 2.5 mm."
    assert len(build.findings) == 2
    assert not build_box(plain(20, 40), board()).findings


def test_too_low() -> None:
    build = build_box(plain(56, 12), board())
    assert {item.code for item in build.findings} == {"G42"}
    assert build.findings[0].value == pytest.approx(7.0)
    assert not build_box(plain(56, 15), board()).findings


def test_stations_out_of_order() -> None:
    item = only(straight(station=(STRAIGHT[1], STRAIGHT[0])))
    assert (item.code, item.where) == ("G40", "body.station.2.x_mm")
    assert item.params["need"] == 255.0


def test_only_tapers() -> None:
    item = only(
        straight(station=(station(0, 40, -30, 22), station(150, 56, -30, 22), station(300, 50, -30, 22)))
    )
    assert item.code == "G43"
    assert words(item).cure == "Give station 3 the width of station 2, 56.0 mm."


def test_the_cure_for_tapers_cures() -> None:
    build = straight(station=(station(0, 40, -30, 22), station(150, 56, -30, 22), station(300, 56, -30, 22)))
    assert not build.findings
    assert build.blanks


def test_run_too_short() -> None:
    rows = (
        station(0, 40, -30, 22),
        station(100, 56, -30, 22),
        station(118, 56, -30, 22),
        station(200, 40, -30, 22),
    )
    item = only(straight(station=rows))
    assert (item.code, item.where) == ("G44", "body.station.3.x_mm")
    need = float(item.params["need"])
    rows = (*rows[:2], station(need, 56, -30, 22), rows[3])
    assert not straight(station=rows).findings


def test_bend_too_sharp_and_bends_too_close() -> None:
    sharp = (
        station(0, 90, -30, 22),
        station(100, 90, -30, 22),
        station(110, 40, -30, 22),
        station(200, 40, -30, 22),
    )
    assert {item.code for item in straight(station=sharp).findings} >= {"G46"}
    rows = ((0, 40), (10, 74), (15, 74), (25, 40), (200, 40))
    close = tuple(station(x, width, -30, 22) for x, width in rows)
    # two turns of 59.5 degrees want 2 * 5 * tan(29.8 degrees) = 5.7 mm of the 5 mm between them
    item = only(straight(station=close))
    assert (item.code, item.where) == ("G45", "body.station.3.x_mm")
    assert words(item).says.startswith("Between x = 10.0 and 15.0 mm the sides bend so much")


@pytest.mark.parametrize(("x", "limit"), [(-3.0, 0.0), (247.0, 245.0)])
def test_former_off_the_body(x: float, limit: float) -> None:
    build = straight(former=({"id": "one", "x_mm": x},))
    assert only(build).code == "G47"
    assert only(build).limit == limit
    assert names(build) == ["main"]


def test_former_at_both_very_ends() -> None:
    build = straight(former=({"id": "one", "x_mm": 0, "role": "nose"}, {"id": "two", "x_mm": 245}))
    assert not build.findings
    assert names(build) == ["main", "one", "two"]


def test_formers_overlap() -> None:
    build = straight(former=({"id": "one", "x_mm": 100}, {"id": "two", "x_mm": 103}))
    item = only(build)
    assert (item.code, item.where) == ("G49", "body.former.two.x_mm")
    assert item.value == pytest.approx(2.0)
    assert item.params["need"] == 105.0
    assert names(build) == ["main", "one"]


@pytest.mark.parametrize(("width", "verdict", "left"), [(41.8, "watch", 2.0), (50.0, "no-go", None)])
def test_hole_near_the_edge(width: float, verdict: str, left: float | None) -> None:
    """The former is 45.8 mm wide: 56 less two boards and two gaps of 0.1 mm."""
    hole = {"z_mm": -1.5, "width_mm": width, "shape": "rectangle", "height_mm": 10}
    item = only(straight(former=({"id": "one", "x_mm": 100, "hole": (hole,)},)))
    assert (item.code, item.verdict) == ("G48", verdict)
    if left is not None:
        assert item.value == pytest.approx(left, abs=1e-9)


def test_decks() -> None:
    short = straight(deck=({"id": "one", "from_mm": 10, "to_mm": 12},))
    assert only(short).code == "G50"
    off = straight(deck=({"id": "one", "from_mm": -10, "to_mm": 50},))
    assert (only(off).code, only(off).where) == ("G51", "body.deck.one.from_mm")
    behind = straight(deck=({"id": "one", "from_mm": 10, "to_mm": 260},))
    assert (only(behind).code, only(behind).where) == ("G51", "body.deck.one.to_mm")
    both = straight(
        deck=({"id": "one", "from_mm": 10, "to_mm": 60}, {"id": "two", "from_mm": 50, "to_mm": 90})
    )
    assert (only(both).code, only(both).value) == ("G54", 10.0)
    assert names(both) == ["main", "one"]
    over = straight(
        deck=(
            {"id": "one", "from_mm": 10, "to_mm": 60},
            {"id": "two", "from_mm": 50, "to_mm": 90, "seat": "on"},
        )
    )
    assert not over.findings


def test_trays() -> None:
    bare = straight(deck=({"id": "one", "role": "tray", "from_mm": 10, "to_mm": 60},))
    assert (only(bare).code, only(bare).params["low"], only(bare).params["high"]) == ("G52", -20.0, 22.0)
    low = straight(deck=({"id": "one", "role": "tray", "from_mm": 10, "to_mm": 60, "z_mm": -26},))
    assert only(low).code == "G53"
    tray = {"id": "one", "role": "tray", "from_mm": 10, "to_mm": 160, "z_mm": -10}
    through = straight(deck=(tray,), former=({"id": "wall", "x_mm": 100},))
    assert (only(through).code, only(through).params["need"]) == ("G55", 100.0)
    assert names(through) == ["main", "one"]
    ends = straight(deck=({**tray, "to_mm": 100},), former=({"id": "wall", "x_mm": 100},))
    assert not ends.findings


def test_a_hole_through_the_edge_beside_a_tray() -> None:
    """A hole that breaks through a former's lower edge is G48, whatever else stands at that former."""
    hole = {"shape": "rectangle", "width_mm": 24, "height_mm": 18, "z_mm": -20}
    build = straight(
        former=({"id": "wall", "x_mm": 60, "hole": (hole,)},),
        deck=({"id": "one", "role": "tray", "from_mm": 10, "to_mm": 65, "z_mm": -19},),
    )
    assert [(item.code, item.verdict) for item in build.findings] == [("G48", "no-go"), ("G55", "no-go")]


def test_deck_and_bends_of_the_upper_edge() -> None:
    rows = (station(0, 56, -30, 22), station(100, 56, -30, 22), station(140, 56, -30, 10))
    near = straight(station=rows, deck=({"id": "one", "from_mm": 10, "to_mm": 102},))
    assert (only(near).code, only(near).where) == ("G56", "body.deck.one.to_mm")
    steep = (station(0, 56, -30, 22), station(100, 56, -30, 22), station(110, 56, -30, 2))
    far = straight(station=steep, deck=({"id": "one", "from_mm": 10, "to_mm": 108},))
    assert {item.code for item in far.findings} == {"G57"}


def test_every_body_finding_has_words() -> None:
    """The numbers promised to this room, each with an entry."""
    codes = set(body.CATALOGUE)
    assert codes == {f"G{number}" for number in range(40, 60)} | {"G70", "G71", "G72"}


def test_absurd_stations_never_raise() -> None:
    rng = np.random.default_rng(7)
    seen: set[str] = set()
    for _ in range(300):
        count = int(rng.integers(2, 6))
        rows = tuple(
            station(
                float(rng.uniform(-200, 300)),
                float(rng.uniform(1, 120)),
                *map(float, rng.uniform(-60, 60, 2)),
            )
            for _ in range(count)
        )
        if rng.random() < 0.7:
            rows = tuple(sorted(rows, key=lambda row: row["x_mm"]))
        if rng.random() < 0.7:
            rows = (rows[0], *({**row, "width_mm": rows[0]["width_mm"]} for row in rows[1:]))
        part = box(
            station=rows, bend=str(rng.choice(["groove", "slit"])), corner=str(rng.choice(["groove", "slit"]))
        )
        build = build_box(part, board(float(rng.uniform(3, 6))))
        for item in build.findings:
            seen.add(item.code)
            assert words(item).says
            assert words(item).cure
    assert {"G40", "G41", "G42", "G43", "G46"} <= seen
