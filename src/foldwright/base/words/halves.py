"""Sentences about halves joined at the centre (G198, G199) and bays that are blanks of their own (G34-36)."""

from __future__ import annotations

from foldwright.base.message import Message

_BRIDGE = (
    "Let something carry the load across: a spar that runs through, or a joiner glued to both; then tape over"
    " the joint on both faces."
)

_BAYS = f"Join the left side likewise. {_BRIDGE}"

CATALOGUE: dict[str, Message] = {
    "G34": Message(
        "bay joined at an angle",
        "Glue {outer} to {inner}, {y} mm from the centre line: the bay inboard of the joint lies flat on the"
        " table, the outer end of {outer} stands on a block of {block} mm until the glue is hard.",
        "a block of {block} mm",
        "two blanks",
        _BAYS,
    ),
    "G35": Message(
        "bay joined level",
        "Glue {outer} to {inner}, {y} mm from the centre line, both flat on the table there.",
        "a flat table",
        "two blanks",
        _BAYS,
    ),
    "G36": Message(
        "bay joined drooping",
        "Glue {outer} to {inner}, {y} mm from the centre line: the bay inboard of the joint lies flat on a"
        " board of {block} mm that ends under the joint, the outer end of {outer} rests on the table until"
        " the glue is hard.",
        "a board of {block} mm",
        "two blanks",
        _BAYS,
    ),
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
