"""Words on the sheets: marks named at the end of their own line, which way round parts go, legend, slants."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import cos, hypot, radians, sin

import numpy as np
import pytest
import shapely

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.lettering import width_mm
from foldwright.geometry.transform import apply
from foldwright.layout.as_cut import as_cut
from foldwright.layout.from_airframe import Laid, lay_out, sheet_points
from foldwright.make.blank_drawing import draw_blank
from foldwright.make.drawing import Drawing, Path, Text
from foldwright.make.formats.dxf import to_dxf
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle
from foldwright.make.formats.svg import to_svg
from foldwright.make.legend import legend, look
from foldwright.make.lettering_room import Room
from foldwright.make.mark_names import mark_name
from foldwright.make.sheet_marks import Titles
from foldwright.make.sheet_part import slant_words
from foldwright.make.sheets import Sheets, draw_sheets, turned_over
from foldwright.make.way_round import faces_where, way_round
from tests.make.evaluations import marram, results
from tests.make.sheet_samples import former, kit, plate, u_box, wing, workshop

WORKSHOPS = ("school-laser", "home-knife", "club-sheets")


@cache
def marram_sheets(shop: str) -> tuple[Laid, Sheets]:
    made = marram(shop)
    laid = lay_out([one.blank for one in results(made).airframe.placed], made.workshop)
    return laid, draw_sheets(laid, made.workshop, Titles("Marram", "A", made.workshop.name))


def texts(drawing: Drawing) -> list[Text]:
    return [item for item in drawing.items if isinstance(item, Text)]


def middle(text: Text) -> FloatArray:
    """Middle of a centred text's capitals."""
    up = np.array([-sin(radians(text.angle_deg)), cos(radians(text.angle_deg))])
    return np.array(text.at) + 0.5 * text.height_mm * up


def box(text: Text) -> shapely.Polygon:
    along = np.array([cos(radians(text.angle_deg)), sin(radians(text.angle_deg))])
    up = np.array([-along[1], along[0]])
    base, half = np.array(text.at), along * width_mm(text.text, text.height_mm) / 2.0
    return shapely.Polygon(
        [base - half, base + half, base + half + up * text.height_mm, base - half + up * text.height_mm]
    )


@pytest.mark.parametrize("shop", WORKSHOPS)
def test_balance_and_window_marks_are_named_beyond_the_end_of_their_own_line(shop: str) -> None:
    """Known from the marks themselves: the nearest axis among all marks' is the named one's, both sides."""
    laid, sheets = marram_sheets(shop)
    marks = [m for m in laid.of("wing/main").blank.marks if m.name == "balance" or "window" in m.name]
    assert len(marks) == 6
    for sheet in sheets.sheets:
        for spot in (s for s in sheet.piece.placements if s.part == "wing/main"):
            lying = laid.of("wing/main")
            drawing = sheet.up if lying.up == "a" else sheet.down
            assert drawing is not None
            named = [t for t in texts(drawing) if t.face == "a" and t.text in {m.name for m in marks}]
            assert sorted(t.text for t in named) == sorted(m.name for m in marks)
            for text in named:
                at = middle(text)
                found = []
                for mark in marks:
                    ends = sheet_points(lying, spot, mark.points)
                    ends = ends if lying.up == "a" else turned_over(ends, sheet.up.height_mm)
                    along = (ends[1] - ends[0]) / hypot(*(ends[1] - ends[0]))
                    off = at - ends.mean(axis=0)
                    found.append(
                        (
                            abs(float(along[0] * off[1] - along[1] * off[0])),
                            abs(float(along @ off)) - hypot(*(ends[1] - ends[0])) / 2.0,
                            mark.name,
                        )
                    )
                aside, beyond, name = min(found, key=lambda one: (round(one[0], 3), abs(one[1])))
                assert name == text.text
                assert aside < 0.1
                assert beyond > width_mm(text.text, text.height_mm) / 2.0


