"""DXF: audit, units, layers, areas, and reading back."""

from __future__ import annotations

import io
from typing import Literal

import ezdxf
import pytest
from ezdxf import recover
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from foldwright.make.drawing import Drawing, Fill, Path, Point, Text
from foldwright.make.formats.dxf import duplicate_lines, read_dxf, read_header, to_dxf, without_repeats
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle
from tests.make.format_samples import all_pens, ring

Version = Literal["R2010", "R12"]
VERSIONS: tuple[Version, ...] = ("R2010", "R12")
SQUARE: tuple[Point, ...] = ((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0))


def _drawing(*items: Path | Text | Fill) -> Drawing:
    return Drawing("t", 200.0, 100.0, items)


def _key(item: Path | Text) -> str:
    return repr(item)


@pytest.mark.parametrize("version", VERSIONS)
def test_the_librarys_audit_finds_nothing(version: Version) -> None:
    document, auditor = recover.read(io.BytesIO(to_dxf(all_pens(), version=version)))
    assert auditor.errors == auditor.fixes == []
    assert document.acad_release == version
    assert document.audit().errors == []


def test_units_measurement_and_extents_are_in_the_header() -> None:
    """DXF reference: $INSUNITS 4 is millimetres, $MEASUREMENT 1 is metric."""
    header = read_header(to_dxf(all_pens()))
    assert (header.version, header.units, header.metric) == ("R2010", 4, True)
    assert header.extents == ((0.0, 0.0), (190.0, 240.0))


def test_r12_carries_extents_but_no_units(caplog: pytest.LogCaptureFixture) -> None:
    header = read_header(to_dxf(all_pens(), version="R12"))
    assert (header.version, header.units) == ("R12", 0)
    assert header.extents == ((0.0, 0.0), (190.0, 240.0))
    assert caplog.records == []


@pytest.mark.parametrize("version", VERSIONS)
def test_everything_but_fills_comes_back(version: Version) -> None:
    drawing = all_pens()
    back = read_dxf(to_dxf(drawing, version=version))
    wanted = [item for item in drawing.items if not isinstance(item, Fill)]
    rounded = [
        Path(i.pen, i.face, tuple((round(x, 6), round(y, 6)) for x, y in i.points), i.closed)
        if isinstance(i, Path)
        else i
        for i in wanted
    ]
    assert sorted(map(_key, back)) == sorted(map(_key, rounded))


@pytest.mark.parametrize("version", VERSIONS)
def test_areas_of_closed_lines_equal_the_drawings(version: Version) -> None:
    """First principles; read by the library alone, areas by another one."""
    drawing = _drawing(
        Path("cut", "", ring((50.0, 50.0), 30.0, 97), closed=True),
        Path("cut", "", ((100.0, 10.0), (180.0, 10.0), (150.0, 90.0)), closed=True),
    )
    document, _ = recover.read(io.BytesIO(to_dxf(drawing, version=version)))
    kind = "POLYLINE" if version == "R12" else "LWPOLYLINE"
    entities = list(document.modelspace())
    assert [(e.dxftype(), e.dxf.layer) for e in entities] == [(kind, "cut")] * 2
    for entity, path in zip(entities, drawing.items, strict=True):
        assert isinstance(path, Path)
        assert entity.is_closed if version == "R12" else entity.closed  # type: ignore[attr-defined]
        points = (
            [(p.x, p.y) for p in entity.points()]  # type: ignore[attr-defined]
            if version == "R12"
            else entity.get_points("xy")  # type: ignore[attr-defined]
        )
        assert Polygon(points).area == pytest.approx(Polygon(path.points).area, abs=1e-3)


def test_layers_carry_the_workshops_colour_and_width_and_no_line_types() -> None:
    styles = DEFAULT_STYLES.overridden({"cut": PenStyle("#0A141E", 0.36, (1.0, 1.0))})
    drawing = _drawing(Path("cut", "a", SQUARE, closed=True))
    document, _ = recover.read(io.BytesIO(to_dxf(drawing, styles)))
    layer = document.layers.get("cut_a")
    assert layer.rgb == (10, 20, 30)
    assert layer.dxf.lineweight == 35
    assert layer.dxf.linetype.upper() == "CONTINUOUS"


def test_fills_are_left_out() -> None:
    assert read_dxf(to_dxf(_drawing(Fill((SQUARE,), 0.5)))) == []


@pytest.mark.parametrize("version", VERSIONS)
@given(text=st.text(max_size=30))
def test_any_text_is_carried(version: Version, text: str) -> None:
    back = read_dxf(to_dxf(_drawing(Text("letter", "a", (1.0, 2.0), 3.0, text)), version=version))
    assert len(back) == 1
    assert isinstance(back[0], Text)


