"""Joints of kind "slot_tab"."""

from __future__ import annotations

from collections.abc import Mapping

from foldwright.airframe.bench import Bench
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import PartBuild
from foldwright.airframe.slot_tab import join_slot_tab
from foldwright.base.finding import Finding
from foldwright.design.parts import Part, SlotTab

MODEL = SlotTab
ORDER = 10


def join(parts: Mapping[str, Part], builds: Mapping[str, PartBuild], joint: SlotTab, bench: Bench) -> Joined:
    """Cut tabs into the first part and slots into the second."""
    del bench
    first, second = joint.parts
    if parts[first].sort != "plate":
        return Joined(findings=(Finding("G64", "no-go", joint.id, {"part": first}),))
    if not builds[first].blanks:
        return Joined()  # it has findings of its own
    return join_slot_tab(builds[first], builds[second], joint)
