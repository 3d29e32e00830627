"""DXF files made in memory, and designs that name them."""

from __future__ import annotations

import io
from collections.abc import Callable, Mapping

import ezdxf
from ezdxf.layouts import Modelspace

from foldwright.design.load import Loaded, built_in_stock, load_design, starter
from foldwright.design.model import Design
from foldwright.design.parts import Plate

RING = ((0.0, 0.0), (120.0, 0.0), (120.0, 60.0), (0.0, 60.0))
Draw = Callable[[Modelspace], object]

PLATE = """
[[part]]
kind = "plate"
id = "cover"
role = "plate"
plane = "level"
lifting = false
x_mm = 20.0
z_mm = 120.0
drawing = "cover.dxf"
"""


def dxf(draw: Draw, units: int | None = 4, version: str = "R2010") -> bytes:
    """A file with what `draw` adds to it. units: $INSUNITS, None to leave it as the library does."""
    document = ezdxf.new(version)
    if units is not None:
        document.header["$INSUNITS"] = units
    draw(document.modelspace())
    stream = io.StringIO(newline="\n")
    document.write(stream)
    return stream.getvalue().encode(document.output_encoding)


def outline(space: Modelspace, scale: float = 1.0) -> None:
    space.add_lwpolyline([(x * scale, y * scale) for x, y in RING], close=True, dxfattribs={"layer": "cut"})


def line(space: Modelspace, layer: str, start: tuple[float, float], stop: tuple[float, float]) -> None:
    space.add_line(start, stop, dxfattribs={"layer": layer})


def text(space: Modelspace, words: str, at: tuple[float, float]) -> None:
    space.add_text(words, height=3.0, dxfattribs={"layer": "letter", "insert": at})


def with_plate(plate: str = PLATE) -> str:
    """The starter with one more part, behind its others."""
    text = starter()
    at = text.index("\n[[joint]]")
    return text[:at] + plate + text[at:]


def load(
    data: bytes | Mapping[str, bytes], more: str = "", plate: str = PLATE, name: str = "design.toml"
) -> Loaded[Design]:
    """The starter with a plate of this drawing."""
    drawings = {"cover.dxf": data} if isinstance(data, bytes) else data
    text = with_plate(plate + more)
    return load_design(text.encode(), name, built_in_stock(), drawings)


def cover(loaded: Loaded[Design]) -> Plate:
    """The plate as it was read."""
    assert loaded.value is not None, loaded.findings
    part = next(part for part in loaded.value.part if part.id == "cover")
    assert isinstance(part, Plate)
    return part
