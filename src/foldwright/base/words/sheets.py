"""Sentences of the sheets findings (S01-S19)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "S01": Message(
        "part larger than any sheet",
        "{where} needs a sheet of at least {width} x {height} mm, its border included; none is that large.",
        "a sheet of at least {width} x {height} mm",
        "smaller sheets only",
        "Add a larger sheet to board.sheet in the workshop file, or make the part smaller.",
    ),
    "S02": Message(
        "part larger than the bed",
        "{where} takes {width} x {height} mm; the cutter's bed is {bed_length} x {bed_width} mm.",
        "a bed of at least {width} x {height} mm",
        "{bed_length} x {bed_width} mm",
        "Cut this part by hand from the tiled pages with cutter.bed_mm left out, or use a larger cutter.",
    ),
    "S03": Message(
        "sheets on hand too few",
        "{copies} of {where} find no place on the {sheets} sheets on hand.",
        "sheets enough for all parts",
        "{sheets} sheets",
        "Raise the count of board.sheet in the workshop file, or leave it out to have as many as needed.",
    ),
    "S04": Message(
        "fold line left to the knife",
        "This cutter cannot stop at the paper: {count} folds of {where} are drawn as marks ({folds}).",
        "cutter.to_paper = true",
        "cutter.to_paper = false",
        "Cut those lines by hand with a knife and a depth stop, or use a cutter that can stop at the paper.",
    ),
    "S05": Message(
        "part across the grain",
        "{where} fits only with its long side across the board's grain (grain {grain} the sheet).",
        "its long side along the grain",
        "across the grain",
        "Use a longer sheet, or accept a part that bends more easily.",
    ),
    "S06": Message(
        "gap narrower than the kerf",
        "A gap or hole of {where} near ({u}, {v}) is narrower than the kerf of {kerf} mm; its edges "
        "are drawn without.",
        "gaps wider than {kerf} mm",
        "a narrower gap",
        "Widen the gap or clearance, or use a cutter with less kerf.",
    ),
    "S07": Message(
        "no room for registration holes",
        "{where} is done from both sides, but only {found} of 3 holes to lie by found room beside the parts.",
        "three holes off the parts",
        "{found}",
        "Widen the spacing or the border, or use a larger sheet.",
    ),
    "S08": Message(
        "marks drawn by hand",
        "This cutter cannot draw: marks and letters are on the {paper} pages of the tiled sheets.",
        "",
        "",
        "Lay the pages on the board and prick the marks through.",
    ),
    "S09": Message(
        "blank falls apart",
        "{where} is more than one piece when it is cut out: some of its panels are joined by no fold.",
        "one piece",
        "several pieces",
        "Let the panels touch along their folds, or make them parts of their own.",
    ),
    "S10": Message(
        "cut lines on one another",
        "{count} stretches of the lines of {where} would be cut or pressed twice: edges lie closer together"
        " than a cutter can show.",
        "lines drawn once",
        "{count} stretches drawn twice",
        "Move the edges apart by 0.1 mm or more, or let them meet: change a length, angle or clearance of the"
        " part by a little.",
    ),
}
