"""Sentences of the rules on drive, speeds, modes and launch."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "T30": Message(
        "level flight at cruise",
        "Fastest level flight: {top}; cruise at {speed} m/s: {throttle}.",
        "cruise within what motor, cells and propeller give",
        "{top}",
        "Lower the cruise speed, or fit a propeller of more pitch, a motor of more speed or more cells.",
    ),
    "T31": Message(
        "speeds above the stall",
        "{what} at {speed} m/s is {ratio} times the stall speed {stall} m/s ({low} to {high}).",
        "at least {least} times, {wanted} m/s",
        "{ratio} times",
        "Raise it to {wanted} m/s, or make the aeroplane lighter or its wing larger.",
    ),
    "T32": Message(
        "current of the motor",
        "Full throttle at rest draws {current} A (up to {high} A) of each motor.",
        "at most {most} A",
        "{current} A",
        "Fit a propeller of less diameter or pitch, a motor of more current, or keep below full throttle.",
    ),
    "T33": Message(
        "current of the controller",
        "Full throttle at rest draws {current} A; the controller takes {takes} A.",
        "a controller for {wanted} A, a quarter more",
        "{takes} A",
        "Fit a controller for {wanted} A or more, or a smaller propeller.",
    ),
    "T34": Message(
        "climb at launch",
        "Full throttle at launch speed climbs at {angle}° ({low}° to {high}°), {rate} m/s.",
        "at least 5°",
        "{angle}°",
        "Fit more thrust, make it lighter, or throw faster.",
    ),
    "T35": Message(
        "leaving the hand",
        "{how}; {share} % of throws do so unaided, everything that is not known left open.",
        "some throttle and trim that climb away, and 15 % of throws",
        "{how}",
        "Throw faster, fit more thrust, make it lighter, or move the balance point forward.",
    ),
    "T36": Message(
        "short period",
        "Pitching {moves}.",
        "damping from {low} to {high}",
        "{got}",
        "Change the static margin: more makes it quicker and less damped.",
    ),
    "T37": Message(
        "phugoid",
        "The slow motion of speed and height {moves}.",
        "damping of at least {least}",
        "{got}",
        "It is slow enough to be steered; more drag damps it.",
    ),
    "T38": Message(
        "Dutch roll",
        "Wagging and rolling swings at {period} s with damping {damping}.",
        "damping of at least {least}, no slower than {slowest} s",
        "{damping} at {period} s",
        "Give it more fin or less dihedral.",
    ),
    "T39": Message(
        "roll and spiral",
        "Roll settles in {roll} s; left alone in a bank it {spiral}.",
        "roll within {slow} s; doubling in no less than {double} s",
        "{roll} s, {spiral}",
        "Give it more dihedral, or less fin.",
    ),
}