@pytest.mark.parametrize("version", VERSIONS)
@pytest.mark.parametrize(
    "text", ["wing/right/main", "5 % of 100%% of 7%%%", "^J a ^ b", "±0.5° Ø 翼", "%%d %%c"]
)
def test_the_formats_own_signs_are_carried_as_letters(version: Version, text: str) -> None:
    (back,) = read_dxf(to_dxf(_drawing(Text("letter", "a", (1.0, 2.0), 3.0, text)), version=version))
    assert isinstance(back, Text)
    assert back.text == text


def test_another_reader_shows_percent_signs_as_they_are() -> None:
    """Other code: the library's conversion of DXF's coded text to plain text."""
    drawing = _drawing(Text("letter", "", (0.0, 0.0), 3.0, "100%%d ^J"))
    document, _ = recover.read(io.BytesIO(to_dxf(drawing)))
    (entity,) = document.modelspace().query("TEXT")
    assert entity.plain_text() == "100%%d ^J"  # type: ignore[attr-defined]
    assert entity.dxf.height == pytest.approx(3.0)


def test_a_path_drawn_twice_is_written_once() -> None:
    turned = Path("cut", "", (SQUARE[2], SQUARE[1], SQUARE[0], SQUARE[3]), closed=True)
    line, back = Path("crush", "a", SQUARE[:2]), Path("crush", "a", SQUARE[1::-1])
    other_face = Path("crush", "b", SQUARE[:2])
    drawing = _drawing(Path("cut", "", SQUARE, closed=True), turned, line, back, other_face)
    assert len(duplicate_lines(drawing)) == 5
    kept = without_repeats(drawing)
    assert kept.items == (drawing.items[0], line, other_face)
    assert duplicate_lines(kept) == ()
    assert len(read_dxf(to_dxf(drawing))) == 3


@pytest.mark.parametrize(
    "second",
    [
        ((10.0, 2.0), (10.0, 8.0)),  # within a side
        ((10.0, 5.0), (10.0, 30.0)),  # beyond its end
        ((10.0, -5.0), (10.0, 30.0)),  # over all of it
        ((10.0005, -5.0), (10.0005, 30.0)),  # beside it by less than a cutter can
    ],
)
def test_lines_that_lie_on_one_another_are_refused(second: tuple[Point, ...]) -> None:
    drawing = _drawing(Path("cut", "", SQUARE, closed=True), Path("cut", "", second))
    (overlap,) = duplicate_lines(drawing)
    assert overlap.layer == "cut"
    with pytest.raises(ValueError, match="drawn twice"):
        to_dxf(drawing)


@pytest.mark.parametrize(
    "second",
    [
        ((10.0, 10.0), (10.0, 30.0)),  # runs on from a corner
        ((5.0, -5.0), (5.0, 15.0)),  # crosses
        ((10.1, 0.0), (10.1, 10.0)),  # beside
        ((12.0, 0.0), (20.0, 0.0)),  # in line, apart
    ],
)
def test_lines_that_meet_or_cross_are_not_twice(second: tuple[Point, ...]) -> None:
    drawing = _drawing(Path("cut", "", SQUARE, closed=True), Path("cut", "", second))
    assert duplicate_lines(drawing) == ()
    assert len(read_dxf(to_dxf(drawing))) == 2


def test_marks_may_touch_twice_but_are_told() -> None:
    drawing = _drawing(Path("mark", "a", SQUARE[:2]), Path("mark", "a", ((5.0, 0.0), (15.0, 0.0))))
    (overlap,) = duplicate_lines(drawing)
    assert (overlap.start, overlap.end) == ((5.0, 0.0), (10.0, 0.0))
    assert len(read_dxf(to_dxf(drawing))) == 2


def test_the_librarys_option_is_put_back() -> None:
    before = ezdxf.options.write_fixed_meta_data_for_testing
    to_dxf(all_pens())
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def _foreign(kind: str) -> bytes:
    document = ezdxf.new("R2010")
    space = document.modelspace()
    document.layers.add("cut")
    if kind == "line":
        space.add_line((0, 0), (1, 2), dxfattribs={"layer": "cut"})
    elif kind == "circle":
        space.add_circle((0, 0), 3, dxfattribs={"layer": "cut"})
    elif kind == "layer":
        space.add_line((0, 0), (1, 2))
    elif kind == "text":
        space.add_text("a", dxfattribs={"layer": "cut", "halign": 4, "align_point": (0, 0)})
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def test_a_plain_line_is_read_as_a_path() -> None:
    assert read_dxf(_foreign("line")) == [Path("cut", "", ((0.0, 0.0), (1.0, 2.0)))]


@pytest.mark.parametrize("kind", ["circle", "layer", "text"])
def test_what_no_sheet_holds_is_refused(kind: str) -> None:
    with pytest.raises(ValueError, match=r"CIRCLE|layer|aligned"):
        read_dxf(_foreign(kind))


@pytest.mark.parametrize("data", [b"", b"hello", b"\xff\xfe\x00", to_dxf(all_pens())[:4000]])
def test_a_damaged_file_is_refused(data: bytes) -> None:
    with pytest.raises(ValueError, match="DXF"):
        read_dxf(data)
