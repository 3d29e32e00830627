"""Sentences of the rules on sticks, servos, side wind and landing."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "T40": Message(
        "answer in roll",
        "{says}.",
        "{bank}° within {within} s, {wanted}°/s",
        "{time}",
        "Give those controls more travel, more chord or more span, or ask for a lower roll_rate_deg_s."
        " Without ailerons more dihedral or a larger rudder helps.",
    ),
    "T41": Message(
        "answer in pitch",
        "Full stick back pulls {load} g in cruise ({low} to {high}); the stall comes at {top} g.",
        "{wanted} g, which takes {part} % of the stick",
        "{load} g",
        "Give the pitch control more travel or chord, or ask for a lower pitch_load_g.",
    ),
    "T42": Message(
        "pitch control in slow flight",
        "Full up holds a lift coefficient of {held} without power. It reaches the stall in {glide} % of the"
        " samples without power and in {power} % at full throttle, where the control is {strength} times as"
        " strong.",
        "at least {wanted}, that of the approach",
        "{held}",
        "Give the pitch control more travel up, more chord or more span, or move the balance point aft within"
        " its limits.",
    ),
    "T43": Message(
        "rates and expo",
        "Full {stick} gives {ratio} times the answer wanted: low rate {rate} %, and {expo} % expo on the full"
        " one.",
        "no more than {most:.0f} times",
        "{ratio} times",
        "Take travel off at the linkage: rates only hide it, and the servo's steps grow coarse.",
    ),
    "T44": Message(
        "two sticks on one control",
        "{control}: {first} and {second} as wanted ask for {used} % of its travel at once, both sticks full"
        " for {full} %.",
        "at most 100 % as wanted",
        "{used} %",
        "Give the control more travel, or ask for less of one of them. Where both sticks are full the"
        " transmitter must stop at the linkage's ends.",
    ),
    "T45": Message(
        "torque of the servo",
        "{servo} gives {torque} N cm (up to {high}) to hold {control} at full throw and top speed, {part} %"
        " of its {stall} N cm; {gear}° of the control for each degree of the servo.",
        "a third of its torque at most",
        "{part} %",
        "Fit a servo of {wanted} N cm or more, use less travel with a shorter servo arm or a longer horn, or"
        " make the control narrower.",
    ),
    "T46": Message(
        "wind from the side",
        "Full {stick} control holds {held} m/s from the side at launch speed ({low} to {high}), {slip}° of"
        " sideslip. A throw across {launch} m/s begins with 15°.",
        "{across} m/s, the wind of first flights ({first} m/s) from 45° off the nose",
        "{held} m/s",
        "Throw into the wind, keep to less of it, or give those controls more travel.",
    ),
    "T47": Message(
        "approach and flare",
        "Approach at {approach} m/s sinks at {sink} m/s without power; full up {ends}."
        " Without a flare the ground takes {energy} J.",
        "within {most:.0f} m",
        "{height}",
        "Give the pitch control more travel up, approach with some power, or make it lighter.",
    ),
}
