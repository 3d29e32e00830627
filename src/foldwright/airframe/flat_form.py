"""A surface of single board, laid flat: bays side by side, ridge folds along the span, breaks across it.

Blank frame: u aft from the root's leading edge, v to the right, seen from face A (up). The front panels are
the reference: behind each camber fold the board turns down about a line on face A. Bays meet at breaks that
run along u; where a bay rises against its neighbour the upper face is opened and the under paper stays whole,
where it falls it is the other way about.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, sin, tan

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import fold_matrix
from foldwright.geometry.fold.methods import bevel, radius_gain
from foldwright.geometry.fold.model import EdgeCut, Face, Fold, Method
from foldwright.geometry.transform import apply, inverse

LEVEL = 1e-9
_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class FlatEnd:
    """End of a bay (the first is the root): along the board from the root, its edges fore and aft, mm.

    fore, aft: from the root's leading edge, aft positive, as they lie in the front panel's plane.
    """

    along: float
    fore: float
    aft: float

    @property
    def chord(self) -> float:
        """Fore to aft, mm."""
        return self.aft - self.fore


@dataclass(frozen=True, slots=True)
class Ridge:
    """A camber fold at a constant share of the chord; turn: rad, down behind it. gain: see `Fold`."""

    share: float
    turn: float
    method: Method
    tool_width: float = 0.0
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class FlatForm:
    """One board over both halves.

    ends: of a half, root to tip. rises: of each bay against level, rad. one: both halves in one blank, else
    two that are bevelled to meet. thickness, tip_cut: mm.
    """

    ends: tuple[FlatEnd, ...]
    rises: tuple[float, ...]
    one: bool
    thickness: float
    ridges: tuple[Ridge, ...] = ()
    tip_cut: float = 0.0

    @property
    def steps(self) -> tuple[float, ...]:
        """Turn at the inner end of every bay of a half, rad, up positive; at the centre of the whole fold."""
        return (2.0 * self.rises[0], *(b - a for a, b in pairwise(self.rises)))

    @property
    def lines(self) -> tuple[float, ...]:
        """Places v of the root, the breaks and the tip in the blank of a right half, mm.

        A break that falls is hinged on face A, whose paper is longer there than the under face measures by
        t*tan(step/2) on each side.
        """
        extra = [max(0.0, self.thickness * tan(-step / 2.0)) for step in self.steps]
        places, v = [0.0], extra[0]
        for index, (inner, outer) in enumerate(pairwise(self.ends)):
            v += outer.along - inner.along
            if index + 1 < len(self.rises):
                v += extra[index + 1]
                places.append(v)
                v += extra[index + 1]
            else:
                places.append(v)
        return tuple(places)

    @property
    def start(self) -> float:
        """Place v at which the under face begins at the centre line, mm."""
        return max(0.0, self.thickness * tan(-self.steps[0] / 2.0))


@dataclass(frozen=True, slots=True, eq=False)
class Layer:
    """A bay's board between two ridges: its edges fore and aft (low v, high v) in the blank, (2, 2) mm.

    place: 4x4 from the blank frame to where it stands when the ridges are folded and the front is flat.
    """

    fore: FloatArray
    aft: FloatArray
    place: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Cell:
    """One bay of one half in the blank, from v `low` to `high`; layers from the leading edge aft.

    side: +1 right, -1 left. bay: from 0 outward. roll: turn about the fore-and-aft line, rad, right side up.
    """

    side: int
    bay: int
    roll: float
    layers: tuple[Layer, ...]
    low: float
    high: float


def cells(form: FlatForm) -> tuple[Cell, ...]:
    """All bays of the blank from left to right: both halves, or the right half alone."""
    right = _right_cells(form)
    return (*(_mirrored(cell) for cell in reversed(right)), *right) if form.one else right


def _right_cells(form: FlatForm) -> tuple[Cell, ...]:
    lines = form.lines
    made = []
    for bay, (inner, outer) in enumerate(pairwise(form.ends)):
        low, high = lines[bay], lines[bay + 1]
        fore = np.array([(inner.fore, low), (outer.fore, high)])
        chord = np.array([(inner.chord, 0.0), (outer.chord, 0.0)])
        made.append(Cell(1, bay, form.rises[bay], _layers(form, fore, chord), low, high))
    return tuple(made)


_FLIP = np.diag([1.0, -1.0, 1.0, 1.0])


def _mirrored(cell: Cell) -> Cell:
    turned = np.array([1.0, -1.0])
    layers = tuple(
        Layer(layer.fore[::-1] * turned, layer.aft[::-1] * turned, _FLIP @ layer.place @ _FLIP)
        for layer in cell.layers
    )
    return Cell(-1, cell.bay, -cell.roll, layers, -cell.high, -cell.low)


def ridge_fold(name: str, line: FloatArray, ridge: Ridge, order: int) -> Fold:
    """Fold along a line (low v, high v) whose child lies aft and turns down: under paper opened."""
    return Fold(
        name, "", "", line[1], line[0], ridge.method, "a", "b", ridge.turn, np.pi, ridge.tool_width, order,
        radius_gain(ridge.turn, ridge.radius),
    )  # fmt: skip


def _layers(form: FlatForm, fore: FloatArray, chord: FloatArray) -> tuple[Layer, ...]:
    """Board between the ridges of one bay, laid flat."""
    t = form.thickness
    shares = [*(ridge.share for ridge in form.ridges), 1.0]
    place, layers = np.eye(4), []
    front = fore
    for index, share in enumerate(shares):
        line = _on_skin(place, fore + share * chord, t)
        if index == len(form.ridges):
            layers.append(Layer(front, line, place))
            break
        ridge = form.ridges[index]
        gain = radius_gain(ridge.turn, ridge.radius)
        line = line - gain / 2.0 * _aft_of(line)
        layers.append(Layer(front, line, place))
        place = place @ fold_matrix(ridge_fold("", line, ridge, 0), ridge.turn, t)
        front = line
    return tuple(layers)


def _aft_of(line: FloatArray) -> FloatArray:
    """Unit vector square to a line (low v, high v), aft."""
    along = line[1] - line[0]
    aft: FloatArray = np.array([along[1], -along[0]]) / np.hypot(*along)
    return aft


def _on_skin(place: FloatArray, points: FloatArray, t: float) -> FloatArray:
    """Points (n, 2) of the front's plan dropped square to it on to face A of a layer, in the blank."""
    normal, origin = place[:3, 2], place[:3, 3] + t * place[:3, 2]
    rows = np.column_stack([points, np.zeros(len(points))])
    rows[:, 2] = (origin @ normal - rows @ normal) / normal[2]
    back = inverse(place)
    flat: FloatArray = apply(back, rows)[:, :2]
    return flat


