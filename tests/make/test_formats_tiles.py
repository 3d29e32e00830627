"""Tiled sheets: nothing lost, nothing beyond the printer's reach, joins that meet, a map to scale by."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Drawing, Fill, Path, Point, Text
from foldwright.make.formats.clip import Box, clip_path, clip_rings
from foldwright.make.formats.islands import joined
from foldwright.make.formats.tiles import PAPERS, Grid, PaperName, layout, tile, tile_content
from tests.make.format_samples import ring, sheet

OVERLAP, MARGIN = 10.0, 8.0
NAMED: tuple[PaperName, ...] = ("A4", "Letter", "A3")
COORDINATES = st.floats(-20.0, 120.0).map(lambda v: round(v, 3))
POINTS = st.tuples(COORDINATES, COORDINATES)
BOX = Box(10.0, 20.0, 90.0, 70.0)
RECTANGLE = shapely.box(10.0, 20.0, 90.0, 70.0)


def _line(path: Path) -> LineString:
    return LineString([*path.points, path.points[0]] if path.closed else path.points)


def _length(paths: list[Path]) -> float:
    return sum(_line(path).length for path in paths)


def _segments_inside(path: Path) -> float:
    """Length within the rectangle, segment by segment, by the other library."""
    points = [*path.points, path.points[0]] if path.closed else list(path.points)
    return sum(LineString(pair).intersection(RECTANGLE).length for pair in pairwise(points))


@given(st.lists(POINTS, min_size=2, max_size=9), st.booleans())
def test_lines_are_cut_exactly(points: list[Point], closed: bool) -> None:
    """Other library: lengths within by shapely; every piece lies on the line and within the box."""
    path = Path("cut", "a", tuple(points), closed)
    pieces = clip_path(path, BOX)
    assert _length(pieces) == pytest.approx(_segments_inside(path), abs=1e-6)
    near = _line(path).buffer(1e-6)
    for piece in pieces:
        assert all(BOX.holds(point) for point in piece.points)
        assert near.covers(_line(piece)) or _line(piece).difference(near).length < 1e-9


@given(st.lists(POINTS, min_size=2, max_size=9), st.booleans(), st.floats(15.0, 85.0))
def test_what_is_cut_in_two_is_whole_again(
    points: list[Point],
    closed: bool,
    at: float,
) -> None:
    path = Path("cut", "", tuple(points), closed)
    left, right = (Box(-50.0, -50.0, at, 150.0), Box(at, -50.0, 150.0, 150.0))
    both = clip_path(path, left) + clip_path(path, right)
    points = [*path.points, path.points[0]] if closed else list(path.points)
    on_the_cut = sum(math.dist(a, b) for a, b in pairwise(points) if a[0] == b[0] == at)
    assert _length(both) == pytest.approx(_line(path).length + on_the_cut, abs=1e-6)


def test_a_path_within_is_left_as_it_is() -> None:
    path = Path("cut", "", ring((50.0, 45.0), 20.0, 12), closed=True)
    assert clip_path(path, BOX) == [path]


def test_a_closed_path_that_starts_within_is_cut_into_no_more_pieces_than_needed() -> None:
    path = Path("cut", "", ((50.0, 30.0), (50.0, 60.0), (120.0, 60.0), (120.0, 30.0)), closed=True)
    (piece,) = clip_path(path, BOX)
    assert piece.points == ((90.0, 30.0), (50.0, 30.0), (50.0, 60.0), (90.0, 60.0))[::1]
    assert not piece.closed


def test_what_only_touches_the_border_is_left_out() -> None:
    assert clip_path(Path("cut", "", ((0.0, 0.0), (10.0, 20.0), (0.0, 40.0))), BOX) == []
    assert len(clip_path(Path("cut", "", ((10.0, 0.0), (10.0, 90.0))), BOX)) == 1


def test_paths_and_areas_without_points_hold_nothing() -> None:
    drawing = Drawing("t", 100.0, 100.0, (Path("cut", "", ()), Fill((), 0.5)))
    assert tile_content(drawing, BOX) == ()


@given(st.tuples(COORDINATES, COORDINATES), st.floats(5.0, 60.0), st.integers(3, 20))
def test_areas_are_cut_exactly(centre: Point, radius: float, sides: int) -> None:
    rings = (ring(centre, radius, sides), ring(centre, radius / 2, sides))
    pieces = clip_rings(rings, BOX)
    area = sum(Polygon(piece[0], piece[1:]).area for piece in pieces)
    assert area == pytest.approx(Polygon(rings[0], [rings[1]]).intersection(RECTANGLE).area, abs=1e-6)


@pytest.mark.parametrize("paper", NAMED)
def test_the_tiles_together_hold_all_lines(paper: PaperName) -> None:
    """Union of what the tiles show = the drawing, pen by pen."""
    drawing = sheet()
    grid = layout(drawing, paper, OVERLAP, MARGIN)
    shown = [
        item
        for row in range(grid.rows)
        for column in range(grid.columns)
        for item in tile_content(drawing, grid.box(row, column))
        if isinstance(item, Path)
    ]
    for pen in ("sheet_edge", "cut", "crush", "to_paper"):
        whole = shapely.union_all([_line(i) for i in drawing.items if isinstance(i, Path) and i.pen == pen])
        union = shapely.union_all([_line(i) for i in shown if i.pen == pen])
        assert whole.difference(union.buffer(1e-6)).length == pytest.approx(0.0, abs=1e-9)
        assert union.difference(whole.buffer(1e-6)).length == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize("paper", [*NAMED, (250.0, 200.0)])
def test_the_windows_cover_the_sheet_and_share_the_overlap(paper: PaperName | tuple[float, float]) -> None:
    drawing = sheet()
    grid = layout(drawing, paper, OVERLAP, MARGIN)
    boxes = [grid.box(row, column) for row in range(grid.rows) for column in range(grid.columns)]
    union = shapely.union_all([shapely.box(b.left, b.bottom, b.right, b.top) for b in boxes])
    assert union.covers(shapely.box(0.0, 0.0, drawing.width_mm, drawing.height_mm))
    assert grid.box(0, 0).right - grid.box(0, 1).left == pytest.approx(OVERLAP)
    assert grid.box(1, 0).top - grid.box(0, 0).bottom == pytest.approx(OVERLAP)


def _reach(item: Path | Text | Fill) -> list[Point]:
    """Points that what is drawn reaches; a text as wide as its strokes."""
    if isinstance(item, Path):
        return list(item.points)
    if isinstance(item, Fill):
        return [point for ring_ in item.rings for point in ring_]
    width, angle = width_mm(item.text, item.height_mm), math.radians(item.angle_deg)
    start = {"left": 0.0, "centre": -0.5, "right": -1.0}[item.align] * width
    return [
        (
            item.at[0] + x * math.cos(angle) - y * math.sin(angle),
            item.at[1] + x * math.sin(angle) + y * math.cos(angle),
        )
        for x in (start, start + width)
        for y in (-0.35 * item.height_mm, 1.2 * item.height_mm)
    ]


@pytest.mark.parametrize("paper", [*NAMED, (250.0, 200.0)])
@pytest.mark.parametrize("margin", [5.0, 8.0, 12.0])
def test_everything_lies_where_the_printer_reaches(
    paper: PaperName | tuple[float, float], margin: float
) -> None:
    for page in tile(sheet(), paper, OVERLAP, margin):
        low, right, top = margin - 1e-6, page.width_mm - margin + 1e-6, page.height_mm - margin + 1e-6
        for item in page.items:
            for x, y in _reach(item):
                assert low <= x <= right, item
                assert low <= y <= top, item


def test_a_named_paper_is_turned_to_need_fewer_pages() -> None:
    wide, high = Drawing("t", 520.0, 170.0, ()), Drawing("t", 170.0, 520.0, ())
    assert layout(wide, "A4", OVERLAP, MARGIN).page == (297.0, 210.0)
    assert layout(high, "A4", OVERLAP, MARGIN).page == (210.0, 297.0)


def test_pages_are_named_by_row_and_column_and_empty_ones_left_out() -> None:
    drawing = sheet()
    grid = layout(drawing, "A4", OVERLAP, MARGIN)
    pages = tile(drawing, "A4")
    names = [page.title.rsplit(", ", 1)[1] for page in pages]
    assert names[0] == "map of the pages"
    assert "row 1 / column 1" in names
    assert f"row {grid.rows} / column {grid.columns}" not in names
    empty = [item for item in pages[0].items if isinstance(item, Text) and item.text == "empty"]
    assert len(pages) - 1 + len(empty) == grid.rows * grid.columns
    assert len(empty) > 0
    for page in pages[1:]:
        assert any(
            isinstance(i, Text) and i.text.startswith(page.title.rsplit(", ", 1)[1]) for i in page.items
        )


def _join_marks(page: Drawing, grid: Grid, row: int, column: int) -> set[Point]:
    """Centres of the rings, at their place in the drawing."""
    box, rim = grid.box(row, column), (page.width_mm - grid.window[0]) / 2
    rings = [i.points for i in page.items if isinstance(i, Path) and i.pen == "dimension" and i.closed]
    return {
        (
            round(sum(x for x, _ in r) / len(r) - rim + box.left, 6),
            round(sum(y for _, y in r) / len(r) - rim + box.bottom, 6),
        )
        for r in rings
    }


def test_rings_of_neighbours_are_at_the_same_place_of_the_drawing() -> None:
    drawing = sheet()
    grid = layout(drawing, "A4", OVERLAP, MARGIN)
    pages = {page.title.rsplit(", ", 1)[1]: page for page in tile(drawing, "A4")}
    here = _join_marks(pages["row 1 / column 1"], grid, 0, 0)
    beside = _join_marks(pages["row 1 / column 2"], grid, 0, 1)
    below = _join_marks(pages["row 2 / column 1"], grid, 1, 0)
    assert len(here & beside) == 3
    assert len(here & below) == 3


def test_text_within_a_tile_stays_text_and_text_across_the_border_is_cut_strokes() -> None:
    whole = Text("letter", "a", (20.0, 30.0), 3.0, "within")
    across = Text("letter", "a", (80.0, 30.0), 3.0, "across the border")
    content = tile_content(Drawing("t", 200.0, 100.0, (whole, across)), BOX)
    assert content[0] == whole
    assert len(content) > 3
    for item in content[1:]:
        assert isinstance(item, Path)
        assert (item.pen, item.face) == ("letter", "a")
        assert all(BOX.holds(point) for point in item.points)


def test_the_map_has_lengths_of_100_mm_and_says_how_to_print() -> None:
    page = tile(sheet(), "A4")[0]
    assert (page.width_mm, page.height_mm) == PAPERS["A4"]
    outlines = [i for i in page.items if isinstance(i, Path) and i.pen == "outline"]
    sides = [[math.dist(a, b) for a, b in pairwise([*p.points, p.points[0]])] for p in outlines if p.closed]
    assert [pytest.approx(100.0, abs=1e-9)] * 4 in sides
    bars = [math.dist(*p.points) for p in outlines if len(p.points) == 2]
    assert bars == [pytest.approx(100.0, abs=1e-9)]
    words = [i.text for i in page.items if isinstance(i, Text)]
    assert "Print at 100 %, not fit to page." in words
    assert not any(isinstance(i, Path) and i.pen in {"cut", "to_paper", "crush"} for i in page.items)


def test_the_map_shows_the_sheet_in_its_own_shape() -> None:
    page = tile(sheet(), "A4")[0]
    boxes = [LineString(i.points).bounds for i in page.items if isinstance(i, Path) and i.pen == "outline"]
    ratios = [(b[2] - b[0]) / (b[3] - b[1]) for b in boxes if b[3] - b[1] > 1.0]
    assert pytest.approx(760.0 / 500.0) in ratios


def test_a_long_title_is_cut_to_the_room_there_is() -> None:
    drawing = Drawing("a very long title " * 20, 400.0, 300.0, sheet().items[2:3])
    for page in tile(drawing, "A4"):
        for item in page.items:
            if isinstance(item, Text):
                assert width_mm(item.text, item.height_mm) < page.width_mm - 2 * MARGIN + 1e-6


def test_a_small_drawing_is_one_page_without_joins() -> None:
    drawing = Drawing("t", 100.0, 100.0, (Path("cut", "", ring((50.0, 50.0), 40.0, 20), closed=True),))
    pages = tile(drawing, "A4")
    assert len(pages) == 2
    assert not any(isinstance(i, Path) and i.pen == "dimension" for i in pages[1].items)


@pytest.mark.parametrize(
    ("paper", "overlap", "margin"),
    [
        ((60.0, 50.0), 10.0, 8.0),
        ((150.0, 150.0), 10.0, 8.0),
        ("A4", 0.0, 8.0),
        ("A4", 10.0, -1.0),
        ("A4", 80.0, 8.0),
    ],
)
def test_paper_without_room_is_refused(
    paper: PaperName | tuple[float, float], overlap: float, margin: float
) -> None:
    with pytest.raises(ValueError, match=r"room|overlap"):
        tile(sheet(), paper, overlap, margin)


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
@pytest.mark.parametrize(
    "title",
    ["Glasswing rev A, sheet-2-b, Saltmere village school", "Marram rev A, sheet-1, Dune Lane kitchen table"],
)
def test_every_page_says_what_it_is_in_full(paper: PaperName, title: str) -> None:
    """Design, revision, sheet and page, uncut, legible and within the printer's reach, clear of what is
    drawn.
    """
    content = Path("cut", "", ((1.0, 1.0), (419.0, 1.0), (419.0, 789.0), (1.0, 789.0)), closed=True)
    for page in tile(Drawing(title, 420.0, 790.0, (content,)), paper, OVERLAP, MARGIN)[1:]:
        top = page.height_mm - MARGIN
        head = [i for i in page.items if isinstance(i, Text) and i.at[1] > top - 6.0 and i.align == "left"]
        assert " ".join(i.text for i in head) == f"{page.title.rsplit(', ', 1)[1]}   {title}"
        assert all(i.height_mm >= 1.9 for i in head)
        others = [
            i for i in page.items if isinstance(i, Text) and i.align == "centre" and i.at[1] > top - 6.0
        ]
        ends = [i.at[0] + 1.15 * width_mm(i.text, i.height_mm) for i in head]
        starts = [i.at[0] - 0.575 * width_mm(i.text, i.height_mm) for i in others]
        assert max(ends) < min([*starts, page.width_mm - MARGIN])


def test_islands_are_joined_by_empty_pages() -> None:
    """Two squares in opposite corners of a grid of 4 x 3: a shortest way between them is 6 pages long."""
    window = (182.0, 269.0)
    width, height = 4 * window[0] - 3 * OVERLAP - 1.0, 3 * window[1] - 2 * OVERLAP - 1.0
    squares = tuple(
        Path("cut", "", ring(at, 20.0, 4), closed=True)
        for at in ((30.0, height - 30.0), (width - 30.0, 30.0))
    )
    drawing = Drawing("t", width, height, squares)
    grid = layout(drawing, (210.0, 297.0), OVERLAP, MARGIN)
    assert (grid.rows, grid.columns) == (3, 4)
    assert len(tile(drawing, (210.0, 297.0))) == 1 + 6


PLACES = st.frozensets(st.tuples(st.integers(0, 5), st.integers(0, 4)), max_size=12)


@given(PLACES)
def test_all_printed_pages_hang_together(places: frozenset[tuple[int, int]]) -> None:
    """Other library: the union of the pages' squares, each a hair larger, is one polygon."""
    kept = joined(places, 6, 5)
    assert places <= kept
    assert all(0 <= row < 6 and 0 <= column < 5 for row, column in kept)
    corners_do_not_count = [
        part
        for r, c in kept
        for part in (
            shapely.box(c - 0.51, r - 0.4, c + 0.51, r + 0.4),
            shapely.box(c - 0.4, r - 0.51, c + 0.4, r + 0.51),
        )
    ]
    assert len(shapely.get_parts(shapely.union_all(corners_do_not_count))) <= 1
    if len(places) == 2:
        (a, b), (c, d) = sorted(places)
        assert len(kept) == abs(a - c) + abs(b - d) + 1
    assert joined(kept, 6, 5) == kept
