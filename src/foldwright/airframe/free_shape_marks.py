"""Cut-outs and drawn marks of a free shape, on the panels of its blank. Everything flat, mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.finding import Finding, Param, Verdict
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.model import Blank, Face, Mark, Panel
from foldwright.geometry.fold.rings import face_ring

_HAIR = 1e-6
_LEAST_MM = 0.01
_LEAST_MM2 = 1e-4


def with_cutouts(blank: Blank, cutouts: Mapping[str, FloatArray]) -> tuple[Blank, list[Finding]]:
    """The blank with holes (n, 2), by their key paths; G188, G189 for what is not on flat board."""
    shapes = {where: shapely.Polygon(ring) for where, ring in cutouts.items()}
    findings = _beyond(blank, shapes)
    if findings:
        return blank, findings
    holes: dict[str, list[FloatArray]] = {panel.name: [] for panel in blank.panels}
    for where, shape in shapes.items():
        home = next((panel for panel in blank.panels if _flat_of(panel).covers(shape)), None)
        if home is None:
            findings.append(_near_fold(blank, where, shape))
        else:
            holes[home.name].append(cutouts[where])
    panels = tuple(replace(panel, holes=(*panel.holes, *holes[panel.name])) for panel in blank.panels)
    return replace(blank, panels=panels), findings


def _flat_of(panel: Panel) -> BaseGeometry:
    """Where both faces of a panel lie smooth, widened by a hair."""
    faces: tuple[Face, Face] = ("a", "b")
    one, other = (shapely.Polygon(face_ring(panel, face)) for face in faces)
    return one.intersection(other).buffer(_HAIR)


def _beyond(blank: Blank, shapes: Mapping[str, shapely.Polygon]) -> list[Finding]:
    """G189: cut-outs beyond the outline or in each other."""
    board = shapely.union_all([shapely.Polygon(panel.polygon) for panel in blank.panels], grid_size=1e-8)
    inside = board.buffer(-_LEAST_MM)
    found = [
        _over(where, float(shape.difference(inside).area), "the outline") for where, shape in shapes.items()
    ]
    for (where, one), (other, two) in combinations(shapes.items(), 2):
        found.append(_over(where, float(one.intersection(two).area), f"the edge of {other}"))
    return [finding for finding in found if finding is not None]


def _over(where: str, area: float, beyond: str) -> Finding | None:
    if area < _LEAST_MM2:
        return None
    return Finding("G189", "no-go", where, {"area": area, "beyond": beyond}, area, 0.0, "mm²")


def _near_fold(blank: Blank, where: str, shape: shapely.Polygon) -> Finding:
    """G188, with the fold that it lies over most."""
    ring = np.asarray(shape.exterior.coords)[:-1]
    over: list[tuple[bool, float, float, str]] = []
    for fold in blank.folds:
        along = (fold.q - fold.p) / fold.length
        off = along[0] * (ring[:, 1] - fold.p[1]) - along[1] * (ring[:, 0] - fold.p[0])
        sides = zip((fold.parent, fold.child), fold_sides(blank, fold), strict=True)
        widths = [blank.panel(name).cuts[k] for name, edges in sides for k in edges]
        beside = max((max(cut.a, cut.b) for cut in widths), default=0.0)
        near = float(shapely.distance(shape, shapely.LineString([fold.p, fold.q]))) <= beside + _HAIR
        over.append((near, beside + min(float(off.max()), -float(off.min())), beside, fold.name))
    _, short, beside, name = max(over, default=(False, 0.0, 0.0, "of the shape"))
    params: dict[str, Param] = {"fold": name, "short": short, "beside": beside}
    return Finding("G188", "no-go", where, params, short, 0.0, "mm")


def marks_on(
    blank: Blank, name: str, where: str, face: Face, points: FloatArray
) -> tuple[tuple[Mark, ...], list[Finding]]:
    """A drawn line or place (n, 2) as marks of the panels that it runs over; G190, G191 for what is lost."""
    if len(points) == 1:
        return _place(blank, name, where, face, points)
    line = shapely.LineString(points)
    board = shapely.union_all(
        [shapely.Polygon(p.polygon, p.holes) for p in blank.panels], grid_size=1e-8
    ).buffer(_HAIR)
    off = shapely.difference(line, board)
    if off.length > _LEAST_MM:
        away = max(float(shapely.distance(board, shapely.Point(p))) for p in shapely.get_coordinates(off))
        params: dict[str, Param] = {"length": float(off.length), "away": away}
        return (), [Finding("G190", "no-go", where, params, away, 0.0, "mm")]
    marks: list[Mark] = []
    rest: BaseGeometry = line
    for panel in blank.panels:
        smooth = shapely.Polygon(face_ring(panel, face), panel.holes).buffer(_HAIR)
        if smooth.covers(line):
            return (Mark(name, panel.name, face, points),), []
        marks += [Mark(name, panel.name, face, run) for run in _runs(rest.intersection(smooth))]
        rest = rest.difference(smooth)
    lost = float(rest.length)
    return tuple(marks), [_bevel(where, face, lost, whole=not marks)] if lost > _LEAST_MM else []


def _runs(shape: BaseGeometry) -> list[FloatArray]:
    """Lines of an intersection, joined end to end; specks are left out."""
    merged = shapely.line_merge(shape) if shape.geom_type == "MultiLineString" else shape
    return [
        np.asarray(part.coords)
        for part in shapely.get_parts(merged)
        if part.geom_type == "LineString" and part.length > _LEAST_MM
    ]


def _place(
    blank: Blank, name: str, where: str, face: Face, points: FloatArray
) -> tuple[tuple[Mark, ...], list[Finding]]:
    spot = shapely.Point(points[0])
    for panel in blank.panels:
        if shapely.Polygon(face_ring(panel, face), panel.holes).buffer(_HAIR).covers(spot):
            return (Mark(name, panel.name, face, points),), []
    away = min(float(shapely.distance(shapely.Polygon(p.polygon, p.holes), spot)) for p in blank.panels)
    if away <= _HAIR:
        return (), [_bevel(where, face, 0.0, whole=True)]
    params: dict[str, Param] = {"length": 0.0, "away": away}
    return (), [Finding("G190", "no-go", where, params, away, 0.0, "mm")]


def _bevel(where: str, face: Face, lost: float, *, whole: bool) -> Finding:
    verdict: Verdict = "no-go" if whole else "watch"
    return Finding("G191", verdict, where, {"length": lost, "face": face.upper()}, lost, 0.0, "mm")


def with_marks(
    blank: Blank, marks: Sequence[tuple[str, str, Face, FloatArray]]
) -> tuple[Blank, list[Finding]]:
    """The blank with drawn marks, each (name, key path, face, points (n, 2))."""
    done, findings = list[Mark](), list[Finding]()
    for name, where, face, points in marks:
        made, found = marks_on(blank, name, where, face, points)
        done += made
        findings += found
    return replace(blank, marks=(*blank.marks, *done)), findings
