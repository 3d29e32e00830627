"""Plates split to the printer's bed: pieces with keyed joints, pieces and joints numbered. Lengths in mm.

Frame: the plate's own, that is the blank's (u, v) seen from face A. Pieces and gaps together are the plate.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer, Template
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import area_of
from foldwright.make.templates.keys import Ground, fits
from foldwright.make.templates.model import Letters, Plate
from foldwright.make.templates.piece_cuts import Cut, Division, Search, Task
from foldwright.make.templates.piece_fit import Room, least_square, room_of, turn_to_fit
from foldwright.make.templates.piece_letters import (
    APART_MM,
    Hand,
    box_of,
    directions,
    fitted,
    free_for,
    moved,
)

_NOTHING = shapely.MultiPolygon()
# How far from a joint its number may stand, from their old place words that give way to a joint.
_NEAR_JOINT = 32.0
_ANYWHERE, _AT_LINE, _AT_ARROW = 400.0, 45.0, 15.0
# Words no longer than this stand beside an arrow.
_WITH_ARROW = 5
_KEEP_OFF = 1.0
_AT_EDGE = 0.2


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """What is printed in one go. index of total: its number, from 1. turn: how far it has to be turned to
    fit the bed, rad, 0 where quarter turns do. joints: numbers of the joints it has.
    """

    plate: str
    blank: str
    index: int
    total: int
    body: shapely.Polygon
    through: Area
    grooves: Area
    letters: tuple[Letters, ...]
    thickness: float
    recess: float
    turn: float
    joints: tuple[str, ...]

    @property
    def name(self) -> str:
        """As its file and its object are called."""
        return self.plate if self.total == 1 else f"{self.plate}-{self.index}"


@dataclass(frozen=True, slots=True, eq=False)
class Jointed:
    """One joint between two pieces. sign: its number, recessed on both; middle (2,); zone: what stays whole
    there; pieces: their numbers.
    """

    sign: str
    middle: FloatArray
    zone: BaseGeometry
    pieces: tuple[int, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Split:
    """A plate and its pieces; none where it cannot be split, and a finding says why.

    plate: as split: slots and grooves bridged at the joints, bars widened for keys, letters moved. gaps:
    play between the pieces.
    """

    plate: Plate
    pieces: tuple[Piece, ...]
    joints: tuple[Jointed, ...]
    gaps: Area
    findings: tuple[Finding, ...] = ()


def joined(pieces: Sequence[Piece]) -> Area:
    """The pieces of a plate pushed together: its body but for the gaps."""
    return area_of(shapely.union_all([piece.body for piece in pieces]))


def split(plate: Plate, printer: Printer, template: Template) -> Split:
    """A plate in as few pieces as this finds that fit the bed, margin left free, in every direction."""
    room = room_of(printer)
    if plate.thickness > room.height:
        return Split(plate, (), (), _NOTHING, (_too_high(plate, room),))
    sizes = fits(printer.clearance_mm)
    # mitred offsets of nearly parallel edges divide by nothing inside the library, which then bevels them
    with np.errstate(divide="ignore", invalid="ignore"):
        task = Task(room, sizes, template.slot_mm, _words(plate))
        division = Search(task).divide(_ground(plate, template))
        if division is not None:
            return _finished(plate, division, room, Hand(template.letter_mm, template.stem_mm))
    return Split(plate, (), (), _NOTHING, (_no_cut(plate, printer, template, sizes[1].least_width),))


def _ground(plate: Plate, template: Template) -> Ground:
    """What the joints are fitted to: slots and grooves along guided lines may be bridged, all else not."""
    lines, signs = _guided(plate)
    inside = plate.edge.buffer(-_AT_EDGE)
    along: list[BaseGeometry] = []
    fixed: list[BaseGeometry] = []
    for part in (*shapely.get_parts(plate.through), *shapely.get_parts(plate.grooves)):
        near = part.buffer(0.5 * template.slot_mm)
        bridging = near.intersects(lines) and not near.intersects(signs) and inside.covers(part)
        (along if bridging else fixed).append(part)
    spare = plate.edge.difference(plate.body).difference(shapely.union_all(fixed).buffer(_KEEP_OFF))
    return Ground(
        plate.body,
        shapely.union_all(fixed).buffer(_KEEP_OFF),
        shapely.union_all(along),
        plate.through,
        spare,
    )


def _guided(plate: Plate) -> tuple[BaseGeometry, BaseGeometry]:
    """Lines guided by slots and grooves, and signs guided by holes."""
    lines = [g.points for g in plate.guides if g.how in {"slot", "groove"} and len(g.points) > 1]
    signs = [g.points for g in plate.guides if g.how == "hole"]
    return (
        shapely.union_all([shapely.LineString(one) for one in lines]),
        shapely.union_all([shapely.MultiPoint(one) for one in signs]),
    )


def _words(plate: Plate) -> BaseGeometry:
    return shapely.union_all([box_of(one) for one in plate.letters])


def _finished(plate: Plate, division: Division, room: Room, hand: Hand) -> Split:
    """Pieces in order, slots bridged, letters in their places."""
    bodies = sorted(division.pieces, key=_order)
    pads = [cut.pad for cut in division.cuts]
    zones = shapely.union_all([joint.zone for cut in division.cuts for joint in cut.joints])
    plate = replace(
        plate,
        body=area_of(shapely.union_all([plate.body, *pads]), 0.0),
        through=area_of(plate.through.difference(zones)),
        grooves=area_of(plate.grooves.difference(zones)),
    )
    joints = _jointed(division.cuts, bodies)
    sides = [_side(plate, bodies, number, joints) for number in range(1, len(bodies) + 1)]
    written = [_lettered(side, hand) for side in sides]
    homeless = [one for lettering in written for one in lettering.homeless]
    lost = [text for lettering in written for text in lettering.lost]
    for one in homeless:
        lost += [] if _housed(one, sides, written) else [one.text]
    pieces = [
        _piece(side, tuple(lettering.kept), room) for side, lettering in zip(sides, written, strict=True)
    ]
    kept = tuple(one for piece in pieces for one in piece.letters)
    gaps = area_of(shapely.union_all([cut.gap for cut in division.cuts]), 0.0)
    found = (_lost(plate, lost),) if lost else ()
    return Split(replace(plate, letters=kept), tuple(pieces), joints, gaps, found)


def _order(body: shapely.Polygon) -> tuple[float, float]:
    x0, y0, _, _ = body.bounds
    return round(x0, 1), round(y0, 1)


def _jointed(cuts: Sequence[Cut], bodies: Sequence[shapely.Polygon]) -> tuple[Jointed, ...]:
    """All joints, numbered in the order of the pieces they belong to."""
    found = []
    for cut in cuts:
        for joint in cut.joints:
            touching = tuple(n for n, body in enumerate(bodies, 1) if body.intersects(joint.zone))
            found.append((touching, joint))
    found.sort(key=lambda one: (one[0], *np.round(one[1].middle, 3).tolist()))
    return tuple(
        Jointed(sign, joint.middle, joint.zone, touching)
        for sign, (touching, joint) in zip(_signs(), found, strict=False)
    )


def _signs() -> Iterator[str]:
    """1, 2, 3 and so on, but for those that are another number, or themselves, when seen upside down."""
    return (str(k) for k in count(1) if not set(str(k)) <= set("0689"))


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    """A piece as letters see it: its number, its joints, what of it is taken apart from letters."""

    plate: Plate
    body: shapely.Polygon
    number: int
    total: int
    joints: tuple[Jointed, ...]
    zones: BaseGeometry

    def free(self, letters: Sequence[Letters], *, under: bool = False) -> Area:
        """Where more letters may stand on the upper side or on the underside."""
        around = self.body.buffer(0.1)
        openings = [self.plate.through] if under else [self.plate.through, self.plate.grooves]
        taken = [self.zones, *(area.intersection(around) for area in openings)]
        others = [box_of(one).buffer(APART_MM, quad_segs=1) for one in letters if one.under == under]
        return free_for(self.body, [*taken, *others])


@dataclass(frozen=True, slots=True)
class _Written:
    """Letters of a piece. homeless: of the plate's own, without room here; lost: numbers without room."""

    kept: list[Letters]
    homeless: tuple[Letters, ...]
    lost: tuple[str, ...]


