"""Sentences of free shapes and skins (G180-G199) and of drawings (F60-F69)."""

from __future__ import annotations

from foldwright.base.message import Message

_SKINS: dict[str, Message] = {
    "G180": Message(
        "no such panel",
        "{where}: the part has no panel or blank {got}.",
        "one of: {known}",
        "{got}",
        "Name one of {known}, or leave panel out for the whole part.",
    ),
    "G181": Message(
        "paper of a live hinge peeled off",
        "{where}: the hinge {fold} bends in the paper of face {face}, which is peeled off {panels}.",
        "paper on face {face} of both panels at a live hinge",
        "bare foam on {panels}",
        "Leave the paper on face {face} of {panels}, and peel other panels.",
    ),
    "G182": Message(
        "paper of a fold peeled off",
        "{where}: fold {fold} hangs by the paper of face {face}, which is peeled off {panels}; nothing "
        "holds it.",
        "paper on face {face} of both panels at the fold",
        "bare foam on {panels}",
        "Leave the paper on face {face} of {panels}, or make the fold by a method that keeps the other face.",
    ),
    "G194": Message(
        "paper comes off",
        "Peel the paper off {face} of {panel}, once the folds are made.",
    ),
    "G195": Message(
        "faces are covered",
        "Put {work}{colour} on {face} of {panel}, {g_m2:.0f} g/m².",
    ),
}

_SHAPES: dict[str, Message] = {
    "G183": Message(
        "fold ends off the outline",
        "{where}: its end at ({x:.2f}, {y:.2f}) mm lies {away:.2f} mm from the outline.",
        "ends on the outline, to {reach} mm",
        "{away:.2f} mm away",
        "Put that end at ({to_x:.2f}, {to_y:.2f}) mm, where the line meets the outline.",
    ),
    "G184": Message(
        "folds crossing",
        "{where} and {other} meet near ({x:.2f}, {y:.2f}) mm: the pieces around that place cannot turn about "
        "both lines.",
        "folds that meet on the outline or not at all",
        "a meeting at ({x:.2f}, {y:.2f}) mm",
        "End both folds on the outline; where they must meet, cut a notch from the edge to that place.",
    ),
    "G185": Message(
        "panel without area",
        "{where} cuts off {area:.2f} mm² of board.",
        "at least {least} mm² on each side of the fold",
        "{area:.2f} mm²",
        "Move the fold away from the outline, or take it out.",
    ),
    "G186": Message(
        "angle beyond the method",
        "{where}: a fold made by {method} turns {range}; {angle:.1f}° asked.",
        "{range}",
        "{angle:.1f}°",
        "Turn it {range}, or make it by another method.",
    ),
    "G187": Message(
        "fold runs off the board",
        "{where}: {length:.2f} mm of its line lie outside the outline.",
        "a line on board from end to end",
        "{length:.2f} mm outside",
        "Make it two folds, one each side of the gap, or move it.",
    ),
    "G197": Message(
        "fold touches the outline",
        "{where}: its line touches the outline at ({x:.2f}, {y:.2f}) mm, between its ends.",
        "a line that meets the outline at its two ends only",
        "a corner at ({x:.2f}, {y:.2f}) mm on the line",
        "Make it two folds that end at such corners, or move it off ({x:.2f}, {y:.2f}) mm.",
    ),
    "G188": Message(
        "fold across a cut-out",
        "{where}: the cut-out lies {short:.2f} mm over fold {fold} or what is cut away beside it.",
        "a cut-out at least {beside:.2f} mm from the fold's line",
        "{short:.2f} mm too near",
        "Move the cut-out {short:.2f} mm away from the fold, or make it a notch of the outline.",
    ),
    "G189": Message(
        "cut-out off the board",
        "{where}: {area:.2f} mm² of it lie beyond {beyond}.",
        "a cut-out with board all round it",
        "{area:.2f} mm² beyond {beyond}",
        "Move the cut-out inward, or draw it as part of the outline.",
    ),
    "G190": Message(
        "mark off the outline",
        "{where}: {length:.2f} mm of it lie off the board, {away:.2f} mm at the most.",
        "a mark on the board",
        "{away:.2f} mm off it",
        "Move the mark by {away:.2f} mm on to the board.",
    ),
    "G191": Message(
        "mark on a bevel",
        "{where}: {length:.2f} mm of it fall on a bevel of face {face} and are not drawn.",
        "a mark on the flat of a face",
        "{length:.2f} mm on a bevel",
        "Move the mark away from the fold, or draw it on the other face.",
    ),
    "G192": Message(
        "no lifting surface",
        "{where}: seen along the flow the shape is {span:.0f} mm across with {chord:.0f} mm of chord, "
        "which is no lifting surface.",
        "a span of at least {least_span:.0f} mm and a chord of at least {least_chord:.0f} mm",
        "{span:.0f} mm and {chord:.0f} mm",
        "Write lifting = false.",
    ),
    "G196": Message(
        "control on a free shape",
        "{where}: a shape with folds, cut-outs, marks, a drawing or a turn of its own has no controls.",
        "controls on a plain upright plate",
        "a control on a free shape",
        "Take it out, or make the moving surface a plain plate with taper.",
    ),
    "G193": Message(
        "panel left out of the lattice",
        "{where} stands across the surface's span, so the lattice does not see it.",
        "panels that lie along the span",
        "a panel that stands {angle:.0f}° across it",
        "Make it a plate of its own if its air loads matter, with lifting = true.",
    ),
}

