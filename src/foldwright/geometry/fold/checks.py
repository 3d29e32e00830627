"""What can be wrong with a folded blank, as findings G01 to G12 and G14."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from math import atan2, copysign, degrees, inf, pi

import numpy as np
from shapely.geometry import Polygon
from shapely.validation import make_valid

from foldwright.base.finding import Finding, Param, Verdict
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, transforms
from foldwright.geometry.fold.flatcheck import flat_overlaps
from foldwright.geometry.fold.marks import MarkMiss
from foldwright.geometry.fold.methods import bevel, crush_least_width, crush_squeezed, limit_of
from foldwright.geometry.fold.model import Blank, EdgeCut, Fold, Panel
from foldwright.geometry.fold.path import folding_order, order_folds, path_overlaps
from foldwright.geometry.fold.rings import inset, inset_all
from foldwright.geometry.fold.solids import LEAST_VOLUME, Overlap, Piece, overlap, pieces
from foldwright.geometry.transform import cross

_ANGLE = 1e-9
_PLANE = 1e-6


@dataclass(frozen=True, slots=True)
class FoldRules:
    """Judgement values of the fold checks; a workshop may set its own.

    squeeze_share: share of a crushed fold's wedge that may be squeezed (common practice, no source: with a
    band as wide as the board is thick, half the wedge at 90 degrees). least_thickness_mm,
    most_thickness_mm: board that paper-faced folding suits (common practice: 3 to 6 mm, with room).
    give_mm: how deep panels may bite into each other while they are folded, since boards bend and foam gives
    (judgement, no source). live_deg: the largest deflection asked of each live hinge, degrees, by fold name.
    """

    squeeze_share: float = 0.5
    least_thickness_mm: float = 2.0
    most_thickness_mm: float = 8.0
    give_mm: float = 1.0
    live_deg: Mapping[str, float] = field(default_factory=dict)


def check_blank(blank: Blank, rules: FoldRules, *, path: bool = True) -> tuple[Finding, ...]:
    """All findings of a blank by code, then place; solids are only tried where the flat blank is sound.

    path: whether to follow every fold from flat to folded as well (G07), the slowest of the checks.
    """
    found = [*check_thickness(blank, rules), *check_folds(blank, rules)]
    shape = [*check_rings(blank), *check_flat(blank)]
    found += shape
    if not shape and blank.folds:
        ready = pieces(blank)
        at_end = overlap(blank, transforms(blank), ready=ready)
        found += check_space(blank, at_end)
        found += check_path(blank, at_end, rules, ready) if path else []
    return tuple(sorted(found, key=lambda finding: (finding.code, finding.where)))


def check_thickness(blank: Blank, rules: FoldRules) -> list[Finding]:
    """G12: board outside the range that folding suits."""
    t, low, high = blank.thickness, rules.least_thickness_mm, rules.most_thickness_mm
    if low <= t <= high:
        return []
    limit = low if t < low else high
    params: dict[str, Param] = {"thickness": t, "low": low, "high": high, "limit": limit}
    return [Finding("G12", "no-go", blank.name, params, t, limit, "mm", "common practice")]


def check_folds(blank: Blank, rules: FoldRules) -> list[Finding]:
    """G01 to G04: what a fold's method cannot do; G14: a fold that one of its panels has no edge for."""
    found: list[Finding] = []
    for fold in blank.folds:
        where = f"{blank.name}/{fold.name}"
        found += _edges(blank, fold, where)
        if fold.method == "live":
            found += _live(blank, fold, where, rules.live_deg.get(fold.name, 0.0))
            continue
        found += _limit(blank, fold, where)
        if fold.method == "crush":
            found += _crush(fold, where, blank.thickness, rules.squeeze_share)
        if fold.method == "rebate" and abs(fold.angle - pi / 2.0) > _ANGLE:
            angle = degrees(fold.angle)
            found.append(Finding("G04", "no-go", where, {"angle": angle}, angle, 90.0, "deg"))
    return found


def _edges(blank: Blank, fold: Fold, where: str) -> list[Finding]:
    """G14: where a panel's outline does not run along a fold, it would be cut off there."""
    sides = zip((fold.parent, fold.child), fold_sides(blank, fold), strict=True)
    return [
        Finding("G14", "no-go", where, {"panel": name}, 0.0, fold.length, "mm")
        for name, edges in sides
        if not edges
    ]


def cleared(blank: Blank, fold: Fold) -> float:
    """Largest turn in rad that a fold's limit and its cuts in the blank clear."""
    if fold.method not in {"groove", "live"}:
        return fold.limit
    sides = zip((fold.parent, fold.child), fold_sides(blank, fold), strict=True)
    widths = [
        _opened(blank.panel(name).cuts[edge], fold)
        for name, edges in sides
        for edge in edges
        if fold.method == "groove" or name == fold.child
    ]
    return min(fold.limit, limit_of(fold.method, blank.thickness, min(widths, default=inf)))


