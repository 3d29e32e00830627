"""Sentences of the balance findings."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "B01": Message(
        "Battery longer than its bay",
        "The battery {battery} is {length} mm long and does not go between the ends of its slide.",
        "a battery that goes into the bay",
        "{length} mm",
        "Take a shorter battery, or set battery.slide_from_mm and battery.slide_to_mm further apart.",
    ),
    "B02": Message(
        "No first-flight window",
        "With the neutral point's uncertainty taken off, the aft limit for first flights ({aft} mm behind the"
        " leading edge) lies ahead of the forward limit ({forward} mm).",
        "a forward limit ahead of the aft limit",
        "forward limit {forward} mm, aft limit {aft} mm",
        "Allow a greater static margin with targets.static_margin_most_pct, or narrow"
        " assumptions.neutral_point_shift_pct if you know the neutral point better.",
    ),
}
