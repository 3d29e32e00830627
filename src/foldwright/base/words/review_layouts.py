"""Sentences of the rules that came with more layouts: tails, handling, payload bays, legs."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "F49": Message(
        "Usual range not known",
        "{where} is not a range that the review holds to be usual; {nearest} comes nearest.",
        "one of: {known}",
        "{got}",
        "Write {nearest}, or take the key out.",
    ),
    "B18": Message(
        "static margin asked for",
        "The design asks for a static margin of {margin} % of the chord.",
        "{wanted} % for {layout}",
        "{margin} %",
        "Ask for another margin, or set usual.static_margin_pct.",
    ),
    "B19": Message(
        "transport size",
        "Taken apart into {pieces}, the piece furthest from fitting, {parts}, measures {size} mm;"
        " the box for it measures {box} mm. Whole it measures {whole} mm.",
        "each piece within {box} mm",
        "{size} mm, {over} mm too much",
        "Let more come off (a joint with glued = false), make it smaller, or take a larger box.",
    ),
    "B20": Message(
        "payload bay free",
        "Bay {bay}: {name} {how} by {depth} mm.",
        "at most {limit_mm} mm",
        "{depth} mm",
        "Move one of the two, or name it among what the bay holds.",
    ),
    "B21": Message(
        "payload bay and board",
        "Bay {bay} and {panel} share {depth} mm.",
        "at most {limit_mm} mm",
        "{depth} mm",
        "Move the bay, make it smaller, or cut the board away.",
    ),
    "B22": Message(
        "hand and balance point",
        "The middle of the hand lies {size} mm {side} the balance point.",
        "{wanted} mm, ahead positive",
        "{size} mm {side} it",
        "Move the hand towards the balance point.",
    ),
    "B23": Message(
        "body in the hand",
        "The hand reaches from x {low} to {high} mm; {off} mm of that lie beyond the body.",
        "the whole hand on the body",
        "{off} mm beyond",
        "Move the hand on to the body.",
    ),
    "B24": Message(
        "leg fixed to board",
        "The place of the leg {leg} lies {away} mm from the board above it.",
        "at most {limit_mm} mm",
        "{away} mm",
        "Set its z_mm to the under face of the board, or move it under board.",
    ),
    "B25": Message(
        "main legs and balance point",
        "The leg {leg} stands {size} mm {side} the balance point; it should stand {should}.",
        "{wanted} mm",
        "{size} mm {side} it",
        "Move the leg along x.",
    ),
    "B26": Message(
        "propeller and ground",
        "Standing level on its legs, the propeller's tips pass {gap} mm above the ground.",
        "{wanted} mm",
        "{gap} mm",
        "Lengthen the legs, or take a smaller propeller.",
    ),
    "B27": Message(
        "top and underside",
        "Top ({top}) and underside ({under}) differ in lightness by {apart} points of 100.",
        "{wanted} points",
        "{apart} points",
        "Make one of them darker or lighter, or give it a bold pattern and say so.",
    ),
    "B28": Message(
        "thrust line off the middle",
        "The thrust line lies {off} mm off the middle (to the {side}).",
        "at most {limit_mm} mm, or a second motor at the other side",
        "{off} mm",
        "Bring the motor to the middle, or mirror it.",
    ),
    "B29": Message(
        "two propellers",
        "Between the two propellers there are {gap} mm.",
        "at least {good} mm",
        "{gap} mm",
        "Move the motors further out, or take smaller propellers.",
    ),
    "T19": Message(
        "tail volume",
        "The volume of the level tail ({of}) is {volume}.",
        "{wanted} for {layout}",
        "{volume}",
        "Change the tail's size or its distance from the wing.",
    ),
    "T20": Message(
        "fin volume",
        "The volume of what stands upright ({of}) is {volume}.",
        "{wanted} for {layout}",
        "{volume}",
        "Change the fin's size or its distance from the wing.",
    ),
    "T21": Message(
        "dihedral",
        "The wing rises by {rise}° from root to tip, {fitted}.",
        "{wanted}° so fitted, for {layout}",
        "{rise}°",
        "Change the dihedral of the bays, or the controls.",
    ),
    "T22": Message(
        "aileron area",
        "Controls of kind {kind} are {pct} % of the wing's area.",
        "{wanted} % for {layout}",
        "{pct} %",
        "Change their chord or their ends.",
    ),
    "T23": Message(
        "elevator's share",
        "The {kind} is {pct} % of the surface that it is hinged to.",
        "{wanted} % for {layout}",
        "{pct} %",
        "Change its chord or its ends.",
    ),
    "T24": Message(
        "a way to bank",
        "To bank it: {how} (rolling moment with sideslip {slope} per rad).",
        "a control that rolls, or a rudder with {limit} per rad or less",
        "{how}",
        "Fit ailerons or elevons, or a rudder and more dihedral.",
    ),
    "T25": Message(
        "washout of a swept wing",
        "The tips are turned {turn}° nose-down against the root (folding alone: {folding});"
        " the wing is swept by {sweep}°.",
        "{wanted}° nose-down",
        "{turn}°",
        "Warp more washout in while the glue dries, or sweep the wing less.",
    ),
}
