"""Sentences of the findings about template pieces, beds and what goes on paper (P100-P109)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P100": Message(
        "template that cannot be split",
        "No straight cut through the template of {where} misses its holes and openings with room for a key "
        "of {width} mm, so it does not fit the bed of {bed} mm in pieces; the blank is on paper instead.",
        "a bed of {needed} x {needed} mm, margins included, or a rim of {width} mm or more",
        "bed {bed} mm, rim {rim} mm",
        'Accept paper (template.only."{blank}" = "paper"), raise template.rim_mm, or print on a bed of '
        "{needed} x {needed} mm.",
    ),
    "P101": Message(
        "template higher than the printer",
        "The template of {where} is {thickness} mm thick and the printer reaches {height} mm; the blank is "
        "on paper instead.",
        "at most {height} mm",
        "{thickness} mm",
        "Lower template.plate_mm in the workshop file.",
    ),
    "P102": Message(
        "letters without room on a template",
        "Beside slots and joints of the template of {where} there is no room for {count} of its words: "
        "{words}.",
        "",
        "",
        "Write them on with a pen, or raise template.rim_mm or lower template.letter_mm in the workshop "
        "file.",
    ),
    "P103": Message(
        "templates beyond the limit",
        "The templates that the workshop file asks for take {hours} h and {grams} g.",
        "at most {most_hours} h and {most_g} g",
        "{hours} h, {grams} g",
        'Raise template.most_hours and template.most_g in the workshop file, or set template.kind to "auto".',
    ),
    "P104": Message(
        "blanks on paper",
        "On paper rather than from a printed template: {blanks}.",
        "",
        "",
        "To print more of them raise template.most_hours and template.most_g, or name them in template.only, "
        "in the workshop file.",
    ),
}
