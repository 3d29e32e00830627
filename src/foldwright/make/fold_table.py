"""What is drawn for each fold method, with which pen for which cutter. The one place that says so."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import degrees
from types import MappingProxyType
from typing import Literal

from foldwright.design.workshop import Cutter
from foldwright.geometry.fold.model import Fold, Method
from foldwright.make.drawing import Pen

Tool = Literal["laser", "knife"]


@dataclass(frozen=True, slots=True)
class FoldRule:
    """Lines of one fold method; all lie on the opened face, the one opposite the hinge.

    middle: pen of the fold line itself, by tool. edges: pen of the lines beside it, "" for none. sides: where
    those lines lie. hand: what is left for a hand with a knife after that tool, "" for nothing. brief: what
    the method is, for the legend of a sheet.
    """

    middle: Mapping[Tool, Pen]
    edges: Mapping[Tool, Pen]
    sides: tuple[Literal["parent", "child"], ...]
    hand: Mapping[Tool, str]
    brief: str


def _both(pen: Pen) -> Mapping[Tool, Pen]:
    return MappingProxyType({"laser": pen, "knife": pen})


def _hand(laser: str, knife: str) -> Mapping[Tool, str]:
    return MappingProxyType({"laser": laser, "knife": knife})


_NONE: Mapping[Tool, Pen] = MappingProxyType({})

TABLE: Mapping[Method, FoldRule] = MappingProxyType(
    {
        # A blade is held at a slant and meets the other cut at the far paper; a beam cuts upright only.
        "groove": FoldRule(
            MappingProxyType({"laser": "to_paper", "knife": "mark"}),
            MappingProxyType({"laser": "mark", "knife": "to_paper"}),
            ("parent", "child"),
            _hand(
                "cut both flanks at a slant, from the marked lines to the bottom of the cut between them",
                "cut along both lines at a slant; the cuts meet under the marked line, at the far paper",
            ),
            "V cut out down to the far paper",
        ),
        "crush": FoldRule(
            _both("mark"), _both("crush"), ("parent", "child"),
            _hand("press the band between the lines", "press the band between the lines"),
            "band pressed flat, nothing cut",
        ),
        "rebate": FoldRule(
            _both("to_paper"), _both("to_paper"), ("parent",),
            _hand("lift out the strip between the cuts", "lift out the strip between the cuts"),
            "strip lifted out down to the far paper",
        ),
        "slit": FoldRule(_both("to_paper"), _NONE, (), _hand("", ""), "one cut down to the far paper"),
        "live": FoldRule(
            _both("to_paper"), _both("mark"), ("child",),
            _hand(
                "bevel the flap from the marked line to the bottom of the cut",
                "bevel the flap from the marked line to the bottom of the cut",
            ),
            "hinge, its flap bevelled to clear",
        ),
    }
)  # fmt: skip


def middle_pen(method: Method, cutter: Cutter) -> Pen:
    """Pen of the fold line itself."""
    return _made(TABLE[method].middle[cutter.kind], cutter)


def edge_pen(method: Method, cutter: Cutter) -> Pen | None:
    """Pen of the lines beside the fold line; None where there are none."""
    pen = TABLE[method].edges.get(cutter.kind)
    return None if pen is None else _made(pen, cutter)


def lone_pen(method: Method, cutter: Cutter) -> Pen:
    """Pen of a fold whose lines all lie so near each other that one line is drawn."""
    return "crush" if method == "crush" else _made("to_paper", cutter)


def fold_words(fold: Fold) -> tuple[str, str]:
    """What is written beside a fold: name, method and degrees to turn (live: that its bevel clears); or the
    name alone where there is no room.
    """
    turn = fold.limit if fold.method == "live" else fold.angle
    return f"{fold.name}, {fold.method} {whole_degrees(turn)}°", fold.name


def whole_degrees(turn: float) -> str:
    """A turn [rad] in whole degrees; the same for one that has been through a file, halves too."""
    return f"{round(degrees(turn), 6):.0f}"


def left_to_a_knife(method: Method, cutter: Cutter) -> bool:
    """True where a cut to the paper is drawn as a mark, since this cutter cannot make it."""
    rule = TABLE[method]
    pens = {rule.middle[cutter.kind], rule.edges.get(cutter.kind)}
    return not cutter.to_paper and "to_paper" in pens


def _made(pen: Pen, cutter: Cutter) -> Pen:
    """A cutter that cannot stop at the paper draws the line, for a knife to follow."""
    return "mark" if pen == "to_paper" and not cutter.to_paper else pen
