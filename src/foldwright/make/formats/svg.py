"""Drawings to SVG: one user unit = 1 mm, one group per layer, real text in the reader's sans-serif face."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from foldwright.geometry.lettering import one_line
from foldwright.make.drawing import Align, Drawing, Fill, Path, Point, Text
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle, PenStyles, layers, parse_layer, rounded

SANS_CAP_RATIO = 0.716
"""Height of capitals over font size of the common sans-serif faces (0.716 and 0.718 in their metrics)."""

_DIGITS = 4
_ANCHORS: dict[Align, str] = {"left": "start", "centre": "middle", "right": "end"}


def to_svg(drawing: Drawing, styles: PenStyles = DEFAULT_STYLES) -> bytes:
    """A drawing as an SVG file at true scale: width and height in mm, the viewBox in the same numbers.

    Each layer is a group whose id is the layer's name; `data-pen` and `data-face` say the same apart.
    Coordinates are rounded to 0.1 µm.
    """
    width, height = _number(drawing.width_mm), _number(drawing.height_mm)
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        f"<title>{_words(drawing.title)}</title>",
        *([f"<desc>{_words(drawing.about)}</desc>"] if drawing.about else []),
    ]
    fills = [item for item in drawing.items if isinstance(item, Fill)]
    if fills:
        lines += ['<g id="fills" stroke="none" fill-rule="evenodd">']
        lines += [_fill(fill, drawing.height_mm) for fill in fills]
        lines += ["</g>"]
    for name, items in layers(drawing).items():
        pen, face = parse_layer(name)
        style = styles.of(pen, face)
        lines.append(f'<g id="{name}" data-pen="{pen}" data-face="{face}" {_look(style)}>')
        for item in items:
            if isinstance(item, Path):
                lines.append(_path(item, drawing.height_mm))
            else:
                lines.append(_text(item, style, drawing.height_mm))
        lines.append("</g>")
    return ("\n".join([*lines, "</svg>"]) + "\n").encode()


def _number(value: float) -> str:
    return f"{rounded(value, _DIGITS):.{_DIGITS}f}".rstrip("0").rstrip(".")


def _words(text: str) -> str:
    return escape(one_line(text))


def _look(style: PenStyle) -> str:
    dash = f" stroke-dasharray={quoteattr(' '.join(map(_number, style.dash_mm)))}" if style.dash_mm else ""
    return (
        f'fill="none" stroke="{style.colour}" stroke-width="{_number(style.width_mm)}" '
        f'stroke-linejoin="round"{dash}'
    )


def _ring(points: tuple[Point, ...], height_mm: float, *, closed: bool) -> str:
    """Path data; SVG's y runs down from the top edge."""
    steps = " L ".join(f"{_number(x)} {_number(height_mm - y)}" for x, y in points)
    return f"M {steps} Z" if closed else f"M {steps}"


def _path(path: Path, height_mm: float) -> str:
    return f'<path d="{_ring(path.points, height_mm, closed=path.closed)}"/>'


def _fill(fill: Fill, height_mm: float) -> str:
    data = " ".join(_ring(ring, height_mm, closed=True) for ring in fill.rings if len(ring) > 2)
    level = round(255 * min(max(fill.shade, 0.0), 1.0))
    return f'<path fill="#{level:02X}{level:02X}{level:02X}" d="{data}"/>'


def _text(text: Text, style: PenStyle, height_mm: float) -> str:
    x, y = _number(text.at[0]), _number(height_mm - text.at[1])
    turn = f' transform="rotate({_number(-text.angle_deg)} {x} {y})"' if text.angle_deg else ""
    size = _number(text.height_mm / SANS_CAP_RATIO)
    return (
        f'<text x="{x}" y="{y}" font-family="sans-serif" font-size="{size}" '
        f'text-anchor="{_ANCHORS[text.align]}" fill="{style.colour}" stroke="none"{turn}>'
        f"{_words(text.text)}</text>"
    )
