"""Sentences about setup tools (P70-P74), coupons and `workshop set` and `measure` (P80-P89)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P70": Message(
        "tool lower than it should be",
        "The {what} should be {wanted} mm high; with a bed of which {room} mm can be used it is made {made}"
        " mm high.",
        "{wanted} mm",
        "{made} mm",
        "Stand it on level blocks of {rest} mm, all feet alike, or print it where the bed is larger and set"
        " printer.bed_mm to that.",
    ),
    "P71": Message(
        "balance stand without a stop",
        "The stop for the leading edge would reach {ahead} mm ahead; with {room} mm of bed it is left off.",
        "{ahead} mm of arm",
        "{room} mm of bed",
        "Lay the balance marks under the wing over the grooves instead, or print it where the bed is larger"
        " and set printer.bed_mm to that.",
    ),
    "P72": Message(
        "balance stand without bars",
        "The bars of the balance stand, {high} mm high, do not go on a bed of which {room} mm can be used.",
        "a bed for strips {high} mm high",
        "{room} mm",
        "Glue the plates to two strips of board {apart} mm apart, middle to middle, or print the bars where"
        " the bed is larger and set printer.bed_mm to that.",
    ),
    "P73": Message(
        "tool larger than the bed",
        "The {what} is {size} mm and does not go on a bed of {room} mm, nor in pieces.",
        "a bed that takes it",
        "{size} mm",
        "Print it where the bed is larger and set printer.bed_mm to that, or work from the figures:"
        " {figures}.",
    ),
    "P74": Message(
        "balance stand under what hangs",
        "Tipped by {tip}° on the balance stand, {what} runs into its plates, which stand {apart} mm apart.",
        "a place under the wing where nothing hangs",
        "{what}",
        "Take {what} off for balancing and lay its weight where it sat, or tip the aeroplane by hand with the"
        " balance marks on two fingertips.",
    ),
    "P80": Message(
        "no printer, no clearance gauge",
        "The workshop has no [printer], so no clearance gauge is made.",
        "",
        "",
        "Add [printer] with bed_mm to the workshop file if there is one.",
    ),
    "P81": Message(
        "coupon larger than sheet or bed",
        "The {name} is {size} mm; sheet and cutter together take {room} mm.",
        "no more than {room} mm",
        "{size} mm",
        "Cut its pieces one by one: each is an outline of its own in the drawing.",
    ),
    "P82": Message(
        "reading that cannot be",
        "{what} reads {got}; {why}.",
        "{expected}",
        "{got}",
        "Measure again, against a square where legs meet, and give the figures in mm and degrees.",
    ),
    "P83": Message(
        "not a key of the workshop file",
        "{where} is not a key that `workshop set` can write; {nearest} comes nearest.",
        "a key such as cutter.kerf_mm",
        "{got}",
        "Write {nearest}, or see all keys with `foldwright schema workshop`.",
    ),
    "P84": Message(
        "clearance without a printer",
        "The workshop has no [printer], so there is no clearance to set.",
        "a [printer] table in the workshop file",
        "none",
        "Add [printer] with bed_mm of the printer that made the gauge, then give the reading again.",
    ),
}
