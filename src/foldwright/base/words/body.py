"""Sentences of the findings about box bodies and wing saddles (codes G40 to G59 and G70 to G72)."""

from __future__ import annotations

from foldwright.base.message import Message

_SHELL: dict[str, Message] = {
    "G40": Message(
        "stations out of order",
        "Station {number} stands at x = {x} mm, the one before it at {before} mm.",
        "each station at least {least} mm behind the one before it",
        "{value} mm behind it",
        "Move station {number} to x = {need} mm or further aft, or put the stations in order.",
    ),
    "G41": Message(
        "body too narrow",
        "At station {number} {inside} mm are left inside two {t} mm walls.",
        "at least {least} mm",
        "{inside} mm",
        "Widen the station to {need} mm, or use board no thicker than {thin} mm.",
    ),
    "G42": Message(
        "body too low",
        "At station {number} {inside} mm are left above the {t} mm floor.",
        "at least {least} mm",
        "{inside} mm",
        "Raise top_mm of the station to {need} mm, or lower its floor.",
    ),
    "G43": Message(
        "no run to fold",
        "The width changes everywhere, so floor and sides have no straight edge to be folded along.",
        "two neighbouring stations of the same width with at least {limit} mm of straight floor between them",
        "a taper between every pair of stations",
        "Give station {second} the width of station {first}, {width} mm.",
    ),
    "G44": Message(
        "fold across a change of section",
        "The longest run of constant width and floor slope, x = {start} to {stop} mm, leaves {length} mm of"
        " corner fold; a fold cannot go on across a change of section.",
        "at least {least} mm of fold",
        "{length} mm",
        "Move the station at {stop} mm to x = {need} mm, or make a neighbouring section the same.",
    ),
    "G45": Message(
        "bends too close",
        "Between x = {start} and {stop} mm the {what} bend so much that no board is left between the bends.",
        "bends whose bevels do not cross",
        "{value} mm between them",
        "Move the two stations apart, or make the change at them smaller.",
    ),
    "G46": Message(
        "bend too sharp",
        "The {what} bend by {turn}° at x = {x} mm.",
        "at most {most}°",
        "{turn}°",
        "Spread the change over a longer run, or put a station between.",
    ),
}

_PLATES: dict[str, Message] = {
    "G47": Message(
        "former off the body",
        "The forward face of former {name} stands at x = {x} mm.",
        "between {first} and {last} mm, so that its {t} mm lie inside the body",
        "{x} mm",
        "Set its x_mm to a value between {first} and {last}.",
    ),
    "G48": Message(
        "hole near the edge",
        "Hole {number} of former {name} leaves {left} mm of board at the edge (negative: it breaks through).",
        "at least {least} mm",
        "{left} mm",
        "Make the hole at most {need} mm wide (leave it out where that is less than nothing), or move it"
        " toward the middle of the former.",
    ),
    "G49": Message(
        "formers overlap",
        "Formers {one} and {other} share {overlap} mm along the body.",
        "formers that stand clear of each other",
        "{overlap} mm shared",
        "Move {other} aft to x = {need} mm.",
    ),
    "G50": Message(
        "deck too short",
        "{name} is {length} mm long.",
        "at least {least} mm",
        "{length} mm",
        "Let it end at x = {need} mm or further aft.",
    ),
    "G51": Message(
        "deck off the body",
        "{name} {verb} at x = {x} mm, {side} the body's end at {end} mm.",
        "a deck within the body",
        "{x} mm",
        "Let it end at {end} mm on that side.",
    ),
    "G52": Message(
        "tray without a height",
        "Tray {name} has no z_mm.",
        "the height of its upper face, between {low} and {high} mm",
        "nothing",
        "Give it a z_mm between {low} and {high}.",
    ),
    "G53": Message(
        "tray outside the body",
        "The upper face of tray {name} lies at z = {z} mm.",
        "between {low} and {high} mm over its whole length",
        "{z} mm",
        "Set its z_mm to a value between {low} and {high}.",
    ),
    "G54": Message(
        "decks overlap",
        "{one} and {other} share {overlap} mm at the same height.",
        "decks that meet end to end",
        "{overlap} mm shared",
        "Let {name} begin at x = {need} mm.",
    ),
    "G55": Message(
        "tray through a former",
        "{name}, x = {start} to {stop} mm, runs into former {former} at {x} mm.",
        "a tray that ends at a former or between two",
        "board in the way",
        "End the tray at x = {need} mm, or move the former.",
    ),
    "G56": Message(
        "deck ends beside a bend",
        "{name} ends at x = {end} mm, {length} mm from the bend of the upper edge at {x} mm.",
        "its end at the bend, or at least {least} mm from it",
        "{length} mm",
        "Let it end at x = {need} mm.",
    ),
    "G57": Message(
        "deck bent too far",
        "{name} would bend by {turn}° at x = {x} mm.",
        "at most {most}°",
        "{turn}°",
        "End the deck at x = {x} mm and begin another one there.",
    ),
}

_SADDLE: dict[str, Message] = {
    "G58": Message(
        "saddle weak",
        "The saddle leaves {left} mm of the body's {side} below the wing at x = {x} mm.",
        "at least {least} mm",
        "{left} mm",
        "Raise the wing by {lift} mm, or lower the body's floor by as much.",
    ),
    "G59": Message(
        "saddle cuts the body through",
        "The wing lies so low that its saddle cuts the body's {side} in two at x = {x} mm.",
        "at least {least} mm of side below the wing",
        "none",
        "Raise the wing by {lift} mm, or lower the body's floor by as much.",
    ),
    "G70": Message(
        "wing clear of the body",
        "The wing does not reach into the body's sides, so there is nothing for it to sit in.",
        "a wing whose underside lies below the upper edges of the sides",
        "{value} mm apart",
        "Lower the wing by {lower} mm, or raise the sides.",
    ),
    "G71": Message(
        "wing meets a deck",
        "{name} runs from x = {start} to {stop} mm; the wing takes x = {first} to {last} mm at its height.",
        "a deck that ends ahead of the wing or begins behind it",
        "{overlap} mm in the wing's way",
        "End it at x = {ahead} mm, or let it begin at {behind} mm.",
    ),
    "G72": Message(
        "former lost under the wing",
        "The wing leaves {left} mm of former {name} at x = {x} mm.",
        "at least {least} mm of former below the wing",
        "{left} mm",
        "Raise the wing by {lift} mm, or take the former out from under it.",
    ),
}

CATALOGUE: dict[str, Message] = {**_SHELL, **_PLATES, **_SADDLE}
