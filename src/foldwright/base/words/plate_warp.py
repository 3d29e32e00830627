"""Sentences about twist in a wing of single board, and its spar where it bends (G200-G205)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G200": Message(
        "washout is set while the glue dries",
        "At {y} mm from the centre line bay {bay} has {washout}° of washout. With the inner end of the bay"
        " flat on the building board, a block of {block} mm under the {edge} edge there twists it: glue"
        " {what} with the wing on that block, the same on both sides.",
        "a block of {block} mm",
        "flat board, cut without twist",
        "Weight the wing down on the block and leave it until the glue is hard.",
    ),
    "G201": Message(
        "single board does not hold a twist",
        "Bay {bay} is to be twisted by {turn}° between its ends; nothing there holds it{short}, and"
        " single board springs back.",
        "a spar, a doubler or a camber fold out to {need} mm or more",
        "{turn}° of twist in bare board",
        "Add a spar, a doubler or a camber fold that reaches {need} mm or more from the centre line, or set"
        " washout_deg of the bay to {flat}.",
    ),
    "G202": Message(
        "the spar is cut where the wing bends",
        "The spar is cut {place}, where its lengths meet at an angle of {bend}. Glue a joiner across the cut,"
        " of steel wire bent to that angle or of plywood cut to it, beside the spar and bound to both"
        " lengths: {long} mm long in all, half of it on either side.",
        "a joiner of {long} mm",
        "two lengths that end at the cut",
        "Bend or cut the joiner to {bend} before the spar goes in.",
    ),
}
