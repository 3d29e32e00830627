"""Whether the pages of a plan set are at true scale: page sizes, view boxes and the bar of 100 mm.

Reads the little of PDF and SVG that our own writers use; tests read the same files with other libraries.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Sequence
from xml.etree import ElementTree as ET

from foldwright.make.drawing import Path, Text
from foldwright.make.formats.tiles import PAPERS
from foldwright.make.readback_rows import SCALE_MM, Table
from foldwright.make.sheet_marks import SCALE_MM as BAR_MM

_POINT_MM = 25.4 / 72.0
_BOX = re.compile(rb"/MediaBox\s*\[\s*([-\d.]+)\s+([-\d.]+)\s+([-\d.]+)\s+([-\d.]+)\s*\]")
_LINE = re.compile(rb"([-\d.]+) ([-\d.]+) m\s+([-\d.]+) ([-\d.]+) l\s")
_SCALED = re.compile(rb"([-\d.]+) ([-\d.]+) ([-\d.]+) ([-\d.]+) [-\d.]+ [-\d.]+ cm")
_NUMBERS = re.compile(r"-?\d+(?:\.\d+)?")
_SVG = "{http://www.w3.org/2000/svg}"
_BAR_TOLERANCE_MM = 0.01
_SHAPE_MM = 0.01

Bounds = tuple[float, float, float, float]


def check_dxf_bar(table: Table, name: str, items: Sequence[Path | Text]) -> None:
    """The bar of a DXF file: a level line of the pen `mark`, 100 mm long."""
    lengths = [
        abs(item.points[1][0] - item.points[0][0])
        for item in items
        if isinstance(item, Path) and item.pen == "mark" and not item.face and len(item.points) == 2
        and item.points[0][1] == item.points[1][1]
    ]  # fmt: skip
    table.near("R08", f"{name}.dxf: bar", BAR_MM, max(lengths, default=0.0), _BAR_TOLERANCE_MM, "mm")


def check_pdf(table: Table, name: str, data: bytes, width: float, height: float) -> None:
    """Page size and bar of a sheet's PDF at 1:1."""
    pages = page_sizes(data)
    if len(pages) != 1:
        table.wrong("R08", f"{name}: pages", "1", str(len(pages)))
        return
    table.near("R08", f"{name}: page width", width, pages[0][0], SCALE_MM, "mm")
    table.near("R08", f"{name}: page height", height, pages[0][1], SCALE_MM, "mm")
    bars = [length for length in level_lines(data) if abs(length - BAR_MM) < 5.0]
    nearest = min(bars, key=lambda length: abs(length - BAR_MM), default=0.0)
    table.near("R08", f"{name}: bar", BAR_MM, nearest, _BAR_TOLERANCE_MM, "mm")


def check_tiled(table: Table, name: str, data: bytes, paper: str) -> None:
    """Page sizes of a tiled PDF: the workshop's paper, upright or turned."""
    want = next((size for paper_name, size in PAPERS.items() if paper_name == paper), None)
    if want is None:
        table.wrong("R02", f"{name}: paper", " or ".join(PAPERS), paper)
        return
    pages = page_sizes(data)
    table.same(
        "R02", f"{name}: end of the file", "there", "there" if data.rstrip().endswith(b"%%EOF") else "cut off"
    )
    worst = max((min(_off(page, want), _off(page, want[::-1])) for page in pages), default=float("inf"))
    table.near("R08", f"{name}: {len(pages)} pages of {paper}", 0.0, worst, SCALE_MM, "mm")


def _off(page: tuple[float, float], paper: tuple[float, float]) -> float:
    return max(abs(page[0] - paper[0]), abs(page[1] - paper[1]))


def page_sizes(data: bytes) -> list[tuple[float, float]]:
    """Width and height of every page of a PDF, mm."""
    return [
        ((float(box[2]) - float(box[0])) * _POINT_MM, (float(box[3]) - float(box[1])) * _POINT_MM)
        for box in _BOX.findall(data)
    ]


