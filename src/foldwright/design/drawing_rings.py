"""Drawn lines put in order: what is drawn twice left out, open ends joined, outlines told from holes [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design import words
from foldwright.design.drawing_file import Drawn, Named, Stroke

GAP_MM = 0.5
"""Ends nearer to each other than this belong together; common practice, no source."""
_TOLD_MM = 1e-3
_TWICE_MM = 0.01
_MOST_PLACES = 6
_LEAST_AREA_MM2 = 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Rings:
    """Closed lines (n, 2): the outline and the holes, in the order of the drawing."""

    outline: FloatArray
    holes: tuple[FloatArray, ...]


def _places(spots: Sequence[FloatArray]) -> str:
    return words.listed((f"({x:.1f}, {y:.1f})" for x, y in spots), _MOST_PLACES)


def once(drawn: Drawn, named: Named) -> tuple[Drawn, list[Finding]]:
    """The drawing less every line that lies on others of its layer, with F65 for those left out."""
    lines = np.array([_line(stroke) for stroke in drawn.strokes], dtype=object)
    tree = shapely.STRtree(lines)
    layers = [(stroke.pen, stroke.face) for stroke in drawn.strokes]
    gone: set[int] = set()
    for k in range(len(lines) - 1, -1, -1):
        near = [j for j in tree.query(lines[k], predicate="intersects").tolist() if j != k and j not in gone]
        under = [lines[j].buffer(_TWICE_MM) for j in near if layers[j] == layers[k]]
        if under and shapely.union_all(under).covers(lines[k]):
            gone.add(k)
    if not gone:
        return drawn, []
    places = _places([drawn.strokes[k].points[0] for k in sorted(gone)])
    kept = tuple(stroke for k, stroke in enumerate(drawn.strokes) if k not in gone)
    return replace(drawn, strokes=kept), [named.finding("F65", "watch", count=len(gone), places=places)]


def _line(stroke: Stroke) -> shapely.LineString:
    ring = np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points
    return shapely.LineString(ring)


def rings(drawn: Drawn, named: Named) -> tuple[Rings | None, list[Finding]]:
    """The outline and holes on layer cut; F62 where there is none, F64 for gaps that were closed."""
    strokes = [stroke for stroke in drawn.strokes if stroke.pen == "cut"]
    if not strokes:
        return None, [_none(named, "nothing is drawn on layer cut", "Draw the outline on layer cut.")]
    closed = [stroke.points for stroke in strokes if stroke.closed]
    joined, gaps, stuck = _chained([stroke.points for stroke in strokes if not stroke.closed])
    if stuck is not None:
        end, away = stuck
        reason = f"a line ends at ({end[0]:.2f}, {end[1]:.2f}) mm, {away:.2f} mm from the next end"
        return None, [_none(named, reason, f"Join the ends there; gaps of up to {GAP_MM} mm are closed.")]
    found = [_gaps(named, gaps)] if gaps else []
    every = [ring for ring in (*closed, *joined) if abs(_area(ring)) > _LEAST_AREA_MM2]
    if not every:
        return None, [
            *found,
            _none(named, "no line encloses an area", "Draw the outline as one closed line."),
        ]
    outline = max(every, key=lambda ring: abs(_area(ring)))
    holes = tuple(ring for ring in every if ring is not outline)
    around = shapely.Polygon(outline).buffer(_TWICE_MM)
    for hole in holes:
        if not around.covers(shapely.LinearRing(hole)):
            x, y = hole[0]
            reason = f"a second outline near ({x:.1f}, {y:.1f}) mm lies outside the first"
            return None, [*found, _none(named, reason, "Draw one part in each drawing.")]
    return Rings(outline, holes), found


def _none(named: Named, reason: str, cure: str) -> Finding:
    return named.finding("F62", "no-go", reason=reason, cure=cure)


def _gaps(named: Named, gaps: Sequence[tuple[float, FloatArray]]) -> Finding:
    places = _places([spot for _, spot in gaps])
    return named.finding("F64", "watch", count=len(gaps), widest=max(gap for gap, _ in gaps), places=places)


def _area(ring: FloatArray) -> float:
    u, v = ring.T
    return float(u @ np.roll(v, -1) - np.roll(u, -1) @ v) / 2.0


def _chained(
    pieces: list[FloatArray],
) -> tuple[list[FloatArray], list[tuple[float, FloatArray]], tuple[FloatArray, float] | None]:
    """Open lines joined end to end: rings, gaps closed (width, place), and an end that meets no other."""
    waiting, made, gaps = list(pieces), list[FloatArray](), list[tuple[float, FloatArray]]()
    while waiting:
        chain = waiting.pop(0)
        while True:
            away, k, way = _next(chain, waiting)
            if away > GAP_MM:
                return made, gaps, (chain[-1], away)
            if away > _TOLD_MM:
                gaps.append((away, chain[-1]))
            if k < 0:
                middle = (chain[0] + chain[-1]) / 2.0
                made.append(np.concatenate([[middle], chain[1:-1]]))
                break
            piece = waiting.pop(k)[::way]
            middle = (chain[-1] + piece[0]) / 2.0
            chain = np.concatenate([chain[:-1], [middle], piece[1:]])
    return made, gaps, None


def _next(chain: FloatArray, waiting: Sequence[FloatArray]) -> tuple[float, int, int]:
    """Distance to the nearest end from the chain's last point, whose it is (-1: its own), and which way."""
    own = float(np.hypot(*(chain[0] - chain[-1])))
    if not waiting:
        return own, -1, 1
    ends = np.array([(piece[0], piece[-1]) for piece in waiting])
    away = np.hypot(*np.moveaxis(ends - chain[-1], -1, 0))
    k, last = divmod(int(np.argmin(away)), 2)
    if len(chain) > 2 and own <= away[k, last]:
        return own, -1, 1
    return float(away[k, last]), k, -1 if last else 1
