"""Crush and fold strips: what a crushed corner gains in length, and how narrow a band may be.

Two strips with the workshop's own band are measured flat and folded; five strips with bands in steps are
folded until one no longer takes the turn; a card with a quarter and more of a circle shows the turn that was
reached.
"""

from __future__ import annotations

from math import cos, radians, sin

from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.methods import radius_gain
from foldwright.make.coupons.model import MARGIN_MM, ring, rows
from foldwright.make.coupons.readings import band_for
from foldwright.make.drawing import Drawing, Item, Path, Text

NAME = "fold-strips"
TURN_DEG = 90.0
LONG_MM, WIDE_MM = 160.0, 30.0
SHARES = (0.2, 0.35, 0.5, 0.65, 0.8)
_SHORT_MM, _NARROW_MM, _GAP_MM = 76.0, 26.0, 6.0
_CARD_MM, _RADIUS_MM = (112.0, 86.0), 50.0
_STRIPS = 2


def bands(workshop: Workshop) -> tuple[tuple[float, float], ...]:
    """Share of the wedge squeezed and width of its band at a right angle, mm, the widest first."""
    return tuple((share, round(band_for(share, workshop.board.thickness, TURN_DEG), 2)) for share in SHARES)


def fold_strips(workshop: Workshop) -> Drawing:
    """All strips and the card on one sheet, each to be cut out."""
    x0 = y0 = MARGIN_MM
    items: list[Item] = []
    y = y0
    for number in range(_STRIPS):
        items += _long(workshop, (x0, y), number + 1)
        y += WIDE_MM + _GAP_MM
    for number, (share, wide) in enumerate(bands(workshop)):
        column, row = number % 2, number // 2
        at = (x0 + column * (_SHORT_MM + _GAP_MM), y + row * (_NARROW_MM + _GAP_MM))
        items += _short(at, share, wide)
    y += 3 * (_NARROW_MM + _GAP_MM)
    items += _card((x0, y))
    width = x0 + LONG_MM + MARGIN_MM
    return Drawing(f"Fold strips, {workshop.name}", width, y + _CARD_MM[1] + MARGIN_MM, tuple(items))


def _band(x: float, low: float, high: float, wide: float) -> list[Item]:
    """The two lines that a tool presses between, and a mark where the fold comes."""
    lines: list[Item] = [
        Path("crush", "a", ((x + side * wide / 2.0, low), (x + side * wide / 2.0, high)))
        for side in (-1.0, 1.0)
    ]
    return [*lines, Path("mark", "a", ((x, low), (x, high)))] if wide > 2.0 else lines


def _long(workshop: Workshop, at: tuple[float, float], number: int) -> list[Item]:
    x, y = at
    wide = workshop.fold.crush_width_mm
    gain = radius_gain(radians(TURN_DEG), 1.0)
    left = (
        f"strip {number}: fold.outer_radius_mm",
        "1 measure it flat: F",
        "2 press the band, fold 90 deg, band inside",
        "3 measure both legs outside: A, B",
    )
    right = (
        "foldwright workshop measure FILE",
        "  radius --flat F --outside A+B",
        f"by hand: (A + B - F) / {gain:.3f}",
    )
    room = LONG_MM / 2.0 - max(wide, 4.0) / 2.0 - 6.0
    return [
        ring("cut", at, (x + LONG_MM, y + WIDE_MM)),
        *_band(x + LONG_MM / 2.0, y, y + WIDE_MM, wide),
        *rows(left, (x + 3.0, y + WIDE_MM - 4.0), room),
        *rows(right, (x + LONG_MM / 2.0 + max(wide, 4.0) / 2.0 + 3.0, y + WIDE_MM - 4.0), room),
    ]


def _short(at: tuple[float, float], share: float, wide: float) -> list[Item]:
    x, y = at
    room = _SHORT_MM / 2.0 - wide / 2.0 - 5.0
    return [
        ring("cut", at, (x + _SHORT_MM, y + _NARROW_MM)),
        *_band(x + _SHORT_MM / 2.0, y, y + _NARROW_MM, wide),
        *rows((f"band {wide:g} mm", f"share {share:g}"), (x + 3.0, y + _NARROW_MM - 5.0), room),
        *rows(
            ("fold 90 deg", "folds well?"),
            (x + _SHORT_MM / 2.0 + wide / 2.0 + 2.0, y + _NARROW_MM - 5.0),
            room,
        ),
    ]


def _card(at: tuple[float, float]) -> list[Item]:
    """A card to hold a folded strip against: one leg along the line, the other shows its turn."""
    x, y = at
    wide, high = _CARD_MM
    cx, cy = x + 52.0, y + 27.0
    items: list[Item] = [
        ring("cut", at, (x + wide, y + high)),
        Path("mark", "a", ((x + 4.0, cy), (cx, cy))),
    ]
    for turn in range(60, 125, 5):
        # one leg lies to the left of the corner: flat is straight on to the right, 90 stands upright
        angle = radians(turn)
        inner = _RADIUS_MM - (5.0 if turn % 10 == 0 else 2.5)
        items.append(Path("mark", "a", tuple(
            (cx + r * cos(angle), cy + r * sin(angle)) for r in (inner, _RADIUS_MM)
        )))  # fmt: skip
        if turn % 30 == 0:
            r = inner - 3.5
            items.append(
                Text("letter", "", (cx + r * cos(angle), cy + r * sin(angle)), 3.0, f"{turn}", 0.0, "centre")
            )
    words = (
        "Hold the corner of a folded strip here, one leg",
        "along the line: the other shows its turn.",
        "fold.squeeze_share: the greatest share whose band",
        "folds to 90 and stays, its skin whole:",
        "foldwright workshop measure FILE squeeze SHARE",
    )
    return [*items, *rows(words, (x + 4.0, y + 23.5), wide - 8.0)]