def level_lines(data: bytes) -> list[float]:
    """Lengths of level lines in a PDF whose pages are not scaled, mm. Empty where anything is scaled."""
    found: list[float] = []
    for content in _streams(data):
        for a, b, c, d in _SCALED.findall(content):
            turn = (float(a) * float(d) - float(b) * float(c)) ** 2
            # words are moved and turned about; a scaled page is no true page
            if abs(turn - 1.0) > 1e-4:
                return []
        for x0, y0, x1, y1 in _LINE.findall(content):
            if y0 == y1:
                found.append(abs(float(x1) - float(x0)) * _POINT_MM)
    return found


def _streams(data: bytes) -> list[bytes]:
    """Content streams of a PDF, unpacked: those that draw."""
    found: list[bytes] = []
    for part in data.split(b"stream\n")[1:]:
        try:
            content = zlib.decompressobj().decompress(part)
        except zlib.error:
            continue
        if b" cm" in content and b" l\n" in content:
            found.append(content)
    return found


def check_svg(
    table: Table, name: str, data: bytes, width: float, height: float, items: Sequence[Path | Text]
) -> None:
    """Size and view box of an SVG file, its bar, and that its cuts lie where those of the DXF lie."""
    try:
        root = ET.fromstring(data)  # noqa: S314 - the plan set's own file, whose hash is checked
    except ET.ParseError as fault:
        table.wrong("R02", name, "an SVG file", f"not readable: {fault}")
        return
    box = [float(n) for n in _NUMBERS.findall(root.get("viewBox", ""))]
    for key, want, view in (("width", width, 2), ("height", height, 3)):
        size = root.get(key, "")
        got = float(size[:-2]) if re.fullmatch(r"\d+(\.\d+)?mm", size) else 0.0
        table.near("R08", f"{name}: {key}", want, got, SCALE_MM, "mm")
        table.near(
            "R08", f"{name}: {key} of the view box", want, box[view] if len(box) == 4 else 0.0, SCALE_MM, "mm"
        )
    scaled = [g.get("transform", "") for g in root.iter(f"{_SVG}g") if g.get("transform")]
    table.same("R08", f"{name}: groups moved or scaled", "0", str(len(scaled)))
    bars = [abs(n[2] - n[0]) for n in _paths(root, "mark", faceless=True) if len(n) == 4 and n[1] == n[3]]
    table.near("R08", f"{name}: bar", BAR_MM, max(bars, default=0.0), _BAR_TOLERANCE_MM, "mm")
    for pen in ("cut", "to_paper", "crush", "mark"):
        _same_lines(table, name, pen, root, items, height)


def _paths(root: ET.Element, pen: str, *, faceless: bool = False) -> list[list[float]]:
    """Coordinates of every path of a pen; faceless: only of the layer that is on no face."""
    groups = [
        g for g in root.iter(f"{_SVG}g") if g.get("data-pen") == pen and not (faceless and g.get("data-face"))
    ]
    return [
        [float(n) for n in _NUMBERS.findall(p.get("d", ""))] for g in groups for p in g.iter(f"{_SVG}path")
    ]


def _same_lines(
    table: Table, name: str, pen: str, root: ET.Element, items: Sequence[Path | Text], height: float
) -> None:
    """Every path of a pen has the same corners as one in the DXF file, in the same order, y counted from
    above.
    """
    drawn = [
        [v for x, y in item.points for v in (x, height - y)]
        for item in items
        if isinstance(item, Path) and item.pen == pen
    ]
    left = _paths(root, pen)
    if sorted(len(path) for path in drawn) != sorted(len(path) for path in left):
        table.wrong("R08", f"{name}: {pen} lines", f"{len(drawn)} as in the DXF", f"{len(left)}")
        return
    worst = 0.0
    for path in drawn:
        # the two files round differently, so that no order of the numbers is the same in both
        off, nearest = min((_apart(path, other), k) for k, other in enumerate(left))
        del left[nearest]
        worst = max(worst, off)
    table.near("R08", f"{name}: {pen} lines against the DXF", 0.0, worst, _SHAPE_MM, "mm")


def _apart(one: Sequence[float], other: Sequence[float]) -> float:
    """Greatest difference of two lists of coordinates; infinite where they differ in length."""
    if len(one) != len(other):
        return float("inf")
    return max((abs(a - b) for a, b in zip(one, other, strict=True)), default=0.0)
