"""The two pictures of the setup card: where the wing balances, and where the battery stands."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import shapely

from foldwright.evaluate import Results
from foldwright.flight.balance import ends
from foldwright.geometry.cut_view import Cut, section
from foldwright.geometry.facets import Solid
from foldwright.geometry.views import side
from foldwright.make.card_data import leading_edge, mark_place
from foldwright.make.card_say import figure
from foldwright.make.dimension import across, balance_sign, text_width
from foldwright.make.drawing import Drawing, Fill, Item, Path, Text
from foldwright.make.view_drawing import (
    Bounds,
    Plot,
    cut_bounds,
    joined_bounds,
    picture_items,
    points_bounds,
    ratio_for,
    section_items,
    see,
    wire_items,
)
from foldwright.make.view_solids import board_solids, outside_solids, propeller_discs

Json = dict[str, Any]
_STEP = 4.6
_SMALL = 2.1
_LARGE = 2.7
_CLEAR_OF_BODY = 12.0


def balance_picture(results: Results, card: Json, width_mm: float) -> Drawing:
    """The wing cut beside the body, seen from the left: limits and balance point from both edges.

    card: the card's data; every figure in the picture is taken from it.
    """
    cuts = section(board_wing(results), side(), (0.0, _station(results), 0.0))
    bounds = cut_bounds(cuts)
    data = card["balance"]
    above = [
        ("forward_limit", "forward limit"), ("first_aft_limit", "aft limit"), ("point", "balance point"),
    ]  # fmt: skip
    if not data["first_window"]:
        above = [row for row in above if row[0] != "first_aft_limit"]
    below = [] if data["step_behind_le_mm"] is None else [("point", "to the step")]
    head, foot = _STEP * len(above) + 4.0, _STEP * len(below) + 8.0
    places = {
        "forward_limit": results.balance.forward.x, "first_aft_limit": results.balance.first_aft.x,
        "point": results.balance.placed.x,
    }  # fmt: skip
    # a canard balances ahead of its wing
    reach = [places[name] for name, _ in above]
    bounds = (min(bounds[0], *reach), bounds[1], max(bounds[2], *reach), bounds[3])
    ratio = ratio_for(bounds, width_mm - 4.0)
    height = (bounds[3] - bounds[1]) / ratio + head + foot
    plot = Plot(ratio, (2.0 - bounds[0] / ratio, foot - bounds[1] / ratio))
    lead = leading_edge(results)
    low, high = plot.at(0.0, bounds[1])[1], plot.at(0.0, bounds[3])[1]
    items: list[Item] = []
    if data["first_window"]:
        x0, x1 = (plot.at(places[name], 0.0)[0] for name in ("forward_limit", "first_aft_limit"))
        items.append(Fill((((x0, low - 3.0), (x1, low - 3.0), (x1, high + 2.0), (x0, high + 2.0)),), 0.86))
    items += section_items(cuts, plot)
    nose = plot.at(lead, bounds[3] - 2.0)
    # the shortest on top, so that no extension line runs through a figure
    ordered = sorted(above, key=lambda row: (abs(places[row[0]] - lead), row[0]))
    for row, (name, label) in enumerate(ordered):
        words = f"{figure(abs(data[name]['behind_le_mm']))} {label}"
        level = high + 3.0 + _STEP * (len(ordered) - 1 - row)
        size = _LARGE if name == "point" else _SMALL
        # beyond its own end, where no shorter one's extension line runs
        first, last = sorted((nose, plot.at(places[name], bounds[3])))
        items += across(first, last, level, words, size, beyond=len(ordered) > 1)
    for row, (name, label) in enumerate(below):
        step = lead + data["step_behind_le_mm"]
        words = f"{figure(abs(data[name]['ahead_of_step_mm']))} {label}"
        level = low - 4.5 - _STEP * row
        items += across(plot.at(places[name], bounds[1]), plot.at(step, bounds[1]), level, words, _SMALL)
    items += balance_sign(plot.at(places["point"], _middle(cuts, places["point"], bounds)), 1.8)
    title = f"Wing beside the body, from the left, {plot.says}; mm"
    items.append(Text("letter", "", (2.0, 1.2), _SMALL, title))
    return Drawing("balance", width_mm, round(height, 3), tuple(items))


def _middle(cuts: Sequence[Cut], x: float, bounds: Bounds) -> float:
    """Middle of the section's height at x, mm; of the whole section where there is none."""
    wall = shapely.LineString([(x, bounds[1] - 1.0), (x, bounds[3] + 1.0)])
    met = [shapely.Polygon(cut.outer).intersection(wall) for cut in cuts]
    heights = [shape.bounds for shape in met if not shape.is_empty]
    if not heights:
        return 0.5 * (bounds[1] + bounds[3])
    low, high = min(row[1] for row in heights), max(row[3] for row in heights)
    return float(0.5 * (low + high))


