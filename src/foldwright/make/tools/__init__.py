"""One module a setup tool or board tool: `ORDER`, and `make(bench)`, which gives none where the design has no
use for it. A module that is here with a `make` is found; nothing else has to name it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from foldwright.base.finding import Finding
from foldwright.design.workshop import Printer
from foldwright.evaluate import Evaluation, Results
from foldwright.make.printing import Made


@dataclass(frozen=True, slots=True, eq=False)
class ToolBench:
    """What tools are made from: the evaluated design (with results), and the printer."""

    evaluation: Evaluation
    results: Results
    printer: Printer


@dataclass(frozen=True, slots=True, eq=False)
class Tool:
    """One tool. name: of its file; use: how it is used, one or two sentences, with figures."""

    name: str
    title: str
    made: Made | None
    use: str
    copies: int = 1
    infill: float | None = None
    figures: Mapping[str, float] = field(default_factory=dict)
    findings: tuple[Finding, ...] = ()


Maker = Callable[[ToolBench], tuple[Tool, ...]]


@cache
def makers() -> tuple[Maker, ...]:
    """All of them in their order."""
    modules = [import_module(f"{__name__}.{found.name}") for found in iter_modules(__path__)]
    found = [module for module in modules if hasattr(module, "make")]
    return tuple(module.make for module in sorted(found, key=lambda m: (m.ORDER, m.__name__)))
