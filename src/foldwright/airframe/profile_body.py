"""A body cut from flat sheet: one upright plate in the plane y = 0, doubled where motor and wing sit.

Face A of the plate looks to the right; the middle of its board lies in y = 0. Doublers are pieces of its
own outline, glued flat on both sides, face A outside.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, pairwise

import numpy as np
import shapely

from foldwright.airframe.area_glue import glue_film
from foldwright.airframe.bench import Bench
from foldwright.airframe.box_shell import finding, up
from foldwright.airframe.gaps import (
    Cutout,
    Place,
    board_left,
    cut_out,
    edge_finding,
    pair_findings,
    with_holes,
)
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Body, MarkRequest, MassItem, Mount, PartBuild
from foldwright.airframe.profile_body_checks import (
    TOUCH,
    check_doubler,
    check_necks,
    chord_at,
    pieces_of,
)
from foldwright.base.finding import Finding
from foldwright.design.bodies import ProfileBody, SideDoubler
from foldwright.geometry.fold.mass import moved, panels_moments
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.transform import frame

HELP = 0.0  # share of a guide that must land
END = 1.0  # mm: a doubler that begins this near to an end of the body reaches it
STEP = 0.1  # mm: over which a step of the outline is drawn out
_RIGHT = np.array([0.0, 1.0, 0.0])


@dataclass(frozen=True, slots=True, eq=False)
class _Doubler:
    """A doubler and the outline (x, z) that it takes, mm."""

    doubler: SideDoubler
    shape: shapely.Polygon


def build_profile_body(part: ProfileBody, bench: Bench) -> PartBuild:
    """Blanks, glue, cross-sections, marks and findings of a body cut from flat sheet.

    Blanks: `<id>/main`, `<id>/<doubler>-right` and, mirrored, `<id>/<doubler>-left`. Openings go through
    the plate and whatever doublers lie over it. The outline holds when the board's thickness changes.
    """
    t = bench.board.thickness
    outline = shapely.Polygon(part.polygon_mm)
    found, doublers = _doublers(part, outline)
    main = _blank(f"{part.id}/main", outline, t, -t / 2.0)
    cutouts, holes, hole_findings = _openings(part, main)
    rights = [_blank(f"{part.id}/{d.doubler.id}-right", d.shape, t, t / 2.0) for d in doublers]
    rights = [_holed(blank, d.shape, holes) for blank, d in zip(rights, doublers, strict=True)]
    lefts = [mirror_blank(blank, blank.name.removesuffix("right") + "left") for blank in rights]
    (main,) = with_holes([main], cutouts)
    pairs = [blank for pair in zip(rights, lefts, strict=True) for blank in pair]
    covered = [(d.doubler.from_mm, d.doubler.to_mm) for d in doublers]
    necks = check_necks(part.id, outline.difference(shapely.union_all(holes)), covered)
    return PartBuild(
        part.id, (main, *pairs), bodies=(_sections(part, outline, covered, t),),
        masses=tuple(_glue(blank) for blank in pairs), findings=(*found, *hole_findings, *necks),
        guides=_guides(part, outline, doublers), mounts=_mounts(part, outline, covered),
        gaps=tuple(cut.gap for cut in cutouts), titles=_titles(part),
    )  # fmt: skip


def _blank(name: str, outline: shapely.Polygon, t: float, inner_y: float) -> Blank:
    """An upright plate, face A to the right; inner_y: of its face B."""
    # local x aft and the normal to the right: local y runs down, so the outline is turned over
    matrix = frame(np.array([0.0, inner_y, 0.0]), np.array([1.0, 0.0, 0.0]), _RIGHT)
    ring = np.asarray(shapely.geometry.polygon.orient(outline, 1.0).exterior.coords)[:-1]
    flat = ring[::-1] * np.array([1.0, -1.0])
    return Blank(name, t, (Panel("plate", flat, (SQUARE,) * len(flat)),), (), "plate", matrix)


def _doublers(part: ProfileBody, outline: shapely.Polygon) -> tuple[list[Finding], list[_Doubler]]:
    found: list[Finding] = []
    made: list[_Doubler] = []
    for doubler in part.doubler:
        reasons = check_doubler(part.id, doubler, outline)
        found += reasons
        if any(item.verdict == "no-go" for item in reasons):
            continue
        made.append(_Doubler(doubler, max(pieces_of(outline, doubler), key=lambda piece: piece.area)))
    for one, other in combinations(sorted(made, key=lambda item: item.doubler.from_mm), 2):
        overlap = min(one.doubler.to_mm, other.doubler.to_mm) - other.doubler.from_mm
        if overlap > TOUCH and other in made:
            where = f"{part.id}.doubler.{other.doubler.id}.from_mm"
            found.append(
                finding(
                    where, "G159", overlap, 0.0, one=one.doubler.id, other=other.doubler.id, overlap=overlap,
                    need=up(one.doubler.to_mm),
                )
            )  # fmt: skip
            made.remove(other)
    return found, made


def _openings(part: ProfileBody, main: Blank) -> tuple[list[Cutout], list[shapely.Polygon], list[Finding]]:
    """Holes through the plate, their outlines (x, z), and what is wrong with them."""
    place = Place(main.name, main.panels[0], main.thickness, main.placement)
    found: list[Finding] = []
    cutouts: list[Cutout] = []
    low, high = main.panels[0].polygon.min(axis=0), main.panels[0].polygon.max(axis=0)
    for opening in part.opening:
        where = f"{part.id}.opening.{opening.id}"
        made = cut_out(opening, (place,), _RIGHT, f"{part.id}.{opening.id}")
        if made is None:
            found.append(
                finding(
                    f"{where}.x_mm", "G141", opening.x_mm, 0.0, name=opening.id, panel=part.id,
                    x=opening.x_mm, axis="z", place=opening.z_mm, start=float(low[0]), stop=float(high[0]),
                    low=-float(high[1]), high=-float(low[1]),
                )
            )  # fmt: skip
            continue
        item = edge_finding(where, opening, board_left(place.panel, made[1].ring))
        found += [item] if item else []
        if item is None or item.verdict != "no-go":
            cutouts.append(made[1])
    clash = pair_findings(cutouts, f"{part.id}.opening")
    lost = {item.params["other"] for item in clash if item.verdict == "no-go"}
    cutouts = [cut for cut in cutouts if cut.opening not in lost]
    shapes = [shapely.Polygon(cut.ring * np.array([1.0, -1.0])) for cut in cutouts]
    return cutouts, shapes, [*found, *clash]


def _holed(blank: Blank, shape: shapely.Polygon, holes: list[shapely.Polygon]) -> Blank:
    """A doubler without what the plate's openings take of it."""
    rest = shape.difference(shapely.union_all(holes)) if holes else shape
    if rest.equals(shape):
        return blank
    piece = max(shapely.get_parts(rest), key=lambda part: part.area)
    new = _blank(blank.name, piece, blank.thickness, float(blank.placement[1, 3]))
    rings = tuple(np.asarray(ring.coords)[:-1] * np.array([1.0, -1.0]) for ring in piece.interiors)
    panel = new.panels[0]
    return Blank(
        new.name, new.thickness, (Panel(panel.name, panel.polygon, panel.cuts, rings),), (), "plate",
        new.placement,
    )  # fmt: skip


