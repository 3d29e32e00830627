"""PDF: page size, true scale, text heights and places, characters, tags; read back by two other libraries."""

from __future__ import annotations

import io
import re
from typing import TYPE_CHECKING

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from foldwright.make.drawing import Align, Drawing, Fill, Path, Text
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle, PenStyles
from foldwright.make.formats.typeface import cap_ratio, printable
from tests.examples import examples
from tests.make.format_samples import all_pens, ring, sheet

if TYPE_CHECKING:
    from numpy.typing import NDArray

POINTS_PER_MM = 72.0 / 25.4
DOTS_PER_MM = 20.0


def _picture(data: bytes, page: int = 0) -> NDArray[np.float64]:
    """Grey levels, 20 dots a mm, first row at the top."""
    with pypdfium2.PdfDocument(data) as document:
        image = document[page].render(scale=DOTS_PER_MM / POINTS_PER_MM).to_pil().convert("L")
    return np.asarray(image, dtype=np.float64)


def _ink(data: bytes) -> tuple[float, float, float, float]:
    """Left, bottom, right, top of everything dark [mm], y up."""
    picture = _picture(data)
    rows, columns = np.nonzero(picture < 128)
    high = picture.shape[0]
    return (
        float(columns.min()) / DOTS_PER_MM,
        float(high - rows.max() - 1) / DOTS_PER_MM,
        float(columns.max() + 1) / DOTS_PER_MM,
        float(high - rows.min()) / DOTS_PER_MM,
    )


def _paths(data: bytes) -> list[tuple[float, float, float, float]]:
    """Bounds of the first page's paths [pt] as the reader gives them, half a line width off all round."""
    with pypdfium2.PdfDocument(data) as document:
        found = document[0].get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH])
        return [tuple(obj.get_bounds()) for obj in found]


def _black(width: float = 0.1) -> PenStyles:
    return DEFAULT_STYLES.overridden(
        {"cut": PenStyle("#000000", width), "letter": PenStyle("#000000", width)}
    )


def test_a_line_of_100_mm_is_283_46_points_long() -> None:
    """100 mm / 25.4 × 72 = 283.46 pt, from the path in the file itself."""
    drawing = Drawing("t", 200.0, 120.0, (Path("cut", "", ((10.0, 20.0), (110.0, 20.0))),))
    content = PdfReader(io.BytesIO(to_pdf([drawing]))).pages[0].get_contents()
    assert content is not None
    match = re.search(r"([\d.]+) ([\d.]+) m ([\d.]+) ([\d.]+) l", content.get_data().decode("latin1"))
    assert match is not None
    x0, y0, x1, y1 = map(float, match.groups())
    assert x1 - x0 == pytest.approx(283.4646, abs=1e-3)
    assert y0 == y1 == pytest.approx(100.0 * POINTS_PER_MM, abs=1e-3)  # typst turns the page over


def test_another_reader_finds_the_line_at_its_place() -> None:
    drawing = Drawing("t", 200.0, 120.0, (Path("cut", "", ((10.0, 20.0), (110.0, 20.0))),))
    ((left, bottom, right, top),) = _paths(to_pdf([drawing]))
    half = DEFAULT_STYLES.of("cut").width_mm / 2 * POINTS_PER_MM
    assert (left + right) / 2 == pytest.approx(60.0 * POINTS_PER_MM, abs=0.01)
    assert right - left == pytest.approx(283.4646 + 2 * half, abs=2.0)
    assert (bottom + top) / 2 == pytest.approx(20.0 * POINTS_PER_MM, abs=0.01)


@pytest.mark.parametrize("size", [(210.0, 297.0), (760.0, 500.0), (55.5, 33.25)])
def test_each_page_has_the_size_of_its_drawing(size: tuple[float, float]) -> None:
    drawings = [Drawing("t", *size, ()), Drawing("u", size[1], size[0], ())]
    reader = PdfReader(io.BytesIO(to_pdf(drawings)))
    assert len(reader.pages) == 2
    for page, drawing in zip(reader.pages, drawings, strict=True):
        assert float(page.mediabox.width) == pytest.approx(drawing.width_mm * POINTS_PER_MM, abs=1e-3)
        assert float(page.mediabox.height) == pytest.approx(drawing.height_mm * POINTS_PER_MM, abs=1e-3)