def _opened(cut: EdgeCut, fold: Fold) -> float:
    return cut.a if fold.opened == "a" else cut.b


def _limit(blank: Blank, fold: Fold, where: str) -> list[Finding]:
    limit = cleared(blank, fold)
    if fold.method == "rebate" or fold.angle <= limit + _ANGLE:
        return []
    asked, most = degrees(fold.angle), degrees(limit)
    params: dict[str, Param] = {"asked": asked, "limit": most, "method": fold.method}
    return [Finding("G01", "no-go", where, params, asked, most, "deg")]


def _live(blank: Blank, fold: Fold, where: str, asked: float) -> list[Finding]:
    limit = degrees(cleared(blank, fold))
    if asked <= limit + degrees(_ANGLE):
        return []
    width = blank.thickness * float(np.tan(np.radians(asked))) if asked < 90.0 else inf
    params: dict[str, Param] = {"asked": asked, "limit": limit, "width": width}
    return [Finding("G03", "no-go", where, params, asked, limit, "deg")]


def _crush(fold: Fold, where: str, t: float, share: float) -> list[Finding]:
    if fold.angle >= pi:
        return []
    least = crush_least_width(fold.angle, t, share)
    if fold.tool_width >= least - 1e-9:
        return []
    squeezed = crush_squeezed(fold.angle, t, fold.tool_width) / (t * bevel(fold.angle, t))
    params: dict[str, Param] = {
        "width": fold.tool_width, "least": least, "angle": degrees(fold.angle),
        "squeezed": 100.0 * squeezed, "share": 100.0 * share,
    }  # fmt: skip
    return [Finding("G02", "no-go", where, params, fold.tool_width, least, "mm")]


def check_rings(blank: Blank) -> list[Finding]:
    """G05: cuts of two folds that cross on a face, so that nothing of the panel is left between them."""
    found: list[Finding] = []
    for panel in blank.panels:
        crossing = crossed_edges(panel)
        if crossing is None:
            continue
        face, edge, other, room, wanted = crossing
        names = _fold_names(blank, panel)
        params: dict[str, Param] = {
            "panel": panel.name, "face": face.upper(), "room": room, "wanted": wanted,
            "one": names.get(edge, "an edge"), "other": names.get(other, "an edge"),
        }  # fmt: skip
        found.append(Finding("G05", "no-go", f"{blank.name}/{panel.name}", params, room, wanted, "mm"))
    return found


@lru_cache(maxsize=512)
def crossed_edges(panel: Panel) -> tuple[str, int, int, float, float] | None:
    """Face, two edges, room between them in mm and room that their cuts want; None if no cuts cross.

    An outline that its cuts turn inside out, or that crosses itself, has lost the panel on that face. The
    last ones are remembered (by identity): a cut-out is tried before it is judged.
    """
    for face in ("a", "b"):
        cuts = np.array([cut.a if face == "a" else cut.b for cut in panel.cuts])
        if _sound(panel, cuts):
            continue
        edge, other, room = _tightest(panel.polygon, cuts)
        return face, edge, other, room, float(cuts[edge] + cuts[other])
    return None


def _sound(panel: Panel, cuts: FloatArray) -> bool:
    if not cuts.any():
        return bool(Polygon(panel.polygon).is_valid)
    corners = inset_all((panel.polygon,), cuts)[0].reshape(-1, 2, 2)
    after = np.roll(corners[:, 0], -1, axis=0)
    along = np.roll(panel.polygon, -1, axis=0) - panel.polygon
    forward = np.einsum("ij,ij->i", after - corners[:, 1], along)
    ring = Polygon(inset(panel.polygon, cuts))
    return bool((forward > -1e-9).all()) and bool(ring.is_valid) and ring.area > 0.0


def _tightest(polygon: FloatArray, cuts: FloatArray) -> tuple[int, int, float]:
    """The two edges with cuts whose room is used up most: the narrowest distance across the panel."""
    best = (0, 0, 0.0, -inf)
    along = np.roll(polygon, -1, axis=0) - polygon
    inward = np.stack([-along[:, 1], along[:, 0]], axis=1) / np.hypot(along[:, 0], along[:, 1])[:, None]
    for edge in range(len(polygon)):
        ends = np.roll(polygon, -1, axis=0)
        depth = np.maximum((polygon - polygon[edge]) @ inward[edge], (ends - polygon[edge]) @ inward[edge])
        for other in range(len(polygon)):
            if other == edge or inward[edge] @ inward[other] > -1e-6 or cuts[edge] + cuts[other] <= 0.0:
                continue
            room = float(depth[other])
            lack = float(cuts[edge] + cuts[other]) - room
            if lack > best[3]:
                best = (edge, other, room, lack)
    return best[:3]


