"""How printed templates are used, in sentences with figures: for prints.txt. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import shapely

from foldwright.geometry.transform import apply
from foldwright.make.print_bed import footprint
from foldwright.make.printing import Print

Plates = Sequence[Mapping[str, Any]]

FACES = (
    '"A" before a name: a line on face A, drawn with face A of the board up and the lettered side of the '
    'plate up. "B": turn the blank over, and the plate with it, lay it into the outline and draw these lines '
    'on face B. "A+B": on both faces. "1st half only" and "2nd half only": in that position of a half plate '
    "alone."
)
PAIRS = (
    "A plate that serves both of a pair is turned over for the second one, whose face A then lies up; the B "
    "lines of the second are drawn with the lettered side up."
)
LABELS = "L1, L2 and so on stand in place of names without room; what they are is said with each plate above."
JOINTS = (
    "Plates in pieces: lay the pieces on a flat table against a rule, push the dovetails together number to "
    "number until the faces touch, and tape them across or glue them before tracing."
)
_TOUCH_MM = 0.5


def use_lines(plates: Plates, prints: Sequence[Print], border_mm: float) -> tuple[str, ...]:
    """Paragraphs: what letters and numbers on the plates mean, then each half plate's own way. Nothing where
    no plate is printed.

    plates: rows of `plate_row`. prints: their pieces. border_mm: width of the board's edges that is not used.
    """
    mine = [row for row in plates if row["pieces"]]
    if not mine:
        return ()
    said = [FACES]
    if any(row["turned"] for row in mine):
        said.append(PAIRS)
    if any(row["labels"] for row in mine):
        said.append(LABELS)
    numbers = ", ".join(f"no {row['number']}: {row['blank']}" for row in mine)
    said.append(f"A plate too small for its name carries its number: {numbers}.")
    if any(row["joints"] for row in mine):
        said.append(JOINTS)
    if any(row["straight_mm"] for row in mine):
        said.append(edge_words(border_mm))
    said += [words for row in mine if (words := half_words(row, prints))]
    said += [words for row in mine if (words := way_words(row))]
    return tuple(said)


def edge_words(border_mm: float) -> str:
    """What to do before a plate is laid on the board's edge."""
    if border_mm > 0.0:
        first = f"First cut a straight edge along the board, {border_mm:g} mm inside its own edge: "
        first += "the border that is not used (board.border_mm)"
    else:
        first = "First see that the board's edge is straight and sound"
    return f'{first}. A plate\'s side marked "board\'s edge" or "edge" is laid on that.'


def half_words(row: Mapping[str, Any], prints: Sequence[Print]) -> str:
    """How the half plate of a row is used for both halves, with its figures; "" for a whole one."""
    blank = str(row["blank"])
    if row["use"] == "slide":
        far = float(np.hypot(*row["shift_mm"]))
        along = "the board's edge" if row["straight_mm"] else "a straight line drawn on the board"
        lie = "its straight side on the board's edge" if row["straight_mm"] else f"a side on {along}"
        return (
            f"{blank}, half: lay {lie} and trace; draw the middle line along its end "
            f"{_at_middle(row, prints)}. Slide the plate {far:.1f} mm along {along}, past that line, until "
            "its other end meets it; trace again."
        )
    if row["use"] == "turn over":
        p, q = np.array(row["middle_mm"], dtype=np.float64)
        length = float(np.hypot(*(q - p)))
        return (
            f"{blank}, half: trace, and mark both notches of the middle line, {length:.1f} mm "
            f"apart ({_at_middle(row, prints)}); draw the line through them with a rule. Turn the plate over "
            "about it, so that both notches lie on the line again; trace the other half."
        )
    return ""


def _at_middle(row: Mapping[str, Any], prints: Sequence[Print]) -> str:
    """Where a plate's middle line is: the pieces that it runs along, or the words that mark it."""
    line = shapely.LineString(row["middle_mm"])
    near = float(row["offset_mm"]) + _TOUCH_MM
    mine = [one for one in prints if one.name in row["pieces"]]
    numbers = [int(one.figures["piece"]) for one in mine if _covered(one).distance(line) <= near]
    if len(row["pieces"]) > 1 and numbers:
        return f"on piece{'s' if len(numbers) > 1 else ''} {', '.join(str(n) for n in sorted(numbers))}"
    if "middle line" in row["unsaid"]:
        # both halves are alike, however the plate is laid
        return "on either side" if row["use"] == "slide" else "at both its edges"
    return 'marked "middle line"'


def _covered(one: Print) -> shapely.Polygon:
    """What a piece covers in the frame of its blank, as its convex hull."""
    corners = footprint(one.body)
    flat = np.column_stack([corners, np.zeros(len(corners))])
    return shapely.Polygon(flat[:, :2] if one.place is None else apply(one.place, flat)[:, :2])


def way_words(row: Mapping[str, Any]) -> str:
    """Where up or front is on a plate that had no room to say so; "" for others."""
    way = row["way"]
    if way is None or way["word"] not in row["unsaid"]:
        return ""
    return (
        f'{row["blank"]} (no {row["number"]}): with "{way["reads"]}" upright before you, "{way["word"]}" '
        f"is at the {way['side']}; write it on the blank."
    )
