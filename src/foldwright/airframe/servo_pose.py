"""How a servo stands in its place: where its case's long side lies, where its shaft comes out, its arm.

An item's size_mm says how long it is along x, y and z; the stock's size of the same servo (length, width,
height with the shaft) tells from that which way round it stands. Frame: x aft, y right, z up, mm.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import permutations

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.design.resolve import FittedItem

ARM_BELOW_MM = 2.0
"""[judgement] middle of the arm below the end of the shaft, mm."""
ARM_TIP_MM = 2.0
"""[judgement] an arm reaches this far past the hole in use, mm: the rest is cut off."""
USUAL_ARM_MM = 10.0
"""[judgement] hole of an arm whose holes are not stated, mm."""
_SAME = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class ServoPose:
    """One way round a servo may stand.

    long (3,): unit, along the case toward the end that the shaft is at; shaft (3,): unit, out of the case.
    length, width, height: of the case, with the shaft, mm.
    """

    item: FittedItem
    long: FloatArray
    shaft: FloatArray
    length: float
    width: float
    height: float

    @property
    def centre(self) -> FloatArray:
        """(3,) middle of the case."""
        return np.array(self.item.place_mm)

    @property
    def across(self) -> FloatArray:
        """(3,) unit, square to both."""
        return np.cross(self.shaft, self.long)

    @property
    def from_end(self) -> float:
        """The shaft from its end of the case: as stocked, else half the width, mm."""
        stated = self.item.shaft_from_end_mm
        return self.width / 2.0 if stated is None else stated

    @property
    def point(self) -> FloatArray:
        """(3,) on the shaft, in the plane that the arm turns in."""
        found: FloatArray = (
            self.centre
            + (self.length / 2.0 - self.from_end) * self.long
            + (self.height / 2.0 - ARM_BELOW_MM) * self.shaft
        )
        return found

    @property
    def bottom(self) -> FloatArray:
        """(3,) middle of the face opposite to the shaft."""
        found: FloatArray = self.centre - self.height / 2.0 * self.shaft
        return found


def axes_of(item: FittedItem) -> tuple[int, int, int]:
    """Axes of the aeroplane (0 x, 1 y, 2 z) along the case's length, width and height."""
    case = item.case_mm or item.size_mm
    for axes in permutations(
        range(3)
    ):  # upright with its length along x comes first, then along x on its side
        if all(abs(item.size_mm[axis] - own) < _SAME for axis, own in zip(axes, case, strict=True)):
            return axes[0], axes[1], axes[2]
    return 0, 1, 2


def poses(item: FittedItem, control: FloatArray) -> tuple[ServoPose, ServoPose]:
    """Both ways that the shaft may look; its end of the case is the one away from the control at `control`
    (3,): the longer rod pulls straighter [judgement].
    """
    length, width, height = axes_of(item)
    eye = np.eye(3)
    off = control - np.array(item.place_mm)
    long = eye[length] * (1.0 if float(off[length]) < 0.0 else -1.0)
    size = item.size_mm
    first, second = (
        ServoPose(item, long, sign * eye[height], size[length], size[width], size[height])
        for sign in (1.0, -1.0)
    )
    return first, second


def arms_of(item: FittedItem) -> tuple[float, ...]:
    """Holes of its arm, mm from the shaft."""
    return item.arm_mm or (USUAL_ARM_MM,)
