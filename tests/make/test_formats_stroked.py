"""Texts as strokes: same place, height and alignment as the text."""

from __future__ import annotations

import math

import pytest

from foldwright.geometry.lettering import width_mm
from foldwright.make.drawing import Align, Text
from foldwright.make.formats.stroked import baseline, text_paths


@pytest.mark.parametrize(("align", "before"), [("left", 0.0), ("centre", 0.5), ("right", 1.0)])
@pytest.mark.parametrize("angle", [0.0, 30.0, 90.0, -120.0])
def test_the_baseline_passes_through_the_point_it_is_aligned_at(
    align: Align, before: float, angle: float
) -> None:
    text = Text("letter", "a", (40.0, 50.0), 4.0, "wing/left", angle, align)
    start, end = baseline(text)
    width = width_mm("wing/left", 4.0)
    assert math.dist(start, end) == pytest.approx(width)
    assert math.dist(start, text.at) == pytest.approx(before * width, abs=1e-9)
    assert math.remainder(
        math.atan2(end[1] - start[1], end[0] - start[0]) - math.radians(angle), math.tau
    ) == (pytest.approx(0.0, abs=1e-9))


def test_strokes_are_as_high_as_the_texts_capitals_on_the_texts_own_layer() -> None:
    """Same convention as in all formats: the height is that of capitals."""
    paths = text_paths(Text("mark", "b", (10.0, 20.0), 3.5, "HEH"))
    ys = [y for path in paths for _, y in path.points]
    assert [min(ys), max(ys)] == pytest.approx([20.0, 23.5])
    assert {(path.pen, path.face) for path in paths} == {("mark", "b")}
