"""One module a kind of fitting: `MODEL`, its table in the design, and `build(fitting, site)`.

A module that is here with a `MODEL` is found; nothing else has to name it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from foldwright.airframe.fitting import FittingBuild, Site

Fitter = Callable[[Any, Site], FittingBuild]


@cache
def fitters() -> Mapping[type, Fitter]:
    """How each kind of fitting is worked out, by its model."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    return MappingProxyType({module.MODEL: module.build for module in modules if hasattr(module, "MODEL")})
