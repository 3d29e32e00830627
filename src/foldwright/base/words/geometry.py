"""Sentences of the geometry findings."""

from __future__ import annotations

from foldwright.base.message import Message

CATALOGUE: dict[str, Message] = {
    "G01": Message(
        title="fold beyond its limit",
        says="{where}: {asked:.1f}° asked, the {method} clears {limit:.1f}°.",
        expected="a turn of at most {limit:.1f}°",
        got="{asked:.1f}°",
        cure="Turn it by {limit:.1f}° or less, or make the fold by another method.",
    ),
    "G02": Message(
        title="crush too narrow",
        says="{where}: a band of {width:.1f} mm pressed to turn {angle:.1f}° squeezes {squeezed:.0f} % of "
        "the foam in the corner; at most {share:.0f} % may be squeezed.",
        expected="a band at least {least:.1f} mm wide",
        got="{width:.1f} mm",
        cure="Crush at least {least:.1f} mm wide or cut a groove.",
    ),
    "G03": Message(
        title="hinge beyond its limit",
        says="{where}: {asked:.1f}° asked, the bevel clears {limit:.1f}°.",
        expected="a deflection of at most {limit:.1f}°",
        got="{asked:.1f}°",
        cure="Deflect it by {limit:.1f}° or less, or cut the bevel {width:.1f} mm wide.",
    ),
    "G04": Message(
        title="rebate not square",
        says="{where}: a rebate (rabbet) turns 90° and no other angle; {angle:.1f}° asked.",
        expected="90°",
        got="{angle:.1f}°",
        cure="Turn it by 90°, or make the fold by groove, crush or slit.",
    ),
    "G05": Message(
        title="mitres crossing",
        says="{where}: on face {face} the cuts of {one} and {other} want {wanted:.1f} mm of panel {panel}, "
        "which has {room:.1f} mm between them.",
        expected="at least {wanted:.1f} mm between the two",
        got="{room:.1f} mm",
        cure="Move the two more than {wanted:.1f} mm apart, turn them less, use thinner board, or make one "
        "of them a slit.",
    ),
    "G06": Message(
        title="panels in each other",
        says="{where}: folded, panels {panel} and {other} share {volume:.3g} mm³.",
        expected="panels that touch and no more",
        got="{volume:.3g} mm³ in common",
        cure="Shorten {panel} or {other} where they meet, or turn the fold between them the other way.",
    ),
    "G07": Message(
        title="fold path blocked",
        says="{where}: at {percent:.0f} % of fold {fold}, panels {panel} and {other} are {depth:.1f} mm in "
        "each other when the folds are made in the order {asked}; boards give {give:.1f} mm.",
        expected="an order in which no panel passes through another",
        got="{asked}",
        cure="Order that works: {order}. Where there is none, make {panel} and {other} two blanks.",
    ),
    "G08": Message(
        title="blank on itself",
        says="{where}: laid flat, panels {panel} and {other} lie on each other by {area:.3g} mm².",
        expected="a flat blank that lies beside itself",
        got="{area:.3g} mm² twice over",
        cure="Make {panel} a blank of its own, or trim what lies double.",
    ),
    "G09": Message(
        title="planes that do not meet",
        says="{where}: {parent} and {child} turn by {turn:.2f}° and lie {apart:.2f} mm apart, so that no "
        "fold line joins them.",
        expected="two planes that meet in a line",
        got="{turn:.2f}°, {apart:.2f} mm apart",
        cure="Tilt one of the two, bring them into one plane, or make them two blanks.",
    ),
    "G10": Message(
        title="mark off the part",
        says="{where}: mark {mark} misses the part by {distance:.1f} mm; panel {panel} is the nearest.",
        expected="a place on a face of the part",
        got="x {x:.1f}, y {y:.1f}, z {z:.1f} mm",
        cure="Move the mark by {distance:.1f} mm on to {panel}, or let it name another part.",
    ),
    "G11": Message(
        title="mark on a bevel",
        says="{where}: mark {mark} would fall on the bevel of panel {panel}, face {face}, {distance:.1f} mm "
        "from the flat of it.",
        expected="a place on the flat of a face",
        got="x {x:.1f}, y {y:.1f}, z {z:.1f} mm",
        cure="Move the mark by more than {distance:.1f} mm, away from the fold.",
    ),
    "G12": Message(
        title="board thickness out of range",
        says="{where}: board of {thickness:.1f} mm; these folds suit {low:.1f} to {high:.1f} mm.",
        expected="{low:.1f} to {high:.1f} mm",
        got="{thickness:.1f} mm",
        cure="Use board nearer {limit:.1f} mm, or measure it again.",
    ),
    "G14": Message(
        "fold without an edge",
        "{where}: the outline of {panel} does not run along the fold and would be cut off there.",
        "an edge of {limit:.1f} mm along the fold",
        "none",
        "Draw the fold on an edge of both its panels; where a part does this by itself, report it to us.",
    ),
    "G13": Message(
        title="parts in each other",
        says="{where} and {other} stand in each other: they share {volume:.3g} mm³, "
        "{thickness:.1f} mm thick.",
        expected="parts that touch and no more",
        got="{thickness:.1f} mm in common",
        cure="Move one of the two away from the other, or make it smaller where they meet.",
    ),
}
