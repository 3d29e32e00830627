"""Why a plate is not split: no cut for the bed, too high, or no room on the bed at all. Lengths in mm."""

from __future__ import annotations

import numpy as np

from foldwright.base.finding import Finding, Param
from foldwright.design.workshop import Printer, Template
from foldwright.make.templates.model import Plate
from foldwright.make.templates.piece_fit import Room, least_square, room_of

LEAST_BED_MM = 30.0
"""No piece with a key, and no name, goes on a bed of which less than this can be used [judgement]."""


def too_high(plate: Plate, room: Room) -> Finding:
    """P101: a plate thicker than the printer reaches."""
    return Finding(
        "P101", "watch", plate.blank, {"thickness": plate.thickness, "height": round(room.height, 1)},
        plate.thickness, room.height, "mm",
    )  # fmt: skip


def no_cut(plate: Plate, printer: Printer, template: Template, width: float) -> Finding:
    """P100: what bed would hold the plate whole, and how wide a rim a key needs."""
    side = least_square(plate.body) + 2.0 * printer.margin_mm
    bed = f"{printer.bed_mm[0]:g} x {printer.bed_mm[1]:g}"
    params: dict[str, Param] = {
        "bed": bed,
        "needed": round(float(np.ceil(side)), 0),
        "width": round(width, 1),
        "blank": plate.blank,
        **_ways(plate, template, width),
    }
    return Finding("P100", "watch", plate.blank, params, None, None, "mm")


def _ways(plate: Plate, template: Template, width: float) -> dict[str, Param]:
    """What else P100 can advise: a wider rim where the plate is one, a rim where a full plate leaves room
    for a window.
    """
    if plate.kind == "rim":
        wider = f" or a rim wider than {max(width, template.rim_mm):.1f} mm"
        return {"or": wider, "rim": f", rim {template.rim_mm:g} mm", "try": ", raise template.rim_mm"}
    if plate.body.buffer(-template.rim_mm).is_empty:
        return {"or": "", "rim": "", "try": ""}
    return {"or": "", "rim": ", a full plate", "try": f', try template.only."{plate.blank}" = "rim"'}


def too_little(printer: Printer) -> Finding:
    """P105: no piece goes on what the margins leave of the bed."""
    room = room_of(printer)
    usable = round(max(0.0, room.short), 1)
    params: dict[str, Param] = {
        "bed": f"{printer.bed_mm[0]:g} x {printer.bed_mm[1]:g}",
        "margin": printer.margin_mm,
        "usable": usable,
        "least": LEAST_BED_MM,
        "needed": round(LEAST_BED_MM + 2.0 * printer.margin_mm, 1),
    }
    return Finding("P105", "watch", "printer.bed_mm", params, usable, LEAST_BED_MM, "mm")
