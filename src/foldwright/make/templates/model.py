"""What a template is before it is cut into pieces.

Frame: the blank's own (u, v), seen from face A, mm. A plate lies on the board with its upper side up and
serves face A; turned over it serves face B, and the mirrored blank of a pair. Slots go right through, so both
faces are traced with one plate.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foldwright.base.types import FloatArray
from foldwright.design.workshop import TemplateKind
from foldwright.geometry.solid.core import Area
from foldwright.make.drawing import Face, Pen

Use = Literal["whole", "slide", "turn over"]
"""How much of a blank a plate covers: all of it; or one half, slid along the board's straight edge for the
other, or turned over about the middle line for it."""


About = Literal["plate", "line", "arrow"]
"""What words belong to: the plate, anywhere on it; a line or an arrow, beside which they stay."""


@dataclass(frozen=True, slots=True)
class Letters:
    """One line of recessed letters.

    at: middle of the line of text, mm. height: of capitals; stem: thickness of the strokes. angle: rad,
    counter-clockwise. under: on the plate's underside, to be read from there. full: words that the text
    stands for, "" where it says all.
    """

    text: str
    at: tuple[float, float]
    height: float
    stem: float
    angle: float = 0.0
    under: bool = False
    about: About = "plate"
    full: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Guide:
    """A line or sign of the blank that the plate guides a tool along.

    points (n, 2): as drawn on the board. name: of the fold, bevel or mark. how: "slot" through the plate,
    "groove" in its upper side, "notch" at its edge, "hole" for a sign, "edge" where the outline serves,
    "none" where the plate does not reach. only: "first half" or "second half" for a line that a half plate
    traces in one of its two positions; the blank's name where one of several blanks alone has it; "" for all.
    """

    name: str
    pen: Pen
    face: Face
    points: FloatArray
    how: Literal["slot", "groove", "notch", "hole", "edge", "none"]
    only: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Plate:
    """A printed template of one blank, or of the half of one, before it is split.

    name: for files ("wing-main"). blank: traced with the upper side up. turned: blanks traced with the plate
    turned over. outline: the blank's outline as far as the plate covers it, true
    size. edge: the plate's outer edge, drawn in by the tool's offset. body: material seen from above, windows
    left out, before slots. through: cut right through (slots, holes, notches, holes of the blank). grooves:
    recessed into the upper side. lip: a straight edge, ends (2, 2), that lies on the board's own edge and
    carries a lip, None without. thickness: mm. recess: depth of letters and grooves, mm.
    copies: how many blanks are traced with its upper side up (one plate is printed). same: other blanks that
    are traced in the same way. straight: ends (2, 2) of a straight edge without a lip that is laid on the
    board's own edge; the plate is not drawn in there. middle: ends (2, 2) of the middle line of a half plate.
    shift: (2,) how far a plate of use "slide" is slid for the second half. number: of the plate in its set,
    written on parts too small for a name. legend: labels written in place of words without room, each with
    what it stands for. unwritten: words about the plate without room; unsaid: those of lines for which there
    was not even room for a label.
    """

    name: str
    title: str
    blank: str
    turned: tuple[str, ...]
    use: Use
    kind: TemplateKind
    outline: Area
    edge: Area
    body: Area
    through: Area
    grooves: Area
    letters: tuple[Letters, ...]
    guides: tuple[Guide, ...]
    thickness: float
    recess: float
    lip: FloatArray | None = None
    pencil_only: bool = False
    copies: int = 1
    same: tuple[str, ...] = ()
    straight: FloatArray | None = None
    middle: FloatArray | None = None
    shift: FloatArray | None = None
    number: int = 0
    legend: tuple[tuple[str, str], ...] = ()
    unwritten: tuple[str, ...] = ()
    unsaid: tuple[str, ...] = ()
