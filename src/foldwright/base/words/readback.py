"""Sentences of the readback findings (R01-R19)."""

from __future__ import annotations

from foldwright.base.message import Message

_AGAIN = "Write the plan set again, and use no sheet of this one."

CATALOGUE: dict[str, Message] = {
    "R01": Message(
        "file missing or changed",
        "{where}: {expected} was expected, it is {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R02": Message("file not readable", "{where} cannot be read: {got}.", "{expected}", "{got}", _AGAIN),
    "R03": Message(
        "outline differs",
        "{where}: expected {expected}, got {got} (limit {limit} mm).",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R04": Message(
        "fold missing or out of place",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R05": Message(
        "mark missing or out of place",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R06": Message(
        "line that belongs to nothing", "{where}: {got}; {expected}.", "{expected}", "{got}", _AGAIN
    ),
    "R07": Message(
        "mass or balance differs",
        "{where}: the card says {expected}, the sheets fold to {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R08": Message(
        "page not at true scale", "{where}: expected {expected}, got {got}.", "{expected}", "{got}", _AGAIN
    ),
    "R09": Message(
        "blank missing from the sheets",
        "{where}: expected {expected}, found {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R10": Message(
        "blank cannot be rebuilt", "{where}: expected {expected}, got {got}.", "{expected}", "{got}", _AGAIN
    ),
    "R11": Message(
        "plan set not written",
        "The plan set of {where} is not written: {why}.",
        "a design without a no-go",
        "{why}",
        "Cure the findings that are no-go, then write the plan set again.",
    ),
    "R12": Message(
        "holes of both sides differ",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R13": Message(
        "other files in the plan set's folder",
        "The plan set of {where} is not written: its folder holds files of yours ({others}), and all that is "
        "in it would be replaced.",
        "a folder with a plan set in it, or none",
        "{others}",
        "Move them to another place, or give --out another folder.",
    ),
}
