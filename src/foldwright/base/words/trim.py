"""Sentences of the trim findings."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "T01": Message(
        "No pitch control",
        "No lifting surface carries a control that pitches, so the aeroplane cannot be trimmed or steered in"
        " pitch.",
        "an elevon on the wing, an elevator on a tailplane or canard, or ruddervators on a V-tail",
        "no control that pitches",
        "Add one: [[part.control]] of kind elevon, elevator or ruddervator, with chord_mm, inner_mm and"
        " outer_mm, or a pivot that makes a tailplane all-moving.",
    ),
    "T02": Message(
        "Trim beyond the linear range",
        "Trim at {speed:g} m/s turns the controls by {turn:g}°; beyond {most:g}° a flap's flow separates and"
        " the prediction no longer holds.",
        "at most {most:g}°",
        "{turn:g}°",
        "Move the balance point aft within its limits, or make the control's chord greater.",
    ),
    "T03": Message(
        "Fin beside the centre line",
        "{where} stands alone at y = {place:g} mm; lift and stability are worked out as if it stood on the"
        " centre line.",
        "a fin on the centre line, or one on each side",
        "one fin at y = {place:g} mm",
        "Set its y_mm to 0, or mirror it with mirrored = true.",
    ),
    "T04": Message(
        "Surface on one side only",
        "{where} spreads to one side only and is left out of lift and stability.",
        "a surface on both sides",
        "a surface on one side",
        "Mirror it with mirrored = true, or say that it carries no lift with lifting = false.",
    ),
    "T05": Message(
        "Pitch controls without power",
        "All pitch controls together give {power:g} of pitching moment per radian about the neutral point;"
        " below {least:g} (or negative: the wrong way) the aeroplane cannot be trimmed.",
        "at least {least:g}",
        "{power:g}",
        "Move the control further from the balance point, or make its chord and span greater.",
    ),
    "T06": Message(
        "Surfaces in one place",
        "{where} lies within {apart:g} % of a chord of {other}, one over the other; lift and stability cannot"
        " be worked out reliably there.",
        "at least {least:g} % of the chord apart, or one behind the other",
        "{apart:g} %",
        "Move one of them up, down, forward or aft.",
    ),
}
