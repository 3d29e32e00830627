"""Sentences of motor mounts, battery stops, hatch catches and payload carriers, and of the keys that fittings
name.
"""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P10": Message(
        "room for the motor mount",
        "Between {blank} and the motor's mounting face there are {room} mm, the mount needs {need} mm.",
        "{need} mm: its plate under the screws and its foot",
        "{room} mm",
        "Set motor.x_mm to {x} (the propeller plane), or move {blank} {way} by {by} mm, or make the mount"
        " thinner: fitting.{id}.plate_mm, fitting.{id}.foot_mm.",
    ),
    "P11": Message(
        "mount within the former",
        "The motor mount wants {wide} x {high} mm on {blank}; from the thrust line it has to reach {need} mm"
        " {side}, and there are {room} mm as far as the edge or the next board.",
        "{need} mm, and {gap} mm of air all round",
        "{room} mm",
        "Make the body there {lack} mm larger on that side, or move the thrust line by as much the other way"
        " (motor.z_mm, motor.y_mm), or take a motor with a smaller screw circle, or a smaller"
        " fitting.gap_mm.",
    ),
    "P12": Message(
        "mount stands the heat",
        "{filament} softens at {softens:g} °C; a motor's foot gets warmer than that after a long climb.",
        "a filament that softens above {least:g} °C",
        "{softens:g} °C",
        "Leave `filament` out, or take PETG, ASA or polyamide.",
    ),
    "P13": Message(
        "former under the motor",
        "The thrust line meets no former that could carry the mount, with the propeller plane beyond it.",
        "a former across the thrust line, of role motor, or named in `former`",
        "{known}",
        'Give the body a former with role = "motor" behind the motor, or name one; move motor.y_mm or'
        " motor.z_mm until the thrust line passes through it.",
    ),
    "P14": Message(
        "screw pattern of the motor",
        "The stock does not say where the screws of {motor} are.",
        "bolts_mm: diameter of the screws' circle and angle of each screw",
        "none",
        "Measure the motor and put bolts_mm, bolt_mm and shaft_mm into your own stock file.",
    ),
    "P15": Message(
        "length of the stand-off",
        "The mount is {long} mm long from {blank} to the motor; so long a stand-off shakes.",
        "{most:g} mm at most",
        "{long} mm",
        "Move the former toward the motor, or motor.x_mm toward the former.",
    ),
    "P16": Message(
        "motor mount",
        "{id}: put the motor on first, with {screws} screws M{size} about {long} mm long from the pocket; its"
        " arrow up, {says}. Then fix the foot to this former, its middle on the cross named thrust-line,"
        " {how}. Keep the propeller off until the aeroplane is finished.",
    ),
    "P120": Message(
        "motor mount, screwed on",
        "{id}: its {screws} screws M{size}, about {long} mm long, go through holes of {hole} mm at the"
        " crosses named screw in this former and into nuts on the printed backing plate behind it. A"
        " drop of glue holds plate and nuts, none the mount, so that mount and motor come off again.",
    ),
    "P121": Message(
        "motor mount, glued for good",
        "{id}: there is no room for screws on both sides of the thrust line. The motor has to be screwed on"
        " before the mount is glued, and runs the right way round: glued on with epoxy over the whole foot it"
        " stays for good, and the motor's screws cannot be reached any more without cutting it off.",
    ),
    "P122": Message(
        "way of the motor's leads",
        "{id}: cut a hole of {wide} x {high} mm through this former where the line named lead is, before"
        " the mount goes on: the motor's leads go down through the mount's notch and on through it. Round its"
        " edges, so that nothing rubs the leads.",
    ),
    "P123": Message(
        "battery stop, where it may stand",
        "{id}: with its wall at x = {fore} to {aft} mm all of its foot lies on {blank}, nothing in its way;"
        " the battery's {face} face may stand from {first} to {last} mm. Beyond that, saw off what runs into"
        " something, and glue a scrap of board under the end of {blank} to carry what hangs over.",
    ),
    "P20": Message(
        "floor for the battery stop",
        "At x = {x} mm there is no board for the battery stop to be glued to, within {most:g} mm below the"
        " battery.",
        "a tray or floor that the battery stands on",
        "{got}",
        "Set battery.z_mm so that the battery stands on its tray, or let the tray reach there, or leave the"
        " stop out.",
    ),
    "P21": Message(
        "room for the battery stop",
        "At x = {x} mm the battery stop has {wide} mm across and {high} mm of height.",
        "{least:g} mm across and {low:g} mm high",
        "{wide} x {high} mm",
        "Give it room there, or set battery.slide_from_mm and slide_to_mm further from what is in its way.",
    ),
    "P22": Message(
        "battery stop",
        "{id}: glue it ahead of the mark battery-front, its wall on the mark, once the balance has been tried"
        " with the battery there.",
    ),
    "P23": Message(
        "battery stop",
        "{id}: glue it so that its wall stands {behind} mm behind the mark battery-front, once the balance"
        " has been tried with the battery there.",
    ),
    "P24": Message(
        "hatch of the catch",
        "The aeroplane has no deck {deck}.",
        "a deck of a body, such as body.hatch",
        "{deck}",
        "Name a hatch of the design.",
    ),
    "P25": Message(
        "wing behind the hatch",
        "The rear edge of {deck} is at x = {x} mm: {got}.",
        "a leading edge of the main wing within {most:g} mm behind the hatch",
        "{got}",
        "Let the hatch reach further aft (its to_mm), or hold it with magnets or tape and leave the catch"
        " out.",
    ),
    "P26": Message(
        "tongue under the wing",
        "The wing's under face lies {rise} mm above the under face of {deck}; the tongue has to rise between"
        " hatch and wing, where there are {gap} mm.",
        "{need} mm between hatch and wing",
        "{gap} mm",
        "End the hatch further forward (its to_mm) by the difference.",
    ),
    "P27": Message(
        "way of the tongue",
        "{blank} stands between hatch and wing: the tongue runs into it.",
        "free way for the tongue under the leading edge",
        "board",
        "Cut a notch {wide:g} mm wide and {deep} mm deep into its upper edge, as marked catch-notch, or move"
        " the former behind x = {x} mm.",
    ),
    "P28": Message(
        "hatch catch",
        "{id}: glue the pad under the hatch, at the middle of its rear edge; the tongue reaches {tongue} mm"
        " past it.",
    ),
    "P17": Message(
        "room for the payload carrier",
        "The carrier of {holds} wants {need} mm {way}, there are {have} mm.",
        "{need} mm",
        "{have} mm",
        "{cure}.",
    ),
    "P18": Message(
        "payload within the carrier's load",
        "{holds} weighs {mass} g, {over} g more than its carrier is meant for.",
        "{most:g} g at most",
        "{mass} g",
        "Carry something lighter, or set fitting.{id}.most_g to {need} with a thicker floor"
        " (fitting.{id}.floor_mm 2.4 or more) and static-test it with three times the load.",
    ),
    "P19": Message(
        "floor under the payload",
        "There is no floor for a carrier under {holds}, or nothing of that name is fitted.",
        "a payload within the body, over its floor",
        "none",
        "Name a piece of equipment or a payload bay that stands over the body's floor.",
    ),
    "P29": Message(
        "payload carrier",
        "{id}: put the carrier with {holds} on its rail {travel} mm too far {tab}, slide it {home} until the"
        " holes meet, and push the pin in. Pull at it: it must not move.",
    ),
    "F70": Message(
        "name of a fitting's key",
        "{file}: there is no {what} {got}.",
        "a {what} of this design: {known}",
        "{got}",
        "{cure}.",
    ),
    "F71": Message(
        "kind of what a fitting names",
        "{file}: {got} is a {found}, not a {wanted}.",
        "a {wanted}: {known}",
        "a {found}",
        "{cure}.",
    ),
    "F72": Message(
        "solid fittings",
        "{file}: {reason}; at {got} % infill this one would.",
        "{least:g} % or more, or the key left out",
        "{got} %",
        "{cure}.",
    ),
    "F73": Message(
        "fittings in one place",
        "{file}: this fitting and {other} both {does}.",
        "one of them",
        "two",
        "Take one of them out.",
    ),
}
