"""All coupons of a workshop, and their drawings as files."""

from __future__ import annotations

from collections.abc import Callable

from foldwright.base.finding import Finding
from foldwright.design.workshop import Workshop
from foldwright.make.coupons import fold_strips, kerf_comb, power_ladder
from foldwright.make.coupons.clearance_gauge import clearance_gauge
from foldwright.make.coupons.model import Coupons
from foldwright.make.drawing import Drawing
from foldwright.make.formats.dxf import to_dxf
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.svg import to_svg
from foldwright.make.legend import pen_styles

Say = Callable[[str], None]


def coupons(workshop: Workshop) -> Coupons:
    """Comb and strips for board and cutter, a ladder for a laser that can cut to the paper or shall learn
    whether it can, a gauge for the printer where there is one.
    """
    drawings = [
        (kerf_comb.NAME, kerf_comb.kerf_comb(workshop)),
        (fold_strips.NAME, fold_strips.fold_strips(workshop)),
    ]
    looks = []
    if workshop.cutter.kind == "laser":
        drawings.append((power_ladder.NAME, power_ladder.power_ladder(workshop)))
        looks.append((power_ladder.NAME, power_ladder.looks()))
    printer = workshop.printer
    made = () if printer is None else clearance_gauge(printer, workshop.template)
    found = [one for name, drawing in drawings for one in _too_large(name, drawing, workshop)]
    if printer is None:
        found.append(Finding("P80", "clear", "printer"))
    return Coupons(tuple(drawings), made, tuple(found), tuple(looks))


def _too_large(name: str, drawing: Drawing, workshop: Workshop) -> list[Finding]:
    """P81 where a drawing goes on neither the cutter's bed nor any sheet."""
    size = sorted((drawing.width_mm, drawing.height_mm))
    rooms = [sorted((one.length_mm, one.width_mm)) for one in workshop.board.sheet]
    bed = workshop.cutter.bed_mm
    if bed is not None:
        rooms = [[min(a, b) for a, b in zip(room, sorted(bed), strict=True)] for room in rooms]
    if any(size[0] <= room[0] and size[1] <= room[1] for room in rooms):
        return []
    best = max(rooms, key=lambda room: room[0] * room[1])
    params = {
        "name": name.replace("-", " "), "size": f"{size[1]:.0f} x {size[0]:.0f}",
        "room": f"{best[1]:.0f} x {best[0]:.0f}",
    }  # fmt: skip
    return [Finding("P81", "watch", "cutter.bed_mm", params, source="geometry")]


def drawing_files(found: Coupons, workshop: Workshop, say: Say = lambda _text: None) -> dict[str, bytes]:
    """DXF, SVG and PDF of every drawing by the names of the files."""
    looks = dict(found.looks)
    files: dict[str, bytes] = {}
    for name, drawing in found.drawings:
        say(f"drawing {name}")
        styles = pen_styles(workshop).overridden(dict(looks.get(name, ())))
        files[f"{name}.dxf"] = to_dxf(drawing, styles, version=workshop.cutter.dxf)
        files[f"{name}.svg"] = to_svg(drawing, styles)
        files[f"{name}.pdf"] = to_pdf([drawing], styles)
    return files
