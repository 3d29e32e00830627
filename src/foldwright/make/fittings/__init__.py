"""One module a shape of fitting: `SHAPE`, its numbers in airframe, and `solid(shape, printer)`; also
`extras(fitting, results, printer)` where things that do not fly are printed along with it, and
`notes(fitting, results)` where the flight's figures say something more to the builder.

A module that is here with a `SHAPE` is found; nothing else has to name it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from foldwright.airframe.fitting_model import Fitting
from foldwright.design.workshop import Printer
from foldwright.evaluate import Results
from foldwright.make.printing import Extra, Made

Maker = Callable[[Any, Printer], Made]
Told = Callable[[Fitting, Results], tuple[str, ...]]
Along = Callable[[Fitting, Results, Printer], tuple[Extra, ...]]


@cache
def makers() -> Mapping[type, Maker]:
    """How the solid of each shape is made, by the shape's class."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.SHAPE: module.solid for module in modules if hasattr(module, "SHAPE")})


@cache
def along() -> Mapping[type, Along]:
    """What is printed along with a fitting, by its shape's class."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.SHAPE: module.extras for module in modules if hasattr(module, "extras")})


@cache
def told() -> Mapping[type, Told]:
    """What the flight's figures say of a fitting, a sentence each, by its shape's class."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.SHAPE: module.notes for module in modules if hasattr(module, "notes")})