def _glue(blank: Blank) -> MassItem:
    """The glue between a doubler and the plate: an even film on its face B."""
    moments = moved(panels_moments(blank.panels, glue_film()), blank.placement[None])[0]
    return MassItem(f"{blank.name}/glue", "joint", moments)


def _sections(
    part: ProfileBody, outline: shapely.Polygon, covered: list[tuple[float, float]], t: float
) -> Body:
    """Width and height of the body wherever one of them bends or steps."""
    first, _, last, _ = outline.bounds
    ends = {x for reach in covered for x in reach}
    ring = [*part.polygon_mm, part.polygon_mm[0]]
    ends |= {p[0] for p, q in pairwise(ring) if abs(p[0] - q[0]) < STEP}
    places = {first, last, *(float(x) for x, _ in part.polygon_mm)} - ends
    for x in ends:
        places |= {place for place in (x - STEP, x + STEP) if first < place < last}
    places |= {first, last}
    stations = np.array(sorted(places))
    inside = np.clip(stations, first + TOUCH, last - TOUCH)
    heights = []
    for place in inside.tolist():
        spans = chord_at(outline, place)
        heights.append(max(high for _, high in spans) - min(low for low, _ in spans))
    doubled = [any(start <= place <= stop for start, stop in covered) for place in inside.tolist()]
    width = np.where(doubled, 3.0 * t, t)
    return Body(part.id, stations, width, np.array(heights).round(6))


def _guides(part: ProfileBody, outline: shapely.Polygon, doublers: list[_Doubler]) -> tuple[MarkRequest, ...]:
    """Front and rear edge of every doubler on the plate, to the right and to the left.

    The rest of its outline is the plate's own.
    """
    first, _, last, _ = outline.bounds
    found = []
    for item in doublers:
        name = item.doubler.id
        for x in (item.doubler.from_mm, item.doubler.to_mm):
            if not first + END < x < last - END:
                continue
            for low, high in chord_at(outline, x):
                line = ((x, 0.0, low), (x, 0.0, high))
                found += [
                    MarkRequest(
                        name, f"{part.id}/main", "-y", line, "a", HELP, needs=f"{part.id}/{name}-right"
                    ),
                    MarkRequest(
                        name, f"{part.id}/main", "+y", line, "b", HELP, needs=f"{part.id}/{name}-left"
                    ),
                ]
    return tuple(found)


def _mounts(
    part: ProfileBody, outline: shapely.Polygon, covered: list[tuple[float, float]]
) -> tuple[Mount, ...]:
    """An end of the body that is doubled may carry a motor: a tractor's in front, a pusher's behind."""
    first, _, last, _ = outline.bounds
    found = []
    if any(start <= first + END for start, _ in covered):
        found.append(Mount(f"{part.id}/main", first, first))
    if any(stop >= last - END for _, stop in covered):
        found.append(Mount(f"{part.id}/main", last, last))
    return tuple(found)


def _titles(part: ProfileBody) -> dict[str, str]:
    own = {f"{part.id}/main": "the body, cut from flat sheet"}
    for doubler in part.doubler:
        own |= {f"{part.id}/{doubler.id}-{side}": f"doubler on the {side}" for side in ("right", "left")}
    return own
