"""How each pen looks, and the layer each pen and face is written to.

Colours are of Paul Tol's "muted" scheme and the greys of his "dark" and "bright" schemes, made to be told
apart with any colour vision [1]; dash patterns tell the pens apart without colour. A workshop that needs
others (every cutter's front end wants its own) overrides them by pen or by layer.

1. P. Tol, "Colour schemes", SRON technical note SRON/EPS/TN/09-002, issue 3.2, 2021.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, get_args

from foldwright.make.drawing import Drawing, Face, Fill, Path, Pen, Text

if TYPE_CHECKING:
    from collections.abc import Mapping

_HEX = re.compile(r"#[0-9A-Fa-f]{6}")

WRITING_ORDER: tuple[Pen, ...] = (
    "sheet_edge", "dimension", "thin", "outline", "letter", "mark", "crush", "to_paper", "cut",
)  # fmt: skip
"""Order of layers in a file: what is cut through comes last, so that parts stay held until then."""


@dataclass(frozen=True, slots=True)
class PenStyle:
    """Look of one pen.

    colour: "#RRGGBB".
    width_mm: line width on paper.
    dash_mm: lengths of dash, gap, dash, gap … ; empty: a full line.
    Raises ValueError for a colour, width or dash that no file format could carry.
    """

    colour: str
    width_mm: float
    dash_mm: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if not _HEX.fullmatch(self.colour):
            raise ValueError(f"a pen's colour is written #RRGGBB, got {self.colour!r}")
        lengths = (self.width_mm, *self.dash_mm)
        if not all(math.isfinite(length) and length > 0 for length in lengths) or len(self.dash_mm) % 2:
            raise ValueError(f"a pen needs a positive width and pairs of positive dashes, got {lengths!r}")

    @property
    def rgb(self) -> tuple[int, int, int]:
        """Red, green, blue, 0 to 255."""
        return (int(self.colour[1:3], 16), int(self.colour[3:5], 16), int(self.colour[5:7], 16))


_DEFAULTS: Mapping[Pen, PenStyle] = MappingProxyType(
    {
        "cut": PenStyle("#117733", 0.35),
        "to_paper": PenStyle("#AA4499", 0.35, (8.0, 1.5)),
        "crush": PenStyle("#999933", 0.35, (3.0, 1.5)),
        "mark": PenStyle("#44AA99", 0.30, (1.0, 0.7)),
        "letter": PenStyle("#555555", 0.25),
        "sheet_edge": PenStyle("#BBBBBB", 0.25, (12.0, 2.0, 1.0, 2.0)),
        "outline": PenStyle("#222255", 0.50),
        "thin": PenStyle("#666633", 0.25),
        "dimension": PenStyle("#663333", 0.18),
    }
)


@dataclass(frozen=True, slots=True)
class PenStyles:
    """Styles of all pens; `special` holds a workshop's own by layer ("cut_b") or pen ("cut")."""

    special: tuple[tuple[str, PenStyle], ...] = ()

    def of(self, pen: Pen, face: Face = "") -> PenStyle:
        """Style of a pen on a face: the layer's own, else the pen's own, else the default."""
        special = dict(self.special)
        return special.get(layer_name(pen, face)) or special.get(pen) or _DEFAULTS[pen]

    def overridden(self, changes: Mapping[str, PenStyle]) -> PenStyles:
        """Styles with those of some pens or layers replaced. Raises ValueError for an unknown layer."""
        for name in changes:
            parse_layer(name)
        return PenStyles(tuple(sorted({**dict(self.special), **changes}.items())))


DEFAULT_STYLES = PenStyles()


def layer_name(pen: Pen, face: Face) -> str:
    """Layer of a pen and a face: "to_paper_a", or the pen alone where no face matters."""
    return f"{pen}_{face}" if face else pen


def parse_layer(name: str) -> tuple[Pen, Face]:
    """Pen and face of a layer. Raises ValueError for a layer that no drawing of ours has."""
    pens: tuple[Pen, ...] = get_args(Pen)
    faces: tuple[Face, ...] = get_args(Face)
    for pen in pens:
        for face in faces:
            if layer_name(pen, face) == name:
                return pen, face
    raise ValueError(f"layer {name!r} is not a pen with or without a face")


def layers(drawing: Drawing) -> dict[str, list[Path | Text]]:
    """Paths and texts by layer, layers in writing order, items in the drawing's order.

    A path of fewer than two points draws nothing and is left out.
    """
    found: dict[str, list[Path | Text]] = {}
    for pen in WRITING_ORDER:
        for item in drawing.items:
            if isinstance(item, Fill) or item.pen != pen:
                continue
            if isinstance(item, Text) or len(item.points) > 1:
                found.setdefault(layer_name(pen, item.face), []).append(item)
    return {name: found[name] for name in sorted(found, key=_rank)}


def _rank(name: str) -> tuple[int, str]:
    pen, face = parse_layer(name)
    return WRITING_ORDER.index(pen), face


def rounded(value: float, digits: int) -> float:
    """A coordinate rounded for printing; never a negative zero."""
    return round(value, digits) + 0.0
