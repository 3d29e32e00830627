"""Sheets as drawn: kerf, pens and faces, what is done from which side, scale, words, beds."""

from __future__ import annotations

import io
from dataclasses import replace
from itertools import pairwise
from math import hypot

import numpy as np
import pytest
import shapely

from foldwright.base.messages import words
from foldwright.geometry.fold.mass import Material, panels_moments
from foldwright.geometry.fold.model import SQUARE, Blank, Method, Panel
from foldwright.layout.as_cut import as_cut, bevels, contours, signed_area, without_specks
from foldwright.layout.check import check
from foldwright.layout.from_airframe import lay_out
from foldwright.make.blank_drawing import draw_blank
from foldwright.make.drawing import Drawing, Path, Text
from foldwright.make.fold_table import TABLE
from foldwright.make.formats.dxf import duplicate_lines
from foldwright.make.kerf import kerfed, unkerfed, with_kerf
from foldwright.make.sheet_files import sheet_files
from foldwright.make.sheet_marks import Titles
from foldwright.make.sheet_sums import sums
from foldwright.make.sheets import Sheets, draw_sheets, lengths
from tests.geometry.fold.test_flatcheck import plate_with_flap
from tests.make.sheet_samples import T, former, kit, plate, u_box, wing, workshop

TITLES = Titles("Marram", "r1", "Saltmere village school")


def drawn(blanks: tuple[object, ...] | None = None, **changes: object) -> Sheets:
    shop = workshop(**changes)
    return draw_sheets(lay_out(kit() if blanks is None else blanks, shop), shop, TITLES)  # type: ignore[arg-type]


def paths(drawing: Drawing, pen: str, face: str = "") -> list[Path]:
    return [i for i in drawing.items if isinstance(i, Path) and i.pen == pen and i.face == face]


def texts(drawing: Drawing) -> list[Text]:
    return [i for i in drawing.items if isinstance(i, Text)]


@pytest.mark.parametrize("kerf", [0.0, 0.2, 0.5])
def test_kerf_goes_outward_on_outlines_and_inward_on_holes(kerf: float) -> None:
    """First principles: a square ring moved out by k/2 grows by k both ways; areas by Steiner's formula
    with mitred corners, A + L*k/2 + 4*(k/2)^2 for a rectangle."""
    blank = as_cut(former())
    drawing = draw_blank(blank, workshop(cutter__kerf_mm=kerf).cutter)
    outer, hole = (line.points for line in drawing.lines if line.pen == "cut")
    true_outer, true_hole = drawing.rings
    w, h = np.ptp(true_outer, axis=0)
    assert signed_area(outer) == pytest.approx(w * h + (w + h) * kerf + kerf**2, abs=1e-9)
    assert np.ptp(outer, axis=0) == pytest.approx((w + kerf, h + kerf), abs=1e-9)
    assert shapely.LinearRing(hole).distance(shapely.LinearRing(true_hole)) == pytest.approx(
        kerf / 2, abs=1e-9
    )
    assert signed_area(hole) < signed_area(true_hole) or kerf == 0.0


def test_only_cuts_are_moved_by_the_kerf() -> None:
    blank = as_cut(wing()[0])
    bare, kerfed = (draw_blank(blank, workshop(cutter__kerf_mm=k).cutter) for k in (0.0, 0.4))
    for one, other in zip(bare.lines, kerfed.lines, strict=True):
        same = np.allclose(one.points, other.points)
        assert same is (one.pen != "cut")


def test_kerf_taken_off_gives_the_ring_back() -> None:
    """The buffer of another library with mitred corners gives the same area."""
    ring = contours(as_cut(wing()[0]))[0]
    moved = with_kerf(ring, 0.15)
    assert moved is not None
    other = shapely.Polygon(ring).buffer(0.15, join_style="mitre", mitre_limit=10)
    assert signed_area(moved) == pytest.approx(other.area, abs=1e-6)
    back = with_kerf(moved, -0.15)
    assert back is not None
    assert np.abs(back - ring).max() < 1e-9