@pytest.mark.parametrize("shop", WORKSHOPS)
def test_no_word_lies_on_a_line_or_on_another_word(shop: str) -> None:
    """Marram on three workshops' boards: on every face, on screen and on paper.

    The motor former's own name may: 45 mm square, with the crosses of its screws, the leads' way and the
    thrust line on it, it has no clear place for it on thin board, and then stands across its middle.
    """
    for sheet in marram_sheets(shop)[1].sheets:
        for _, drawing in sheet.drawings:
            shown = sheet.on_paper(drawing)
            boxes = [(t.text, box(t)) for t in texts(shown) if t.face]
            lines = shapely.union_all(
                [
                    shapely.LineString([*i.points, i.points[0]] if i.closed else i.points)
                    for i in shown.items
                    if isinstance(i, Path)
                ]
            )
            for k, (words, one) in enumerate(boxes):
                assert words == "body/motor-former" or shapely.distance(one, lines) > 0.0, words
                for others, other in boxes[:k]:
                    assert shapely.distance(one, other) > 0.0, (words, others)


def _room(width: float, height: float, lines: list[FloatArray]) -> Room:
    room = Room("a", shapely.box(-width / 2, -height / 2, width / 2, height / 2))
    room.taken += [shapely.LineString(line) for line in lines]
    return room


@pytest.mark.parametrize("apart", [8.0, 3.0, 1.0, 0.3])
def test_a_name_never_stands_beside_another_line(apart: float) -> None:
    """A short line near a longer one: its name goes past the longer one's end too, with a leader."""
    short, long = np.array([(-6.0, apart), (6.0, apart)]), np.array([(-12.0, 0.0), (12.0, 0.0)])
    room = _room(120.0, 60.0, [short, long])
    other = shapely.LineString(long)
    (*leaders, text) = mark_name(room, ("window-aft",), short, shapely.LineString(short), other)
    assert isinstance(text, Text)
    assert middle(text)[1] == pytest.approx(apart, abs=1e-9)
    assert shapely.distance(box(text), other) > 1.5
    past = abs(float(middle(text)[0])) - width_mm(text.text, text.height_mm) / 2.0
    assert past > (6.0 if apart > 5.0 else 12.0)
    assert bool(leaders) is (apart < 5.0)


@pytest.mark.parametrize("size", [40.0, 24.0, 16.0, 8.0, 2.0])
def test_a_marks_name_is_never_dropped(size: float) -> None:
    line = np.array([(-0.45 * size, 0.0), (0.45 * size, 0.0)])
    own = shapely.LineString(line)
    items = mark_name(_room(size, size, [line]), ("balance",), line, own, shapely.GeometryCollection())
    assert [i.text for i in items if isinstance(i, Text)] == ["balance"]


def test_the_underside_on_paper_shows_the_parts_and_the_cutters_files_do_not() -> None:
    """Outlines turned over about the upper edge, all of them; the DXF and SVG files hold none."""
    shop = workshop()
    sheet = draw_sheets(lay_out(kit(), shop), shop, Titles("Marram", "r1", shop.name)).sheets[0]
    assert sheet.down is not None
    shown = sheet.on_paper(sheet.down)
    thin = [i for i in shown.items if isinstance(i, Path) and i.pen == "thin"]
    cuts = [i for i in sheet.up.items if isinstance(i, Path) and i.pen == "cut"]
    assert len(thin) == len(cuts) - 3  # the holes to lie by are cut from both sides
    cut = shapely.union_all([shapely.LinearRing(i.points) for i in cuts])
    for path in thin:
        back = turned_over(np.array(path.points), sheet.up.height_mm)
        assert shapely.LinearRing(back).difference(cut.buffer(1e-6)).length == pytest.approx(0.0, abs=1e-9)
    assert {blank.name for blank in kit()} <= {t.text for t in texts(shown)}
    assert not any(i.pen == "thin" for i in sheet.down.items if isinstance(i, Path))
    assert b"thin\n" not in to_dxf(sheet.down, DEFAULT_STYLES)
    assert b'data-pen="thin"' not in to_svg(sheet.down, DEFAULT_STYLES)
    assert sheet.on_paper(sheet.up) is sheet.up


