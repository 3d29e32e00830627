"""Sentences of the readback findings (R01-R19)."""

from __future__ import annotations

from foldwright.base.message import Message

_AGAIN = "Write the plan set again, and use no sheet of this one."

CATALOGUE: dict[str, Message] = {
    "R01": Message(
        "file missing or changed",
        "{where} should be {expected}; it is {got}.",
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
        "The plan set {where} is not written: its folder holds files that are none of its own ({others}), "
        "and writing replaces all that is in it.",
        "a folder with a plan set in it and nothing else, or none",
        "",
        "Move them to another place, or give --out another folder.",
    ),
    "R14": Message(
        "other files beside the plan set",
        "{where}: no part of the plan set, and not compared.",
        "",
        "",
        "Leave them, or move them away before the plan set is written again.",
    ),
    "R15": Message(
        "figures differ from the design file",
        "{where} differs from what the plan set's own design, workshop and stock files give: {got}.",
        "",
        "",
        _AGAIN,
    ),
    "R16": Message(
        "drawn file differs from the design file",
        "{where}: not what the plan set's own design, workshop and stock files give when drawn again.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R17": Message(
        "plan set cannot be made again",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R18": Message(
        "not made again here",
        "{where}: {got}, so that it was not made again here; the sheets have been folded all the same.",
        "{expected}",
        "{got}",
        "Read it back with the same versions to compare the rest too.",
    ),
}
