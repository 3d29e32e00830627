"""Material added to a frame for the words beside marks that stand in its windows [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.make.templates.plate_letters import Style, least_size
from foldwright.make.templates.rim import NECK_MM
from foldwright.make.templates.slots import Wanted
from foldwright.make.templates.traces import Trace

_LONGEST = 60.0
_NEAR = 20.0
_SIDE = 2.6
_STARTS = 4.0
_CROSSED, _TAKEN = 40.0, 400.0
_SIGN = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class Tab:
    """A strip for the words of a line. trace: its number; area: the strip; middle (2,)."""

    trace: int
    area: shapely.Polygon
    middle: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Ground:
    """Where tabs are looked for: within the plate's edge, clear of lines; near its rim none is needed."""

    edge: shapely.Polygon
    rim: float
    style: Style


def tabs_for(
    ground: Ground, wanted: Sequence[Wanted], traces: Sequence[Trace], words: Sequence[tuple[str, ...]]
) -> tuple[Tab, ...]:
    """A tab for each mark that has its slot or hole far inside: beyond an end of its line, where fewest other
    lines are crossed and the rim is nearest.
    """
    found: list[Tab] = []
    said: list[tuple[str, FloatArray]] = []
    for number, ends in _marks(wanted, traces):
        middle = traces[number].points.mean(axis=0)
        text = words[number][-1] if words[number] else ""
        if (
            not text
            or ground.edge.exterior.distance(shapely.Point(middle)) < ground.rim + _STARTS + NECK_MM / 2.0
        ):
            continue
        if any(text == other and float(np.hypot(*(middle - at))) < _NEAR for other, at in said):
            continue
        said.append((text, middle))
        best = _best(ground, text, number, ends, traces, found)
        found += [] if best is None else [best]
    return tuple(found)


def _marks(wanted: Sequence[Wanted], traces: Sequence[Trace]) -> list[tuple[int, list[FloatArray]]]:
    """Numbers of the marks, and (2, 2) from where and which way their words may run."""
    found: list[tuple[int, list[FloatArray]]] = []
    for one in wanted:
        main = max(one.unit.members, key=lambda n: (round(traces[n].line.length, 3), -n))
        if one.ends_only is None and traces[main].role == "mark" and traces[main].line.length <= _LONGEST:
            p, q = traces[main].points[[0, -1]]
            along = (q - p) / np.hypot(*(q - p)) if np.hypot(*(q - p)) > 1e-9 else np.array([1.0, 0.0])
            found.append((main, [np.stack([p, -along]), np.stack([q, along])]))
    seen: set[tuple[float, ...]] = set()
    for number, trace in enumerate(traces):
        if trace.sign is None or (key := tuple(np.round(trace.sign, 2).tolist())) in seen:
            continue
        seen.add(key)
        ways = [sign * axis for axis in np.eye(2) for sign in (1.0, -1.0)]
        found.append((number, [np.stack([trace.sign + _SIGN * way, way]) for way in ways]))
    return found


def _best(
    ground: Ground, text: str, number: int, ends: Sequence[FloatArray], traces: Sequence[Trace],
    others: Sequence[Tab],
) -> Tab | None:  # fmt: skip
    width, tall = least_size(text, ground.style)
    half = max(NECK_MM, tall + 2.0 * _SIDE) / 2.0
    lines = [trace.line for n, trace in enumerate(traces) if n != number]
    taken = [tab.area for tab in others]
    best: tuple[float, Tab] | None = None
    for start, way in ends:
        far = start + way * (width + 2.0 * _STARTS)
        strip = shapely.LineString([start, far]).buffer(half, cap_style="flat")
        if not ground.edge.covers(strip):
            continue
        inner = shapely.LineString([start + way * _STARTS, far]).buffer(half - 1.0, cap_style="flat")
        cost = _CROSSED * sum(bool(inner.intersects(line)) for line in lines)
        cost += _TAKEN * sum(bool(strip.intersects(tab)) for tab in taken)
        cost += float(ground.edge.exterior.distance(shapely.Point(far)))
        if best is None or cost < best[0] - 1e-6:
            best = (cost, Tab(number, strip, (start + way * _STARTS + far) / 2.0))
    return None if best is None else best[1]