def test_an_edge_too_short_to_cut_is_drawn_together() -> None:
    """Where the planes of three panels meet, an outline may keep a step of some 1e-5 mm. Moved by the kerf
    and rounded to the six places of a file, such an edge turns round, and no ring is found inside it again.
    """
    ring = np.array([(0.0, 0.0), (50.0, 0.0), (50.0, 30.0), (49.999995, 30.000004), (0.0, 31.0)])
    moved = with_kerf(ring, 0.3)
    assert moved is not None
    blank = Blank("x", 5.0, (Panel("x", ring, (SQUARE,) * 5),), (), "x", np.eye(4))
    (clean,) = contours(blank)
    assert len(clean) == 4
    assert shapely.LinearRing(clean).hausdorff_distance(shapely.LinearRing(ring)) < 1e-5
    moved = with_kerf(clean, 0.3)
    assert moved is not None
    again = with_kerf(moved.round(6), -0.3)
    assert again is not None
    assert again == pytest.approx(clean, abs=1e-5)


@pytest.mark.parametrize("start", range(4))
def test_a_short_edge_is_found_wherever_the_ring_begins(start: int) -> None:
    ring = np.roll(np.array([(0.0, 0.0), (9.0, 0.0), (9.0, 9.0), (8.9999, 9.0)]), start, axis=0)
    clean = without_specks(ring)
    assert {tuple(point) for point in clean.round(6).tolist()} == {(0.0, 0.0), (9.0, 0.0), (8.99995, 9.0)}


def test_a_gap_narrower_than_the_kerf_is_said() -> None:
    sheets = drawn(wing(), cutter__kerf_mm=1.5)
    found = [f for f in sheets.findings if f.code == "S06"]
    assert [f.where for f in found] == ["wing/main"]
    assert "1.5" in words(found[0]).says


def test_both_sides_of_a_closing_gap_stay_and_all_else_is_moved() -> None:
    """A V notch in a plate's lower edge, 0.2 mm at its mouth: its two sides stay, the other edges move."""
    rows = [(0.0, 0.0), (59.9, 0.0), (60.0, 30.0), (60.1, 0.0), (120.0, 0.0), (120.0, 50.0), (0.0, 50.0)]
    ring = np.array(rows)
    moved = kerfed(ring, 0.15)
    assert moved.narrow == (1, 2)
    assert moved.steps.tolist() == [0.15, 0.0, 0.0, 0.15, 0.15, 0.15, 0.15]
    assert moved.ring[5:] == pytest.approx(np.array([(120.15, 50.15), (-0.15, 50.15)]))
    back = unkerfed(np.roll(moved.ring, 3, axis=0).round(6), ring, 0.15)
    assert back is not None
    assert np.abs(back - ring).max() < 1e-3
    assert unkerfed(moved.ring[:-1], ring, 0.15) is None


def test_square_trims_go_into_the_outline_and_mass_stays() -> None:
    blank, cut = former(), as_cut(former())
    material = Material(T, 5.6e-5, 1e-4)
    assert panels_moments(cut.panels, material) == pytest.approx(
        panels_moments(blank.panels, material), abs=1e-9
    )
    # 46 x 38 mm, 1 mm off the lower edge by both faces
    assert np.ptp(contours(cut)[0], axis=0) == pytest.approx((46.0, 37.0))
    assert {(b.face, b.to_paper) for b in bevels(cut)} == {("b", False)}
    assert len(bevels(cut)) == 2


@pytest.mark.parametrize("method", ["groove", "crush", "rebate", "slit"])
def test_each_method_draws_what_the_table_says_on_the_opened_face(method: Method) -> None:
    blank = as_cut(u_box(method))
    for kind in ("laser", "knife"):
        cutter = workshop(cutter__kind=kind).cutter
        lines = [line for line in draw_blank(blank, cutter).lines if line.name == "left"]
        rule = TABLE[method]
        opened = next(f for f in blank.folds if f.name == "left").opened
        assert {line.face for line in lines} == {opened}
        assert {line.pen for line in lines if line.role == "fold"} == {rule.middle[cutter.kind]}
        edges = [line for line in lines if line.role == "edge"]
        assert len(edges) == len(rule.sides)
        assert all(line.pen == rule.edges[cutter.kind] for line in edges)