@pytest.mark.parametrize("height", [2.0, 3.0, 7.0])
def test_capitals_have_the_height_asked_for_and_stand_on_the_baseline(height: float) -> None:
    """The convention of all formats; measured on the picture, one dot is 0.05 mm."""
    drawing = Drawing("t", 60.0, 40.0, (Text("letter", "", (10.0, 15.0), height, "HEH"),))
    left, bottom, _, top = _ink(to_pdf([drawing], _black()))
    assert bottom == pytest.approx(15.0, abs=0.06)
    assert top - bottom == pytest.approx(height, abs=0.11)
    assert left == pytest.approx(10.0, abs=0.15 * height)


@pytest.mark.parametrize(("align", "part"), [("left", 0.0), ("centre", 0.5), ("right", 1.0)])
def test_text_is_aligned_at_its_point(align: Align, part: float) -> None:
    drawing = Drawing("t", 100.0, 40.0, (Text("letter", "", (50.0, 15.0), 4.0, "HOHOH", 0.0, align),))
    left, _, right, _ = _ink(to_pdf([drawing], _black()))
    assert left + part * (right - left) == pytest.approx(50.0, abs=0.6)


@pytest.mark.parametrize(
    ("angle", "box"),
    [
        (0.0, (50.0, 50.0, 75.0, 55.0)),
        (90.0, (45.0, 50.0, 50.0, 75.0)),
        (180.0, (25.0, 45.0, 50.0, 50.0)),
        (270.0, (50.0, 25.0, 55.0, 50.0)),
        (-90.0, (50.0, 25.0, 55.0, 50.0)),
    ],
)
def test_text_turns_anticlockwise_about_its_point(
    angle: float, box: tuple[float, float, float, float]
) -> None:
    drawing = Drawing("t", 100.0, 100.0, (Text("letter", "", (50.0, 50.0), 5.0, "HHHHH", angle),))
    ink = _ink(to_pdf([drawing], _black()))
    across, along = (1, 0) if angle % 180 == 0 else (0, 1)
    assert ink[across] == pytest.approx(box[across], abs=0.1)
    assert ink[across + 2] == pytest.approx(box[across + 2], abs=0.1)
    middle = (ink[along] + ink[along + 2]) / 2
    assert middle == pytest.approx((box[along] + box[along + 2]) / 2, abs=2.0)


def test_dashes_are_drawn_to_scale() -> None:
    """Dashes of 4 mm and gaps of 2 mm make 10 dashes on 58 mm."""
    styles = DEFAULT_STYLES.overridden({"cut": PenStyle("#000000", 0.5, (4.0, 2.0))})
    drawing = Drawing("t", 80.0, 20.0, (Path("cut", "", ((10.0, 10.0), (68.0, 10.0))),))
    row = _picture(to_pdf([drawing], styles))[int(10.0 * DOTS_PER_MM)] < 128
    steps = np.flatnonzero(np.diff(row.astype(int)))
    assert len(steps) == 20
    assert np.diff(steps)[::2] == pytest.approx(4.0 * DOTS_PER_MM, abs=2)
    assert np.diff(steps)[1::2] == pytest.approx(2.0 * DOTS_PER_MM, abs=2)


def test_fills_have_their_area_their_shade_and_their_holes() -> None:
    outer, hole = ring((50.0, 50.0), 30.0, 200), ring((50.0, 50.0), 10.0, 200)
    picture = _picture(to_pdf([Drawing("t", 100.0, 100.0, (Fill((outer, hole), 0.6),))]))
    grey = np.abs(picture - 0.6 * 255) < 3
    assert grey.sum() / DOTS_PER_MM**2 == pytest.approx(np.pi * (30.0**2 - 10.0**2), rel=2e-3)
    assert picture[1000, 1000] == 255


def test_the_file_is_tagged_titled_and_carries_no_date() -> None:
    reader = PdfReader(io.BytesIO(to_pdf([all_pens()], title="Sheets of Märram")))
    assert reader.metadata is not None
    assert reader.metadata.title == "Sheets of Märram"
    assert reader.metadata.creation_date is None
    assert reader.metadata.modification_date is None
    assert reader.trailer["/Root"]["/MarkInfo"]["/Marked"]  # type: ignore[index]


