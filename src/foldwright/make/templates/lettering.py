"""The words of one plate and where they go: name, faces, use, way round, and what each slot is [mm]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Template
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import joined
from foldwright.make.templates.group import Group
from foldwright.make.templates.guiding import Guided
from foldwright.make.templates.halves import Cover
from foldwright.make.templates.letter_room import Room, main_angles
from foldwright.make.templates.model import Letters
from foldwright.make.templates.plate_letters import (
    FACE_A,
    FACE_ONLY,
    Beside,
    Style,
    Written,
    point_to,
    style,
    write_any,
    write_beside,
    write_edge,
    write_way,
)
from foldwright.make.templates.traces import Trace
from foldwright.make.templates.words import line_words
from foldwright.make.way_round import way_round

_FROM_EDGE = 0.9
_FROM_SLOT = 0.7
_NEAR, _TAB = 30.0, 12.0
_BARE = 1.0
_HALF = {
    "slide": ("half: slide to the middle line", "half: slide to middle", "half: slide"),
    "turn over": ("half: turn over at the middle line", "half: turn at middle line", "half: turn over"),
}
_IN_PLANE = 0.7
# On plates longer than this there is room for the faces wherever the words beside lines stand, mm.
_LARGE = 100.0
# On plates no longer than this the way round and the face come before the name.
_SMALL = 60.0


@dataclass(frozen=True, slots=True, eq=False)
class Words:
    """Letters and arrows of a plate.

    legend: labels in place of words without room, each with what it stands for. missed: words left out;
    unsaid: those of lines. numbered: only its number found room; nameless: not even that.
    """

    letters: tuple[Letters, ...]
    arrows: tuple[Area, ...]
    legend: tuple[tuple[str, str], ...]
    missed: tuple[str, ...]
    unsaid: tuple[str, ...]
    numbered: bool
    nameless: bool


def lettered(
    group: Group, cover: Cover, made: Guided, straight: FloatArray | None, template: Template
) -> Words:
    """All that is written on a plate, the most needed first; what finds no room is left out."""
    opened = joined([made.through, *made.grooves]).buffer(_FROM_SLOT, quad_segs=2)
    free = made.body.difference(opened).buffer(-_FROM_EDGE, quad_segs=2)
    angles = main_angles(made.body)
    low_u, low_v, high_u, high_v = made.body.bounds
    longest = max(high_u - low_u, high_v - low_v)
    large, small = longest > _LARGE, longest <= _SMALL
    upper = Room(free, angles)
    thick = template.plate_mm - 2.0 * template.recess_mm >= _BARE
    below = upper.copy() if thick else upper
    styled = style(template.letter_mm, template.stem_mm)
    written = Written()
    words = line_words(group, cover)
    for tab in made.tabs:
        write_beside(upper, written, Beside(words[tab.trace], tab.middle), styled, _TAB)
    middle = np.asarray(made.body.representative_point().coords[0])
    if small:
        _way_first(group, made, upper, written, middle, styled)
    if straight is not None:
        write_edge(upper, written, straight, middle, styled)
    numbered, nameless = _named(group, upper, written, middle, styled)
    if cover.middle is not None:
        write_any(upper, written, Beside(_HALF[cover.use], cover.middle[0]), styled)
    beside = _said(cover, made, words)
    alone = [said for said in beside if said.words[0].endswith(" only")]
    beside = [said for said in beside if not said.words[0].endswith(" only")]
    for said in alone:
        write_beside(upper, written, said, styled, 1.5 * _NEAR)
    if cover.middle is not None:
        said = Beside(("middle line", "middle"), cover.middle[1], tuple(cover.middle))
        write_beside(upper, written, said, styled, _NEAR)
    if large:
        _way(group, made, upper, written, styled)
    for said in beside if large else ():
        write_beside(upper, written, said, styled, _NEAR)
    _turning(group, cover, upper, below, written, middle, styled, small=small)
    if not (large or small):
        _way(group, made, upper, written, styled)
    for said in () if large else beside:
        write_beside(upper, written, said, styled, _NEAR)
    legend = tuple((label, words) for words, label in written.legend.items())
    return Words(
        tuple(written.letters),
        tuple(written.arrows),
        legend,
        tuple(dict.fromkeys(written.missed)),
        tuple(dict.fromkeys(written.unsaid)),
        numbered,
        nameless,
    )


def _named(
    group: Group, room: Room, written: Written, middle: FloatArray, styled: Style
) -> tuple[bool, bool]:
    """The blank's name, in short where there is no room, else the plate's number."""
    name = group.blank.name
    short = (name, name.rpartition("/")[2])
    if write_any(room, written, Beside(short, middle), styled):
        return False, False
    # what is said of a plate without its name is P92 or P94
    written.missed.remove(name)
    number = f"no {group.number}"
    numbered = write_any(room, written, Beside((number, f"{group.number}"), middle), styled)
    if not numbered:
        written.missed.remove(number)
    return numbered, not numbered


def _turning(
    group: Group, cover: Cover, upper: Room, below: Room, written: Written, middle: FloatArray,
    styled: Style, *, small: bool,
) -> None:  # fmt: skip
    """Which face lies up, what the plate is when it is turned over, and how often it is used.

    small: which face lies up is already written.
    """
    both = any(trace.face == "b" for trace in cover.traces)
    turned = group.turned[0] if group.turned else ""
    if not small:
        write_any(upper, written, Beside(FACE_A, middle), styled)
    if turned:
        write_any(below, written, Beside((turned,), middle), styled, under=True)
        write_any(below, written, Beside(FACE_A[1:], middle), styled, under=True)
        if both:
            write_any(upper, written, Beside((f"{turned} face B up",), middle), styled)
            other = f"{group.blank.name} face B up"
            write_any(below, written, Beside((other,), middle), styled, under=True)
    elif both or cover.use == "turn over":
        write_any(below, written, Beside((group.blank.name,), middle), styled, under=True)
        faces = ("face B up", "B up") if cover.use != "turn over" else ("2nd half face A up", "2nd half")
        write_any(below, written, Beside(faces, middle), styled, under=True)
    if group.same:
        words = ("also " + ", ".join(group.same), f"{group.copies} of these")
        write_any(upper, written, Beside(words, middle), styled)
    elif group.copies > 1:
        write_any(upper, written, Beside((f"{group.copies} of these",), middle), styled)


def _way_first(
    group: Group, made: Guided, room: Room, written: Written, middle: FloatArray, styled: Style
) -> None:
    """On a small plate which edge is up or front, and which face lies up: without them it is turned wrong."""
    way = way_round(group.blank)
    if way is None:
        _way(group, made, room, written, styled)
    else:
        ring = np.asarray(made.body.exterior.coords)
        reach = ring @ way.toward
        at = middle + way.toward * (float(reach.max()) - float(middle @ way.toward))
        close = 0.35 * float(np.ptp(reach))
        write_way(room, written, way.word, way.toward, at, styled, close)
    write_any(room, written, Beside((FACE_A[-1], FACE_ONLY), middle), styled)


def _way(group: Group, made: Guided, room: Room, written: Written, styled: Style) -> None:
    """An arrow to the edge that looks forward or up in the aeroplane; on a folded blank in its root panel."""
    blank = group.blank
    way = way_round(blank)
    middle = np.asarray(made.body.representative_point().coords[0])
    if way is not None:
        point_to(room, written, way.word, way.toward, middle, styled)
        return
    flat = np.array([-1.0, 0.0, 0.0]) @ blank.placement[:3, :2]
    length = float(np.hypot(*flat))
    root = shapely.Polygon(blank.panel(blank.root).polygon).intersection(made.body)
    if length > _IN_PLANE and not root.is_empty:
        at = np.asarray(root.representative_point().coords[0])
        point_to(room, written, "front", flat / length, at, styled)


def _said(cover: Cover, made: Guided, words: Sequence[tuple[str, ...]]) -> list[Beside]:
    """Words of the lines that have no tab, once where several lines of a name lie side by side."""
    at_edge = {end.trace: end.at for end in reversed(made.ends)}
    said: list[tuple[str, FloatArray]] = []
    found: list[Beside] = []
    for number, (trace, guide, own) in enumerate(zip(cover.traces, made.guides, words, strict=True)):
        near = at_edge.get(number, trace.points[0])
        if trace.corners is not None:
            near = trace.corners.mean(axis=0)
        elif guide.how == "slot":
            near = trace.points.mean(axis=0) if trace.line.length < _NEAR else trace.points[0]
        if not own or any(text == own[0] and float(np.hypot(*(near - at))) < _NEAR for text, at in said):
            continue
        said.append((own[0], near))
        if all(tab.trace != number for tab in made.tabs):
            found.append(Beside(own, near, _along(trace)))
    return found


def _along(trace: Trace) -> tuple[FloatArray, ...]:
    """Places on a line, its ends last."""
    line = trace.line
    shares = (0.5, 0.25, 0.75, 0.0, 1.0)
    return tuple(np.asarray(line.interpolate(share, normalized=True).coords[0]) for share in shares)
