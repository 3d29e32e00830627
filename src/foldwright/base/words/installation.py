"""Sentences about equipment: wired, reached, cooled, and out of the way of camera and radio."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "I10": Message(
        "plug and opening",
        "The plug of {wire}, {width} x {height} mm, meets {gap}, which is {room} mm.",
        "a plug that passes",
        "{more} mm too large",
        "Widen {gap} by {more} mm, lead the wire another way, or solder the plug on afterwards.",
    ),
    "I11": Message(
        "wire through nothing",
        "{where} names {name}, which is no opening and no former's hole of the aeroplane.",
        "one of: {known}",
        "{name}",
        "Write one of: {known}.",
    ),
    "I12": Message(
        "wire to nothing",
        "{where} names {name}, which is neither battery nor motor nor a piece of equipment.",
        '"battery", "motor" or the id of a piece of equipment',
        "{name}",
        "Write the id of what the wire is joined to.",
    ),
    "I13": Message(
        "length of a lead",
        "From {one} to {other} the lead has to be {needed} mm long, bends counted; {there} mm are there.",
        "at least {needed} mm",
        "{there} mm",
        "{help}.",
    ),
    "I14": Message(
        "way for a tool",
        "The tool that reaches {name} comes from {way}; in its way: {board}.",
        "nothing in the way, hatches off",
        "{board}",
        "Cut an opening there, turn {name} round, or make that board a hatch.",
    ),
    "I15": Message(
        "camera's view",
        "{pct} % of the picture of {name} is hidden, most of it by {what}.",
        "at most {limit} %",
        "{pct} %",
        "Move the camera forward, turn it away, or cut the board back.",
    ),
    "I16": Message(
        "antenna near what disturbs it",
        "An antenna of {name} passes {what} at {distance} mm.",
        "at least {least} mm",
        "{distance} mm",
        "Lead the antenna out elsewhere, or move {what}.",
    ),
    "I17": Message(
        "two antennas",
        "Two antennas of {name} stand at {angle}° to each other.",
        "from {low:.0f} to {high:.0f}°",
        "{angle}°",
        "Turn one of them: square to each other, one of the two always hears.",
    ),
    "I18": Message(
        "air path",
        "The equipment gives off {heat} W; the body has {inlet} mm² of inlet and {outlet} mm² of outlet.",
        "an inlet of {need} mm² and an outlet of {need_out} mm²",
        "{inlet} and {outlet} mm²",
        "Add an inlet ahead of it of {need} mm² and an outlet behind it of {need_out} mm².",
    ),
    "I19": Message(
        "regulator's load",
        "What hangs on the regulator of {name} (servos, receiver, more) draws up to {drawn} A of {given} A.",
        "at most {given} A",
        "{drawn} A",
        "Fit a controller with a stronger regulator, smaller servos, or a regulator of its own.",
    ),
    "I20": Message(
        "controller and motor",
        "{name} takes {takes} A; the motor may draw {peak} A.",
        "at least {need} A, a quarter more than the motor's peak",
        "{takes} A",
        "Fit a larger controller, or a smaller propeller and a motor that draws less.",
    ),
    "I21": Message(
        "room kept free",
        "{other} reaches {depth} mm into the room that {name} keeps round itself.",
        "nothing there",
        "{depth} mm",
        "Move one of them.",
    ),
}