# Known from the design: decks lie level with their upper face A up, formers stand across, fins along.
@pytest.mark.parametrize(
    ("name", "word", "vector", "looks"),
    [
        ("body/tray", "front", (-1, 0, 0), "up"),
        ("body/hatch", "front", (-1, 0, 0), "up"),
        ("body/nose-former", "up", (0, 0, 1), "forward"),
        ("body/saddle-former", "up", (0, 0, 1), "forward"),
        ("body/motor-former", "up", (0, 0, 1), "aft"),
        ("wing/spar", "up", (0, 0, 1), "forward"),
        ("fin/right", "front", (-1, 0, 0), "right"),
        ("fin/left", "front", (-1, 0, 0), "left"),
    ],
)
def test_flat_parts_say_which_way_round_they_go(
    name: str, word: str, vector: tuple[int, int, int], looks: str
) -> None:
    """The lettered word's place on the sheet, taken back to the aeroplane, is the part's end in that
    direction."""
    for shop in WORKSHOPS:
        laid, sheets = marram_sheets(shop)
        lying = laid.of(name)
        way = way_round(lying.blank)
        assert way is not None
        assert way.word == word
        assert faces_where(lying.blank, "a") == looks
        outline = lying.blank.panels[0].polygon
        ends = _forward(lying.blank, outline) @ vector
        text, blank_point = _lettered(laid, sheets, name, word)
        here = float((_forward(lying.blank, blank_point) @ vector)[0])
        assert here > ends.mean()
        assert float(ends.max()) - here < max(0.25 * float(np.ptp(ends)), 14.0), text


def _forward(blank: Blank, points: FloatArray) -> FloatArray:
    """Points (n, 2) of a blank's middle plane in the aeroplane."""
    flat = np.column_stack([points, np.full(len(points), blank.thickness / 2.0)])
    return apply(blank.placement, flat)


def _lettered(laid: Laid, sheets: Sheets, name: str, word: str) -> tuple[Text, FloatArray]:
    """The word on a part and its place in the blank's frame, found over a grid of the blank."""
    lying = laid.of(name)
    for sheet in sheets.sheets:
        for spot in (s for s in sheet.piece.placements if s.part == name):
            for below, drawing in ((False, sheet.up), (True, sheet.down)):
                if drawing is None:
                    continue
                outline = sheet_points(lying, spot, lying.blank.panels[0].polygon)
                seen = turned_over(outline, sheet.up.height_mm) if below else outline
                shape = shapely.Polygon(seen)
                for text in texts(drawing):
                    if text.text == word and shape.contains(shapely.Point(middle(text))):
                        at = middle(text)[None]
                        up = turned_over(at, sheet.up.height_mm) if below else at
                        return text, _back(laid, name, spot.part, up, sheets)
    raise AssertionError(f"{name} does not say {word}")


def _back(laid: Laid, name: str, part: str, at: FloatArray, sheets: Sheets) -> FloatArray:
    """A sheet point in the blank's frame: the map is a rigid motion, solved from three points of it."""
    lying = laid.of(name)
    spot = next(s for sheet in sheets.sheets for s in sheet.piece.placements if s.part == part)
    origin, u, v = sheet_points(lying, spot, np.array([(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)]))
    solved: FloatArray = np.linalg.solve(np.column_stack([u - origin, v - origin]), (at - origin).T).T
    return solved


def test_folded_blanks_need_no_such_word() -> None:
    assert way_round(u_box()) is None
    assert way_round(wing()[0]) is None
    assert way_round(plate()) is not None


@pytest.mark.parametrize("shop", WORKSHOPS)
def test_parts_with_room_have_no_letters_under_2_mm(shop: str) -> None:
    for sheet in marram_sheets(shop)[1].sheets:
        for text in texts(sheet.up):
            if text.text in {"body/tray", "body/hatch", "body/main", "wing/main", "fin/left", "wing/spar"}:
                assert text.height_mm >= 2.0, text


