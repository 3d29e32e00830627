"""Sentences of a folded wing's planform, joints and washout (G100-G119)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G100": Message(
        "spar height forced by the nose",
        "The flat upper skin of a {nose} nose forces a spar of {forced} mm at the outer end,"
        " {asked} mm asked.",
        "{forced} mm",
        "{asked} mm",
        "Use {forced} mm, move the spar line there to {move} mm, or use a two-fold nose.",
    ),
    "G101": Message(
        "strip's edge forced by the upper skin",
        "With the ridge at {spar} mm the flat aft panel comes down on the strip {forced} mm behind the"
        " leading edge at the outer end, {asked} mm asked.",
        "{forced} mm",
        "{asked} mm",
        "Use {forced} mm, or leave strip_aft_mm out.",
    ),
    "G102": Message(
        "spar too low at the outer end",
        "At the outer end of bay {bay} the spar would stand only {stands} mm high (least {least} mm).",
        "at least {least} mm",
        "{stands} mm",
        "Move the spar line there from {spar} to {move} mm, or raise the spar at the root.",
    ),
    "G103": Message(
        "taper against spar",
        "At the outer end of bay {bay} the under strip ends at {end} mm of a chord of {chord} mm; the lines"
        " of ridge and strip leave the wing toward the tip.",
        "at least {least} mm of trailing part",
        "strip to {end} mm of {chord} mm",
        "Make the chord there {need} mm or more, or move the spar line there from {spar} to {move} mm.",
    ),
    "G104": Message(
        "front slope too steep in a bay",
        "In bay {bay} a spar of {h} mm stands {d} mm behind the leading edge, square to it, and needs a front"
        " slope of {asked}° (limit {limit}°).",
        "a front slope of at most {limit}°",
        "{asked}°",
        "Lower the spar at the bay's inner end to {lower} mm, or move it {back} mm aft there.",
    ),
    "G105": Message(
        "no flat front panel joins these spar heights",
        "From {inner} mm high at {spar_in} mm behind the leading edge to {outer} mm high at {spar_out} mm:"
        " with the spar there the outer end has to be {way}.",
        "a spar that is lower where it is nearer to the leading edge",
        "{outer} mm",
        "Change spar_x_mm at the outer end, or leave spar_height_mm out.",
    ),
    "G106": Message(
        "nose strip too narrow for this tip height",
        "A spar of {asked} mm at the outer end leaves a nose strip of {s} mm; its two mitres take"
        " {least} mm.",
        "a nose strip of at least {least} mm",
        "{s} mm",
        "Make spar_height_mm there {need} mm or more.",
    ),
    "G107": Message(
        "aft slope too steep in a bay",
        "In bay {bay} the upper skin comes down behind the spar at {asked}° (limit {limit}°).",
        "at most {limit}°",
        "{asked}°",
        "Let the strip run to {need} mm at the root.",
    ),
    "G108": Message(
        "centre joint that the planes do not allow",
        'centre = "{asked}" asked, but {reason}.',
        "{can}",
        '"{asked}"',
        'Use {can}, or "auto".',
    ),
    "G109": Message(
        "joined blank lies on itself",
        'Joined with centre = "{asked}" two panels of the flat blank lie on each other: {reason}.',
        '"two" or "auto"',
        '"{asked}"',
        'Set centre to "two" or "auto", or lower the aft slope.',
    ),
    "G110": Message(
        "control across the end of a bay",
        "The control from {inner} to {outer} mm runs across the end of a bay at {end} mm.",
        "a control within one bay",
        "{inner} to {outer} mm",
        "End it at {end} mm, begin it there, or make two controls of it.",
    ),
    "G111": Message(
        "hinge line meets the strip toward the tip",
        "At its outer end a control of {chord} mm chord has its hinge at {hinge} mm of {local} mm; the double"
        " skin ends at {strip} mm.",
        "a control chord of at most {need} mm there",
        "{chord} mm",
        "Make outer_chord_mm {need} mm or less, or end the control further in.",
    ),
    "G112": Message(
        "balance horn without room",
        "The balance horn is {got} mm {what}; between hinge, gap and double skin there is room for"
        " {high} mm.",
        "{low} to {high} mm",
        "{got} mm",
        "Set {key} between {low} and {high} mm, or leave the horn away.",
    ),
    "G113": Message(
        "washout is warped in while the glue dries",
        "At {y} mm from the centre line bay {bay} has {washout}° of washout. With the under strip flat on the"
        " building board a block of {block} mm under the {edge} edge there ({step} mm of it the step under"
        " that edge) holds it while the glue dries.",
        "a block of {block} mm",
        "flat parts, cut without twist",
        "Weight the wing down on the block and leave it until the glue is hard.",
    ),
    "G114": Message(
        "the halves are joined another way",
        'Joined as "{refused}" the flat blank would lie on itself; it is joined as "{centre}".',
        "a blank that lies flat",
        '"{centre}"',
        "Glue the cut edges of both halves together on a flat board.",
    ),
    "G115": Message(
        "an outer bay is a blank of its own",
        "Bay {bay}, from {y} mm outward, does not lie flat with the bay inboard of it and is cut apart.",
        "a blank that lies flat",
        "two blanks",
        "Glue the bays together at that edge.",
    ),
    "G116": Message(
        "panels cross",
        'Nothing is left of panel "{panel}" in bay {bay}: the lines on both sides of it cross.',
        "a panel between its folds",
        "folds that cross",
        "Lower the sweep or the taper of the bay, or move its spar line aft.",
    ),
    "G117": Message(
        "spar longer than the wing",
        "The spar reaches {reach} mm from the centre line, the half is {half} mm long.",
        "at most {half} mm",
        "{reach} mm",
        "Set spar.reach_mm to {half} or less, or leave it out.",
    ),
    "G118": Message(
        "control in the way of the tip cap",
        "The control ends at {outer} mm; the tip cap and 5 mm beside it need the room from {need} mm on.",
        "at most {need} mm",
        "{outer} mm",
        "Set outer_mm to {need} or less, or leave the tip open.",
    ),
    "G119": Message(
        "control narrower than its bevel at the outer end",
        "The hinge bevel takes {bevel} mm of the control and leaves less than 5 mm at its outer end.",
        "at least {need} mm",
        "{value} mm",
        "Make outer_chord_mm {need} mm or more.",
    ),
}