_DRAWINGS: dict[str, Message] = {
    "F60": Message(
        "Drawing cannot be read",
        "{where} names the drawing {drawing}: {reason}.",
        "a DXF file of that name beside the design file",
        "{reason}",
        "Put {drawing} beside the design file, or write the name of one that is there.",
    ),
    "F61": Message(
        "Drawing damaged",
        "{where}: {drawing} is no DXF file that can be read: {reason}.",
        "a DXF file",
        "{reason}",
        "Save the drawing again as DXF, R12 or later.",
    ),
    "F62": Message(
        "Drawing without a closed outline",
        "{where}: in {drawing}, {reason}.",
        "one closed outline on layer cut, and closed holes inside it",
        "{reason}",
        "{cure}",
    ),
    "F63": Message(
        "Drawing without a unit",
        "{where}: {drawing} does not say its unit; its numbers are taken for millimetres.",
        "$INSUNITS for millimetres, centimetres, metres, inches or feet",
        "{found}",
        "Check the size, {width:.1f} x {height:.1f} mm, and save the drawing with its unit.",
    ),
    "F64": Message(
        "Gaps closed",
        "{where}: in {drawing} {count} gaps of up to {widest:.3f} mm were closed: {places}.",
        "outlines that close",
        "{count} gaps",
        "Look at these places; join the ends in the drawing.",
    ),
    "F65": Message(
        "Lines drawn twice",
        "{where}: in {drawing} {count} lines lie on others of the same layer and were left out: {places}.",
        "every line once",
        "{count} twice",
        "Look at these places; delete what is drawn twice.",
    ),
    "F66": Message(
        "Layers left out",
        "{where}: {drawing} has layers that are no pen: {layers}. What is on them was left out.",
        "layers cut, to_paper_a, to_paper_b, crush_a, crush_b, mark_a, mark_b, letter",
        "{layers}",
        "Move what belongs to the part to one of the pens' layers.",
    ),
    "F67": Message(
        "Fold not told",
        "{where}: the line near ({x:.1f}, {y:.1f}) mm in {drawing}: {reason}.",
        "a straight line with its id, angle and face beside it",
        "{reason}",
        "{cure}",
    ),
    "F68": Message(
        "Name taken in the plan set",
        "The drawing {where} bears the name of another file of the plan set, {drawing}.",
        "a name that no other file of the plan set bears",
        "{drawing}",
        "Give the drawing another name.",
    ),
    "F69": Message(
        "Drawn things left out",
        "{where}: in {drawing} {what} cannot be used and were left out.",
        "{wanted}",
        "{what}",
        "Draw them as one of these, or leave them out.",
    ),
}

CATALOGUE: dict[str, Message] = {**_SKINS, **_SHAPES, **_DRAWINGS}
