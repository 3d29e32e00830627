"""Folds of a drawing: each line with what a text beside it and the design file say of it.

A fold is a straight line on layer to_paper or crush of the face that is cut or pressed. A text on layer
letter that begins nearest to it says "<id>", "<id> 90" or "<id> 90 b": its id, the turn in degrees and the
face that it turns to. Without that face a fold turns to the face that is opened (a groove); where the text
names the other face, or the file the method, it is a slit and turns away. A [[part.fold]] table with the id
of a drawn fold, or at its place where no text is, gives it its angle and method.
"""

from __future__ import annotations

import re
from collections.abc import Container, Mapping, Sequence
from dataclasses import dataclass, field
from math import inf
from typing import Any

import numpy as np
import shapely

from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design import words
from foldwright.design.drawing_file import Drawn, Lettered, Named, Stroke
from foldwright.design.keypath import id_of
from foldwright.design.mistakes import is_number

AGREE_MM = 0.5
"""How far the ends of a fold in the file may lie from the drawn ones; common practice, no source."""
Table = dict[str, Any]
_LABEL = re.compile(
    r"(?P<id>[a-z][a-z0-9-]{0,39})"
    r"(?:[\s,]+(?P<angle>\d{1,3}(?:\.\d{1,9})?)\s*(?:°|%%d|deg)?)?"
    r"(?:[\s,]+(?P<face>[abAB]))?"
)
_STRAIGHT_MM = 0.05


@dataclass(slots=True)
class Job:
    """One part that names a drawing, while it is being filled in."""

    part: Table
    named: Named
    findings: list[Finding] = field(default_factory=list)

    def wrong(self, code: str, where: str = "", **params: str | float) -> None:
        """Note a no-go."""
        self.findings.append(self.named.finding(code, "no-go", where, **params))


def grave(findings: Sequence[Finding]) -> bool:
    """Whether a no-go is among them."""
    return any(finding.verdict == "no-go" for finding in findings)


def rows_of(points: FloatArray) -> list[list[float]]:
    """Points (n, 2) as a file would list them, to 1e-6 mm."""
    return [[float(x), float(y)] for x, y in points.round(6) + 0.0]


@dataclass(frozen=True, slots=True, eq=False)
class _Label:
    """What a text says of a fold."""

    id: str
    angle: float | None
    face: str | None
    away: float


def add_folds(job: Job, drawn: Drawn, where: str) -> None:
    """Put the drawn folds into the part, behind those of the file. where: path of the part."""
    lines = [stroke for stroke in drawn.strokes if stroke.pen in ("to_paper", "crush")]
    own = job.part.get("fold", [])
    if not isinstance(own, list):
        return
    tables = [row for row in own if isinstance(row, dict)]
    labels = _labels(job, drawn.letters, lines, [row.get("id") for row in tables], f"{where}.fold")
    matched: dict[int, Table] = {}
    extra: list[Table] = []
    for k, line in enumerate(lines):
        if not _straight(line):
            _untold(job, line, "a fold must be one straight line", "Draw it as one straight line.")
            continue
        label = labels.get(k)
        row = _own_row(tables, line, label)
        if row is not None and id(row) in matched:
            _untold(job, line, f"another line is fold {row.get('id')} already", "Give it an id of its own.")
            continue
        made = _fold(job, line, label, row, where)
        if made is not None and row is not None:
            matched[id(row)] = made
        elif made is not None:
            extra.append(made)
    for row in tables:
        if id(row) not in matched and not grave(job.findings):
            _unmatched(job, row, lines, where)
    job.part["fold"] = [*(matched.get(id(row), row) for row in own), *extra]


def _straight(line: Stroke) -> bool:
    p, q = line.points[0], line.points[-1]
    length = float(np.hypot(*(q - p)))
    if line.closed or length < _STRAIGHT_MM:
        return False
    off = line.points - p
    return bool((np.abs((q - p)[0] * off[:, 1] - (q - p)[1] * off[:, 0]) / length < _STRAIGHT_MM).all())


def _labels(
    job: Job, letters: Sequence[Lettered], lines: Sequence[Stroke], known: Container[object], where: str
) -> dict[int, _Label]:
    """What is said of each line, by its number: of the texts nearest to it the nearest."""
    best: dict[int, _Label] = {}
    idle = 0
    shapes = [shapely.LineString(line.points) for line in lines]
    for letter in letters:
        match = _LABEL.fullmatch(letter.text)
        # a word alone is lettering, unless the file has a fold of that name
        if match is None or not shapes or (match["angle"] is None and match["id"] not in known):
            idle += 1
            continue
        away = [float(shapely.distance(shape, shapely.Point(letter.at))) for shape in shapes]
        k = min(range(len(away)), key=away.__getitem__)
        angle = None if match["angle"] is None else float(match["angle"])
        face = None if match["face"] is None else match["face"].lower()
        label = _Label(match["id"], angle, face, away[k])
        idle += k in best
        if k not in best or label.away < best[k].away:
            best[k] = label
    if idle:
        wanted = 'texts of the form "id", "id 90" or "id 90 b", one beside each fold'
        what = f"{idle} text{'s' if idle > 1 else ''}"
        job.findings.append(job.named.finding("F69", "watch", where, what=what, wanted=wanted))
    return best