def _side(plate: Plate, bodies: Sequence[shapely.Polygon], number: int, joints: Sequence[Jointed]) -> _Side:
    mine = tuple(joint for joint in joints if number in joint.pieces)
    zones = shapely.union_all([joint.zone for joint in mine])
    return _Side(plate, bodies[number - 1], number, len(bodies), mine, zones)


def _lettered(side: _Side, hand: Hand) -> _Written:
    """The plate's letters that stand on a piece, its joints' numbers and its own."""
    own = [one for one in side.plate.letters if side.body.covers(shapely.Point(one.at))]
    if not side.joints:
        return _Written(own, (), ())
    kept = [one for one in own if not box_of(one).intersects(side.zones)]
    given_up = [one for one in own if not any(one is other for other in kept)]
    angles = directions(side.body)
    lost: list[str] = []
    for joint in side.joints:
        x, y = joint.middle.tolist()
        found = fitted(joint.sign, side.free(kept), (x, y), _NEAR_JOINT, hand, angles)
        kept, lost = ([*kept, found], lost) if found else (kept, [*lost, joint.sign])
    homeless: list[Letters] = []
    for one in given_up:
        again = moved(one, side.free(kept, under=one.under), _reach(one.text))
        kept, homeless = ([*kept, again], homeless) if again else (kept, [*homeless, one])
    numbered = f"{side.number}/{side.total}"
    # a slash is taller than letters and digits
    named = () if own else (f"{side.plate.name} {numbered}",)
    texts = (*named, numbered, f"{side.number} of {side.total}")
    place = side.body.centroid if side.body.covers(side.body.centroid) else side.body.representative_point()
    there, at = side.free(kept), (float(place.x), float(place.y))
    label = next((f for t in texts if (f := fitted(t, there, at, _ANYWHERE, hand, angles))), None)
    kept, lost = ([*kept, label], lost) if label else (kept, [*lost, numbered])
    return _Written(kept, tuple(homeless), tuple(lost))


