"""Sentences of the findings about template plates (P90-P99)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P90": Message(
        "plate thinner than its recesses",
        "A plate of {plate} mm cannot take letters {recess} mm deep on its sides; no plates are made.",
        "template.plate_mm at least {least} mm",
        "{plate} mm",
        "Raise template.plate_mm to {least} mm or more, or lower template.recess_mm.",
    ),
    "P91": Message(
        "plate low for a blade",
        "A blade climbs over a guide {plate} mm high and into the hand that holds it.",
        "template.plate_mm at least {least} mm for a blade",
        "{plate} mm",
        'Raise template.plate_mm to {least} mm, or set template.tool to "pencil" and cut along a steel rule.',
    ),
    "P92": Message(
        "number instead of a name",
        "The template of {where} has no room for its name; it bears the number {number}.",
        "",
        "",
        "Nothing to do: the number stands in the list of prints.",
    ),
    "P93": Message(
        "rim as wide as the part",
        "A rim of {rim} mm leaves no window in the template of {where}; it is made full.",
        "",
        "",
        "Nothing to do; a narrower template.rim_mm saves plastic.",
    ),
    "P94": Message(
        "template without a name",
        "The template of {where} is too small for its name, and for its number {number}.",
        "",
        "",
        "Write its name on it, or set it to paper under template.only.",
    ),
    "P95": Message(
        "no template for a blank in pieces",
        "{where} falls apart when it is cut out, so it has no template.",
        "one piece",
        "several pieces",
        "Mend the part first; the finding about its sheet says how.",
    ),
    "P96": Message(
        "lines a plate does not reach",
        "{count} lines of {where} lie too near others or the edge to be guided: {lines}.",
        "a slot, notch or hole for each",
        "none for {count}",
        "Measure them from the drawing, or set {where} to paper under template.only in the workshop file.",
    ),
    "P98": Message(
        "lines of one blank not told apart",
        "The template of {where} has no room to say whose these lines are: {lines}.",
        "",
        "",
        "Write it on the plate by hand, or lower template.letter_mm in the workshop file.",
    ),
    "P97": Message(
        "part too narrow for the tool",
        "Drawn in for the tool, the template of {where} falls apart: {area} mm² hang on by too little.",
        "necks wider than twice template.offset_mm",
        "a narrower neck",
        "Lower template.offset_mm, or set {where} to paper under template.only in the workshop file.",
    ),
}
