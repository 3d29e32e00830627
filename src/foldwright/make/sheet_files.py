"""Sheets to files: DXF, SVG, PDF at 1:1 and the same on the workshop's paper, for each side."""

from __future__ import annotations

from collections.abc import Callable

from foldwright.design.workshop import Workshop
from foldwright.make.formats.dxf import to_dxf
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.pens import DEFAULT_STYLES, PenStyle, PenStyles
from foldwright.make.formats.svg import to_svg
from foldwright.make.formats.tiles import tile
from foldwright.make.sheets import Sheets

Progress = Callable[[str], None]


def pen_styles(workshop: Workshop) -> PenStyles:
    """The workshop's own pens over the default ones."""
    changes: dict[str, PenStyle] = {
        name: PenStyle(style.colour, style.width_mm, _even(style.dash_mm))
        for name, style in sorted(workshop.cutter.pens.items())
    }
    return DEFAULT_STYLES.overridden(changes)


def _even(dash: tuple[float, ...]) -> tuple[float, ...]:
    """A dash pattern of an odd number of lengths is gone through twice (SVG's rule)."""
    return dash if len(dash) % 2 == 0 else dash + dash


def sheet_files(sheets: Sheets, workshop: Workshop, progress: Progress | None = None) -> dict[str, bytes]:
    """Every file of every sheet by name, such as "sheet-1.dxf" and, turned over, "sheet-1-b.dxf"."""
    styles = pen_styles(workshop)
    files: dict[str, bytes] = {}
    for sheet in sheets.sheets:
        for name, drawing in sheet.drawings:
            if progress is not None:
                progress(name)
            files[f"{name}.dxf"] = to_dxf(drawing, styles, version=workshop.cutter.dxf)
            files[f"{name}.svg"] = to_svg(drawing, styles)
            paper = sheet.on_paper(drawing)
            files[f"{name}.pdf"] = to_pdf([paper], styles)
            files[f"{name}-tiled.pdf"] = to_pdf(tile(paper, workshop.paper), styles, f"{paper.title}, tiled")
    return files
