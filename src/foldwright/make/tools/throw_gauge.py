"""Control-throw gauge: pushed on the fixed trailing edge beside a control, it shows its travel in mm.

A straight scale held upright: a trailing edge c behind its hinge, turned by δ, stands c sin δ over or under
the fixed edge beside it, so graduations are at true heights and no arc is needed. The reading corner is that
of the skin which the hinge lies in: it moves on a circle of radius c about the hinge.

Frame of the outline: right and up as seen from behind the trailing edge, mm; 0 where the reading corner
stands in line. In the solid z points forward from the face that is read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, isfinite, pi, sin

import numpy as np
import shapely
from shapely import affinity

from foldwright.airframe.model import Airframe, Control, LiftingSurface
from foldwright.evaluate import Results
from foldwright.flight.controls import Rigged, place, rigged
from foldwright.geometry.solid.core import Area, Solid, box, extrude
from foldwright.geometry.solid.letters import least_height, letters_size
from foldwright.geometry.solid.shape import recess_below, rounded
from foldwright.make.card_controls import clearance, part_of, ways_of
from foldwright.make.printing import Made
from foldwright.make.tools import Tool, ToolBench
from foldwright.make.tools.flat_plates import Line, groove, title_of, together, written
from foldwright.make.tools.ground import half_width

ORDER = 20

THICK_MM, JAW_MM, GRIP_MM = 3.0, 3.0, 14.0
LEAST_MM, MOST_MM = 9.0, 22.0  # width of the scale: it goes between control and body
TICK_EVERY_MM, TICK_MM, NOTCH_MM = 2.0, 2.0, 1.6
ROW_MM = 9.0
_BEYOND_MM, _APART_MM = 8.0, 1.0
_CLOSED = pi / 2.0 - 1e-6


@dataclass(frozen=True, slots=True)
class Marks:
    """Heights of the trailing edge over the fixed edge, mm, up (fins: left) positive: ends and launch trim.

    trim: None for a control that does not trim.
    """

    up: float
    down: float
    trim: float | None


@dataclass(frozen=True, slots=True)
class Gauge:
    """One gauge. width: of the scale; gap: between the jaws, None for no fixed edge to grip; hinge_up:
    whether the hinge lies in the upper (fins: left) skin; ways: words for up and down; chord: behind the
    hinge where it reads.
    """

    name: str
    marks: Marks
    width: float
    gap: float | None
    hinge_up: bool
    ways: tuple[str, str]
    chord: float


def make(bench: ToolBench) -> tuple[Tool, ...]:
    """One for each control; controls alike share one."""
    found: dict[Gauge, Tool] = {}
    for gauge in gauges(bench.results, bench.printer.clearance_mm):
        found.setdefault(gauge, _tool(bench, gauge))
    return tuple(found.values())


def gauges(results: Results, clearance_mm: float) -> tuple[Gauge, ...]:
    """What each control needs."""
    every = rigged(results.airframe.surfaces)
    ids = [one.control.id for one in every]
    made = [_gauge(results, one, clearance_mm) for one in every]
    return tuple(
        Gauge(f"{part_of(one)}-{gauge.name}", *_rest(gauge)) if ids.count(one.control.id) > 1 else gauge
        for one, gauge in zip(every, made, strict=True)
    )


def _rest(gauge: Gauge) -> tuple[Marks, float, float | None, bool, tuple[str, str], float]:
    return gauge.marks, gauge.width, gauge.gap, gauge.hinge_up, gauge.ways, gauge.chord


def _gauge(results: Results, one: Rigged, clearance_mm: float) -> Gauge:
    clear = clearance(results.airframe, one)
    gain = one.gain("pitch")
    neutral = -gain * float(results.trims.launch.state.delta[0]) if gain else 0.0
    inner, outer = _beside(results.airframe, one)
    chord, free = one.control.chord, inner
    if inner < LEAST_MM + _APART_MM <= outer:
        chord, free = one.control.outer_chord or one.control.chord, outer
    grips = free >= LEAST_MM + _APART_MM and not one.control.all_moving
    width = min(MOST_MM, free - _APART_MM) if grips else MOST_MM
    known = isfinite(neutral)
    marks = marks_of(one.control, neutral if known else 0.0, chord, clear)
    trims = gain != 0.0 and known
    return Gauge(
        one.control.id,
        marks if trims else Marks(marks.up, marks.down, None),
        round(width, 1),
        round(one.surface.trailing + clearance_mm, 2) if grips else None,
        not clear[0] < _CLOSED,
        ways_of(one.surface),
        chord,
    )


def marks_of(control: Control, neutral: float, chord: float, clear: tuple[float, float]) -> Marks:
    """Where the trailing edge stands at both ends and at the neutral, c sin δ, mm.

    neutral: rad, up positive; the travel counts from it and ends where the bevel is closed (clear: rad up and
    down), as on the card.
    """
    high = min(neutral + control.up, clear[0])
    low = max(neutral - control.down, -clear[1])
    return Marks(chord * sin(high), chord * sin(low), chord * sin(neutral))


def _beside(airframe: Airframe, one: Rigged) -> tuple[float, float]:
    """Free fixed edge inboard and outboard of a control, mm along the surface."""
    surface, control = one.surface, one.control
    others = [other for other in surface.controls if other is not control]
    low = max(
        [_root(airframe, surface, control), *(c.outer for c in others if c.outer <= control.inner + 1e-6)]
    )
    ends = [float(surface.arc[-1]), *(c.inner for c in others if c.inner >= control.outer - 1e-6)]
    return control.inner - low, min(ends) - control.outer


def _root(airframe: Airframe, surface: LiftingSurface, control: Control) -> float:
    """How far a body reaches out over the trailing edge of a surface that lies, mm from its root."""
    if surface.upright:
        return 0.0
    x = float(place(surface, control.inner)[0]) + float(np.interp(control.inner, surface.arc, surface.chord))
    return max(half_width(airframe, x - GRIP_MM, x) - abs(float(surface.le[0, 1])), 0.0)


def scale_area(gauge: Gauge, rows: Sequence[str], stem: float) -> Area:
    """Outline: the scale with its notches, and the flag over it that bears the words."""
    low, high = reach(gauge)
    half = gauge.width / 2.0
    tall = len(rows) * ROW_MM + 3.0
    flag = rounded(_wide(rows, stem), tall, 2.0, (0.0, high + tall / 2.0))
    whole = shapely.union_all([shapely.box(-half, low, half, high + 1.0), flag])
    notches = [_notch(side * half, -side, at) for at in _at(gauge.marks) for side in (1.0, -1.0)]
    found = whole.difference(shapely.union_all(notches))
    if not isinstance(found, shapely.Polygon):
        raise TypeError("a scale in more than one piece")
    return found


def _wide(rows: Sequence[str], stem: float) -> float:
    """Width of the flag: what its longest row needs."""
    return max(letters_size(row, least_height(stem, row), stem)[0] for row in rows) + 5.0


def reach(gauge: Gauge) -> tuple[float, float]:
    """Lowest and highest point of the scale."""
    marks = _at(gauge.marks)
    jaw = JAW_MM + (gauge.gap or 0.0)
    return min(*marks, -jaw) - _BEYOND_MM, max(*marks, jaw) + _BEYOND_MM


def ticks(gauge: Gauge) -> tuple[float, ...]:
    """Heights of the graduations, mm."""
    low, high = reach(gauge)
    least, most = (floor((abs(end) - 3.0) / TICK_EVERY_MM) for end in (low, high))
    return tuple(k * TICK_EVERY_MM for k in range(-least, most + 1))


def _at(marks: Marks) -> tuple[float, ...]:
    return (marks.up, marks.down) if marks.trim is None else (marks.up, marks.down, marks.trim)


def _notch(x: float, inward: float, y: float) -> shapely.Polygon:
    out = x - inward * 0.01
    return shapely.Polygon([(out, y - 0.9), (x + inward * NOTCH_MM, y), (out, y + 0.9)])


def _words(bench: ToolBench, gauge: Gauge) -> list[str]:
    """What stands on the flag, from the top."""
    rows = [f"this end {gauge.ways[0]}", title_of(bench), f"{gauge.name} mm"]
    rows.append(_signed(gauge.marks.up, gauge.ways, "end"))
    if gauge.marks.trim is not None:
        rows.append(_signed(gauge.marks.trim, gauge.ways, "trim"))
    return [*rows, _signed(gauge.marks.down, gauge.ways, "end")]


def _signed(value: float, ways: tuple[str, str], what: str) -> str:
    """Such as "trim 5.1 up": never a sign."""
    return f"{what} {abs(value):.1f} {ways[0] if value >= 0.0 else ways[1]}"


def gauge_solid(gauge: Gauge, rows: Sequence[str], stem: float, depth: float) -> Solid:
    """The gauge: the face that is read lies on z = 0, the jaws rise from the other."""
    area, wide = scale_area(gauge, rows, stem), _wide(rows, stem)
    half = gauge.width / 2.0
    _, high = reach(gauge)
    lines = [
        Line(text, (0.0, high + (len(rows) - k - 0.5) * ROW_MM + 1.5), (wide - 3.0, ROW_MM - 0.8), 0.0, 5.5)
        for k, text in enumerate(rows)
    ]
    numbers = [y for y in ticks(gauge) if y % 10.0 == 0.0]
    lines += [Line(f"{abs(y):.0f}", (0.0, y), (gauge.width - 5.5, 6.0), 0.0, 5.0) for y in numbers]
    sunk = [*written(area, lines, stem)]
    for y in ticks(gauge):
        long = TICK_MM + (0.8 if y % 10.0 == 0.0 else 0.0)
        sunk += [groove((-half - 0.1, y), (-half + long, y)), groove((half + 0.1, y), (half - long, y))]
    solid = extrude(_seen(area), THICK_MM)
    if gauge.gap is not None:
        low = 0.0 if not gauge.hinge_up else -gauge.gap
        for start in (low - JAW_MM, low + gauge.gap):
            solid = solid + box((-half, start, THICK_MM - 0.01), (half, start + JAW_MM, THICK_MM + GRIP_MM))
    return recess_below(solid, _seen(together(sunk)), min(depth, THICK_MM / 2.0))


def _seen(area: Area) -> Area:
    """An area as it is read from behind, put where it lies: z points away from the reader."""
    turned: Area = affinity.scale(area, -1.0, 1.0, origin=(0.0, 0.0))
    return turned


def _tool(bench: ToolBench, gauge: Gauge) -> Tool:
    template = bench.evaluation.workshop.template
    rows = _words(bench, gauge)
    solid = gauge_solid(gauge, rows, template.stem_mm, template.recess_mm)
    up = gauge.ways[0]
    which = {True: "upper", False: "lower"} if up == "up" else {True: "left", False: "right"}
    skin = which[gauge.hinge_up]
    set_on = (
        f"Push it on the fixed trailing edge beside the {gauge.name}, its {skin} jaw against the {skin} skin"
        if gauge.gap is not None
        else f"Hold it upright behind the {gauge.name}, 0 at the {skin} corner of its edge when in line"
    )
    figures = {"end_up_mm": round(gauge.marks.up, 3), "end_down_mm": round(gauge.marks.down, 3),
               "chord_mm": round(gauge.chord, 2)}  # fmt: skip
    if gauge.marks.trim is not None:
        figures["trim_mm"] = round(gauge.marks.trim, 3)
    notches = " and ".join(_signed(at, gauge.ways, "").strip() for at in (gauge.marks.up, gauge.marks.down))
    trim = (
        ""
        if gauge.marks.trim is None
        else f", launch trim at {_signed(gauge.marks.trim, gauge.ways, '').strip()}"
    )
    use = (
        f"{set_on}; read the {skin} corner of the control against it: a straight scale that shows heights in"
        f" mm. Notches: the linkage ends at {notches}{trim}, all from in line."
    )
    made = Made(solid, orientation="scale on the bed, jaws up", notes=("The letters are in the face below.",))
    title = f"Throw gauge, {gauge.name}"
    return Tool(f"throw-gauge-{gauge.name}", title, made, use, 1, None, figures)
