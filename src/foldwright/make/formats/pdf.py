"""Drawings to PDF at 1:1 through typst.

The document's source is fixed; everything drawn and every word reaches it as JSON data. Lines and areas of a
drawing with fills, which is a picture of thousands of them, go as one SVG image. The file is a tagged one
(PDF/UA-1), which also makes a character that the typeface lacks an error instead of a gap.
"""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from foldwright.make.drawing import Drawing, Fill, Path, Point, Text
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle, PenStyles, layers, parse_layer, rounded
from foldwright.make.formats.typeface import FAMILY, cap_ratio, printable, typst_fonts

if TYPE_CHECKING:
    from collections.abc import Sequence

_DIGITS = 4
# A picture's image is cut off at its edge; lines on the edge of the drawing are not.
_RIM = 5.0
# A tagged file must have a title.
_UNTITLED = "Drawing"

TYPST_DRAWING = b"""
#let point(p) = (p.at(0) * 1mm, p.at(1) * 1mm)
#let steps(ring, closed) = {
  let parts = (curve.move(point(ring.first())),)
  for p in ring.slice(1) { parts.push(curve.line(point(p))) }
  if closed { parts.push(curve.close(mode: "straight")) }
  parts
}
#let look(pen) = if pen.dash.len() == 0 {
  (paint: rgb(pen.colour), thickness: pen.width * 1mm, cap: "round", join: "round")
} else {
  (paint: rgb(pen.colour), thickness: pen.width * 1mm, cap: "butt", join: "round",
    dash: (array: pen.dash.map(d => d * 1mm), phase: 0mm))
}
#let draw-text(t, colour) = {
  let words = box(text(size: t.size * 1mm, fill: rgb(colour), t.words))
  let shift = if t.align == "left" { 0 } else if t.align == "centre" { 0.5 } else { 1 }
  context {
    let width = measure(words).width
    place(top + left, dx: t.at.at(0) * 1mm, dy: t.at.at(1) * 1mm,
      rotate(-t.angle * 1deg, origin: top + left, reflow: false,
        box(width: 0pt, height: 0pt, place(top + left, dx: -shift * width, box(width: width, words)))))
  }
}
#let draw(sheet) = {
  set text(hyphenate: false, top-edge: "baseline", bottom-edge: "baseline")
  if sheet.picture != "" {
    place(top + left, dx: -sheet.rim * 1mm, dy: -sheet.rim * 1mm, pdf.artifact(
      image(bytes(sheet.picture), format: "svg", fit: "stretch",
        width: (sheet.width + 2 * sheet.rim) * 1mm, height: (sheet.height + 2 * sheet.rim) * 1mm)))
  }
  for layer in sheet.layers {
    for path in layer.paths {
      place(top + left, curve(stroke: look(layer.pen), ..steps(path.points, path.closed)))
    }
    for words in layer.texts { draw-text(words, layer.pen.colour) }
  }
}
"""
"""Typst functions; `draw(sheet)` places what `page_data` gives at the upper left corner of its container."""

_SOURCE = (
    b"""
#let data = json(bytes(sys.inputs.data))
#set document(title: data.title, date: none)
#set text(font: data.family, fallback: false, lang: "en")
"""
    + TYPST_DRAWING
    + b"""
#for sheet in data.pages {
  page(width: sheet.width * 1mm, height: sheet.height * 1mm, margin: 0pt, draw(sheet))
}
"""
)


def to_pdf(pages: Sequence[Drawing], styles: PenStyles = DEFAULT_STYLES, title: str = "") -> bytes:
    """Drawings as the pages of one PDF file, each page the size of its drawing, 1 mm = 1 mm.

    Text stands on its baseline with capitals of the height asked for. Characters that the typeface lacks
    are replaced (`typeface.printable` tells which). `title` (of the file) defaults to the first drawing's.

    Raises:
        ValueError: no pages.
    """
    import typst

    if not pages:
        raise ValueError("a PDF needs at least one page")
    data = {
        "title": printable(title or pages[0].title).text.strip() or _UNTITLED,
        "family": FAMILY,
        "pages": [page_data(drawing, styles) for drawing in pages],
    }
    return typst.compile(
        _SOURCE,
        font_paths=typst_fonts(),
        ignore_system_fonts=True,
        pdf_standards=["ua-1"],
        sys_inputs={"data": json.dumps(data, ensure_ascii=True, sort_keys=True, allow_nan=False)},
    )