def test_a_cutter_that_cannot_stop_at_the_paper_gets_marks_but_still_presses() -> None:
    sheets = drawn((u_box("crush"), plate()), cutter__to_paper=False)
    pens = {
        item.pen for s in sheets.sheets for _, d in s.drawings for item in d.items if isinstance(item, Path)
    }
    assert "crush" in pens
    assert "to_paper" not in pens
    assert not sheets.findings
    left = drawn((u_box("slit"),), cutter__to_paper=False).findings
    assert [(f.code, f.verdict, f.where) for f in left] == [("S04", "watch", "fuselage/box")]
    assert "left, right" in words(left[0]).says


def test_the_wing_is_done_from_both_sides_and_the_box_from_one() -> None:
    both, one = drawn(wing()).sheets[0], drawn((u_box(),)).sheets[0]
    assert one.down is None
    assert both.down is not None
    assert [name for name, _ in both.drawings] == ["sheet-1-b", "sheet-1"]
    for face, drawing in (("b", both.up), ("a", both.down)):
        assert paths(drawing, "to_paper", face)
        assert not paths(drawing, "to_paper", "b" if face == "a" else "a")
    assert any("turn the sheet over about this edge" in t.text for t in texts(both.up))


def test_holes_to_lie_by_are_the_same_on_both_sides_and_fit_one_way_only() -> None:
    sheet = drawn().sheets[0]
    assert sheet.down is not None
    height = sheet.up.height_mm
    below = np.array([np.mean(p.points, axis=0) for p in paths(sheet.down, "cut")])
    assert len(below) == 3
    turned = below * [1, -1] + [0, height]
    above = np.array([np.mean(p.points, axis=0) for p in paths(sheet.up, "cut")])
    for hole in turned:
        assert np.hypot(*(above - hole).T).min() < 1e-9
    sides = sorted(hypot(*(a - b)) for a, b in pairwise([*below, below[0]]))
    assert sides[1] - sides[0] > 5
    assert sides[2] - sides[1] > 1


def test_nothing_cut_is_drawn_twice_and_every_cut_is_closed() -> None:
    for sheet in drawn().sheets:
        for _, drawing in sheet.drawings:
            once = [i for i in drawing.items if isinstance(i, Path) and i.pen in {"cut", "to_paper", "crush"}]
            assert not duplicate_lines(Drawing("x", drawing.width_mm, drawing.height_mm, tuple(once)))
            assert all(path.closed for path in paths(drawing, "cut"))


def test_a_square_and_a_bar_of_100_mm_stand_off_the_parts() -> None:
    sheet = drawn().sheets[0]
    cuts = shapely.union_all([shapely.Polygon(p.points) for p in paths(sheet.up, "cut")])
    squares = [p for p in paths(sheet.up, "mark") if p.closed]
    assert len(squares) == 1
    square = shapely.Polygon(squares[0].points)
    assert (square.area, square.length) == pytest.approx((1e4, 400.0))
    assert square.distance(cuts) > 1.9
    bars = [p for p in paths(sheet.up, "mark") if not p.closed and p.points[0][1] == p.points[1][1]]
    assert [p.points[1][0] - p.points[0][0] for p in bars] == pytest.approx([100.0])


def test_without_room_the_bars_stand_in_the_border() -> None:
    sheet = drawn((plate(),), board__sheet=({"length_mm": 130.0, "width_mm": 120.0},)).sheets[0]
    marks = paths(sheet.up, "mark")
    longest = sorted(
        marks, key=lambda p: -hypot(p.points[1][0] - p.points[0][0], p.points[1][1] - p.points[0][1])
    )
    for bar in longest[:2]:
        (x0, y0), (x1, y1) = bar.points
        assert hypot(x1 - x0, y1 - y0) == pytest.approx(100.0)
        assert min(x1, y1) < 5.0