def _own_row(tables: Sequence[Table], line: Stroke, label: _Label | None) -> Table | None:
    """The table of the file for a drawn fold: that of its id, else one at its place."""
    if label is not None:
        return next((row for row in tables if row.get("id") == label.id), None)
    return next((row for row in tables if _apart(row, line) <= AGREE_MM), None)


def _ends(row: Table) -> tuple[FloatArray, FloatArray] | None:
    """The two ends that a table has, or None where it lacks one or it is no place."""
    ends = [row.get("from_mm"), row.get("to_mm")]
    sound = all(isinstance(end, list) and len(end) == 2 and all(map(is_number, end)) for end in ends)
    return (np.array(ends[0], dtype=np.float64), np.array(ends[1], dtype=np.float64)) if sound else None


def _apart(row: Table, line: Stroke) -> float:
    """Greatest distance of a table's ends from a line's, whichever way round, mm; endless without ends."""
    ends = _ends(row)
    if ends is None:
        return inf
    a, b = line.points[0], line.points[-1]
    return min(
        float(np.hypot(*(np.stack(ends) - way).T).max()) for way in (np.stack([a, b]), np.stack([b, a]))
    )


def _untold(job: Job, line: Stroke, reason: str, cure: str, where: str = "") -> None:
    x, y = ((line.points[0] + line.points[-1]) / 2.0).tolist()
    job.wrong("F67", where, x=float(x), y=float(y), reason=reason, cure=cure)


def _fold(job: Job, line: Stroke, label: _Label | None, row: Table | None, where: str) -> Table | None:
    """The [[part.fold]] table of a drawn line, or None with a finding."""
    name = label.id if label is not None else None if row is None else id_of(row)
    if name is None:
        _untold(
            job,
            line,
            "no text says its id and angle",
            'Write "<id> <degrees> <face>" beside it on layer letter.',
        )
        return None
    if row is not None and (away := _apart(row, line)) > AGREE_MM:
        if away < inf:
            reason = f"its ends lie {away:.2f} mm from those of fold {name} in the file"
            cure = f"Write the drawn ends in the file, to {AGREE_MM} mm, or give one of the two another id."
            _untold(job, line, reason, cure, f"{where}.fold.{name}")
        return None
    angle = (
        row.get("angle_deg")
        if row is not None and "angle_deg" in row
        else None
        if label is None
        else label.angle
    )
    if angle is None:
        _untold(
            job,
            line,
            f"fold {name} has no angle",
            f'Write "{name} 90" beside it, or a [[part.fold]] of that id.',
        )
        return None
    told = _method(job, line, label, row or {}, name)
    if told is None:
        return None
    ends = {"from_mm": rows_of(line.points)[0], "to_mm": rows_of(line.points)[-1]}
    return {**(row or {"id": name}), **ends, "angle_deg": angle, **told}


def _method(
    job: Job, line: Stroke, label: _Label | None, row: Mapping[str, Any], name: str
) -> dict[str, Any] | None:
    """Method and face of a fold as the layer, the text and the table have them; None where they disagree.

    The opened face is the one that the layer names: a groove, crush or rebate turns to it, a slit away.
    """
    opened = line.face
    other = "b" if opened == "a" else "a"
    face = row.get("toward", None if label is None else label.face)
    usual = "crush" if line.pen == "crush" else "slit" if face == other else "groove"
    method = row.get("method", usual)
    turns = other if method == "slit" else opened
    layer = f"{line.pen}_{line.face}"
    made_by, layer = words.shorten(str(method), 20), f"{line.pen}_{line.face}"
    if (method == "crush") != (line.pen == "crush"):
        reason = f"it lies on layer {layer}, and fold {name} is made by {made_by}"
        _untold(
            job,
            line,
            reason,
            "Draw crushed folds on a crush layer, others on to_paper, or change the method.",
        )
        return None
    if face is not None and face != turns:
        wanted = words.shorten(str(face), 20)
        reason = f"on layer {layer} a {made_by} turns to face {turns}, and fold {name} to {wanted}"
        _untold(job, line, reason, f"Draw it on layer {line.pen}_{other}, or turn it to face {turns}.")
        return None
    return {"method": method, "toward": turns}


def _unmatched(job: Job, row: Table, lines: Sequence[Stroke], where: str) -> None:
    """F67 for a fold of the file that no drawn line is."""
    name = id_of(row)
    ends = _ends(row)
    if name is None or ends is None:
        return
    near = min((_apart(row, line) for line in lines), default=inf)
    tail = "no fold is drawn" if near == inf else f"the nearest drawn fold ends {near:.2f} mm from it"
    x, y = ((ends[0] + ends[1]) / 2.0).tolist()
    cure = f"Draw it there, to {AGREE_MM} mm, on layer to_paper or crush, or take it out of the file."
    job.wrong("F67", f"{where}.fold.{name}", x=float(x), y=float(y), reason=f"fold {name}: {tail}", cure=cure)
