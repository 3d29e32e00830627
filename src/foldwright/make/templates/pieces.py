"""Plates split to the printer's bed: pieces with keyed joints, pieces and joints numbered. Lengths in mm.

Frame: the plate's own, that is the blank's (u, v) seen from face A. Pieces and gaps together are the plate.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
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
from foldwright.make.templates.model import About, Letters, Plate
from foldwright.make.templates.piece_cuts import Cut, Division, Search, Task
from foldwright.make.templates.piece_findings import no_cut, too_high
from foldwright.make.templates.piece_fit import Room, room_of, turn_to_fit
from foldwright.make.templates.piece_letters import (
    APART_MM,
    CLEAR_MM,
    Hand,
    box_of,
    directions,
    fitted,
    free_for,
    moved,
    shorter,
)
from foldwright.make.templates.piece_lines import closed, guided_lines, unbridged

_NOTHING = shapely.MultiPolygon()
# How far from a joint its number may stand, from their old place words that give way to a joint.
_NEAR_JOINT = 32.0
_ANYWHERE, _AT_LINE, _AT_ARROW = 400.0, 45.0, 15.0
# How far words may move: those beside a line or an arrow not far, those about the plate anywhere.
_REACH: Mapping[About, float] = {"plate": _ANYWHERE, "line": _AT_LINE, "arrow": _AT_ARROW}
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
    """A plate in as few pieces as this finds that fit the bed, margin left free, in every direction. No line
    loses what guides it to a joint.
    """
    room = room_of(printer)
    if plate.thickness > room.height:
        return Split(plate, (), (), _NOTHING, (too_high(plate, room),))
    sizes = fits(printer.clearance_mm)
    # mitred offsets of nearly parallel edges divide by nothing inside the library, which then bevels them
    with np.errstate(divide="ignore", invalid="ignore"):
        division = _divided(plate, Task(room, sizes, template.slot_mm, _words(plate)), template)
        if division is not None:
            return _finished(plate, division, room, Hand(template.letter_mm, template.stem_mm))
    return Split(plate, (), (), _NOTHING, (no_cut(plate, printer, template, sizes[1].least_width),))


def _divided(plate: Plate, task: Task, template: Template) -> Division | None:
    """A division that closes no line: what one would close is kept clear of, and another looked for."""
    lines = guided_lines(plate)
    clear = unbridged(lines)
    while True:
        division = Search(task).divide(_ground(plate, lines, clear, template))
        if division is None:
            return None
        lost = closed(plate, lines, [joint.zone for cut in division.cuts for joint in cut.joints]) - clear
        if not lost:
            return division
        clear |= lost


def _ground(
    plate: Plate, lines: dict[int, shapely.LineString], clear: frozenset[int], template: Template
) -> Ground:
    """What the joints are fitted to: slots and grooves along guided lines may be bridged, all else not, and
    not those over lines that joints keep clear of.
    """
    guided = shapely.union_all(list(lines.values()))
    kept = shapely.union_all([lines[number].buffer(2.0 * template.slot_mm) for number in sorted(clear)])
    signs = shapely.union_all([shapely.MultiPoint(g.points) for g in plate.guides if g.how == "hole"])
    inside = plate.edge.buffer(-_AT_EDGE)
    along: list[BaseGeometry] = []
    fixed: list[BaseGeometry] = []
    for part in (*shapely.get_parts(plate.through), *shapely.get_parts(plate.grooves)):
        near = part.buffer(0.5 * template.slot_mm)
        if not near.intersects(guided) or near.intersects(signs) or not inside.covers(part):
            fixed.append(part)
        elif part.intersects(kept):
            along.append(part.difference(kept))
            fixed.append(part.intersection(kept))
        else:
            along.append(part)
    taken = shapely.union_all(fixed).buffer(_KEEP_OFF)
    spare = plate.edge.difference(plate.body).difference(taken)
    return Ground(plate.body, taken, shapely.union_all(along), plate.through, spare)


def _words(plate: Plate) -> BaseGeometry:
    return shapely.union_all([box_of(one) for one in plate.letters])


def _finished(plate: Plate, division: Division, room: Room, hand: Hand) -> Split:
    """Pieces in order, slots bridged, letters in their places."""
    whole, bodies = plate, sorted(division.pieces, key=_order)
    pads = [cut.pad for cut in division.cuts]
    zones = shapely.union_all([joint.zone for cut in division.cuts for joint in cut.joints])
    # one by one: where pads of two cuts lie on one another, a union of all at once may lose both
    body: BaseGeometry = plate.body
    for pad in pads:
        body = body.union(pad)
    plate = replace(
        plate,
        body=area_of(body, 0.0),
        through=area_of(plate.through.difference(zones)),
        grooves=area_of(plate.grooves.difference(zones)),
    )
    joints = _jointed(division.cuts, bodies)
    sides = [_side(plate, bodies, number, joints) for number in range(1, len(bodies) + 1)]
    legend = {words: label for label, words in plate.legend}
    written = [_lettered(side, hand, legend) for side in sides]
    lost = [text for lettering in written for text in lettering.lost]
    unsaid = [*plate.unsaid]
    for one in (one for lettering in written for one in lettering.homeless):
        if not _housed(one, sides, written, legend):
            (unsaid if one.about == "line" else lost).append(one.full or one.text)
    pieces = [
        _piece(side, tuple(lettering.kept), room) for side, lettering in zip(sides, written, strict=True)
    ]
    letters = tuple(one for piece in pieces for one in piece.letters)
    said, texts = {one.full for one in letters}, {one.text for one in letters}
    plate = replace(
        plate,
        letters=letters,
        legend=tuple((label, words) for words, label in legend.items() if label in texts),
        unwritten=tuple(dict.fromkeys([*plate.unwritten, *lost])),
        unsaid=tuple(one for one in dict.fromkeys(unsaid) if one not in said),
    )
    gaps = area_of(shapely.union_all([cut.gap for cut in division.cuts]), 0.0)
    return Split(plate, tuple(pieces), joints, gaps, _unsaid(plate, set(whole.unsaid)))


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


@dataclass(frozen=True, eq=False)
class _Side:
    """A piece as letters see it: its number, its joints, what of it is taken apart from letters."""

    plate: Plate
    body: shapely.Polygon
    number: int
    total: int
    joints: tuple[Jointed, ...]
    zones: BaseGeometry

    @property
    def said(self) -> str:
        """Its number and its size as it lies on the blank."""
        x0, y0, x1, y1 = self.body.bounds
        return f"piece {self.number} ({x1 - x0:.0f} x {y1 - y0:.0f} mm)"

    def free(self, letters: Sequence[Letters], *, under: bool = False) -> Area:
        """Where more letters may stand on the upper side or on the underside."""
        base = self._below if under else self._above
        boxes = [box_of(one) for one in letters if one.under == under]
        near = [box.buffer(APART_MM + CLEAR_MM, quad_segs=2) for box in boxes]
        return area_of(base.difference(shapely.union_all(near))) if near else base

    @cached_property
    def _above(self) -> Area:
        """What of the upper side nothing is cut or recessed in."""
        return self._clear(self.plate.through, self.plate.grooves)

    @cached_property
    def _below(self) -> Area:
        return self._clear(self.plate.through)

    def _clear(self, *openings: Area) -> Area:
        around = self.body.envelope.buffer(1.0)
        near = [part for area in openings for part in shapely.get_parts(area) if part.intersects(around)]
        return free_for(self.body, [self.zones, *near])


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


def _lettered(side: _Side, hand: Hand, legend: dict[str, str]) -> _Written:
    """The plate's letters that stand on a piece, its joints' numbers and its own. legend: labels by the words
    they stand for, more put there.
    """
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
        said = f"joint {joint.sign} on piece {side.number}"
        kept, lost = ([*kept, found], lost) if found else (kept, [*lost, said])
    homeless: list[Letters] = []
    for one in given_up:
        again = _again(one, side.free(kept, under=one.under), legend)
        kept, homeless = ([*kept, again], homeless) if again else (kept, [*homeless, one])
    numbered = f"{side.number}/{side.total}"
    # a slash is taller than letters and digits
    named = () if own else (f"{side.plate.name} {numbered}",)
    texts = (*named, numbered, f"{side.number} of {side.total}")
    place = side.body.centroid if side.body.covers(side.body.centroid) else side.body.representative_point()
    there, at = side.free(kept), (float(place.x), float(place.y))
    label = next((f for t in texts if (f := fitted(t, there, at, _ANYWHERE, hand, angles))), None)
    kept, lost = ([*kept, label], lost) if label else (kept, [*lost, f"{numbered} on {side.said}"])
    return _Written(kept, tuple(homeless), tuple(lost))


def _again(letters: Letters, free: Area, legend: dict[str, str]) -> Letters | None:
    """Words that give way, near where they stood; in fewer letters where they must."""
    for one in (letters, *shorter(letters, legend)):
        found = moved(one, free, _REACH[one.about])
        if found is not None:
            if one.about == "line" and one.text != letters.text:
                legend[one.full] = one.text
            return found
    return None


def _housed(
    letters: Letters, sides: Sequence[_Side], written: Sequence[_Written], legend: dict[str, str]
) -> bool:
    """Whether words about the whole plate find room on any other piece; they are put there."""
    if letters.about != "plate":
        return False
    for some in ((letters,), shorter(letters, legend)):
        for one in some:
            for side, lettering in zip(sides, written, strict=True):
                middle = side.body.representative_point()
                there = replace(one, at=(float(middle.x), float(middle.y)))
                found = moved(there, side.free(lettering.kept, under=one.under), _ANYWHERE)
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


def _unsaid(plate: Plate, before: set[str]) -> tuple[Finding, ...]:
    """P102: lines without a word or a label beside them, but for a single one, which is then known; P98:
    those for one blank or half alone whose words
    gave way to joints.
    """
    found: list[Finding] = []
    if len(plate.unsaid) > 1:
        params: dict[str, Param] = {"words": ", ".join(plate.unsaid), "count": len(plate.unsaid)}
        found.append(Finding("P102", "clear", plate.blank, params))
    alone = [one for one in plate.unsaid if one.endswith(" only") and one not in before]
    if alone:
        found.append(Finding("P98", "watch", plate.blank, {"lines": "; ".join(alone)}))
    return tuple(found)