def test_every_part_says_its_name_revision_and_face_inside_its_outline() -> None:
    sheet = drawn().sheets[0]
    outlines = [shapely.Polygon(p.points) for p in paths(sheet.up, "cut")]
    labels = {t.text: t for t in texts(sheet.up) if t.face}
    for blank in kit():
        label = labels[blank.name]
        assert any(o.contains(shapely.Point(label.at)) for o in outlines)
    assert sum(t.text == "rev r1, face B up" for t in texts(sheet.up)) == len(kit())


def test_folds_are_named_beside_their_lines() -> None:
    sheet = drawn(wing()).sheets[0]
    assert sheet.down is not None
    above = {t.text.split(",")[0] for t in texts(sheet.up) if t.face == "b"}
    below = {t.text.split(",")[0] for t in texts(sheet.down) if t.face == "a"}
    assert {"ridge", "elevon-left", "elevon-right"} <= above
    assert {"nose", "crease", "balance-left", "balance-right"} <= below


def test_copies_are_numbered() -> None:
    shop = workshop()
    sheets = draw_sheets(lay_out((plate(),), shop, 2), shop, TITLES)
    assert {t.text for t in texts(sheets.sheets[0].up) if "#" in t.text} == {"fin/right #1", "fin/right #2"}


def test_the_layout_keeps_the_spacing_after_kerf() -> None:
    shop = workshop()
    laid = lay_out(kit(), shop)
    assert laid.layout.spacing_mm == pytest.approx(shop.spacing_mm + shop.cutter.kerf_mm)
    assert check(laid.layout, laid.parts) == ()
    sheet = draw_sheets(laid, shop, TITLES).sheets[0]
    outlines = [shapely.Polygon(p.points) for p in paths(sheet.up, "cut")]
    large = [o for o in outlines if o.area > 100 and not any(o is not q and q.contains(o) for q in outlines)]
    gaps = [a.distance(b) for i, a in enumerate(large) for b in large[:i]]
    # a sharp corner's mitre reaches further out than half the kerf
    assert min(gaps) > shop.spacing_mm - shop.cutter.kerf_mm / 2


def test_a_bed_smaller_than_the_sheet_gives_files_of_its_size() -> None:
    sheets = drawn(
        cutter__bed_mm=(700.0, 330.0), board__sheet=({"length_mm": 1400.0, "width_mm": 1000.0},)
    ).sheets
    assert len(sheets) > 1
    assert all(s.up.width_mm <= 700.0 and s.up.height_mm <= 330.0 for s in sheets)
    for sheet in sheets:
        for path in paths(sheet.up, "cut"):
            points = np.array(path.points)
            assert points.min() > 0.0
            assert bool((points.max(axis=0) < (sheet.up.width_mm, sheet.up.height_mm)).all())
        assert any("cut from board 1 at" in t.text for t in texts(sheet.up))


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"board__sheet": ({"length_mm": 500.0, "width_mm": 400.0},)}, "S01"),
        ({"cutter__bed_mm": (400.0, 300.0)}, "S02"),
        ({"board__sheet": ({"length_mm": 700.0, "width_mm": 350.0, "count": 1},)}, "S03"),
    ],
)
def test_parts_that_find_no_place_are_findings(changes: dict[str, object], code: str) -> None:
    found = [f for f in lay_out(kit(), workshop(**changes)).findings if f.code == code]
    assert found
    assert all(f.verdict == "no-go" and words(f).says for f in found)
    if code == "S01":
        # the wing blank is 640 mm long; a sheet must hold it with its border of 5 mm on both sides
        assert found[0].params["width"] == pytest.approx(650.3, abs=0.4)


def test_long_sides_lie_along_the_grain_if_they_can() -> None:
    big = ({"length_mm": 1400.0, "width_mm": 1000.0},)
    for grain, axis in (("along", 0), ("across", 1)):
        shop = workshop(board__grain=grain, board__sheet=big, cutter__bed_mm=None)
        laid = lay_out(kit(), shop)
        assert not laid.findings
        for part in laid.parts:
            size = np.ptp(part.outline, axis=0)
            assert size[axis] >= size[1 - axis] - 1e-9
            assert part.turn == "half"
        assert paths(draw_sheets(laid, shop, TITLES).sheets[0].up, "letter", "b")
    stuck = lay_out(kit(), workshop(board__grain="across"))
    assert {(f.code, f.verdict) for f in stuck.findings} == {("S05", "watch")}
    assert "wing/main" in {f.where for f in stuck.findings}


