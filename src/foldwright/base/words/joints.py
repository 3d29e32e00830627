"""Sentences of the joints' findings (G60-G79)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G60": Message(
        "nothing under the tabs",
        "The tabs of {where}, at x {x}, y {y} and z {z} mm, meet no face of {other}, which reaches from"
        " x {x0} to {x1} mm, from y {y0} to {y1} mm and from z {z0} to {z1} mm.",
        "a face of {other} that the middle of the root edge comes to",
        "none there, or one more than {far} mm away",
        "Move the part over {other}, or name another part in the joint.",
    ),
    "G61": Message(
        "slot too near an edge",
        "A slot for {where} leaves {left} mm of board at the edge or fold of {other}'s panel {panel}.",
        "at least {least} mm",
        "{left} mm",
        "Move the part, or shift its tabs with from_mm and to_mm.",
    ),
    "G62": Message(
        "root edge across a slope",
        "{where} stands on the panel {panel}, which slopes by {slope}° {way}; its root edge would gape.",
        "at most {limit}°",
        "{slope}°",
        "Move the part to a flatter panel, such as a level trailing part.",
    ),
    "G63": Message(
        "tabs do not fit the root edge",
        "{tabs} tabs of {length} mm do not fit a root edge of {run} mm with 5 mm between them.",
        "tabs of at most {most} mm",
        "{length} mm",
        "Use fewer or shorter tabs, or a longer root edge; a root edge lies at second axis 0.",
    ),
    "G64": Message(
        "tabs on a part that is no plate",
        "Joint {where} gives tabs to {part}, which is not a plate.",
        "the plate first, the part with the slots second",
        "{part} first",
        "Name the plate first in the joint's parts.",
    ),
}
