"""Sentences about the print set and the command that prints (P01-P09), and its readback (R19-R29)."""

from __future__ import annotations

from foldwright.base.message import Message

_AGAIN = "Write the plan set again, and print nothing of this one."

CATALOGUE: dict[str, Message] = {
    "P01": Message(
        "template of a blank that is none",
        "The workshop asks for {kind} for {got}, and this design has no blank of that name.",
        "a blank of the design, such as {nearest}",
        "{got}",
        'Write "{first}", or leave the line as it is where it is meant for another design.',
    ),
    "P02": Message(
        "blank traced with another's plate",
        "{got} is traced with the plate of {blank}{turned}: {kind} is {heeded}.",
        "",
        "",
        "Name {blank} in template.only; the plate serves {names}.",
    ),
    "P03": Message(
        "no printed templates",
        "No template is printed for {what}: {why}.",
        "",
        "",
        "{cure}",
    ),
    "P04": Message(
        "no printer in the workshop",
        "The workshop has no [printer]: {count} fitting(s) are written with usual settings, templates are on "
        "paper only, and no tools or coupons are made.",
        "",
        "",
        "Give the workshop a [printer] with its bed_mm, or have the fittings printed elsewhere and check "
        "there that {clearance} mm of clearance suits that printer.",
    ),
    "P05": Message(
        "solid not sound",
        "The solid of {title} cannot be printed: {faults}.",
        "a closed solid of {bodies} body or bodies",
        "{faults}",
        "Change the sizes of {where}: walls thinner than nothing, or holes that cut it in two, are the usual "
        "cause.",
    ),
    "P06": Message(
        "larger than the printer's bed",
        "{title} is {size} mm as it is printed; the bed takes {room} mm, whichever way it is turned, with "
        "{margin} mm left free along its edges.",
        "no more than {room} mm",
        "{size} mm",
        "Print it on a bed of at least {needs} mm (printer.bed_mm), leave less free (printer.margin_mm), or "
        "make {where} smaller.",
    ),
    "P07": Message(
        "mass of a fitting not as reckoned",
        "{title}: the balance reckons with {value:.2f} g of plastic, its solid takes {limit:.2f} g.",
        "within 0.5 g or 10 %",
        "{off:.2f} g apart",
        "A fault of the tool, not of the design: change a size of {where}, and tell us what it was.",
    ),
    "P08": Message(
        "printed otherwise than the plan set",
        "{says}: these prints differ from those of the plan set, and the balance of the plan set does not "
        "know of them.",
        "",
        "",
        "To keep it, write it into {keys}.",
    ),
    "P09": Message(
        "option cannot be used",
        "{where}: {why}.",
        "{expected}",
        "{got}",
        "{cure}",
    ),
    "R19": Message(
        "printed thing missing or not as listed",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R20": Message(
        "printed solid not sound",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R21": Message(
        "printed thing over the bed",
        "{where}: the bed allows {expected}, it takes {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R22": Message(
        "template differs from its blank",
        "{where}: expected {expected}, got {got} (limit {limit} mm).",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R23": Message(
        "line that the template does not guide",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R24": Message(
        "mount's thrust axis differs",
        "{where}: the design says {expected}, the printed mount gives {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R25": Message(
        "holes of the mount out of place",
        "{where}: expected {expected}, got {got} (limit {limit} mm).",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R26": Message(
        "dummy differs from its payload",
        "{where}: the payload has {expected}, the dummy {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R27": Message(
        "mass or settings of a print differ",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R28": Message(
        "3MF and STL differ",
        "{where}: expected {expected}, got {got}.",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
    "R29": Message(
        "fitting not where it belongs, or of the other hand",
        "{where}: expected {expected}, got {got} (limit {limit} {unit}).",
        "{expected}",
        "{got}",
        _AGAIN,
    ),
}