def board_wing(results: Results) -> tuple[Solid, ...]:
    """Solids of the main wing's blanks alone."""
    wing = results.airframe.wing.id
    return tuple(solid for solid in board_solids(results.airframe) if solid.name.split("/")[0] == wing)


def _station(results: Results) -> float:
    """Where the section is cut (y, mm), on the left half: at the marks, else just outside the widest body."""
    marks = mark_place(results.airframe)
    widest = max((0.5 * float(body.width.max()) for body in results.airframe.bodies), default=0.0)
    span = float(np.abs(results.airframe.wing.le[:, 1]).max())
    return -min(marks if marks is not None else widest + _CLEAR_OF_BODY, 0.9 * span)


def side_picture(results: Results, card: Json, width_mm: float, highest_mm: float) -> Drawing:
    """The aeroplane from the left with the battery drawn through its side, and its front face in mm.

    highest_mm: of the aeroplane on paper, without the lines under it.
    """
    airframe, camera = results.airframe, side()
    solids, discs = outside_solids(airframe), propeller_discs(airframe.thrust)
    seen = see(solids, camera)
    nose, _ = ends(airframe)
    battery, size = results.balance.battery, results.fitted.battery.size_mm
    z = results.fitted.battery_z_mm
    corners = [
        (battery.front, z - size[2] / 2.0), (battery.rear, z - size[2] / 2.0),
        (battery.rear, z + size[2] / 2.0), (battery.front, z + size[2] / 2.0),
    ]  # fmt: skip
    rim = [(x, y) for disc in discs for x, y, _ in camera.project(disc).tolist()]
    bounds = joined_bounds([seen.bounds, points_bounds([*corners, *rim, (nose, z)])])
    ratio = ratio_for(bounds, width_mm - 4.0, highest_mm)
    foot = 2.0 * _STEP + 5.5
    plot = Plot(ratio, (2.0 - bounds[0] / ratio, foot - bounds[1] / ratio))
    height = (bounds[3] - bounds[1]) / ratio + foot + 1.5
    items = picture_items(seen, plot)
    for disc in discs:
        items += wire_items(disc, solids, camera, plot)
    ring = plot.ring(corners)
    items += [Fill((ring,), 0.72), Path("thin", "", ring, closed=True)]
    if text_width("battery", _SMALL) < (battery.rear - battery.front) / ratio and size[2] / ratio > _SMALL:
        middle = plot.at((battery.front + battery.rear) / 2.0, z)
        at = (middle[0], middle[1] - 0.5 * _SMALL)
        items.append(Text("letter", "", at, _SMALL, "battery", 0.0, "centre"))
    low = plot.at(0.0, bounds[1])[1]
    data = card["battery"]
    front = plot.at(battery.front, z - size[2] / 2.0)
    words = f"{figure(data['front_behind_nose_mm'])} nose edge to battery"
    items += across(plot.at(nose, z), front, low - 3.5 - _STEP, words, _SMALL)
    lead = plot.at(float(airframe.wing.le[0, 0]), float(airframe.wing.le[0, 2]))
    if data["front_ahead_of_le_mm"] > 0.0:
        words = f"{figure(data['front_ahead_of_le_mm'])} battery to leading edge"
        items += across(front, lead, low - 3.5, words, _SMALL)
    items += balance_sign(plot.at(results.balance.placed.x, float(results.balance.cg[2])), 1.8)
    items.append(Text("letter", "", (2.0, 0.8), _SMALL, f"From the left, {plot.says}; mm"))
    return Drawing("battery", width_mm, round(height, 3), tuple(items))