def test_slanted_edges_say_how_much() -> None:
    """The former's lower edge is cut 1 mm back by both faces and the sides 1 mm more on face B."""
    blank = as_cut(former())
    lines = [line for line in draw_blank(blank, workshop().cutter).lines if line.role == "bevel"]
    assert len(lines) == 2
    for line in lines:
        panel, _, edge = line.name.rpartition("/")
        width = blank.panel(panel).cuts[int(edge)].b
        outline = shapely.LinearRing(blank.panels[0].polygon)
        assert outline.distance(shapely.Point(line.points.mean(axis=0))) == pytest.approx(width, abs=1e-6)
        assert slant_words(blank, line) == (f"slant {width:.1f} mm on face B", f"slant {width:.1f} mm")


def test_looks_of_the_default_pens() -> None:
    looks = [look(DEFAULT_STYLES.of(pen)) for pen in ("cut", "to_paper", "crush", "mark")]
    assert looks == ["full line", "long dashes", "dashes", "dots"]
    assert look(PenStyle("#000000", 0.3)) == "full line"


def test_the_legend_names_what_is_on_the_sheet_and_nothing_else() -> None:
    lines = legend({"cut", "to_paper", "mark"}, {"slit", "live"}, workshop())
    assert lines[:3] == ["full line: cut through", "long dashes: cut to the far paper", "dots: draw only"]
    assert [line.split(":")[0] for line in lines[3:]] == ["slit", "live"]


def test_pens_that_look_alike_are_told_apart_in_words() -> None:
    full = {"colour": "#000000", "width_mm": 0.1, "dash_mm": ()}
    red = {**full, "colour": "#FF0000"}
    coloured = legend({"cut", "to_paper"}, (), workshop(cutter__pens={"cut": full, "to_paper": red}))
    assert coloured == ["full line #000000: cut through", "full line #FF0000: cut to the far paper"]
    same = legend({"cut", "to_paper"}, (), workshop(cutter__pens={"cut": full, "to_paper": full}))
    assert same == [
        "full line on layer cut: cut through",
        "full line on layer to_paper: cut to the far paper",
    ]


@pytest.mark.parametrize("shop", WORKSHOPS)
def test_the_title_block_holds_the_legend_clear_of_the_bar(shop: str) -> None:
    for sheet in marram_sheets(shop)[1].sheets:
        for name, drawing in sheet.drawings:
            words = {t.text: t for t in texts(drawing) if not t.face}
            assert "full line: cut through" in words
            below = words["bar and square: 100 mm"].at[1]
            for text, item in words.items():
                if text.partition(":")[0] in {"full line", "long dashes", "dots", "groove", "slit", "live"}:
                    assert item.at[1] > below + 9.0
                    assert item.height_mm >= 2.0
            paper_only = "thin outlines, on paper only: the parts as they lie" in words
            assert paper_only is name.endswith("-b")


@pytest.mark.parametrize(("lean_deg", "looks"), [(0.0, "right"), (30.0, "right"), (60.0, "down")])
def test_a_leaning_fin_points_forward_and_its_outside_looks_where_it_leans(
    lean_deg: float, looks: str
) -> None:
    """A plate in the x-z plane, face A right, its top turned outward: beyond 45 degrees A looks down."""
    lean = radians(lean_deg)
    out = np.array([0.0, sin(lean), cos(lean)])
    normal = np.array([0.0, cos(lean), -sin(lean)])
    place = np.eye(4)
    place[:3, :3] = np.column_stack([(1.0, 0.0, 0.0), -out, normal])
    assert np.linalg.det(place[:3, :3]) == pytest.approx(1.0)
    blank = replace(plate(), placement=place)
    way = way_round(blank)
    assert way is not None
    assert way.word == "front"
    assert place[:3, :2] @ way.toward == pytest.approx([-1.0, 0.0, 0.0], abs=1e-9)
    assert faces_where(blank, "a") == looks
