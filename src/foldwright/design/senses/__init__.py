"""Checks between the keys of one kind of part: one module a kind, `KIND` and `sense(raw, path)`.

A module that is here is found; a kind without one has nothing to check between its keys. They run on the
raw file, also where the model could not be built.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType

from foldwright.base.finding import Finding
from foldwright.design.keypath import Path
from foldwright.design.raw import Raw

Sense = Callable[[Raw, Path], Iterator[Finding]]


@cache
def senses() -> Mapping[str, Sense]:
    """The checks of each kind that has some."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.KIND: module.sense for module in modules})
