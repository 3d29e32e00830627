"""Drawings that a design names, made part of the design's own data before it is checked.

A plate with `drawing = "nose.dxf"` takes its outline, holes, folds and marks from a DXF file beside the
design file; axes and zero of the drawing are the form's own. The key stays, so that a plan set can hold the
drawing; whatever reads the design afterwards needs no file.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import Finding
from foldwright.design.bodies import MOST_CORNERS
from foldwright.design.keypath import id_of, render

if TYPE_CHECKING:
    from foldwright.base.types import FloatArray
    from foldwright.design.drawing_file import Drawn, Stroke
    from foldwright.design.drawing_folds import Job

MOST_BYTES = 8_000_000
Fetch = Callable[[str], bytes | str]
"""The bytes of a drawing by its name, or why there are none."""
Table = dict[str, Any]

_NAME = re.compile(r"[^/\\:]+\.(dxf|DXF)")


@dataclass(frozen=True, slots=True)
class Taken:
    """A design's table with its drawings in it. files: their bytes by name, sorted."""

    table: Table
    findings: tuple[Finding, ...] = ()
    files: tuple[tuple[str, bytes], ...] = ()


def with_drawings(table: Table, fetch: Fetch) -> Taken:
    """A raw design with outline, folds, marks and cut-outs of its drawings put in.

    Where a drawing cannot be used its part is left as it is, and a no-go says why: F60-F62, F67, or F31
    where an outline stands beside it. table is not changed.
    """
    jobs = [(index, part) for index, part in _drawn_parts(table)]
    if not jobs:
        return Taken(table)
    parts = list(table["part"])
    findings, files = list[Finding](), dict[str, bytes]()
    for index, part in jobs:
        filled, found = _filled(table, index, part, fetch, files)
        parts[index] = filled
        findings += found
    return Taken({**table, "part": parts}, tuple(findings), tuple(sorted(files.items())))


def _drawn_parts(table: Table) -> Iterator[tuple[int, Table]]:
    parts = table.get("part")
    for index, part in enumerate(parts if isinstance(parts, list) else ()):
        name = part.get("drawing") if isinstance(part, dict) and part.get("kind") == "plate" else None
        if isinstance(name, str) and len(name) <= 200 and _NAME.fullmatch(name):
            yield index, part


def _filled(
    table: Table, index: int, part: Table, fetch: Fetch, files: dict[str, bytes]
) -> tuple[Table, list[Finding]]:
    """A part with its drawing in it, or as it was, and what was found; the bytes go into `files`."""
    from foldwright.design.drawing_file import Named
    from foldwright.design.drawing_folds import Job, grave

    name = part["drawing"]
    job = Job(dict(part), Named(render(("part", index, "drawing"), table), name))
    beside = next((key for key in ("polygon_mm", "taper") if key in part), None)
    if beside is not None:
        params = {"other": render(("part", index, beside), table)}
        return part, [Finding("F31", "no-go", job.named.where, params)]
    data = fetch(name)
    if isinstance(data, str):
        job.wrong("F60", reason=data)
        return part, job.findings
    files[name] = data
    _fill(job, data, render(("part", index), table))
    return (part if grave(job.findings) else job.part), job.findings


def _fill(job: Job, data: bytes, where: str) -> None:
    from foldwright.design.drawing_file import read_drawing
    from foldwright.design.drawing_folds import add_folds, grave, rows_of
    from foldwright.design.drawing_rings import once, rings

    drawn, found = read_drawing(data, job.named)
    job.findings += found
    if drawn is None or grave(found):
        return
    drawn, found = once(drawn, job.named)
    job.findings += found
    made, found = rings(drawn, job.named)
    job.findings += found
    if made is None:
        return
    _say_size(job, drawn, made.outline)
    if len(made.outline) > MOST_CORNERS:
        reason = f"the outline has {len(made.outline)} corners, more than {MOST_CORNERS}"
        job.wrong("F62", reason=reason, cure="Draw it with fewer, longer lines.")
        return
    job.part["polygon_mm"] = rows_of(made.outline)
    _add(job.part, "cutout", "hole", [{"polygon_mm": rows_of(ring)} for ring in made.holes])
    marks = [stroke for stroke in drawn.strokes if stroke.pen == "mark"]
    _add(job.part, "mark", "mark", [{"face": stroke.face, "points_mm": _marked(stroke)} for stroke in marks])
    add_folds(job, drawn, where)


def _say_size(job: Job, drawn: Drawn, outline: FloatArray) -> None:
    if drawn.unit:
        width, height = (outline.max(axis=0) - outline.min(axis=0)).tolist()
        job.findings.append(
            job.named.finding("F63", "watch", found=drawn.unit, width=float(width), height=float(height))
        )


def _marked(stroke: Stroke) -> list[list[float]]:
    from foldwright.design.drawing_folds import rows_of

    rows = rows_of(stroke.points)
    return [*rows, rows[0]] if stroke.closed else rows


def _add(part: Table, key: str, word: str, rows: list[Table]) -> None:
    """Rows behind those that the file has, with ids of their own."""
    if not rows:
        return
    own = part.get(key, [])
    if not isinstance(own, list):
        return
    taken = {id_of(row) for row in own}
    names = (f"{word}-{k}" for k in range(1, len(rows) + len(own) + 1) if f"{word}-{k}" not in taken)
    part[key] = [*own, *({"id": name, **row} for name, row in zip(names, rows, strict=False))]