def page_data(drawing: Drawing, styles: PenStyles = DEFAULT_STYLES) -> dict[str, Any]:
    """A drawing as the data that typst's `draw` takes: width and height in mm, layers, and the picture that
    its fills and paths make, "" where there are no fills. The picture reaches `rim` mm beyond the drawing.
    """
    height = drawing.height_mm
    painted = any(isinstance(item, Fill) for item in drawing.items)
    return {
        "width": rounded(drawing.width_mm, _DIGITS),
        "height": rounded(height, _DIGITS),
        "rim": _RIM,
        "picture": _picture(drawing, styles) if painted else "",
        "layers": [
            {
                "pen": _pen(styles.of(*parse_layer(name))),
                "paths": [
                    {"points": _points(item.points, height), "closed": item.closed}
                    for item in items
                    if isinstance(item, Path) and not painted
                ],
                "texts": [_text(item, height) for item in items if isinstance(item, Text)],
            }
            for name, items in layers(drawing).items()
        ],
    }


def _picture(drawing: Drawing, styles: PenStyles) -> str:
    """Fills and paths as SVG in mm, with a rim on every side that lines on the edge may reach into."""
    high = drawing.height_mm
    box = (-_RIM, -_RIM, drawing.width_mm + 2.0 * _RIM, high + 2.0 * _RIM)
    view = " ".join(f"{value:.4f}" for value in box)
    size = f'width="{box[2]:.4f}mm" height="{box[3]:.4f}mm" viewBox="{view}"'
    rows = [f'<svg xmlns="http://www.w3.org/2000/svg" {size} fill-rule="evenodd">']
    for item in drawing.items:
        if isinstance(item, Fill):
            data = "".join(_steps(ring, high, closed=True) for ring in item.rings if len(ring) > 2)
            level = round(255 * min(max(item.shade, 0.0), 1.0))
            rows.append(f'<path fill="#{level:02x}{level:02x}{level:02x}" d="{data}"/>')
    for name, items in layers(drawing).items():
        data = "".join(
            _steps(item.points, high, closed=item.closed) for item in items if isinstance(item, Path)
        )
        if data:
            rows.append(f'<path fill="none" {_look(styles.of(*parse_layer(name)))} d="{data}"/>')
    return "".join([*rows, "</svg>"])


def _look(style: PenStyle) -> str:
    dash = " ".join(f"{length:g}" for length in style.dash_mm)
    ends = f'stroke-dasharray="{dash}"' if dash else 'stroke-linecap="round"'
    return f'stroke="{style.colour}" stroke-width="{style.width_mm:g}" stroke-linejoin="round" {ends}'


def _steps(points: tuple[Point, ...], high: float, *, closed: bool) -> str:
    """Path data; SVG's y runs down from the top edge. Raises ValueError for what is no number."""
    data = "L".join([f"{x:.4f} {high - y:.4f}" for x, y in points])
    if "n" in data:
        raise ValueError("a drawing with a coordinate that is no finite number")
    return f"M{data}Z" if closed else f"M{data}"


def _points(points: tuple[Point, ...], height_mm: float) -> list[Point]:
    """Typst's y runs down from the top edge."""
    return [(rounded(x, _DIGITS), rounded(height_mm - y, _DIGITS)) for x, y in points]


def _pen(style: PenStyle) -> dict[str, Any]:
    return {"colour": style.colour, "width": style.width_mm, "dash": list(style.dash_mm)}


def _text(text: Text, height_mm: float) -> dict[str, Any]:
    return {
        "at": _points((text.at,), height_mm)[0],
        "size": rounded(text.height_mm / cap_ratio(), _DIGITS),
        "angle": rounded(text.angle_deg, _DIGITS),
        "align": text.align,
        "words": printable(text.text).text,
    }
