"""Single-stroke lettering for a pen or a laser, and plain letters for characters a font does not hold.

The strokes are A. V. Hershey's simplex roman alphabet [1] as packed by the Hershey-Fonts library, which
carries its data inside the module: loading it reads memory, no file. The library drops unknown
characters in silence, so every text is brought to letters it knows first, and what was replaced is told.

1. A. V. Hershey, "Calligraphy for computers", U.S. Naval Weapons Laboratory report 2101, 1967.
"""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Container, Mapping

Point = tuple[float, float]
Polyline = tuple[Point, ...]

# Rows of the simplex alphabet's grid (y down): top of capitals and baseline.
_CAP_ROW, _BASE_ROW = -12.0, 9.0

PLAIN_LETTERS: Mapping[str, str] = MappingProxyType({
    "°": " deg", "±": "+/-", "×": "x", "·": ".", "÷": "/", "²": "^2", "³": "^3", "½": "1/2", "¼": "1/4",
    "¾": "3/4", "µ": "u", "μ": "u", "Ω": "ohm", "Δ": "delta", "δ": "delta", "α": "alpha", "β": "beta",
    "η": "eta", "θ": "theta", "π": "pi", "ρ": "rho", "σ": "sigma", "φ": "phi", "≤": "<=", "≥": ">=",
    "≈": "~", "≠": "/=", "√": "sqrt", "∅": "dia ", "⌀": "dia ", "→": "->", "←": "<-", "↑": "up", "↓": "down",
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "‘": "'", "’": "'", "‚": ",", "“": '"', "”": '"',
    "„": '"', "«": "<<", "»": ">>", "…": "...", "•": "*", "′": "'", "″": '"', "€": "EUR", "£": "GBP",
    "Ø": "O", "ø": "o", "Æ": "AE", "æ": "ae", "Œ": "OE", "œ": "oe", "ß": "ss", "Ł": "L", "ł": "l", "Đ": "D",
    "đ": "d", "Þ": "Th", "þ": "th", "ı": "i", "\u00a0": " ", "\u202f": " ", "\u2009": " ",
})  # fmt: skip
"""Plain letters for common signs; letters with accents lose the accent by Unicode decomposition."""

UNKNOWN = "?"
"""Stands for a character that has no plain letters either."""


@dataclass(frozen=True, slots=True)
class Plain:
    """A text in letters that are known, and what was replaced.

    text: one line.
    replaced: pairs (character, its substitute), each character once, in order of appearance.
    """

    text: str
    replaced: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Glyph:
    advance: float
    strokes: tuple[Polyline, ...]


def one_line(text: str) -> str:
    """The text composed (NFC) and on one line: control, direction and separator characters become spaces."""
    composed = unicodedata.normalize("NFC", text)
    return "".join(" " if unicodedata.category(c) in {"Cc", "Cf", "Cs", "Zl", "Zp"} else c for c in composed)


def substitute(text: str, known: Container[str]) -> Plain:
    """Bring a text to characters that a font knows.

    A character outside `known` is replaced by `PLAIN_LETTERS`, else by its letter without accents, else by
    `UNKNOWN`. The plain letters, ASCII, are taken to be known.
    """
    replaced: dict[str, str] = {}
    out: list[str] = []
    for char in one_line(text):
        if char in known:
            out.append(char)
            continue
        replaced.setdefault(char, _plain_letters(char))
        out.append(replaced[char])
    return Plain("".join(out), tuple(replaced.items()))


def plain(text: str) -> Plain:
    """The text in characters that `strokes` can write, with what was replaced."""
    return substitute(text, _alphabet())


def missing(text: str) -> set[str]:
    """Characters of a text that the stroke alphabet does not hold; `strokes` writes their plain letters."""
    return {char for char in one_line(text) if char not in _alphabet()}


def width_mm(text: str, height_mm: float) -> float:
    """Advance width of a line of text [mm] whose capitals are `height_mm` high."""
    alphabet = _alphabet()
    return _scale(height_mm) * sum(alphabet[char].advance for char in plain(text).text)


def strokes(text: str, height_mm: float, at: Point = (0.0, 0.0), angle_rad: float = 0.0) -> list[Polyline]:
    """Pen strokes of one line of text.

    Args:
        text: any text; characters that are not in the alphabet are written as `plain` says.
        height_mm: height of capital letters [mm], more than zero.
        at: left end of the baseline [mm].
        angle_rad: direction of the baseline [rad], anticlockwise from +x.

    Returns:
        Open polylines of at least two points [mm], y up, in writing order.

    Raises:
        ValueError: `height_mm` is not a positive finite number.
    """
    alphabet = _alphabet()
    scale = _scale(height_mm)
    cos, sin = math.cos(angle_rad), math.sin(angle_rad)
    lines: list[Polyline] = []
    pen_x = 0.0
    for char in plain(text).text:
        glyph = alphabet[char]
        for stroke in glyph.strokes:
            flat = [(scale * (pen_x + x), scale * y) for x, y in stroke]
            lines.append(tuple((at[0] + x * cos - y * sin, at[1] + x * sin + y * cos) for x, y in flat))
        pen_x += glyph.advance
    return lines


def _scale(height_mm: float) -> float:
    if not (math.isfinite(height_mm) and height_mm > 0):
        raise ValueError(f"height of letters must be more than 0 mm, got {height_mm!r}")
    return height_mm / (_BASE_ROW - _CAP_ROW)


def _plain_letters(char: str) -> str:
    if char in PLAIN_LETTERS:
        return PLAIN_LETTERS[char]
    base = "".join(c for c in unicodedata.normalize("NFKD", char) if not unicodedata.combining(c))
    return base if base and all(" " <= c <= "~" for c in base) else UNKNOWN


@cache
def _alphabet() -> Mapping[str, _Glyph]:
    """Printable ASCII; y up from the baseline, x from the glyph's left edge, in grid units."""
    library = import_module("HersheyFonts").HersheyFonts()
    library.load_default_font("futural")
    return MappingProxyType(
        {
            char: _Glyph(
                float(glyph.char_width),
                tuple(
                    tuple((float(x - glyph.left_offset), _BASE_ROW - float(y)) for x, y in stroke)
                    for stroke in glyph.strokes
                    if len(stroke) > 1
                ),
            )
            for char, glyph in library.all_glyphs.items()
            if " " <= char <= "~"
        }
    )
