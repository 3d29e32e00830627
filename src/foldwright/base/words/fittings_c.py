"""Sentences about equipment trays (P50-P59), landing legs and skids (P60-P69), and board tools (P75-P79)."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "P50": Message(
        "nothing of that name",
        "The tray holds {got}, which is no equipment of this aeroplane.",
        "one of: {known}",
        "{got}",
        "Write the id of an [[equipment]] table.",
    ),
    "P51": Message(
        "no floor under the tray",
        "There is no board under {item} ({x} mm behind the nose, {y} mm to the right) for a tray.",
        "a floor or tray board under it",
        "none",
        "Move {item} over a floor, or take it out of holds.",
    ),
    "P52": Message(
        "tray over two floors",
        "{item} stands on {here}, {other} on {there}; a tray lies flat on one of them.",
        "one floor under all that a tray holds",
        "two",
        "Make two [[fitting]] tables of kind equipment_tray, one for {item} and one for {other}.",
    ),
    "P53": Message(
        "no room for the tray's plate",
        "{item} stands {gap} mm above the floor; the tray's plate is {plate} mm thick.",
        "at least {plate} mm",
        "{gap} mm",
        "Set {key} to {need}, or make floor_mm less.",
    ),
    "P54": Message(
        "tray larger than its floor",
        "{item} reaches {over} mm {way} past the room on {floor}.",
        "all of it over the floor, clear of walls and formers",
        "{over} mm past it",
        "Set {key} to {need}, or make the body larger there.",
    ),
    "P55": Message(
        "peg too thin",
        "The pegs for {item} come out {peg} mm thick.",
        "at least {limit} mm",
        "{peg} mm",
        "Make {key} at least {need} mm, or hold {item} with straps (leave its holes_mm out).",
    ),
    "P56": Message(
        "tray in pieces",
        "The tray falls into {pieces} pieces: on {floor} something stands between what it holds.",
        "one piece",
        "{pieces}",
        "Make one tray for each side of what stands between, or move the equipment together.",
    ),
    "P57": Message(
        "tray without straps",
        "In the tray of {where} {why}.",
        "",
        "",
        "Hold it with double-sided tape, or give it the room.",
    ),
    "P58": Message(
        "no strain relief",
        "There is no room on the tray for a post at the {side} of {item}, where its wires leave.",
        "",
        "",
        "Tie these wires down beside the tray.",
    ),
    "P59": Message(
        "equipment tray",
        "Glue the tray {fitting} on {blank}, its front edge {front} mm behind the nose. It holds {items}"
        "{straps}{ties}.",
    ),
    "P60": Message(
        "leg must be solid",
        "The leg {leg} is asked for with {got} % infill. A leg is bent at every landing; printed hollow it"
        " breaks like a shell (common practice: legs at 15 % infill shatter).",
        "100 %",
        "{got} %",
        "{cure}; a leg is printed solid.",
    ),
    "P61": Message(
        "no board for the leg",
        "{how}.",
        "the face of a board at the leg's place, {limit} mm off at most",
        "{got}",
        "{cure}.",
    ),
    "P62": Message(
        "leg's pad past the board",
        "Of the pad of {leg}, {foot} mm long and {wide} mm wide, {off} % lie past {board} or over a hole.",
        "all of the pad on board",
        "{off} % off it",
        "{cure}.",
    ),
    "P63": Message(
        "pads of a pair meet",
        "The pads of {leg} right and left reach past each other by {over} mm.",
        "foot_mm at most {most} mm",
        "{foot} mm",
        "Set {where} to {most}, or move the legs apart (leg.{leg}.y_mm).",
    ),
    "P64": Message(
        "leg cannot be bent so",
        "{how}.",
        "at least {need} mm",
        "{got} mm",
        "Set {where} to {need} or more.",
    ),
    "P65": Message(
        "board slopes at the leg",
        "The board that {leg} is glued to slopes by {slope}° there; a leg's pad is level.",
        "at most {most}°",
        "{slope}°",
        "Move it along x (leg.{leg}.x_mm) to where the body is straight.",
    ),
    "P66": Message(
        "no board over the skid",
        "From x {low} to {high} mm there is no board over the skid, or not over all of its foot.",
        "board over a foot of {foot} mm",
        "{gap} mm without",
        "{cure}.",
    ),
    "P67": Message(
        "skid cannot be made so",
        "{how}.",
        "at least {need} mm",
        "{got} mm",
        "Set {where} to {need} or more.",
    ),
    "P68": Message(
        "skid",
        "Glue the skid {fitting} under {blank} in {pieces}, from {low} to {high} mm behind the nose{bends}.",
    ),
    "P69": Message(
        "landing leg",
        "Glue the pad of {fitting} {how} at the mark and put {screws} screw(s) of 2.5 mm through it, with a"
        " scrap of plywood behind the board. The leg bends; look for white lines in it after hard landings.",
    ),
    "P75": Message(
        "no washers for the roller",
        "No stack of washers that the roller takes makes {wide} mm and stands {deep} mm out of its fork.",
        "a crush width from {least} to {most} mm",
        "{wide} mm",
        "Set fold.crush_width_mm to the width of a tool that you have, or press the folds with that.",
    ),
}
