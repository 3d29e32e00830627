"""Sentences about printed work: control horns and linkages (P30-P39), servo frames, rod guides, hinge strips
(P40-P49).
"""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P30": Message(
        "push rod locks",
        "Arm and horn come into line with the rod after {lock}° of the servo's {travel}°, before the trailing"
        " edge is {wanted}° {way}: the arm's hole ({arm} mm) is too far out for a horn of {height} mm.",
        "{wanted}° {way}",
        "locked",
        "Use a hole nearer to the shaft (arm_mm), or a higher horn (height_mm).",
    ),
    "P31": Message(
        "servo travel too small for the throw",
        "At {travel}° of servo travel the trailing edge goes {reached}° {way}; the design asks for"
        " {wanted}°.",
        "{wanted}° {way}",
        "{reached}°",
        "{cure} a hole further out than {arm} mm (arm_mm), or ask for less travel.",
    ),
    "P32": Message(
        "horn out of its usual height",
        "{asks} of horn; from {low:g} to {high:g} mm holds well, and it is made {height} mm.",
        "{low:g} to {high:g} mm",
        "{wished}",
        "{cure}.",
    ),
    "P33": Message(
        "control horn and push rod",
        "{horn}: glue its foot on the outline drawn on the {face} face, its eye over the hinge line. {servo}:"
        " shaft looking {shaft}{end}, its arm {arm_way} at neutral. Wire of {wire} mm, arm hole {arm} mm from"
        " the shaft, horn hole {height:.1f} mm above the board. With the control in line {rod:.1f} mm between"
        " the holes; {neutral}. At the servo's full travel that gives {up} and {down}, from where it"
        " stands at the servo's middle. The arm's hole moving forward takes the trailing edge {pulled}.",
        "arm hole {arm} mm, horn hole {height:.1f} mm",
        "",
        "Set the throws at the transmitter to the card's, and look which way the edge moves before each"
        " flight; keep fingers away from the propeller while you do.",
    ),
    "P34": Message(
        "push rod on the wrong face",
        "The rod between servo and horn would have to pass through {blank}.",
        "servo arm and horn on one face",
        "a rod through the control's own board",
        'Set the horn\'s face to "{face}" in place of "{now}", or let the servo stand further out on that'
        " side.",
    ),
    "P35": Message(
        "way out for a push rod",
        "The push rod of {horn} passes through {blank} at x {x:g}, y {y:g}, z {z:g} mm: cut a slot there"
        " that leaves it 2 mm free all round.",
        "a free rod",
        "",
        "Find its true place with a straight wire from arm to horn, and cut little at a time.",
    ),
    "P36": Message(
        "no such control or servo",
        "{what} {got} is not known here; known: {known}.",
        "a {what} of this design",
        "{got}",
        "Name one of: {known}.",
    ),
    "P37": Message(
        "no room for the horn's foot",
        "The foot of {long} x {wide} mm begins {fore} mm behind the hinge line and does not find room on"
        " {control}: board there ends {most} mm behind the line.",
        "{needs} mm of board behind the hinge line, or another place along it",
        "{most} mm",
        "Move the horn along the control (at_mm), or make the control's chord {needs} mm or more.",
    ),
    "P38": Message(
        "push rod runs too slanted",
        "The rod leaves the plane that arm or horn turn in by {slant}°; a bent wire's end binds beyond"
        " {limit}°.",
        "at most {limit}°",
        "{slant}°",
        "Set the horn's at_mm to {at}, straight behind the arm's hole, move the servo, or use ball links.",
    ),
    "P39": Message(
        "servo arm meets something",
        "While it turns, the arm of {servo} ({arm} mm and its tip) meets {what}, whichever way it is put on.",
        "an arm that turns freely",
        "{what} in the way",
        "Move the servo, or use a hole nearer to the shaft (arm_mm) and cut the arm off behind it.",
    ),
    "P40": Message(
        "servo stands free",
        "{servo} neither passes through nor stands on a board square to its shaft; the nearest one is {gap}"
        " away: there is nothing to glue its frame to.",
        "a board within {limit:g} mm",
        "{gap}",
        "Move the servo on to a board, or leave this fitting out and glue the servo by its side.",
    ),
    "P41": Message(
        "servo lugs beside their frame",
        "The lugs of {servo} lie {lugs} mm {way} the board's face: too far for a frame to carry them, so it"
        " only holds the case, with glue.",
        "lugs {low:g} to {high:g} mm outside the board",
        "{lugs} mm {way}",
        "To screw it, move the servo {move:g} mm {move_way}; else cut the lugs off where they are in the"
        " way.",
    ),
    "P42": Message(
        "servo frame",
        "{frame}: glue its rim on the outline drawn on {blank}; the servo's shaft comes to its end that looks"
        " {end}. {how}",
        "",
        "",
        "Bring the servo to its middle before its arm goes on.",
    ),
    "P43": Message(
        "nothing for a rod guide to stand on",
        "{count} guides of {horn} find board with room for them within {limit:g} mm of the rod; the longest"
        " piece of rod without one is {free} mm, {every:g} mm is asked for, which takes {wanted}.",
        "a guide at least every {every:g} mm",
        "{free} mm",
        "Use a stiffer rod or a tube over its whole length there, or raise every_mm to {free}.",
    ),
    "P44": Message(
        "push rod guide",
        "{guide}: {x:g} mm behind the nose, on {blank}; the tube's middle stands {height:.1f} mm off the"
        " board.",
        "",
        "",
        "Thread all guides on the tube before the first is glued, so that they stand in one line.",
    ),
    "P45": Message(
        "no room for hinge strips",
        "On {control} there is room for {room} of {wanted} hinge strips of {long:g} mm: its hinge line is"
        " {line:g} mm long{why}.",
        "{wanted} strips with gaps between them",
        "{room}",
        "Set count to {room} or less, or make them shorter (long_mm).",
    ),
    "P46": Message(
        "filament breaks as a hinge",
        "{filament} does not stand being bent for ever: hinge strips of it break after a few dozen throws.",
        "a filament that bends, such as {usual}",
        "{filament}",
        'Set filament = "{usual}" for this fitting, or leave it out.',
    ),
    "P47": Message(
        "hinge strips",
        "{control}: glue {count} hinge strips on the outlines drawn on the {face} face, their thin line"
        " exactly on the hinge line, and keep glue off it.",
        "",
        "",
        "Turn the control to both stops before the glue is hard: nothing may pull or bind.",
    ),
    "P48": Message(
        "no push rod to guide",
        "{got} is no control horn of this design that has a push rod.",
        "the id of a fitting of kind horn",
        "{got}",
        "Name one of: {known}.",
    ),
    "P49": Message(
        "no room for a servo frame",
        "The frame of {servo} does not find room on {blank}: {out} mm² of it hangs over the board's edge or"
        " meets other board, with its rim at its narrowest.",
        "room all round the servo",
        "{out} mm² too much",
        "Move the servo away from the edge or wall, or leave the frame out and glue the servo by its side.",
    ),
    "P110": Message(
        "servo travel to the card's ends",
        "{horn}: with its trailing edge {neutral} at the servo's middle ({whose}), {travel}° of servo travel"
        " {way} take it to {reached}; the card's end of the linkage is {end}.",
        "{end}",
        "{reached}",
        "{cure}.",
    ),
    "P111": Message(
        "push rod through what comes off",
        "The push rod of {horn} passes through {blank}, which comes off, at x {x:g}, y {y:g}, z {z:g} mm: it"
        " would hold it, or be bent each time it is taken off.",
        "a rod clear of all that comes off",
        "{blank} in its way",
        "Move the servo, or the horn's at_mm or face, so that the rod passes beside it; else cut a slot in"
        " {blank} from that place to its edge, so that it lifts off over the rod.",
    ),
    "P112": Message(
        "fitting made smaller than asked for",
        "{id}: {key} asks for {got} mm and {given} mm are made: {why}.",
        "{given} mm at most",
        "{got} mm",
        "Set {where} to {given}, or leave it out; or give it more room.",
    ),
    "P114": Message(
        "horn too high",
        "A horn of {got} {how}.",
        "{low:g} to {high:g} mm",
        "{got}",
        "Leave height_mm out, or set it between {low:g} and {high:g} and use a hole of the arm nearer to the"
        " shaft (arm_mm).",
    ),
    "P115": Message(
        "leg splayed too flat",
        "The toe of {leg} stands {got} mm outboard and only {drop} mm below its pad: it splays at the landing"
        " in place of giving way upward.",
        "spread_mm at most {most} mm",
        "{got} mm",
        "Set {where} to {most} or less, or make the leg longer (leg.{leg}.long_mm).",
    ),
    "P116": Message(
        "infill asked for too low",
        "{fittings} would be printed with {got} % infill: {reason}.",
        "{least:g} % or more for {kind}",
        "{got} %",
        "Give --infill {least:g} or more, or leave it out; or name only parts that may be hollow.",
    ),
    "P117": Message(
        "neutral beyond the hinge",
        "neutral_mm asks for the trailing edge {got} mm {way} at the servo's middle; a control {chord} mm"
        " deep gets to {most} mm before its hinge closes or it works no more.",
        "{most} mm at most",
        "{got} mm",
        "Set {where} to what the setup card calls the neutral, or leave it out.",
    ),
}
