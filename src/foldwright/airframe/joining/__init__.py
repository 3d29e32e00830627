"""One module a kind of joint: `MODEL`, `ORDER` and `join(parts, builds, joint, bench)`.

A module that is here is found; nothing else has to name it. Joints are cut smallest `ORDER` first: what
changes an outline before what makes room for the finished part.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from foldwright.airframe.bench import Bench
from foldwright.airframe.joined import Joined
from foldwright.airframe.model import PartBuild
from foldwright.design.parts import Part

Joiner = Callable[[Mapping[str, Part], Mapping[str, PartBuild], Any, Bench], Joined]


@dataclass(frozen=True, slots=True)
class JointKind:
    """order: when it is cut; join: how."""

    order: int
    join: Joiner


@cache
def joiners() -> Mapping[type, JointKind]:
    """How each kind of joint is cut, by its model."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.MODEL: JointKind(module.ORDER, module.join) for module in modules})
