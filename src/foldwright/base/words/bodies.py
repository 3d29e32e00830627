"""Sentences about bodies of every kind: openings, rolled board, flat bodies, sticks (codes G140 to G159).

G154 to G158 are notes for the builder: `says` is what to do, `cure` what to watch.
"""

from __future__ import annotations

from foldwright.base.message import Message

_BOX: dict[str, Message] = {
    "G140": Message(
        "sides cross in the flat",
        "At station {number} (x = {x} mm) the floor lies {drop} mm below the line of the folded run"
        " (x = {start} to {stop} mm); laid flat, the sides would reach across the floor into each other.",
        "at most {most} mm below it, half the width of the run",
        "{drop} mm",
        "Raise bottom_mm of station {number} to {need} mm, or make the folded run {width} mm wider.",
    ),
    "G141": Message(
        "opening off the part",
        "The middle of opening {name}, x = {x} mm and {axis} = {place} mm, lies on no board of {panel}.",
        "x between {start} and {stop} mm and {axis} between {low} and {high} mm",
        "x = {x} mm, {axis} = {place} mm",
        "Move its middle on to the board, or name the panel it belongs in.",
    ),
    "G142": Message(
        "opening near an edge or fold",
        "Opening {name} leaves {left} mm of board beside it (negative: it breaks through).",
        "at least {least} mm to every edge, fold and bevel",
        "{left} mm",
        "Move it {by} mm toward the middle of the panel, or make it {smaller} mm smaller.",
    ),
    "G143": Message(
        "openings too near each other",
        "Openings {one} and {other} leave {left} mm of board between them (0: they run into each other).",
        "at least {least} mm",
        "{left} mm",
        "Move {other} {by} mm further away, or make the two one.",
    ),
    "G144": Message(
        "former behind an opening",
        "Former {former} stands behind {covered} mm of opening {name}.",
        "an opening ahead of a former or behind it",
        "{covered} mm covered",
        "Set x_mm of the opening to {ahead} mm or less, or to {behind} mm or more.",
    ),
}

_ROLLED: dict[str, Message] = {
    "G145": Message(
        "no arch of that rise",
        "{name} is to rise {rise} mm.",
        "between {least} mm (more than the board is thick) and {most} mm (half a circle)",
        "{rise} mm",
        "Set {key} to {need}.",
    ),
    "G146": Message(
        "rolled too tightly",
        "{name} would be rolled to an outer radius of {radius} mm.",
        "at least {least} mm for {t} mm board {papers} ({share} times its thickness)",
        "{radius} mm",
        "Set {key} to {need}, or {other}.",
    ),
    "G147": Message(
        "too few or too many scored lines",
        "With {facets} facets, {name} turns {turn}° at every line, and its lines are {apart} mm apart.",
        "at most {most}° a line, lines at least {least} mm apart",
        "{turn}°, {apart} mm",
        "Set facets to {need}.",
    ),
    "G148": Message(
        "rolled over a bend",
        "Under {name} the sides bend or their upper edges do at x = {x} mm; an arch goes on straight.",
        "sides and upper edges without a bend from the arch's front to its rear edge",
        "a bend at x = {x} mm",
        "Set {set}: {kept} mm of it stay; another arch may take the rest.",
    ),
    "G149": Message(
        "rolled nose off the front",
        "{name} reaches back to x = {x} mm; the body begins at {start} mm.",
        "to_mm = {start}, the body's front end",
        "{x} mm",
        "Set to_mm to {start}, and from_mm to the foremost point of the nose.",
    ),
}

_FLAT: dict[str, Message] = {
    "G150": Message(
        "neck too thin",
        "At x = {x} mm the flat body has {left} mm of board, and no doubler on it.",
        "at least {least} mm",
        "{left} mm",
        "Make the outline {by} mm higher there, move the opening, or let a doubler reach over it.",
    ),
    "G151": Message(
        "doubler off the body",
        "Doubler {name} runs from x = {start} to {stop} mm; the body reaches from {first} to {last} mm.",
        "a stretch of at least {least} mm within the body",
        "{start} to {stop} mm",
        "Set from_mm to {first} or more and to_mm to {last} or less, at least {least} mm apart.",
    ),
    "G152": Message(
        "doubler in pieces",
        "Between x = {start} and {stop} mm the outline falls into {count} pieces; doubler {name} takes the"
        " largest.",
        "an outline in one piece there",
        "{count} pieces",
        "Let the doubler end before the outline divides.",
    ),
    "G153": Message(
        "stick too short",
        "{name} is {length} mm long.",
        "at least {least} mm",
        "{length} mm",
        "Set to_mm to {need} or more, or from_mm to as much less.",
    ),
    "G159": Message(
        "doublers on each other",
        "Doublers {one} and {other} share {overlap} mm along the body.",
        "doublers that meet end to end",
        "{overlap} mm shared",
        "Let {other} begin at x = {need} mm.",
    ),
}

_NOTES: dict[str, Message] = {
    "G154": Message(
        "taped hinge",
        "{name} hangs on {width} mm of tape across its front edge, so that the wind holds it shut.",
        "",
        "",
        "Tape it open and shut once before you press the tape down.",
    ),
    "G155": Message(
        "held by magnets",
        "{name} is held by two pairs of magnets near its front and rear edges ({mass} g together).",
        "",
        "",
        "Mark the poles before you glue: each pair has to pull.",
    ),
    "G156": Message(
        "slid in",
        "{name} slides in between two rails of card along its edges ({mass} g together).",
        "",
        "",
        "Give it a stop, so that the wind does not push it out.",
    ),
    "G157": Message(
        "stick to cut",
        "Cut the stick to {length} mm; {count} of them.",
        "",
        "",
        "Carbon: cut it wet, with a mask and glasses on; the dust harms lungs and skin.",
    ),
    "G158": Message(
        "board to roll",
        "{first} Press {lines} lines into the inner face, {apart} mm apart, and roll the board to an outer"
        " radius of {radius} mm, {turn}° at each line.",
        "",
        "",
        "Press every line a little before you press any of them fully.",
    ),
}

CATALOGUE: dict[str, Message] = {**_BOX, **_ROLLED, **_FLAT, **_NOTES}