def test_words_are_words_in_the_file() -> None:
    text = "".join(page.extract_text() for page in PdfReader(io.BytesIO(to_pdf([sheet()]))).pages)
    assert "wing/right/main" in text


@pytest.mark.parametrize("words", ['#panic("x")', "$x^2$ *b* _i_ `c`", "\\ \" ' </script> #{", "@a <b> // c"])
def test_words_never_become_source(words: str) -> None:
    drawing = Drawing(words, 100.0, 20.0, (Text("letter", "", (5.0, 5.0), 3.0, words),))
    (page,) = PdfReader(io.BytesIO(to_pdf([drawing]))).pages
    assert re.sub(r"\s", "", page.extract_text()) == re.sub(r"\s", "", words)


def test_characters_that_the_typeface_lacks_are_replaced() -> None:
    drawing = Drawing("t", 100.0, 20.0, (Text("letter", "", (5.0, 5.0), 3.0, "±5° Ø → 翼 \U0001f6e9"),))
    (page,) = PdfReader(io.BytesIO(to_pdf([drawing]))).pages
    assert page.extract_text() == "±5° Ø → ? ?"


@settings(max_examples=examples(60))
@given(st.text(max_size=20))
def test_any_text_makes_a_page(text: str) -> None:
    """The tagged standard fails the build for a character without a glyph: none gets that far."""
    drawing = Drawing(text, 100.0, 20.0, (Text("letter", "", (5.0, 5.0), 3.0, text),))
    assert to_pdf([drawing]).startswith(b"%PDF-")


def test_plain_letters_are_all_in_the_typeface() -> None:
    assert printable("".join(chr(code) for code in range(32, 127))).replaced == ()


def test_the_ratio_of_capitals_is_the_typefaces_own() -> None:
    """Source Sans Pro, OS/2 table: capitals 660 of 1000."""
    assert cap_ratio() == pytest.approx(0.660)


def test_a_document_without_pages_is_refused() -> None:
    with pytest.raises(ValueError, match="at least one page"):
        to_pdf([])


def test_a_coordinate_that_is_no_number_is_refused() -> None:
    with pytest.raises(ValueError, match="JSON"):
        to_pdf([Drawing("t", 10.0, 10.0, (Path("cut", "", ((float("nan"), 0.0), (1.0, 1.0))),))])


def test_a_picture_lies_where_its_drawing_says_and_is_not_cut_off() -> None:
    """Fills and lines of a picture go as one image: a block off the middle, lines along two edges."""
    block = ((20.0, 10.0), (50.0, 10.0), (50.0, 30.0), (20.0, 30.0))
    edge = Path("cut", "", ((0.0, 60.0), (100.0, 60.0)))
    side = Path("cut", "", ((100.0, 0.0), (100.0, 60.0)))
    styles = DEFAULT_STYLES.overridden({"cut": PenStyle("#000000", 2.0)})
    drawing = Drawing("t", 100.0, 60.0, (Fill((block,), 0.6), edge, side))
    picture = _picture(to_pdf([drawing], styles))
    rows, columns = np.nonzero(np.abs(picture - 0.6 * 255) < 3)
    found = np.array([columns.min(), columns.max() + 1, rows.min(), rows.max() + 1]) / DOTS_PER_MM
    assert found == pytest.approx([20.0, 50.0, 30.0, 50.0], abs=0.1)  # rows run down from the top
    # Half of either line, 1 mm, lies on the page.
    assert (picture[:, 500] < 128).sum() / DOTS_PER_MM == pytest.approx(1.0, abs=0.1)
    assert (picture[600, :] < 128).sum() / DOTS_PER_MM == pytest.approx(1.0, abs=0.1)


def test_a_picture_with_a_coordinate_that_is_no_number_is_refused() -> None:
    block = ((20.0, 10.0), (float("nan"), 10.0), (50.0, 30.0))
    with pytest.raises(ValueError, match="finite"):
        to_pdf([Drawing("t", 100.0, 60.0, (Fill((block,), 0.6),))])
