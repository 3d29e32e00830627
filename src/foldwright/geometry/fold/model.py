"""Panels, folds, marks and blanks of paper-faced board.

Blank frame (u, v, w), mm, w in [0, t]. Face A is w = t and ends up outside; face B is w = 0. Polygons
run counter-clockwise seen from A.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from foldwright.base.types import FloatArray

Face = Literal["a", "b"]
Method = Literal["groove", "crush", "rebate", "slit", "live"]


@dataclass(frozen=True, slots=True)
class EdgeCut:
    """What an edge lacks of the full outline, measured inward in the board's plane, mm.

    a, b: on face A and on face B; between the faces the edge runs straight from one to the other.
    squeezed: the wedge is pressed flat, not removed, so its mass stays.
    paper_a, paper_b: the skin of that face runs to the outline although the foam is cut away (rebate).
    """

    a: float = 0.0
    b: float = 0.0
    squeezed: bool = False
    paper_a: bool = False
    paper_b: bool = False


SQUARE = EdgeCut()


@dataclass(frozen=True, slots=True, eq=False)
class Panel:
    """A flat region of a blank between folds.

    polygon: (n, 2) outline in the blank frame, counter-clockwise from A, closed without repetition.
    cuts: one EdgeCut for each edge, edge i from point i to point i + 1.
    holes: through holes, each (m, 2), square to the board, clockwise or counter-clockwise alike.
    skin: g/mm² that face A and face B carry beyond the board's own paper: tape and paint more, peeled off
    paper less. bare: whether the paper of face A and of face B is peeled off.
    """

    name: str
    polygon: FloatArray
    cuts: tuple[EdgeCut, ...]
    holes: tuple[FloatArray, ...] = ()
    skin: tuple[float, float] = (0.0, 0.0)
    bare: tuple[bool, bool] = (False, False)


@dataclass(frozen=True, slots=True, eq=False)
class Fold:
    """A fold between two panels of one blank.

    p, q: (2,) ends of the fold line in the blank frame; the child lies to its left.
    method: how it is made; `hinge`: the face whose skin stays whole; `toward`: the face the child turns to.
    angle: turn at full fold, rad, >= 0 (0 for a live hinge at rest).
    limit: largest turn the method clears, rad. tool_width: crush only, mm.
    order: folds are made in this order, smallest first. gain: mm of board that a rounded outer corner
    saves; p and q lie in the middle of it.
    """

    name: str
    parent: str
    child: str
    p: FloatArray
    q: FloatArray
    method: Method
    hinge: Face
    toward: Face
    angle: float
    limit: float
    tool_width: float = 0.0
    order: int = 0
    gain: float = 0.0

    @property
    def opened(self) -> Face:
        """The face that is cut or pressed: the one opposite the hinge."""
        return "b" if self.hinge == "a" else "a"

    @property
    def length(self) -> float:
        """Length of the fold line, mm."""
        return float(np.hypot(*(self.q - self.p)))


@dataclass(frozen=True, slots=True, eq=False)
class Mark:
    """A line (two or more points) or a sign (one point) drawn on one face of one panel, blank frame, mm."""

    name: str
    panel: str
    face: Face
    points: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class Blank:
    """A flat piece of board with its folds and marks.

    name: part id path such as "wing/main"; thickness: mm; root: the panel that stays put; placement:
    4x4 from the blank frame to the aeroplane, applied to the root panel. mirror_of: the blank whose
    mirrored polygons these are, "" if none. order of `panels` and `folds` is the author's.
    """

    name: str
    thickness: float
    panels: tuple[Panel, ...]
    folds: tuple[Fold, ...]
    root: str
    placement: FloatArray
    marks: tuple[Mark, ...] = ()
    mirror_of: str = ""
    copies: int = 1

    def panel(self, name: str) -> Panel:
        """The panel of that name. Raises KeyError."""
        for panel in self.panels:
            if panel.name == name:
                return panel
        raise KeyError(name)
