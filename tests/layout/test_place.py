"""Parts on sheets: what must hold for any parts, and cases whose answer is plain arithmetic."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.base.types import FloatArray
from foldwright.layout.check import check, statistics
from foldwright.layout.model import (
    Area,
    Bed,
    Layout,
    Part,
    Placement,
    SheetLayout,
    SheetStock,
    Turn,
    placed_polygon,
    placed_rings,
    turned,
)
from foldwright.layout.place import areas_of, place
from foldwright.layout.slide import edges_of, room_below, room_left
from tests.examples import examples

LARGE = SheetStock("large", 1000.0, 700.0, 10.0)
SMALL = SheetStock("small", 700.0, 500.0, 10.0)


def rectangle(width: float, height: float, x: float = 0.0, y: float = 0.0) -> FloatArray:
    return np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]])


def star(seed: int, corners: int, size: float) -> FloatArray:
    """A star-shaped, mostly notched ring round a point that is not the origin."""
    rng = np.random.default_rng(seed)
    angles = (np.arange(corners) + rng.uniform(0.0, 0.8, corners)) * 2.0 * np.pi / corners
    radii = size * rng.uniform(0.25, 1.0, corners)
    ring: FloatArray = radii[:, None] * np.column_stack([np.cos(angles), np.sin(angles)])
    return ring + rng.uniform(-500.0, 500.0, 2)


WING = np.array(
    [
        [0.0, 0.0],
        [660.0, 0.0],
        [660.0, 180.0],
        [640.0, 200.0],
        [640.0, 350.0],
        [20.0, 350.0],
        [20.0, 200.0],
        [0.0, 180.0],
    ]
)


def aeroplane() -> list[Part]:
    """Blanks of a small tailless aeroplane: a wing, a body with a window, and small parts."""
    return [
        Part("wing", WING, turn="half"),
        Part("body", rectangle(400.0, 170.0), (rectangle(120.0, 60.0, 100.0, 55.0),)),
        Part("deck", rectangle(180.0, 45.0)),
        Part("hatch", rectangle(110.0, 45.0)),
        Part("nose", star(1, 24, 22.0), copies=2),
        Part("former", rectangle(40.0, 38.0), copies=2),
        Part("fin", np.array([[0.0, 0.0], [130.0, 0.0], [140.0, 110.0], [80.0, 110.0]]), copies=2),
        Part("doubler", rectangle(160.0, 20.0), copies=2),
        Part("horn", np.array([[0.0, 0.0], [20.0, 0.0], [4.0, 25.0]]), copies=4),
    ]


def spots(layout: Layout, part: str) -> list[Placement]:
    return [spot for sheet in layout.sheets for spot in sheet.placements if spot.part == part]


# Whole aeroplanes -------------------------------------------------------------------------------------------


def test_an_aeroplane_lies_on_one_large_sheet_and_two_small_ones() -> None:
    # First principles: the wing leaves 700 - 20 - 350 - 5 mm beside it on a large sheet, 125 on a small one,
    # which is too little for the body (170): one large sheet or two small ones are the least.
    parts = aeroplane()
    for stock, sheets in ((LARGE, 1), (SMALL, 2)):
        layout = place(parts, [stock], spacing_mm=5.0)
        assert len(layout.sheets) == sheets
        assert layout.unplaced == ()
        assert check(layout, parts) == ()


def test_the_grain_is_kept() -> None:
    parts = [Part("wing", WING, turn="none"), *(replace(p, turn="half") for p in aeroplane()[1:])]
    layout = place(parts, [LARGE], spacing_mm=5.0)
    turns = {spot.part: spot.turn_deg for sheet in layout.sheets for spot in sheet.placements}
    assert turns["wing"] == 0
    assert set(turns.values()) <= {0, 180}
    assert check(layout, parts) == ()


def test_several_copies_take_several_sheets() -> None:
    # First principles: two wings of 350 mm and 5 mm between them need 705 mm, a large sheet has 680.
    layout = place([Part("wing", WING, copies=3, turn="half")], [LARGE], spacing_mm=5.0)
    assert len(layout.sheets) == 3
    assert [spot.copy for spot in spots(layout, "wing")] == [1, 2, 3]


def test_statistics_are_areas_and_shares() -> None:
    parts = [Part("a", rectangle(100.0, 50.0), (rectangle(20.0, 10.0, 5.0, 5.0),), copies=2)]
    found = statistics(place(parts, [SheetStock("s", 200.0, 100.0)], spacing_mm=0.0), parts)
    # First principles: 2 x (100 x 50 - 20 x 10) mm² of 20,000.
    assert (found.sheets, found.part_area_mm2, found.board_area_mm2) == (1, 9600.0, 20000.0)
    assert found.used_share == pytest.approx(0.48)
    assert found.used_shares == pytest.approx((0.48,))
    assert statistics(place([], [LARGE], spacing_mm=0.0), []).used_share == 0.0


# Fits to a hair ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("spacing", [0.0, 5.0])
def test_what_just_fits_is_placed(spacing: float) -> None:
    # First principles: n equal strips and n - 1 gaps fill the usable height exactly.
    height = (480.0 - 3.0 * spacing) / 4.0
    parts = [Part("strip", rectangle(680.0, height), copies=4, turn="none")]
    layout = place(parts, [SMALL], spacing_mm=spacing)
    assert len(layout.sheets) == 1
    assert check(layout, parts) == ()
    too_high = [Part("strip", rectangle(680.0, height + 0.1), copies=4, turn="none")]
    assert len(place(too_high, [SMALL], spacing_mm=spacing).sheets) == 2


def test_a_part_is_turned_where_only_that_fits() -> None:
    tall = [Part("tall", rectangle(300.0, 650.0))]
    layout = place(tall, [SMALL], spacing_mm=5.0)
    assert spots(layout, "tall")[0].turn_deg in {90, 270}
    assert check(layout, tall) == ()
    kept = place([replace(tall[0], turn="half")], [SMALL], spacing_mm=5.0)
    assert (kept.unplaced[0].least_width_mm, kept.unplaced[0].least_height_mm) == (320.0, 670.0)


def test_a_small_part_goes_into_an_opening() -> None:
    # The frame fills the sheet, so the only room for the square is inside it.
    frame = Part("frame", rectangle(480.0, 280.0), (rectangle(200.0, 200.0, 40.0, 40.0),))
    square = Part("square", rectangle(185.0, 185.0))
    layout = place([square, frame], [SheetStock("s", 500.0, 300.0, 10.0)], spacing_mm=5.0)
    assert len(layout.sheets) == 1
    assert check(layout, [square, frame]) == ()
    window = shapely.Polygon(placed_rings(frame, spots(layout, "frame")[0])[1])
    assert window.contains(placed_polygon(square, spots(layout, "square")[0]))


def test_a_notch_is_used() -> None:
    # An L of 400 x 300 with legs of 100 mm leaves 300 x 200 in its corner; the sheet has no other room.
    ell = np.array([[0.0, 0.0], [400.0, 0.0], [400.0, 100.0], [100.0, 100.0], [100.0, 300.0], [0.0, 300.0]])
    parts = [Part("ell", ell), Part("block", rectangle(290.0, 190.0))]
    layout = place(parts, [SheetStock("s", 400.0, 300.0)], spacing_mm=5.0)
    assert len(layout.sheets) == 1
    assert check(layout, parts) == ()


# What does not fit ------------------------------------------------------------------------------------------


def test_what_fits_no_sheet_is_named_with_the_least_sheet() -> None:
    long = Part("spar", rectangle(30.0, 1200.0))
    layout = place([long, Part("small", rectangle(50.0, 50.0))], [LARGE, SMALL], spacing_mm=5.0)
    (left,) = layout.unplaced
    assert (left.part, left.copy, left.reason) == ("spar", 1, "larger than every sheet")
    # First principles: the part with a border of 10 mm all round, laid along the sheet.
    assert (left.least_width_mm, left.least_height_mm) == (1220.0, 50.0)
    assert len(layout.sheets) == 1
    assert check(layout, [long, Part("small", rectangle(50.0, 50.0))]) == ()


def test_a_bed_that_is_too_small_is_told_from_a_sheet_that_is() -> None:
    layout = place([Part("wing", WING)], [LARGE], spacing_mm=5.0, bed=Bed(600.0, 400.0))
    (left,) = layout.unplaced
    assert (left.reason, left.least_width_mm, left.least_height_mm) == ("larger than the bed", 660.0, 350.0)
    assert layout.sheets == ()


def test_sheets_run_out_and_the_next_kind_is_taken() -> None:
    parts = [Part("plate", rectangle(600.0, 400.0), copies=5)]
    stocks = [replace(SMALL, count=2), replace(LARGE, count=1)]
    layout = place(parts, stocks, spacing_mm=5.0)
    assert [sheet.stock for sheet in layout.sheets] == ["small", "small", "large"]
    assert len(layout.sheets[2].placements) == 2
    assert [(left.copy, left.reason) for left in layout.unplaced] == [(5, "no sheet left")]
    assert check(layout, parts) == ()


def test_no_stock_at_all_leaves_everything() -> None:
    layout = place([Part("a", rectangle(10.0, 10.0))], [], spacing_mm=5.0)
    assert [left.reason for left in layout.unplaced] == ["larger than every sheet"]


def test_names_must_differ() -> None:
    with pytest.raises(ValueError, match="differ"):
        place([Part("a", WING), Part("a", WING)], [LARGE], spacing_mm=5.0)


def test_rings_that_are_no_polygon_are_refused() -> None:
    bow = np.array([[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]])
    with pytest.raises(ValueError, match=r"bow: Self-intersection"):
        place([Part("bow", bow)], [LARGE], spacing_mm=5.0)
    with pytest.raises(ValueError, match="three corners"):
        place([Part("a", WING, (bow[:0],))], [LARGE], spacing_mm=5.0)


# Beds -------------------------------------------------------------------------------------------------------


def test_a_sheet_is_divided_into_pieces_of_the_beds_size() -> None:
    # First principles: 1000 = 600 + 400, 700 = 400 + 300; border 10 outside, half of 5 mm at each cut.
    areas = areas_of(LARGE, Bed(600.0, 400.0), 5.0)
    assert areas == (
        Area(10.0, 10.0, 597.5, 397.5),
        Area(602.5, 10.0, 990.0, 397.5),
        Area(10.0, 402.5, 597.5, 690.0),
        Area(602.5, 402.5, 990.0, 690.0),
    )
    assert areas_of(LARGE, Bed(1000.0, 700.0), 5.0) == areas_of(LARGE, None, 5.0)
    assert areas_of(SheetStock("s", 10.0, 10.0, 5.0), None, 5.0) == ()


def test_parts_stay_within_one_piece_of_the_bed() -> None:
    parts = [p for p in aeroplane() if p.name != "wing"]
    for bed in (Bed(450.0, 300.0), Bed(300.0, 450.0)):
        layout = place(parts, [LARGE], spacing_mm=5.0, bed=bed)
        assert layout.unplaced == ()
        assert check(layout, parts) == ()
        assert len(layout.sheets[0].areas) > 1
        for area in layout.sheets[0].areas:
            assert sorted((area.width_mm, area.height_mm)) <= [300.0, 450.0]


# The check finds faults -------------------------------------------------------------------------------------


def sheet_of(*placements: Placement, area: Area | None = None) -> Layout:
    areas = (area or Area(10.0, 10.0, 190.0, 90.0),)
    return Layout((SheetLayout("s", 200.0, 100.0, 10.0, areas, placements),), (), 5.0)


def test_the_check_finds_each_kind_of_fault() -> None:
    part = Part("a", rectangle(50.0, 50.0), turn="half", copies=2)
    first = Placement("a", 1, 10.0, 10.0, 0)

    def kinds(*placements: Placement, area: Area | None = None) -> list[tuple[str, float]]:
        return [(p.kind, p.amount_mm) for p in check(sheet_of(*placements, area=area), [part])]

    assert kinds(first, Placement("a", 2, 65.0, 10.0, 0)) == []
    # First principles: 2 mm over the border, 3 of 5 mm apart, an overlap of 10 x 50 mm.
    assert kinds(first, Placement("a", 2, 142.0, 10.0, 0)) == [("outside the usable area", 2.0)]
    assert kinds(first, Placement("a", 2, 63.0, 10.0, 0)) == [("too close", 2.0)]
    assert kinds(first, Placement("a", 2, 50.0, 10.0, 0)) == [("overlap", 10.0)]
    assert kinds(first, Placement("a", 2, 120.0, 10.0, 90)) == [("turn not allowed", 0.0)]
    assert kinds(first) == [("copy missing", 0.0)]
    assert ("copy placed twice", 0.0) in kinds(first, first, Placement("a", 2, 65.0, 10.0, 0))
    assert ("unknown part", 0.0) in kinds(first, Placement("b", 1, 65.0, 10.0, 0))
    far = Area(5.0, 10.0, 190.0, 90.0)
    assert kinds(first, Placement("a", 2, 65.0, 10.0, 0), area=far) == [("area outside the sheet", 5.0)]


# Sliding ----------------------------------------------------------------------------------------------------


def test_a_shape_slides_until_it_meets_another() -> None:
    # First principles: a triangle's tip above a roof of slope 1, and a corner from the side.
    roof = edges_of((np.array([[0.0, 0.0], [20.0, 0.0], [10.0, 10.0]]),))
    tip = edges_of((np.array([[5.0, 30.0], [8.0, 40.0], [2.0, 40.0]]),))
    assert room_below(tip, roof, 100.0) == pytest.approx(25.0)
    assert room_left(roof + 40.0, roof, 100.0) == 100.0
    assert room_left(roof + np.array([40.0, 0.0, 40.0, 0.0]), roof, 100.0) == pytest.approx(20.0)
    assert room_below(tip + 50.0, roof, 7.0) == 7.0


@settings(max_examples=examples(60))
@given(seed=st.integers(0, 10_000), aside=st.floats(-30.0, 30.0))
def test_a_slide_ends_in_contact(seed: int, aside: float) -> None:
    lower, upper = star(seed, 9, 40.0), star(seed + 1, 7, 30.0)
    lower = lower - lower.mean(axis=0)
    upper = upper - upper.mean(axis=0) + np.array([aside, 200.0])
    room = room_below(edges_of((upper,)), edges_of((lower,)), 1000.0)
    if room < 1000.0:
        met = shapely.Polygon(upper - np.array([0.0, room]))
        assert met.distance(shapely.Polygon(lower)) < 1e-6
        assert met.intersection(shapely.Polygon(lower)).area < 1e-6


# Any parts --------------------------------------------------------------------------------------------------

TURN: st.SearchStrategy[Turn] = st.sampled_from(["quarter", "half", "none"])


@st.composite
def part_lists(draw: st.DrawFn) -> list[Part]:
    count = draw(st.integers(1, 7))
    parts = []
    for k in range(count):
        size = draw(st.floats(8.0, 160.0))
        ring = star(draw(st.integers(0, 10_000)), draw(st.integers(3, 30)), size)
        shape = shapely.Polygon(ring)
        inner = shapely.buffer(shape, -0.1 * size)
        openings: tuple[FloatArray, ...] = ()
        if len(shapely.get_parts(inner)) == 1 and inner.area > 0.0 and draw(st.booleans()):
            openings = (shapely.get_coordinates(inner)[:-1],)
        parts.append(Part(str(k), ring, openings, draw(st.integers(1, 3)), draw(TURN)))
    return parts


@settings(max_examples=examples(50))
@given(
    parts=part_lists(),
    spacing=st.floats(0.0, 12.0),
    width=st.floats(120.0, 700.0),
    height=st.floats(120.0, 500.0),
    bed=st.none() | st.builds(Bed, st.floats(100.0, 400.0), st.floats(100.0, 400.0)),
)
def test_any_parts_lie_inside_and_apart(
    parts: list[Part], spacing: float, width: float, height: float, bed: Bed | None
) -> None:
    stocks = [SheetStock("a", width, height, 5.0), SheetStock("b", 400.0, 300.0, 0.0)]
    layout = place(parts, stocks, spacing_mm=spacing, bed=bed)
    assert check(layout, parts) == ()
    assert all(left.reason != "no sheet left" for left in layout.unplaced)


@settings(max_examples=examples(30))
@given(seed=st.integers(0, 10_000), turn=st.sampled_from([0, 90, 180, 270]))
def test_turns_keep_shape_and_hand(seed: int, turn: int) -> None:
    ring = star(seed, 8, 50.0)
    image = turned(ring, turn)
    area = shapely.LinearRing(ring).is_ccw
    assert shapely.LinearRing(image).is_ccw == area
    np.testing.assert_allclose(np.hypot(*image.T), np.hypot(*ring.T), rtol=1e-12)
    angle = np.radians(turn)
    matrix = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    np.testing.assert_allclose(image, ring @ matrix.T, atol=1e-9)


def test_the_same_layout_in_two_processes() -> None:
    script = (
        "import numpy as np\n"
        "from foldwright.layout.model import Part, SheetStock\n"
        "from foldwright.layout.place import place\n"
        "parts = [Part(f'p{k}', np.array([[0.0, 0.0], [90.0 + k, 0.0], [60.0, 40.0 + 3 * k], [5.0, 70.0]]))"
        " for k in range(12)]\n"
        "print(place(parts, [SheetStock('s', 400.0, 300.0, 10.0)], spacing_mm=5.0))\n"
    )
    outputs = [
        subprocess.run(
            [sys.executable, "-c", script],
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
            capture_output=True,
            text=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert outputs[0] == outputs[1]
    assert "Placement" in outputs[0]
