"""Sentences of the findings about template pieces, beds and what goes on paper (P100-P109)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P100": Message(
        "template that cannot be split",
        "No straight cut through the template of {where} misses its holes and openings with room for a key "
        "of {width} mm, so it does not fit the bed of {bed} mm in pieces; the blank is on paper instead.",
        "a bed of {needed} x {needed} mm, margins included{or}",
        "bed {bed} mm{rim}",
        'Accept paper (template.only."{blank}" = "paper"){try}, or print on a bed of {needed} x {needed} mm.',
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
        "lines without words on a template",
        "On the template of {where} there is no room for the names of {count} lines, nor for their labels: "
        "{words}.",
        "",
        "",
        "The drawing of the blank shows which they are; a wider template.rim_mm or a lower "
        "template.letter_mm in the workshop file makes room.",
    ),
    "P103": Message(
        "templates beyond the limit",
        "The templates that the workshop file asks for take {hours} h and {grams} g.",
        "at most {most_hours} h and {most_g} g",
        "{hours} h, {grams} g",
        'Raise template.most_hours and template.most_g in the workshop file, or set template.kind to "auto".',
    ),
    "P105": Message(
        "bed too small for templates",
        "Of the bed of {bed} mm, {usable} mm can be used across, {margin} mm left free on every side: no "
        "piece of a template with a key or a name goes on that; all blanks are on paper.",
        "{least} mm or more of the bed after its margins",
        "{usable} mm",
        "Set printer.bed_mm to the bed's true size, {needed} mm across or more, or lower printer.margin_mm "
        "in the workshop file.",
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
