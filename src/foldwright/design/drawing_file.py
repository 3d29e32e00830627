"""Lines and words of a drawing (DXF) by the pens of their layers, in mm. Damaged files give findings."""

from __future__ import annotations

import io
import logging
import struct
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

import numpy as np

from foldwright.base.finding import Finding, Param, Verdict
from foldwright.design import words

if TYPE_CHECKING:
    from ezdxf.entities import DXFEntity, LWPolyline, Polyline

    from foldwright.base.types import FloatArray

Pen = Literal["cut", "to_paper", "crush", "mark"]
DrawnFace = Literal["", "a", "b"]

FLAT_MM = 0.05
"""Curves become chains of straight lines no further than this from them."""
MOST_MM = 20_000.0
MOST_ENTITIES = 3_000
_MOST_POINTS = 5_000
_DIGITS = 6
_MOST_NAMED = 8

PENS: Mapping[str, tuple[Pen, DrawnFace]] = MappingProxyType(
    {
        "cut": ("cut", ""),
        "to_paper_a": ("to_paper", "a"),
        "to_paper_b": ("to_paper", "b"),
        "crush_a": ("crush", "a"),
        "crush_b": ("crush", "b"),
        "mark_a": ("mark", "a"),
        "mark_b": ("mark", "b"),
    }
)
"""Layers that are read, in small letters, and the pen and face that each means; "letter" holds the words."""
LETTER = "letter"
_LINES = frozenset({"LINE", "LWPOLYLINE", "POLYLINE", "ARC", "CIRCLE", "ELLIPSE", "SPLINE"})
_WORDS = frozenset({"TEXT", "MTEXT"})
# $INSUNITS → mm for one unit of the drawing.
_UNITS: Mapping[int, float] = MappingProxyType({1: 25.4, 2: 304.8, 4: 1.0, 5: 10.0, 6: 1000.0})


@dataclass(frozen=True, slots=True)
class Named:
    """A drawing by the key that names it: where, the key's path; drawing, the file's name."""

    where: str
    drawing: str

    def finding(self, code: str, verdict: Verdict, where: str = "", **params: Param) -> Finding:
        """A finding about the drawing, at its own key or another."""
        return Finding(code, verdict, where or self.where, {"drawing": words.shorten(self.drawing), **params})


@dataclass(frozen=True, slots=True, eq=False)
class Stroke:
    """A line (n, 2), mm; closed: its end meets its start, which is not repeated."""

    pen: Pen
    face: DrawnFace
    points: FloatArray
    closed: bool


@dataclass(frozen=True, slots=True)
class Lettered:
    """A text and the place where it begins, mm."""

    text: str
    at: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """What a drawing holds on the pens' layers. unit: what it says of its unit, "" where that is known."""

    strokes: tuple[Stroke, ...]
    letters: tuple[Lettered, ...]
    unit: str


def read_drawing(data: bytes, named: Named) -> tuple[Drawn | None, list[Finding]]:
    """Strokes and words of a DXF file; F61: it cannot be read; F66, F69: what is left out."""
    import ezdxf

    # what the library says of damage goes into a finding, not to a console
    log = logging.getLogger("ezdxf")
    before = log.disabled
    log.disabled = True
    try:
        return _gathered(data, named)
    except (
        ezdxf.DXFError, ArithmeticError, AssertionError, AttributeError, LookupError, OSError, RecursionError,
        StopIteration, TypeError, ValueError, struct.error,
    ) as fault:  # fmt: skip
        return None, [named.finding("F61", "no-go", reason=_said(fault))]
    finally:
        log.disabled = before


def _gathered(data: bytes, named: Named) -> tuple[Drawn, list[Finding]]:
    from ezdxf import recover

    document, _ = recover.read(io.BytesIO(data))
    number = int(document.header.get("$INSUNITS", 0))
    scale = _UNITS.get(number, 1.0)
    strokes, letters = list[Stroke](), list[Lettered]()
    layers, kinds = Counter[str](), Counter[str]()
    space = document.modelspace()
    if len(space) > MOST_ENTITIES:
        reason = f"it holds {len(space)} things, more than {MOST_ENTITIES}"
        cure = "Keep to the part alone, and draw curves as curves."
        return Drawn((), (), ""), [named.finding("F62", "no-go", reason=reason, cure=cure)]
    for entity in space:
        layer, kind = str(entity.dxf.get("layer", "0")), entity.dxftype()
        name = layer.lower()
        if name == LETTER and kind in _WORDS:
            letters += _letters(entity, scale)
        elif name in PENS and kind in _LINES:
            stroke = _stroke(entity, *PENS[name], scale)
            if stroke is None:
                kinds[f"{kind} without use"] += 1
            else:
                strokes.append(stroke)
        elif name in PENS or name == LETTER:
            kinds[f"{kind} on layer {name}"] += 1
        else:
            layers[layer] += 1
    unit = "" if number in _UNITS else ("no unit" if number == 0 else f"unit number {number}")
    return Drawn(tuple(strokes), tuple(letters), unit), _left_out(named, layers, kinds)


