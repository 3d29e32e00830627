"""How far the parts of an aeroplane are from each other: panels and bars as solids, mm."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe, Bar
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.apart import gaps
from foldwright.geometry.fold.solids import Piece, pieces
from foldwright.geometry.transform import inverse
from foldwright.review.extents import extents
from foldwright.review.in_the_way import box_piece

_WAYS = (("forward", "aft"), ("left", "right"), ("down", "up"))


@dataclass(frozen=True, slots=True, eq=False)
class Lump:
    """One panel or bar in its place: part, piece, 4x4, least and greatest corner (3,) of its box."""

    part: str
    piece: Piece
    place: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True)
class Near:
    """How near two lumps are, mm.

    gap: 0 where they touch; part, other: whose they are; apart: how far the other's box lies off along x, y,
    z, signed.
    """

    gap: float
    part: str
    other: str
    apart: tuple[float, float, float]


def lumps(airframe: Airframe, parts: Iterable[str]) -> Mapping[str, tuple[Lump, ...]]:
    """Panels (pressed foam left out) and bars of parts; parts without any are left out."""
    wanted = set(parts)
    found: dict[str, list[Lump]] = {}
    for one, panel, low, high in extents(airframe):
        piece = pieces(one.blank).get(panel.name) if one.part in wanted else None
        if piece is not None:
            place = one.transforms[panel.name]
            found.setdefault(one.part, []).append(Lump(one.part, piece, place, low, high))
    for bar in airframe.bars:
        part = owner(bar)
        if part in wanted:
            found.setdefault(part, []).append(_bar(bar, part))
    return {part: tuple(each) for part, each in found.items()}


def owner(bar: Bar) -> str:
    """Id of the part, or of the joint, that a bar belongs to."""
    return bar.id.split("/", maxsplit=1)[0]


def _bar(bar: Bar, part: str) -> Lump:
    """A bar as a box, whatever its form."""
    along = bar.ends[1] - bar.ends[0]
    length = float(np.linalg.norm(along))
    u = along / length
    across = np.cross(u, (0.0, 0.0, 1.0))
    v = np.array([0.0, 1.0, 0.0]) if np.linalg.norm(across) < 1e-6 else across / np.linalg.norm(across)
    w = np.cross(u, v)
    place = np.eye(4)
    place[:3, :3] = np.column_stack([u, v, w])
    place[:3, 3] = bar.ends[0] - v * bar.width / 2.0 - w * bar.height / 2.0
    half = (np.abs(v) * bar.width + np.abs(w) * bar.height) / 2.0
    return Lump(
        part,
        box_piece(length, bar.width, bar.height),
        place,
        bar.ends.min(axis=0) - half,
        bar.ends.max(axis=0) + half,
    )


def nearest(mine: Sequence[Lump], others: Sequence[Lump]) -> Near:
    """The pair that comes nearest, boxes first. Raises ValueError where either side has nothing.

    A gap is the widest along any direction that the separating-axis test tries, or that of the boxes:
    between corners it may be a little less than the distance.
    """
    low, high = (np.stack([getattr(one, end) for one in mine])[:, None] for end in ("low", "high"))
    least, most = (np.stack([getattr(one, end) for one in others])[None] for end in ("low", "high"))
    apart = np.maximum(least - high, 0.0) - np.maximum(low - most, 0.0)
    bounds = np.linalg.norm(apart, axis=2)
    best: tuple[float, int, int] = (np.inf, 0, 0)
    for flat in np.argsort(bounds, axis=None, kind="stable").tolist():
        i, j = divmod(flat, len(others))
        if bounds[i, j] >= best[0]:
            break
        relative = inverse(mine[i].place) @ others[j].place
        gap = float(gaps(mine[i].piece.body, others[j].piece.body, relative[None])[0])
        best = min(best, (max(gap, float(bounds[i, j]), 0.0), i, j))
    gap, i, j = best
    x, y, z = apart[i, j].tolist()
    return Near(gap, mine[i].part, others[j].part, (x, y, z))


def moves_text(moves: Sequence[float]) -> str:
    """Moves along x, y, z in words, those under half a millimetre left out: "40 mm aft and 3 mm up"."""
    said = [
        f"{abs(size):.0f} mm {ways[size > 0.0]}"
        for size, ways in zip(moves, _WAYS, strict=True)
        if abs(size) >= 0.5
    ]
    return " and ".join(said)
