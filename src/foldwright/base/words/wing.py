"""Sentences of the folded wing's findings (G20-G39)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G20": Message(
        "front slope too steep",
        "A spar of {h} mm only {d} mm behind the leading edge needs a front slope of {asked}°"
        " (limit {limit}°).",
        "a front slope of at most {limit}°",
        "{asked}°",
        "Lower the spar to {lower} mm, or move it {back} mm aft.",
    ),
    "G21": Message(
        "spar at the nose",
        "The spar stands {d} mm behind the leading edge; two boards of {t} mm meet there.",
        "at least {least} mm",
        "{d} mm",
        "Move the spar to {least} mm or further aft.",
    ),
    "G22": Message(
        "spar too low for this nose",
        "A spar of {h} mm lies below what this nose leaves under the front panel.",
        "a front slope above 0°",
        "a slope of 0° or less",
        "Raise the spar, or use a slit nose.",
    ),
    "G23": Message(
        "board spar too low to cut",
        "The flat-topped spar would stand only {stands} mm high under the ridge (least {least} mm).",
        "at least {least} mm",
        "{stands} mm",
        "Raise the spar height to {need} mm.",
    ),
    "G24": Message(
        "under strip too short",
        "The under strip ends {aft} mm behind the leading edge, the spar stands at {d} mm.",
        "at least {need} mm",
        "{aft} mm",
        "Let the strip run to {need} mm.",
    ),
    "G25": Message(
        "aft slope too steep",
        "The upper skin comes down behind the spar at {asked:.1f}° (limit {limit}°).",
        "at most {limit}°",
        "{asked:.1f}°",
        "Let the strip run to {need} mm, or lower the spar to {lower} mm.",
    ),
    "G26": Message(
        "under strip runs past the wing",
        "The under strip ends at {end} mm of a chord of {chord} mm and leaves no trailing part.",
        "at least 5 mm of trailing part",
        "{end} mm",
        "Shorten the strip or its glue land.",
    ),
    "G27": Message(
        "glue land without a level trailing part",
        "The strip can run on as a glue land only under a level trailing part.",
        'trailing.kind = "level"',
        "a straight aft panel",
        "Use a level trailing part, or set strip.runs_on = false.",
    ),
    "G28": Message(
        "nose strip too narrow",
        "The narrow nose strip of {s} mm is less than its two mitres take.",
        "at least {need} mm",
        "{s} mm",
        "Make nose.strip_height_mm {need} mm.",
    ),
    "G29": Message(
        "hinge ahead of the strip edge",
        "A control of {chord} mm chord has its hinge at {hinge} mm; the double skin ends at {strip} mm.",
        "a control chord of at most {need} mm",
        "{chord} mm",
        "Make the control's chord {need} mm or less, or end the strip further forward.",
    ),
    "G30": Message(
        "hinge bevel clears too little",
        "{asked}° of travel asked, the bevel clears {clears}°.",
        "a bevel of at least {asked}°",
        "{clears}°",
        "Set bevel_limit_deg to {asked} or more, or ask for less travel.",
    ),
    "G31": Message(
        "control beyond the wing tip",
        "The control's outer end lies beyond the half span of {half} mm.",
        "at most {half} mm",
        "{value} mm",
        "Set outer_mm to {half} or less.",
    ),
    "G32": Message(
        "control narrower than its bevel",
        "The hinge bevel takes {bevel} mm of the control and leaves less than 5 mm.",
        "at least {limit} mm",
        "{value} mm",
        "Make the control's chord {limit} mm or more.",
    ),
    "G33": Message(
        "control shorter than a bridge",
        "Between its two end gaps of {gap} mm the control is {left} mm long.",
        "at least {limit} mm",
        "{left} mm",
        "Set outer_mm to {need} or more, or end_gap_mm to {less}.",
    ),
}
