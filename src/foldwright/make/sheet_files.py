"""Sheets to files: DXF, SVG, PDF at 1:1 and the same on the workshop's paper, for each side."""

from __future__ import annotations

from collections.abc import Callable

from foldwright.design.workshop import Workshop
from foldwright.make.formats.dxf import to_dxf
from foldwright.make.formats.pdf import to_pdf
from foldwright.make.formats.pens import PenStyle, PenStyles
from foldwright.make.formats.svg import to_svg
from foldwright.make.formats.tiles import tile
from foldwright.make.legend import pen_styles
from foldwright.make.sheets import Sheets

Progress = Callable[[str], None]

_FAINT = PenStyle("#999999", 0.18)


def _faint(styles: PenStyles) -> PenStyles:
    """Outlines on the side underneath in pale grey, unless the workshop has a pen of its own for them."""
    return styles if "thin" in dict(styles.special) else styles.overridden({"thin": _FAINT})


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
            inks = _faint(styles) if paper is not drawing else styles
            files[f"{name}.pdf"] = to_pdf([paper], inks)
            files[f"{name}-tiled.pdf"] = to_pdf(tile(paper, workshop.paper), inks, f"{paper.title}, tiled")
    return files
