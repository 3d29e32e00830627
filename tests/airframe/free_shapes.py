"""Free shapes at random: fans of flaps round a middle, and chains of strips."""

from __future__ import annotations

from typing import Any

import numpy as np
import shapely

from foldwright.base.types import FloatArray
from foldwright.design.parts import Plate


def shape(**changes: Any) -> Plate:
    """A level rectangle 200 x 120 mm, not lifting."""
    data: dict[str, Any] = {
        "kind": "plate", "id": "tray", "role": "plate", "plane": "level", "x_mm": 40.0, "z_mm": 10.0,
        "lifting": False, "polygon_mm": ((0.0, 0.0), (200.0, 0.0), (200.0, 120.0), (0.0, 120.0)),
    }  # fmt: skip
    return Plate.model_validate(data | changes)


def fold(name: str, start: tuple[float, float], stop: tuple[float, float], **more: Any) -> dict[str, Any]:
    return {"id": name, "from_mm": start, "to_mm": stop, "angle_deg": 40.0} | more


def random_fold(rng: np.random.Generator, name: str, p: FloatArray, q: FloatArray) -> dict[str, Any]:
    method = ("groove", "crush", "rebate", "slit")[int(rng.integers(4))]
    angle = 90.0 if method == "rebate" else float(rng.uniform(5.0, 120.0))
    return fold(
        name, (float(p[0]), float(p[1])), (float(q[0]), float(q[1])), method=method, angle_deg=angle,
        toward="ab"[int(rng.integers(2))], order=int(rng.integers(5)),
    )  # fmt: skip


def random_shape(rng: np.random.Generator) -> Plate:
    """An oval polygon with up to four chords that do not cross: a tree of panels of any form."""
    count = int(rng.integers(8, 17))
    angles = np.sort((np.arange(count) + rng.uniform(0.1, 0.9, count)) * 2.0 * np.pi / count)
    ring = np.stack([260.0 * np.cos(angles), 180.0 * np.sin(angles)], axis=1) + rng.uniform(-150.0, 150.0, 2)
    chords: list[tuple[int, int]] = []
    for _ in range(30):
        i, j = sorted(rng.integers(0, count, 2).tolist())
        apart = min(j - i, count - (j - i))
        if apart >= 2 and len(chords) < 4 and all(_beside((i, j), other) for other in chords):
            chords.append((i, j))
    after = np.roll(ring, -1, axis=0)
    ends = {}
    for number, (i, j) in enumerate(chords):
        share = rng.uniform(0.3, 0.7, 2) if number == 0 else (0.0, 0.0)
        ends[number] = [ring[k] + s * (after[k] - ring[k]) for k, s in zip((i, j), share, strict=True)]
        if rng.uniform() < 0.5:
            ends[number].reverse()
    notched = _notched(rng, ring, {k for pair in chords for k in pair})
    inside = shapely.Polygon(notched).buffer(1e-6)
    if all(inside.covers(shapely.LineString(pair)) for pair in ends.values()):
        ring = notched
    plane = ("upright", "level", "across")[int(rng.integers(3))]
    return shape(
        plane=plane, polygon_mm=tuple((float(x), float(y)) for x, y in ring),
        fold=tuple(random_fold(rng, f"f{k}", p, q) for k, (p, q) in ends.items()),
        x_mm=float(rng.uniform(0, 300)), y_mm=float(rng.uniform(20, 90)) * (-1) ** int(rng.integers(2)),
        z_mm=float(rng.uniform(-90, 90)), mirrored=bool(rng.integers(2)),
        lean_deg=float(rng.uniform(-40, 40)) if plane == "upright" else 0.0,
        turn_deg=tuple(rng.uniform(-60.0, 60.0, 3).tolist()) if rng.uniform() < 0.5 else (0.0, 0.0, 0.0),
    )  # fmt: skip


def _notched(rng: np.random.Generator, ring: FloatArray, used: set[int]) -> FloatArray:
    """The ring with a shallow notch in some edges that no fold ends on: concave panels."""
    rows = []
    for k, (p, q) in enumerate(zip(ring, np.roll(ring, -1, axis=0), strict=True)):
        rows.append(p)
        along = q - p
        length = float(np.hypot(*along))
        if k not in used and length > 40.0 and rng.uniform() < 0.4:
            inward = np.array([-along[1], along[0]]) / length
            rows += [p + 0.4 * along, p + 0.5 * along + 3.0 * inward, p + 0.6 * along]
    return np.array(rows)


def _beside(one: tuple[int, int], other: tuple[int, int]) -> bool:
    """Whether two chords of a ring share no end, nor the edge behind an end, and do not cross."""
    i, j = one
    k, m = other
    if {i, j, i - 1, j - 1} & {k, m} or {k - 1, m - 1} & {i, j}:
        return False
    return (i < k < j) == (i < m < j)