def _left_out(named: Named, layers: Counter[str], kinds: Counter[str]) -> list[Finding]:
    found: list[Finding] = []
    if layers:
        shown = words.listed((words.shorten(name, 40) for name in sorted(layers)), _MOST_NAMED)
        found.append(named.finding("F66", "watch", layers=shown))
    if kinds:
        what = words.listed((f"{count} {kind}" for kind, count in sorted(kinds.items())), _MOST_NAMED)
        wanted = "lines, polylines, arcs, circles, ellipses and splines; TEXT on layer letter"
        found.append(named.finding("F69", "watch", what=what, wanted=wanted))
    return found


def _said(fault: BaseException) -> str:
    said = words.shorten(" ".join(str(fault).split()), 80)
    return said or type(fault).__name__


def _letters(entity: DXFEntity, scale: float) -> list[Lettered]:
    from ezdxf.entities import MText, Text

    if isinstance(entity, MText):
        text, at = entity.plain_text(), entity.dxf.insert
    elif isinstance(entity, Text):
        text, (_, at, _) = entity.plain_text(), entity.get_placement()
    else:
        return []
    place = (float(at[0]) * scale, float(at[1]) * scale)
    return [Lettered(" ".join(str(text).split()), place)] if _fits(np.array([place])) else []


def _fits(points: FloatArray) -> bool:
    """Whether points are finite and within reach of any board."""
    return bool(np.isfinite(points).all()) and bool((np.abs(points) <= MOST_MM).all())


def _stroke(entity: DXFEntity, pen: Pen, face: DrawnFace, scale: float) -> Stroke | None:
    """An entity as a chain of straight lines; None for one that has no length or no sensible figures."""
    import ezdxf

    try:
        rows = _points(entity, FLAT_MM / scale, MOST_MM / scale)
    except (ezdxf.DXFError, ArithmeticError, AttributeError, LookupError, TypeError, ValueError):
        return None
    if len(rows) < 2 or len(rows) > _MOST_POINTS:
        return None
    points = (np.array(rows, dtype=np.float64) * scale).round(_DIGITS) + 0.0
    if not _fits(points):
        return None
    points = points[np.append(True, np.hypot(*np.diff(points, axis=0).T) > 1e-6)]
    if len(points) < 2:
        return None
    closed = len(points) > 3 and float(np.hypot(*(points[0] - points[-1]))) <= 1e-6
    return Stroke(pen, face, points[:-1] if closed else points, closed)


def _points(entity: DXFEntity, flat: float, most: float) -> list[tuple[float, float]]:
    """Points of an entity in its own unit, curves within `flat`; none for what reaches beyond `most`."""
    from ezdxf.entities import Arc, Circle, Ellipse, Line, LWPolyline, Polyline, Spline

    if isinstance(entity, Line):
        return [(v.x, v.y) for v in (entity.dxf.start, entity.dxf.end)]
    if isinstance(entity, LWPolyline | Polyline):
        return _polyline(entity, flat, most)
    if isinstance(entity, Circle | Arc):
        radius = float(entity.dxf.radius)
        size = abs(radius)
        if isinstance(entity, Arc) and entity.dxf.start_angle == entity.dxf.end_angle:
            return []
    elif isinstance(entity, Ellipse):
        size = radius = float(entity.dxf.major_axis.magnitude)
    elif isinstance(entity, Spline):
        corners = np.array(
            [(v[0], v[1]) for v in (*entity.control_points, *entity.fit_points)], dtype=np.float64
        )
        size = float(np.abs(corners).max(initial=0.0)) if len(corners) <= _MOST_POINTS else np.inf
        radius = size
    else:
        return []
    if not 0.0 < size <= most:
        return []
    return [(v.x, v.y) for v in entity.flattening(min(flat, abs(radius) / 4.0))]


def _polyline(entity: LWPolyline | Polyline, flat: float, most: float) -> list[tuple[float, float]]:
    """Points of a polyline: its lines, and its arcs each the way round that goes on from the last point."""
    rows: list[tuple[float, float]] = []
    for number, part in enumerate(entity.virtual_entities()):
        if number > _MOST_POINTS:
            return []
        run = _points(part, flat, most)
        if rows and run and _away(rows[-1], run[-1]) < _away(rows[-1], run[0]):
            run.reverse()
        elif not rows and run and part.dxftype() == "ARC":
            run = _first_arc(entity, run)
        rows += run
    return rows


def _first_arc(entity: LWPolyline | Polyline, run: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """A polyline's first arc, begun where the polyline begins."""
    from ezdxf.entities import LWPolyline

    vertices = entity.vertices_in_wcs() if isinstance(entity, LWPolyline) else entity.points_in_wcs()
    start = next(iter(vertices))
    at = (float(start[0]), float(start[1]))
    return run[::-1] if _away(at, run[-1]) < _away(at, run[0]) else run


def _away(one: tuple[float, float], other: tuple[float, float]) -> float:
    return float(np.hypot(one[0] - other[0], one[1] - other[1]))
