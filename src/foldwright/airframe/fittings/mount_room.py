"""Rectangles in the room that a former leaves, and whether what the file asks for goes in."""

from __future__ import annotations

from functools import lru_cache

from foldwright.airframe.fitting import given
from foldwright.airframe.fittings.mount_shape import Rect, rect_area
from foldwright.base.finding import Finding
from foldwright.design.fittings import MotorMount
from foldwright.geometry.solid.core import Area

STEPS = 40
"""Halvings of what is looked for."""


def rect_sides(rect: Rect, more: float) -> Rect:
    """A rectangle with every side moved out."""
    return rect[0] - more, rect[1] - more, rect[2] + more, rect[3] + more


def fitted_rect(room: Area, core: Rect, wish: float) -> Rect | None:
    """The largest of `outlines`; None where the core does not fit."""
    return next(reversed(outlines(room, core, wish)), None)


@lru_cache(maxsize=64)
def outlines(room: Area, core: Rect, wish: float) -> tuple[Rect, ...]:
    """Rectangles that fit into some room, the smaller first: each side at least at `core`'s, at most `wish`
    from the origin. Grown sideways first and upward first: where walls lean, the one takes room from the
    other. None where the core does not fit. The last ones are remembered.
    """
    # 1e-6: what rounding takes
    if not room.buffer(1e-6).contains(rect_area(core)):
        return ()
    both = [_grown(room, core, wish, order) for order in ((1, 3, 0, 2), (0, 2, 1, 3))]
    return tuple(sorted(both, key=lambda rect: round((rect[2] - rect[0]) * (rect[3] - rect[1]), 3)))


def _grown(room: Area, core: Rect, wish: float, order: tuple[int, ...]) -> Rect:
    """`core` with its sides moved out one after the other."""
    found = list(core)
    for index in order:
        sign = -1.0 if index < 2 else 1.0
        low, high = abs(core[index]), max(abs(core[index]), wish)
        for _ in range(STEPS):
            middle = (low + high) / 2.0
            trial = [*found[:index], sign * middle, *found[index + 1 :]]
            fits = room.contains(rect_area((trial[0], trial[1], trial[2], trial[3])))
            low, high = (middle, high) if fits else (low, middle)
        found[index] = sign * max(abs(core[index]), low - 1e-6)
    return found[0], found[1], found[2], found[3]


def exit_given(fitting: MotorMount, outline: Rect, notch: Rect | None) -> list[Finding]:
    """P112: a way out that the file asks for is larger than the mount has room for."""
    if notch is None:
        return []
    x0, y0, x1, y1 = (max(notch[0], outline[0]), max(notch[1], outline[1]),
                      min(notch[2], outline[2]), min(notch[3], outline[3]))  # fmt: skip
    upright = notch[1] < outline[1] or notch[3] > outline[3]
    wide, deep = (x1 - x0, y1 - y0) if upright else (y1 - y0, x1 - x0)
    size = f"the mount is {outline[2] - outline[0]:.1f} x {outline[3] - outline[1]:.1f} mm"
    found = given(fitting, "exit_mm", wide, size, 0)
    return found + given(fitting, "exit_mm", deep, f"{size}, and the motor's screws and shaft need board", 1)
