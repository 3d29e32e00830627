"""What is said and written of each template: a line for the builder, a row for a readback."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.workshop import Template
from foldwright.geometry.fold.model import Blank
from foldwright.make.templates.group import Group
from foldwright.make.templates.model import Plate
from foldwright.make.templates.pieces import Split
from foldwright.make.templates.plate_letters import EDGE, FACE_ONLY
from foldwright.make.templates.use_words import edge_at, way_of, where_is
from foldwright.make.way_round import way_round

GROOVE_MM = 0.8
"""Width of a recessed line, mm."""

_KINDS = {"rim": "rim frame", "full": "full plate", "paper": "paper"}
_USES = {
    "whole": "",
    "slide": "half, slid along the board's edge for the other half",
    "turn over": "half, turned over about the middle line for the other half",
}


def clock(minutes: float) -> str:
    """Minutes as "1 h 50 min"; whole minutes, one at least."""
    hours, rest = divmod(max(1, round(minutes)), 60)
    return f"{hours} h {rest} min" if hours else f"{rest} min"


def reason_of(plate: Plate, pieces: int, grams: float, minutes: float) -> str:
    """Such as "rim frame, 2 pieces, 41 g, 1 h 50 min: turned over for fin/left"."""
    count = "1 piece" if pieces == 1 else f"{pieces} pieces"
    more = [_USES[plate.use]] if _USES[plate.use] else []
    if plate.turned:
        more.append(f"turned over for {', '.join(plate.turned)}")
    if plate.same:
        more.append(f"also for {', '.join(plate.same)}")
    if plate.pencil_only:
        more.append("small: pencil, not blade")
    said = f"{_KINDS[plate.kind]}, {count}, {grams:.0f} g, {clock(minutes)}"
    return f"{said}: {'; '.join(more)}" if more else said


def notes_of(done: Split, blank: Blank | None = None) -> tuple[str, ...]:
    """What the labels on a plate stand for, and what found no room on it; which edge is which where its word
    is left out of a flat blank.
    """
    notes = []
    if done.plate.legend:
        notes.append(f"its lines: {'; '.join(f'{label} is {words}' for label, words in done.plate.legend)}")
    if done.plate.unwritten:
        notes.append(f"not written on it for want of room: {'; '.join(done.plate.unwritten)}")
        way = None if blank is None else way_round(blank)
        if blank is not None and way is not None and way.word in done.plate.unwritten:
            notes += [said for said in (where_is(blank, done.plate),) if said]
        if EDGE[0] in done.plate.unwritten:
            notes += [said for said in (edge_at(done.plate),) if said]
    if any(one.text == FACE_ONLY and not one.under for one in done.plate.letters):
        notes.append('"A" alone on it: face A lies up')
    if len(done.plate.unsaid) == 1:
        notes.append(f"the one line without a word beside it: {done.plate.unsaid[0]}")
    elif done.plate.unsaid:
        lines = "; ".join(done.plate.unsaid)
        notes.append(f"lines without a word beside them, which the drawing of the blank names: {lines}")
    return tuple(notes)


def plate_row(group: Group, done: Split | None, template: Template) -> Mapping[str, object]:
    """One template for JSON; without pieces for blanks on paper."""
    plate = done.plate if done else None
    blank = group.blank.name
    return {
        "name": plate.name if plate else blank.replace("/", "-"),
        "blank": blank,
        "number": group.number,
        "same": list(group.same),
        "turned": list(group.turned),
        "kind": plate.kind if plate else "paper",
        "use": plate.use if plate else "whole",
        "pieces": [piece.name for piece in done.pieces] if done else [],
        "thickness_mm": plate.thickness if plate else 0.0,
        "recess_mm": plate.recess if plate else 0.0,
        "offset_mm": template.offset,
        "slot_mm": template.slot_mm,
        "groove_mm": GROOVE_MM,
        "lip_mm": None if plate is None or plate.lip is None else _points(plate.lip),
        "straight_mm": None if plate is None or plate.straight is None else _points(plate.straight),
        "way": None if plate is None else way_of(group.blank, plate),
        "middle_mm": None if plate is None or plate.middle is None else _points(plate.middle),
        "shift_mm": None if plate is None or plate.shift is None else _points(plate.shift[None, :])[0],
        "joints": _joints(done) if done else [],
        "labels": {} if plate is None else dict(plate.legend),
        "unsaid": [] if done is None else [*done.plate.unwritten, *done.plate.unsaid],
        "guides": [] if plate is None else [
            {
                "name": guide.name,
                "pen": guide.pen,
                "face": guide.face,
                "how": guide.how,
                "only": guide.only,
                "points_mm": _points(guide.points),
            }
            for guide in plate.guides
        ],
    }  # fmt: skip


def _joints(done: Split) -> list[Mapping[str, object]]:
    return [
        {"number": joint.sign, "at_mm": _points(joint.middle[None, :])[0], "pieces": list(joint.pieces)}
        for joint in done.joints
    ]


def _points(points: FloatArray) -> list[list[float]]:
    return [[round(float(value), 6) + 0.0 for value in row] for row in np.atleast_2d(points)]
