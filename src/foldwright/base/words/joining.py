"""Sentences of the joints' findings and of their notes for the builder (G160-G179)."""

from __future__ import annotations

from foldwright.base.message import Message

_SLOTS: dict[str, Message] = {
    "G160": Message(
        "slot in a control",
        "A slot for {where} lies in {control}, which moves.",
        "a slot in a panel of {other} that does not move",
        "one in {control}",
        "Move the part off the control or shorten the control; from_mm and to_mm shift the tabs.",
    ),
    "G161": Message(
        "slot too near another hole",
        "A slot for {where} leaves {left} mm of board to another hole of {other}'s panel {panel}.",
        "at least {least} mm",
        "{left} mm",
        "Move the part, or shift its tabs with from_mm and to_mm.",
    ),
    "G162": Message(
        "plate runs into a panel",
        "Seated on {other}, {where} runs {depth} mm into its panel {panel} beside the slots.",
        "a root edge that lies on one flat panel",
        "{depth} mm of overlap, more than the {press} mm that foam gives",
        "Move the part so that its whole root edge lies on one panel, or cut its outline clear of {panel}.",
    ),
}

_THROUGH: dict[str, Message] = {
    "G163": Message(
        "bridge too small",
        "The slot for the wing leaves {left} mm of the body's {side} {where_to} it at x = {x} mm.",
        "at least {least} mm above and below",
        "{left} mm",
        "{move} the wing by {shift} mm, or make the body that much higher there.",
    ),
    "G164": Message(
        "slot runs out of the body",
        "The slot for the wing runs {out} mm past the {end} end of the body's {side}, x = {x} mm.",
        "a slot that is closed all round",
        "open at the {end}",
        "Move the wing {way} by {shift} mm, or use a saddle.",
    ),
    "G165": Message(
        "deck in the wing's way",
        "{name} runs from x = {start} to {stop} mm; the wing goes through it from x = {first} to {last} mm.",
        "nothing between the sides where the wing goes through",
        "{overlap} mm in the wing's way",
        "End it at x = {ahead} mm, let it begin at {behind} mm, or move the wing {shift} mm up or down.",
    ),
    "G171": Message(
        "wing pushed through",
        "Push {part} through the slots of {other}, before anything is glued to its tips; two halves go in"
        " each from its own side and meet in the middle.",
        "",
        "",
        "",
    ),
    "G178": Message(
        "wing beside the body",
        "{where} lies at x = {x0} to {x1} mm; the sides of {other} reach from x = {b0} to {b1} mm.",
        "sides where the wing crosses the body",
        "{gap} mm apart",
        "Set x_mm of {where} so that it moves {way} by at least {gap} mm.",
    ),
}

_BANDS: dict[str, Message] = {
    "G166": Message(
        "dowel meets no side",
        "The {end} dowel at x = {x}, z = {z} mm does not go through every side of {other}.",
        "a place inside every side",
        "{sides} of them met",
        "Move it by {away} mm to the nearest place in the sides, x = {near_x}, z = {near_z} mm.",
    ),
    "G167": Message(
        "dowel too near an edge",
        "The hole of the {end} dowel leaves {left} mm of board in {panel}.",
        "at least {least} mm to edges, folds, holes and the seat",
        "{left} mm",
        "Move it by {shift} mm away from there ({key}_x_mm, {key}_z_mm).",
    ),
    "G168": Message(
        "dowel under the wing",
        "The {end} dowel at x = {x} mm lies within the wing's chord, x = {x0} to {x1} mm at the body.",
        "a dowel clear of the wing's edges by {least} mm, or the bands do not hold it down",
        "{inside} mm inside",
        "Set {key}_x_mm to {need} mm.",
    ),
    "G169": Message(
        "dowel in the way",
        "The {end} dowel at x = {x}, z = {z} mm runs into {blank}.",
        "free way from side to side",
        "board in the way",
        "Move the dowel, or {blank}.",
    ),
    "G170": Message(
        "rubber bands crossed",
        "Hold {part} down on {other} with {bands} rubber bands, crossed, from dowel to dowel over the wing:"
        " {way} mm straight over.",
        "",
        "",
        "",
    ),
}

_PATCH: dict[str, Message] = {
    "G172": Message(
        "no such panel",
        "{other} has no panel {panel} with a face for {where}.",
        "one of: {names}",
        "{panel}",
        "Name one of these panels in the joint.",
    ),
    "G173": Message(
        "patch off its panel",
        "{where} reaches {out} mm beyond the panel {panel} of {other}; {share} % of it lies on the panel.",
        "all of it on the panel",
        "{out} mm beyond its edge",
        "Move it inward by {out} mm, or make it smaller.",
    ),
    "G174": Message(
        "patch across a fold or hinge",
        "{where} would cover the fold {fold} of {other}, {over} mm beyond it.",
        "a patch that stays on one side of every fold and hinge",
        "{over} mm across",
        "Move it back by {need} mm, or make it smaller.",
    ),
    "G175": Message(
        "patch drawn in another place",
        "{where} was moved by {moved} mm and turned by {turned}° to lie flush on {panel} of {other}.",
        "drawn within {within} mm and {within_deg}° of where it is glued",
        "{moved} mm and {turned}°",
        "Set its place in the file to the panel's face: move it {dx} mm in x, {dy} mm in y, {dz} mm in z.",
    ),
}

_CLAMP: dict[str, Message] = {
    "G176": Message(
        "part and stick do not touch",
        "{where} and the stick {other} {how} by {gap} mm at x = {x} mm.",
        "faces that touch",
        "{gap} mm {what}",
        "Move {where} by {shift} mm {way}.",
    ),
    "G177": Message(
        "part beside the stick",
        "{where} passes the stick {other} at {gap} mm; neither lies over the other.",
        "a part over, under or beside the stick, faces touching",
        "{gap} mm apart",
        "Move {where} to the stick, which runs from x = {x0} to {x1} mm at y = {y}, z = {z} mm.",
    ),
}

_SQUARING: dict[str, Message] = {
    "G179": Message(
        "squaring by two strings",
        "Square {part} to {other}: from the leading edge at each tip to the middle of the rear end at"
        " x = {x}, z = {z} mm it is {distance} mm, left as right.",
        "",
        "",
        "",
    ),
}

CATALOGUE: dict[str, Message] = {**_SLOTS, **_THROUGH, **_BANDS, **_PATCH, **_CLAMP, **_SQUARING}