def _fold_names(blank: Blank, panel: Panel) -> dict[int, str]:
    names: dict[int, str] = {}
    for fold in blank.folds:
        parent, child = fold_sides(blank, fold)
        edges = parent if fold.parent == panel.name else child if fold.child == panel.name else ()
        names.update(dict.fromkeys(edges, fold.name))
    return names


def check_space(blank: Blank, at_end: Sequence[Overlap]) -> list[Finding]:
    """G06: panels in each other at full fold (`solids.overlap` of the folded blank)."""
    return [
        Finding(
            "G06", "no-go", f"{blank.name}/{found.panel}",
            {"panel": found.panel, "other": found.other_panel, "volume": found.volume},
            found.volume, LEAST_VOLUME, "mm³",
        )
        for found in at_end
    ]  # fmt: skip


def check_path(
    blank: Blank, at_end: Sequence[Overlap], rules: FoldRules, ready: Mapping[str, Piece]
) -> list[Finding]:
    """G07: folds that cannot be made in the author's order, with one that works if there is one.

    Pairs that still overlap at full fold (`at_end`) are left to G06. ready: `solids.pieces` of the blank.
    """
    known = {frozenset((found.panel, found.other_panel)) for found in at_end}
    met = [
        found
        for found in path_overlaps(blank, ready=ready)
        if found.depth > rules.give_mm and frozenset((found.panel, found.other_panel)) not in known
    ]
    if not met:
        return []
    worst = max(met, key=lambda found: found.depth)
    order = None if known else order_folds(blank, give=rules.give_mm, ready=ready)
    params: dict[str, Param] = {
        "fold": worst.fold, "percent": 100.0 * worst.fraction, "panel": worst.panel,
        "other": worst.other_panel, "depth": worst.depth, "give": rules.give_mm,
        "asked": ", ".join(fold.name for fold in folding_order(blank)),
        "order": "none found" if order is None else ", ".join(order),
    }  # fmt: skip
    verdict: Verdict = "no-go" if order is None else "watch"
    where = f"{blank.name}/{worst.fold}"
    return [Finding("G07", verdict, where, params, worst.depth, rules.give_mm, "mm", "judgement")]


def check_flat(blank: Blank) -> list[Finding]:
    """G08: panels of the flat blank that lie on each other or whose outline crosses itself."""
    crossed = [panel for panel in blank.panels if not Polygon(panel.polygon, panel.holes).is_valid]
    found = [
        Finding(
            "G08", "no-go", f"{blank.name}/{panel.name}",
            {"panel": panel.name, "other": panel.name, "area": _lost_area(panel)},
            _lost_area(panel), 0.0, "mm²",
        )
        for panel in crossed
    ]  # fmt: skip
    if crossed:
        return found
    return [
        Finding(
            "G08", "no-go", f"{blank.name}/{lying.panel}",
            {"panel": lying.panel, "other": lying.other_panel, "area": lying.area}, lying.area, 0.0, "mm²",
        )
        for lying in flat_overlaps(blank)
    ]  # fmt: skip


def _lost_area(panel: Panel) -> float:
    raw = Polygon(panel.polygon, panel.holes)
    return abs(float(make_valid(raw).area) - float(raw.area))


def check_planes(
    name: str, thickness: float, panels: Sequence[SpacePanel], folds: Iterable[SpaceFold]
) -> tuple[Finding, ...]:
    """G09: folds between panels whose hinge skins do not meet in a line; to be asked before `unfold`."""
    by_name = {panel.name: panel for panel in panels}
    found: list[Finding] = []
    for fold in folds:
        parent, child = by_name[fold.parent], by_name[fold.child]
        add = thickness if fold.hinge == "a" else 0.0
        sine, cosine = cross(parent.normal, child.normal), float(parent.normal @ child.normal)
        turn = atan2(float(np.linalg.norm(sine)), cosine)
        apart = abs(parent.offset + add - copysign(1.0, cosine) * (child.offset + add))
        flush = apart < _PLANE and (cosine > 0.0 or fold.method == "slit")
        if _PLANE < turn < pi - _PLANE or flush:
            continue
        params: dict[str, Param] = {
            "parent": fold.parent,
            "child": fold.child,
            "turn": degrees(turn),
            "apart": apart,
        }
        found.append(Finding("G09", "no-go", f"{name}/{fold.name}", params, apart, 0.0, "mm"))
    return tuple(found)


def miss_finding(part: str, miss: MarkMiss) -> Finding:
    """G10 (off the part) or G11 (on a bevel) for a mark that found no place."""
    code = "G10" if miss.reason == "off the part" else "G11"
    params: dict[str, Param] = {
        "mark": miss.name, "panel": miss.panel, "face": miss.face.upper(), "distance": miss.distance,
        "x": float(miss.place[0]), "y": float(miss.place[1]), "z": float(miss.place[2]),
    }  # fmt: skip
    return Finding(code, "no-go", f"{part}/{miss.name}", params, miss.distance, 0.0, "mm")
