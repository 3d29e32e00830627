"""Texts as pen strokes: for cutters and plotters whose front ends have no typeface."""

from __future__ import annotations

import math

from foldwright.geometry.lettering import strokes, width_mm
from foldwright.make.drawing import Path, Point, Text

_BEFORE = {"left": 0.0, "centre": 0.5, "right": 1.0}


def baseline(text: Text) -> tuple[Point, Point]:
    """Both ends of the baseline of a text written in strokes [mm]."""
    width, angle = width_mm(text.text, text.height_mm), math.radians(text.angle_deg)
    along = (math.cos(angle), math.sin(angle))
    before = _BEFORE[text.align] * width
    start = (text.at[0] - before * along[0], text.at[1] - before * along[1])
    return start, (start[0] + width * along[0], start[1] + width * along[1])


def text_paths(text: Text) -> tuple[Path, ...]:
    """The strokes of a text on its own pen and face."""
    start, _ = baseline(text)
    lines = strokes(text.text, text.height_mm, start, math.radians(text.angle_deg))
    return tuple(Path(text.pen, text.face, line) for line in lines)
