"""Sentences about surfaces cut from single board: plate wings, tailplanes, fins, V-tails (G120-G139)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G120": Message(
        "control beyond its bay",
        "The control reaches to {outer} mm; the {what} lies at {end} mm, and a hinge line does not bend.",
        "at most {end} mm",
        "{outer} mm",
        "Set outer_mm to {end} or less, or make two controls of it.",
    ),
    "G121": Message(
        "control takes the whole surface",
        "A control of {chord} mm leaves less than 5 mm of the {local} mm chord ahead of its hinge.",
        "a control chord of at most {most} mm",
        "{chord} mm",
        "Make the control's chord {most} mm or less there.",
    ),
    "G122": Message(
        "control narrower than its bevel",
        "The hinge bevel takes {bevel} mm of a control of {chord} mm and leaves less than 5 mm.",
        "at least {need} mm",
        "{chord} mm",
        "Make the control's chord {need} mm or more there, or lower bevel_limit_deg.",
    ),
    "G123": Message(
        "hinge bevel clears too little",
        "{asked}° of travel asked, the bevel clears {clears}°.",
        "a bevel of at least {asked}°",
        "{clears}°",
        "Set bevel_limit_deg to {asked} or more, or ask for less travel.",
    ),
    "G124": Message(
        "nothing left of the hinge",
        "Gaps, bevels and balance horn leave {left} mm of hinge on a control of {long} mm.",
        "at least {limit} mm of hinge",
        "{left} mm",
        "Set outer_mm to {need} or more, or shorten the balance horn or the end gaps.",
    ),
    "G125": Message(
        "balance horn too long ahead",
        "The balance horn reaches {ahead} mm ahead of the hinge and leaves less than 5 mm of board there.",
        "at most {most} mm",
        "{ahead} mm",
        "Set the horn's ahead_mm to {most} or less.",
    ),
    "G126": Message(
        "camber fold too steep",
        "The fold turns the board by {asked}°; the flow leaves a ridge steeper than {limit}°.",
        "at most {limit}°",
        "{asked}°",
        "Turn it by {limit}° or less; two folds share a strong camber better than one.",
    ),
    "G127": Message(
        "camber fold under a control",
        "The fold runs {fold} mm behind the leading edge, the control {control} begins {hinge} mm behind it.",
        "the fold well ahead of the control",
        "{fold} mm against {hinge} mm",
        "Move the fold to {ahead} mm or less, or make the control's chord {chord} mm or less.",
    ),
    "G128": Message(
        "camber folds too near",
        "Beside the fold at {x} mm only {room} mm of board is left at the narrowest chord ({chord} mm).",
        "at least {need} mm",
        "{room} mm",
        "Keep folds and edges {apart} mm apart at the root.",
    ),
    "G129": Message(
        "doubler does not lie on the board",
        "The doubler runs from {fore} to {aft} mm and out to {reach} mm; {why}.",
        "a doubler of {fore} to {most} mm, out to {tip} mm at most",
        "{fore} to {aft} mm, out to {reach} mm",
        "Let the doubler end at {most} mm and {tip} mm out, or less.",
    ),
    "G130": Message(
        "spar off the board",
        "The spar lies {x} mm behind the leading edge and reaches {reach} mm from the centre line; {why}.",
        "between {low} and {high} mm, out to {tip} mm at most",
        "{x} mm, out to {reach} mm",
        "Set the spar's x_mm between {low} and {high}, and its reach_mm to {tip} or less.",
    ),
    "G131": Message(
        "spar crosses something that moves",
        "The spar lies {x} mm behind the leading edge; {what} begins at {begins} mm there.",
        "at most {most} mm",
        "{x} mm",
        "Move the spar to {most} mm or less, or let it end at {end} mm from the centre line.",
    ),
    "G132": Message(
        "cut corners meet",
        "Corners of {asked} mm do not fit {chord} mm of board or control at the tip.",
        "at most {most} mm",
        "{asked} mm",
        "Set tip_cut_mm to {most} or less.",
    ),
    "G133": Message(
        "pivot in an odd place",
        "The surface turns about a line at {share:.0f} % of its mean chord; {low:.0f} to {high:.0f} % is"
        " usual: further forward its servo works hard, further aft it runs away.",
        "between {from} and {to} mm",
        "{x} mm",
        "Set the pivot's x_mm between {from} and {to}.",
    ),
    "G134": Message(
        "bay shorter than its bevels",
        "Bay {bay} is {long} mm long; the bevels at its ends (turn up to {turn}°) take {taken} mm of it.",
        "at least {need} mm",
        "{long} mm",
        "Make the bay {need} mm or longer, or turn it less against its neighbour.",
    ),
    "G135": Message(
        "controls meet at the fold",
        "At a fold of {turn}° the controls {control} run into each other when both turn {way}: {room} mm of"
        " room, {need} mm wanted.",
        "at least {need} mm",
        "{room} mm",
        "Set inner_mm to {inner} or more, ask for less travel, or cut their inner ends slanted.",
    ),
    "G136": Message(
        "groove for the spar",
        "Cut a groove {width} mm wide and {deep} mm deep into the under face along the spar line, for"
        " {pieces} straight length(s) of spar of up to {long} mm, and glue the spar in flush.",
        "a groove {width} mm wide and {deep} mm deep",
        "{pieces} length(s)",
        "Leave the paper of the upper face whole.",
    ),
    "G137": Message(
        "all-moving surface",
        "The whole surface turns about the pivot line, {x} mm behind the root's leading edge: let in a tube"
        " there for a straight wire square to the middle of the aeroplane, free to turn and without play.",
        "no play",
        "a pivot line at {x} mm",
        "Balance the surface about its pivot line before the first flight.",
    ),
    "G138": Message(
        "open wedge behind the camber fold",
        "At a break across the span the parts behind a camber fold open by up to {gap} mm at the"
        " trailing edge.",
        "a closed gap",
        "{gap} mm",
        "Fill the wedge with foam and tape over it.",
    ),
    "G139": Message(
        "two halves that move as one",
        "The two halves of {control} always move alike, but are two pieces: join them with a bent wire, or"
        " give each its own horn and pushrod.",
        "halves that turn alike",
        "two pieces",
        "Join the halves with a wire let into both.",
    ),
}
