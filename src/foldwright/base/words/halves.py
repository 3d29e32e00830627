"""Sentences about halves joined at the centre line (G198, G199)."""

from __future__ import annotations

from foldwright.base.message import Message

_BRIDGE = (
    "Let something carry the load across: a spar that runs through, or a joiner glued to both; then tape over"
    " the joint on both faces."
)

CATALOGUE: dict[str, Message] = {
    "G198": Message(
        "halves joined at an angle",
        "Glue the two halves together at the centre line: one lies flat on the table, the tip of the other"
        " stands on a block of {block} mm until the glue is hard.",
        "a block of {block} mm",
        "two halves",
        _BRIDGE,
    ),
    "G199": Message(
        "halves joined level",
        "Glue the two halves together at the centre line, both flat on the table there.",
        "a flat table",
        "two halves",
        _BRIDGE,
    ),
}
