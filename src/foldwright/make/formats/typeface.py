"""The typeface of every printed page: Source Sans Pro (SIL Open Font License), taken from a package.

Pages use no face of the machine they are made on, or the same design would give other bytes elsewhere.
"""

from __future__ import annotations

import shutil
import tempfile
from functools import cache
from importlib.resources import as_file, files
from pathlib import Path
from typing import TYPE_CHECKING

from foldwright.geometry.lettering import Plain, substitute

if TYPE_CHECKING:
    import typst

FAMILY = "Source Sans Pro"
"""Name to give to typst; weights 400 and 600 upright, 400 and 600 italic are loaded."""

_PACKAGE = "font_source_sans_pro"
_FACES = ("Regular", "It", "Semibold", "SemiboldIt")
_WARM_UP = b"""
#set document(date: none)
#set text(font: sys.inputs.family, fallback: false)
a #text(weight: 600)[a] #text(style: "italic")[a] #text(weight: 600, style: "italic")[a]
"""


def printable(text: str) -> Plain:
    """The text in characters that the typeface holds, with what was replaced."""
    return substitute(text, _characters())


@cache
def cap_ratio() -> float:
    """Height of capitals over font size, from the face's own metrics."""
    with as_file(files(_PACKAGE) / "files" / "SourceSansPro-Regular.ttf") as path:
        return _metrics(path)[0]


@cache
def typst_fonts() -> typst.Fonts:
    """The typeface for `typst.compile(..., font_paths=typst_fonts(), ignore_system_fonts=True)`.

    The package holds each face twice (OpenType and TrueType), and which of the two is taken would follow
    the order of the folder on disk. A folder with one of each is shown to typst and gone once it is read.
    """
    import typst

    with tempfile.TemporaryDirectory() as folder:
        for face in _FACES:
            with as_file(files(_PACKAGE) / "files" / f"SourceSansPro-{face}.ttf") as path:
                shutil.copy(path, Path(folder) / path.name)
        fonts = typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder])
        typst.compile(_WARM_UP, font_paths=fonts, ignore_system_fonts=True, sys_inputs={"family": FAMILY})
    return fonts


@cache
def _characters() -> frozenset[str]:
    with as_file(files(_PACKAGE) / "files" / "SourceSansPro-Regular.ttf") as path:
        return _metrics(path)[1]


def _metrics(path: Path) -> tuple[float, frozenset[str]]:
    from fontTools.ttLib import TTFont

    with TTFont(path, lazy=True) as font:
        ratio = float(font["OS/2"].sCapHeight) / float(font["head"].unitsPerEm)
        return ratio, frozenset(map(chr, font.getBestCmap()))
