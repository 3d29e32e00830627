"""What the builder is told about a surface of single board: what each blank is, what to mind."""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.airframe.flat_blank import wedge
from foldwright.airframe.flat_controls import WHOLE, whole
from foldwright.airframe.flat_surface import Made, Single
from foldwright.airframe.halves import halves_note
from foldwright.airframe.model import Note

WEDGE_MM = 0.5  # [judgement]: a gap that is not worth a word


def titles(made: Made, word: str) -> Mapping[str, str]:
    """Each blank in the trade's words; word: of the part, such as "Tailplane (stabiliser)"."""
    tails = {
        "main": "in one piece", "right": "right half", "left": "left half",
        "doubler": "doubler on the upper face", "doubler-right": "doubler, right half",
        "doubler-left": "doubler, left half",
    }  # fmt: skip
    return {blank.name: f"{word}, {tails[blank.name.split('/')[1]]}" for blank in made.blanks}


def notes(asked: Single, made: Made) -> tuple[Note, ...]:
    """What the builder has to know or do."""
    name, found = asked.lifts.id, []
    if asked.pivot is not None:
        found.append(Note("G137", name, {"x": round(asked.pivot.x_mm, 1)}))
    gap = wedge(made.laid)
    if gap > WEDGE_MM:
        found.append(Note("G138", name, {"gap": round(gap, 1)}))
    halves = [one for one in asked.wanted if one.table.kind in WHOLE and not whole(made.laid, one)]
    if not asked.form.one:
        found.append(halves_note(made.surface))
    return (*found, *(Note("G139", name, {"control": one.table.id}) for one in halves))