def _reach(text: str) -> float:
    """How far words may move: those beside a line or an arrow not far, those about the plate anywhere."""
    beside = text[:2] in {"A ", "B "} or text in {"middle line", "middle"}
    arrow = len(text) <= _WITH_ARROW
    return _AT_ARROW if arrow else _AT_LINE if beside else _ANYWHERE


def _housed(letters: Letters, sides: Sequence[_Side], written: Sequence[_Written]) -> bool:
    """Whether words about the whole plate find room on any other piece; they are put there."""
    if _reach(letters.text) < _ANYWHERE:
        return False
    for side, lettering in zip(sides, written, strict=True):
        middle = side.body.representative_point()
        there = replace(letters, at=(float(middle.x), float(middle.y)))
        found = moved(there, side.free(lettering.kept, under=letters.under), _ANYWHERE)
        if found is not None:
            lettering.kept.append(found)
            return True
    return False


def _piece(side: _Side, words: tuple[Letters, ...], room: Room) -> Piece:
    plate, body, total = side.plate, side.body, side.total
    around = body.buffer(2.0, join_style="mitre")
    return Piece(
        plate.name,
        plate.blank,
        side.number,
        total,
        body,
        area_of(plate.through.intersection(around)) if total > 1 else plate.through,
        area_of(plate.grooves.intersection(body)) if total > 1 else plate.grooves,
        words,
        plate.thickness,
        plate.recess,
        turn_to_fit(body, room) or 0.0,
        tuple(joint.sign for joint in side.joints),
    )


def _too_high(plate: Plate, room: Room) -> Finding:
    return Finding(
        "P101", "watch", plate.blank, {"thickness": plate.thickness, "height": round(room.height, 1)},
        plate.thickness, room.height, "mm",
    )  # fmt: skip


def _no_cut(plate: Plate, printer: Printer, template: Template, width: float) -> Finding:
    """P100: what bed would hold the plate whole, and how wide a rim a key needs."""
    side = least_square(plate.body) + 2.0 * printer.margin_mm
    bed = f"{printer.bed_mm[0]:g} x {printer.bed_mm[1]:g}"
    params: dict[str, Param] = {
        "bed": bed,
        "needed": round(float(np.ceil(side)), 0),
        "rim": template.rim_mm,
        "width": round(width, 1),
        "blank": plate.blank,
    }
    return Finding("P100", "watch", plate.blank, params, None, None, "mm")


def _lost(plate: Plate, words: list[str]) -> Finding:
    return Finding("P102", "clear", plate.blank, {"words": ", ".join(words), "count": len(words)})
