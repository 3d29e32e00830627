"""Keys that could cure what the linkages say (P30-P32): they are judged where horns are worked out."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from foldwright.airframe.horn_drive import HIGH_MM, LOW_MM
from foldwright.review.subject import CureKey, Subject

ARMS_MM = (5.0, 20.0)
"""[judgement] holes that arms of small servos have, mm."""


def linkage_keys(subject: Subject) -> tuple[CureKey, ...]:
    """Height of the horn and hole of the arm, of every horn; what a file leaves out is worked out."""
    driven = [one.id.partition("/")[0] for one in subject.airframe.fittings if "arm_mm" in one.figures]
    horns = tuple(dict.fromkeys(driven))
    heights = [CureKey(f"fitting.{one}.height_mm", LOW_MM, HIGH_MM, 0.5) for one in horns]
    arms = [CureKey(f"fitting.{one}.arm_mm", *ARMS_MM, 0.5) for one in horns]
    return (*heights, *arms)


CURES: Mapping[str, Callable[[Subject], tuple[CureKey, ...]]] = {
    "P30": linkage_keys,
    "P31": linkage_keys,
    "P32": linkage_keys,
}
"""By the code of the finding."""