def test_blanks_lie_the_same_way_round_where_the_boards_faces_differ() -> None:
    marked = kit()
    assert len({item.up for item in lay_out(marked, workshop()).lying}) == 1
    free = {i.blank.name: i.up for i in lay_out(marked, workshop(board__show_face="both")).lying}
    assert free["fin/left"] == "a"
    assert free["fuselage/box"] == "b"


def test_sums_add_up() -> None:
    """Minutes = (cut + to paper) / speed; the cost of one sheet is its price."""
    shop = workshop()
    laid = lay_out(kit(), shop)
    sheets = draw_sheets(laid, shop, TITLES)
    total = sums(laid, sheets, shop)
    by_pen = lengths(sheets.sheets[0])
    assert total.boards == 1
    assert total.cost == pytest.approx(4.2)
    assert total.minutes == pytest.approx((by_pen["cut"] + by_pen["to_paper"]) / 20.0 / 60.0)
    area = sum(shapely.Polygon(r[0], r[1:]).area for r in map(contours, map(as_cut, kit())))
    assert total.used_share == pytest.approx(area / (700 * 500), rel=1e-6)
    unpriced = workshop(board__sheet=({"length_mm": 700.0, "width_mm": 500.0},))
    assert sums(lay_out(kit(), unpriced), sheets, unpriced).cost is None


def test_a_workshops_pens_reach_the_files() -> None:
    shop = workshop(cutter__pens={"cut": {"colour": "#123456", "dash_mm": (1.0,)}})
    files = sheet_files(draw_sheets(lay_out((plate(),), shop), shop, TITLES), shop)
    assert b"#123456" in files["sheet-1.svg"]
    assert b'stroke-dasharray="1 1"' in files["sheet-1.svg"]


def test_pdf_and_dxf_are_at_true_scale_for_other_readers() -> None:
    """100 mm = 283.46 pt; page size read by pypdf, DXF audited by ezdxf."""
    import ezdxf
    from pypdf import PdfReader

    shop = workshop()
    files = sheet_files(draw_sheets(lay_out(kit(), shop), shop, TITLES), shop)
    assert set(files) == {
        f"sheet-1{side}{end}" for side in ("", "-b") for end in (".dxf", ".svg", ".pdf", "-tiled.pdf")
    }
    box = PdfReader(io.BytesIO(files["sheet-1.pdf"])).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx((7 * 283.4646, 5 * 283.4646), abs=0.01)
    document = ezdxf.read(io.StringIO(files["sheet-1.dxf"].decode()))
    assert not document.audit().errors
    assert {e.dxf.layer for e in document.modelspace()} <= {
        "cut", "to_paper_b", "mark_b", "mark", "letter", "letter_b", "sheet_edge",
    }  # fmt: skip


def test_a_blank_that_falls_apart_is_left_out_and_said() -> None:
    whole = u_box()
    moved = replace(whole.panels[1], polygon=whole.panels[1].polygon + np.array([900.0, 0.0]))
    laid = lay_out((replace(whole, panels=(whole.panels[0], moved, whole.panels[2])), plate()), workshop())
    assert [(f.code, f.verdict, f.where) for f in laid.findings] == [("S09", "no-go", "fuselage/box")]
    assert [part.name for part in laid.parts] == ["fin/right"]


def test_edges_too_near_for_a_cutter_are_said() -> None:
    """Gaps of half a thousandth: their two edges would be one line drawn twice, on both sides of the flap.

    Gaps of 1 mm and none at all are drawn. First principles: each gap has two sides of 30 mm.
    """
    sheets = drawn((plate_with_flap(5e-4),))
    (said,) = [finding for finding in sheets.findings if finding.verdict == "no-go"]
    assert (said.code, said.where, said.params["count"]) == ("S10", "tail", 2)
    assert "tail" in words(said).says
    for gap in (0.0, 1.0):
        assert not [finding for finding in drawn((plate_with_flap(gap),)).findings if finding.code == "S10"]
