"""SVG: true scale, layers, text, read back by another library."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree as ET

import pytest
from shapely.geometry import Polygon
from svgelements import SVG, Close, Shape
from svgelements import Path as SvgPath
from svgelements import Text as SvgText

from foldwright.make.drawing import Drawing, Fill, Path, Text
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle
from foldwright.make.formats.svg import SANS_CAP_RATIO, to_svg
from tests.make.format_samples import all_pens

PIXELS_PER_MM = 96.0 / 25.4  # CSS: 96 px = 1 inch
NAME = "{http://www.w3.org/2000/svg}"


def _line_of_100_mm() -> Drawing:
    return Drawing("t", 200.0, 120.0, (Path("cut", "", ((10.0, 20.0), (110.0, 20.0))),))


def test_a_line_of_100_mm_is_378_pixels_long_at_96_per_inch() -> None:
    """CSS: 100 mm = 377.95 px."""
    svg = SVG.parse(io.BytesIO(to_svg(_line_of_100_mm())), reify=True, ppi=96.0)
    (line,) = [element for element in svg.elements() if isinstance(element, SvgPath)]
    box = line.bbox()
    assert box is not None
    assert box[2] - box[0] == pytest.approx(377.953, abs=1e-3)
    assert box[0] == pytest.approx(10.0 * PIXELS_PER_MM, abs=1e-4)
    assert box[1] == pytest.approx((120.0 - 20.0) * PIXELS_PER_MM, abs=1e-3)


def test_page_size_is_in_mm_and_one_unit_is_one_mm() -> None:
    root = ET.fromstring(to_svg(_line_of_100_mm()))  # noqa: S314  our own bytes
    assert (root.get("width"), root.get("height")) == ("200mm", "120mm")
    assert root.get("viewBox") == "0 0 200 120"


def test_every_layer_is_a_group_that_names_its_pen_and_face() -> None:
    root = ET.fromstring(to_svg(all_pens()))  # noqa: S314
    groups = [g for g in root.findall(f"{NAME}g") if g.get("data-pen")]
    assert len({g.get("id") for g in groups}) == len(groups) == 27
    for g in groups:
        face = g.get("data-face")
        assert g.get("id") == (f"{g.get('data-pen')}_{face}" if face else g.get("data-pen"))
    by_id = {g.get("id"): g for g in groups}
    assert by_id["to_paper_a"].get("stroke-dasharray") == "8 1.5"
    assert by_id["cut"].get("stroke-dasharray") is None
    assert by_id["cut"].get("stroke") == DEFAULT_STYLES.of("cut").colour
    assert groups[-1].get("data-pen") == "cut"


def test_closed_areas_come_back() -> None:
    drawing = all_pens()
    svg = SVG.parse(io.BytesIO(to_svg(drawing)), reify=True, ppi=25.4)
    shapes = [element for element in svg.elements() if isinstance(element, Shape)]
    wanted = [item for item in drawing.items if isinstance(item, Path)]
    fills = [item for item in drawing.items if isinstance(item, Fill)]
    assert len(shapes) == len(wanted) + len(fills)
    areas = sorted(Polygon(item.points).area for item in wanted if item.closed)
    read = sorted(
        Polygon([(step.end.x, step.end.y) for step in shape if not isinstance(step, Close)]).area
        for shape in shapes
        if "Z" in shape.d() and shape.fill.value is None
    )
    assert read == pytest.approx(areas, abs=0.01)


def test_text_is_upright_at_its_baseline_with_capitals_of_the_height_asked_for() -> None:
    root = ET.fromstring(to_svg(all_pens()))  # noqa: S314
    texts = {t.text: t for t in root.iter(f"{NAME}text")}
    left = texts["left H"]
    assert float(left.get("font-size", "")) * SANS_CAP_RATIO == pytest.approx(5.0, abs=1e-3)
    assert (left.get("x"), left.get("y")) == ("120", "25")
    assert left.get("transform") == "rotate(-30 120 25)"
    assert texts["centre H"].get("text-anchor") == "middle"
    assert texts["centre H"].get("transform") is None
    assert texts["right H"].get("text-anchor") == "end"
    assert left.get("font-family") == "sans-serif"
    svg = SVG.parse(io.BytesIO(to_svg(all_pens())), reify=True, ppi=25.4)
    for text in svg.elements():
        if isinstance(text, SvgText):
            assert text.transform.a * text.transform.d - text.transform.b * text.transform.c > 0


def test_words_are_escaped_and_control_characters_gone() -> None:
    drawing = Drawing("a\x00b & <c>", 10.0, 10.0, (Text("letter", "", (1.0, 1.0), 2.0, 'x\n<script>&"\x1b'),))
    root = ET.fromstring(to_svg(drawing))  # noqa: S314
    assert root.findtext(f"{NAME}title") == "a b & <c>"
    assert next(root.iter(f"{NAME}text")).text == 'x <script>&" '


def test_numbers_are_rounded_to_a_tenth_of_a_micrometre() -> None:
    drawing = Drawing("t", 10.0, 10.0, (Path("cut", "", ((1 / 3, 2 / 3), (1e-9, 9.99999999))),))
    assert b'd="M 0.3333 9.3333 L 0 0"' in to_svg(drawing)
    assert not re.search(rb"\d\.\d{5,}", to_svg(all_pens()))


def test_fills_keep_their_holes_and_lie_below() -> None:
    root = ET.fromstring(to_svg(all_pens()))  # noqa: S314
    first = root.findall(f"{NAME}g")[0]
    assert first.get("fill-rule") == "evenodd"
    (fill,) = first
    assert fill.get("fill") == "#D9D9D9"
    assert fill.get("d", "").count("Z") == 2


def test_a_workshops_own_look_is_used() -> None:
    styles = DEFAULT_STYLES.overridden({"cut": PenStyle("#FF8800", 0.01)})
    assert b'stroke="#FF8800" stroke-width="0.01"' in to_svg(_line_of_100_mm(), styles)
