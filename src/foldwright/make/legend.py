"""What the lines of a sheet mean, in words: for the title block. No samples, which a cutter would cut."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType

from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.model import Method
from foldwright.make.drawing import Pen
from foldwright.make.fold_table import TABLE
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle, PenStyles

_MEANS: Mapping[Pen, str] = MappingProxyType(
    {
        "cut": "cut through",
        "to_paper": "cut to the far paper",
        "crush": "press a fold",
        "mark": "draw only",
    }
)
_LONG_MM, _SHORT_MM = 6.0, 2.0


def pen_styles(workshop: Workshop) -> PenStyles:
    """The workshop's own pens over the default ones."""
    changes: dict[str, PenStyle] = {
        name: PenStyle(style.colour, style.width_mm, _even(style.dash_mm))
        for name, style in sorted(workshop.cutter.pens.items())
    }
    return DEFAULT_STYLES.overridden(changes)


def _even(dash: tuple[float, ...]) -> tuple[float, ...]:
    """A dash pattern of an odd number of lengths is gone through twice (SVG's rule)."""
    return dash if len(dash) % 2 == 0 else dash + dash


def look(style: PenStyle) -> str:
    """A pen's line pattern in words."""
    if not style.dash_mm:
        return "full line"
    longest = max(style.dash_mm[::2])
    return "long dashes" if longest >= _LONG_MM else "dashes" if longest >= _SHORT_MM else "dots"


def legend(pens: Collection[Pen], methods: Collection[Method], workshop: Workshop) -> list[str]:
    """A line of words for each pen used, then for each fold method used.

    Where a workshop's own pens look alike without their colours, the colour or the layer is said too.
    """
    styles = pen_styles(workshop)
    used = [(pen, styles.of(pen)) for pen in _MEANS if pen in pens]
    looks = [look(style) for _, style in used]
    alike = len(set(looks)) < len(looks)
    coloured = len({(look(style), style.colour) for _, style in used}) == len(used)
    lines = []
    for (pen, style), said in zip(used, looks, strict=True):
        more = "" if not alike else f" {style.colour}" if coloured else f" on layer {pen}"
        lines.append(f"{said}{more}: {_MEANS[pen]}")
    return lines + [f"{method}: {rule.brief}" for method, rule in TABLE.items() if method in methods]
