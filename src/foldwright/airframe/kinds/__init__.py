"""One module a kind of part: `MODEL`, its table in the design, and `build(part, bench)`.

A module that is here is found; nothing else has to name it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from foldwright.airframe.bench import Bench
from foldwright.airframe.model import PartBuild

Builder = Callable[[Any, Bench], PartBuild]


@cache
def builders() -> Mapping[type, Builder]:
    """How each kind of part is built, by its model."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.MODEL: module.build for module in modules})
