"""What a joint does to the parts it joins."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from foldwright.airframe.model import JointShown, PartBuild
from foldwright.base.finding import Finding


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """changed: parts as the joint leaves them, by id; shown: for the book, None where it could not be cut."""

    changed: Mapping[str, PartBuild] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()
    shown: JointShown | None = None