@dataclass(frozen=True, slots=True, eq=False)
class Side:
    """Line along which a layer ends at a break: v = v0 + slope*u, and what faces B and A lack there."""

    v0: float
    slope: float
    cut: EdgeCut

    def meets(self, line: FloatArray) -> FloatArray:
        """Where it meets the line through two points (2, 2)."""
        (u0, w0), (u1, w1) = line
        run, rise = u1 - u0, w1 - w0
        share = (self.v0 + self.slope * u0 - w0) / (rise - self.slope * run)
        return np.array([u0 + share * run, w0 + share * rise])


def front_cut(step: float, t: float) -> EdgeCut:
    """What the front panel lacks on each side of a break of `step` rad (up positive)."""
    wide = bevel(abs(step), t)
    return EdgeCut(a=wide) if step > 0.0 else EdgeCut(b=wide)


def side(form: FlatForm, cell: Cell, level: int, way: int, step: float) -> Side:
    """Where a layer behind a ridge ends at a break.

    way: +1 at the cell's low v, -1 at its high v. Two things hold it back: its neighbour in the flat blank
    (it may not pass the line of the break) and its neighbour when folded (it may not pass the plane that
    halves the break). The edge follows the one that leaves less, and is slanted to clear the other.
    """
    t, layer = form.thickness, cell.layers[level]
    line = cell.low if way > 0 else cell.high
    normal = np.array([0.0, way * cos(step / 2.0), -sin(step / 2.0)])
    hinge = np.array([0.0, line, 0.0 if step >= 0.0 else t])
    place = layer.place
    across = float(normal @ place[:3, 1]) * way
    slope = -float(normal @ place[:3, 0]) / across
    # on the skin at depth w the layer keeps way*v >= slope*u + offset
    offsets = [-float(normal @ (place[:3, 3] + w * place[:3, 2] - hinge)) / across for w in (0.0, t)]
    fore = float(layer.fore[0 if way > 0 else 1, 0])
    bound = way * line
    if slope > LEVEL:
        least = max(min(offsets), bound - slope * fore)
        lacks = [max(0.0, offset - least) / np.hypot(1.0, slope) for offset in offsets]
        return Side(way * least, way * slope, _cut(lacks))
    # along the break; what remains begins on the ridge: on face A at its line, on face B behind its bevel
    run = layer.fore[1] - layer.fore[0]
    tilt = way * float(run[0] / run[1])
    begins = (fore + bevel(form.ridges[level - 1].turn, t) * float(np.hypot(1.0, tilt)), fore)
    lacks = [
        max(0.0, slope * u + offset - bound) / (1.0 - slope * tilt)
        for u, offset in zip(begins, offsets, strict=True)
    ]
    return Side(line, 0.0, _cut(lacks))


def _cut(lacks: Sequence[float]) -> EdgeCut:
    b, a = (0.0 if lack < _TINY else float(lack) for lack in lacks)
    return EdgeCut(a=a, b=b)


def smooth(one: Cell, other: Cell, level: int) -> bool:
    """Whether two neighbours run on into each other as one panel, as far as a layer."""
    if abs(other.roll - one.roll) > LEVEL:
        return False
    for index in range(1, level + 1):
        left, right = one.layers[index].fore, other.layers[index].fore
        run, next_run = left[1] - left[0], right[1] - right[0]
        bent = abs(float(run[0] * next_run[1] - run[1] * next_run[0]))
        if bent > LEVEL * float(np.hypot(*run) * np.hypot(*next_run)):
            return False
        if np.abs(left[1] - right[0]).max() > LEVEL:
            return False
    return True


def hinge_face(step: float) -> Face:
    """Face that stays whole at a break: the under one where the bay outboard rises."""
    return "b" if step > 0.0 else "a"
