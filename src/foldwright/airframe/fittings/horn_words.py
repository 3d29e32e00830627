"""What the builder is told of a horn: what hooks in where, how long the rod is, where it leaves.

Frame: x aft, y right, z up, mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import degrees

import numpy as np

from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.horn_drive import Drive
from foldwright.airframe.model import Note
from foldwright.base.types import FloatArray
from foldwright.design.fittings import ControlHorn

ALONG_DEG = 1.0
"""A direction nearer to an axis than this is that axis, degrees."""
_LEAST_PER_MM = 0.005
_WORDS = (("aft", "forward"), ("to the right", "to the left"), ("up", "down"))


def notes_of(fitting: ControlHorn, drive: Drive, one: Fitting, off: frozenset[str]) -> Iterator[Note]:
    """P33: what to hook in where; P35: where the rod leaves through board that stays (off: what does not)."""
    figures, up, down = one.figures, *up_down(drive)
    end = f", at its {end_word(drive)} end" if end_word(drive) else ""
    params: dict[str, float | int | str] = {
        "horn": one.id, "arm": drive.arm, "height": figures["height_mm"], "face": face_words(drive),
        "up": _thrown(figures, "up", up), "down": _thrown(figures, "down", down),
        "rod": figures["rod_mm"], "wire": fitting.rod_mm, "neutral": neutral_words(fitting, drive),
        "pulled": drive.line.ways[drive.pulled], "arm_way": looks(drive.linkage.arm),
        "shaft": looks(drive.pose.shaft), "end": end, "servo": drive.pose.item.id,
    }  # fmt: skip
    yield Note("P33", one.blank, params)
    for hit in drive.other_board:
        if hit.blank not in off:
            x, y, z = (round(float(value), 1) for value in hit.place)
            yield Note("P35", hit.blank, {"horn": one.id, "blank": hit.blank, "x": x, "y": y, "z": z})


def up_down(drive: Drive) -> tuple[str, str]:
    """What up and down are called: fins go left and right."""
    return ("left", "right") if drive.line.surface.upright else ("up", "down")


def end_word(drive: Drive) -> str:
    """Which end of the case the shaft is at, "" where neither looks forward or aft."""
    along = float(drive.pose.long[0])
    return "fore" if along < -0.5 else ("rear" if along > 0.5 else "")


def neutral_words(fitting: ControlHorn, drive: Drive) -> str:
    """How the rod's length goes with where the control stands at the servo's middle."""
    up, down = up_down(drive)
    per = drive.longer()
    if abs(per) < _LEAST_PER_MM:
        each = f"which hardly changes with a neutral {up} or {down}"
    else:
        longer, shorter = ("longer", "shorter") if per > 0.0 else ("shorter", "longer")
        each = f"{abs(per):.2f} mm {longer} for each mm {up}, {shorter} for each mm {down}"
    if fitting.neutral_mm is None or not drive.neutral:
        return each
    way = up if fitting.neutral_mm > 0.0 else down
    rod = float(drive.rigged(drive.neutral).rod)
    return f"{each}: for the file's neutral, {abs(fitting.neutral_mm):g} mm {way}, {rod:.1f} mm"


def _thrown(figures: Mapping[str, float], name: str, way: str) -> str:
    if f"{name}_deg" not in figures:
        return f"not as far {way} as the servo turns"
    return f"{figures[f'{name}_deg']:.1f}° ({figures[f'{name}_mm']:.1f} mm) {way}"


def face_words(drive: Drive) -> str:
    """The face that the horn stands on."""
    if drive.line.surface.upright:
        return "right" if drive.face == "upper" else "left"
    return drive.face


def looks(vector: FloatArray) -> str:
    """Where a vector points, in a builder's words: along an axis, or how far from it and toward what."""
    size = np.round(np.abs(vector), 6)
    first, second = (int(axis) for axis in np.argsort(-size, kind="stable")[:2])
    off = degrees(float(np.arctan2(size[second], size[first])))
    main = _word(vector, first)
    return main if off < ALONG_DEG else f"{main}, {off:.0f}° {_word(vector, second).removeprefix('to the ')}"


def _word(vector: FloatArray, axis: int) -> str:
    return _WORDS[axis][0 if float(vector[axis]) > 0.0 else 1]
