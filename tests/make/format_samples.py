"""Drawings that the tests of the file formats share."""

from __future__ import annotations

import math

from foldwright.make.drawing import Drawing, Fill, Path, Point, Text
from foldwright.make.formats.pens import WRITING_ORDER


def ring(centre: Point, radius: float, sides: int) -> tuple[Point, ...]:
    return tuple(
        (
            centre[0] + radius * math.cos(math.tau * k / sides),
            centre[1] + radius * math.sin(math.tau * k / sides),
        )
        for k in range(sides)
    )


def all_pens() -> Drawing:
    """Every pen on both faces and none, closed and open paths, texts at all angles, a fill with a hole."""
    items: list[Path | Text | Fill] = [
        Fill(
            (((90.0, 150.0), (150.0, 150.0), (150.0, 190.0), (90.0, 190.0)), ring((110.0, 170.0), 8.0, 40)),
            0.85,
        )
    ]
    for k, pen in enumerate(WRITING_ORDER):
        y = 15.0 + 14.0 * k
        items += [
            Path(pen, "a", ((20.0, y), (120.0, y))),
            Path(pen, "b", ((130.0, y), (150.0, y + 5.0), (170.0, y))),
            Path(pen, "", ((172.0, y), (182.0, y), (182.0, y + 6.0), (172.0, y + 6.0)), closed=True),
            Text(pen, "", (20.0, y + 2.0), 3.0, f"{pen} Hxg 5 % 100%% ^a <&> Ø ±0.5°"),
        ]
    items += [
        Path("cut", "a", ((20.0, 150.0), (80.0, 150.0), (80.0, 190.0), (20.0, 190.0)), closed=True),
        Path("cut", "a", ring((50.0, 170.0), 12.5, 64), closed=True),
        Text("letter", "a", (120.0, 215.0), 5.0, "left H", 30.0, "left"),
        Text("letter", "a", (60.0, 215.0), 5.0, "centre H", 0.0, "centre"),
        Text("letter", "b", (120.0, 205.0), 5.0, "right H", 330.0, "right"),
    ]
    return Drawing('All pens & "faces" <of> Märram', 190.0, 240.0, tuple(items))


def sheet() -> Drawing:
    """A sheet of 760 × 500 mm with parts that lie across the pages of any paper, and an empty corner."""
    edge = ((0.0, 0.0), (760.0, 0.0), (760.0, 500.0), (0.0, 500.0))
    wing = ((30.0, 300.0), (640.0, 300.0), (640.0, 470.0), (60.0, 480.0), (30.0, 400.0))
    return Drawing(
        "Marram revision 1, sheet 1",
        760.0,
        500.0,
        (
            Fill((ring((400.0, 400.0), 40.0, 30), ring((400.0, 400.0), 20.0, 30)), 0.9),
            Path("sheet_edge", "", edge, closed=True),
            Path("cut", "", wing, closed=True),
            Path("cut", "", ring((130.0, 150.0), 90.0, 60), closed=True),
            Path("cut", "", ((10.0, 10.0), (110.0, 10.0), (110.0, 30.0), (10.0, 30.0)), closed=True),
            Path("crush", "a", ((30.0, 330.0), (640.0, 330.0))),
            Path("to_paper", "a", ((50.0, 440.0), (640.0, 440.0))),
            Text("letter", "a", (300.0, 380.0), 6.0, "wing/right/main"),
            Text(
                "letter",
                "a",
                (170.0, 335.0),
                3.0,
                "a long text that lies across the border of two pages ±0.5°",
            ),
            Text("letter", "a", (20.0, 290.0), 3.0, "turned", 90.0, "centre"),
        ),
    )
