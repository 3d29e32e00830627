"""The demo aeroplanes with fittings added, for the tests of trays, legs and skids."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from foldwright.airframe.build import build_airframe
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding
from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.design.resolve import Resolved, fit
from foldwright.design.workshop import Workshop
from tests.world import EXAMPLES, without_fittings

TRAYS = """
[[fitting]]
kind = "equipment_tray"
id = "receiver-tray"
holds = ["receiver"]

[[fitting]]
kind = "equipment_tray"
id = "controller-tray"
holds = ["controller"]
"""
LEG = """
[[fitting]]
kind = "landing_leg"
id = "main-leg"
leg = "main"
"""
BOARD = """
[[equipment]]
id = "control-board"
stock = "board-30"
x_mm = 270.0
z_mm = -12.0

[[fitting]]
kind = "equipment_tray"
id = "tray"
holds = ["receiver", "control-board"]
"""


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """An aeroplane with its fittings, what is fitted and where it is built."""

    airframe: Airframe
    fitted: Resolved
    workshop: Workshop

    def fitting(self, name: str) -> Fitting:
        """The fitting of that id."""
        return next(one for one in self.airframe.fittings if one.id == name)

    def found(self) -> dict[str, Finding]:
        """Findings of printed work that are no clear ones, by code."""
        return {f.code: f for f in self.airframe.findings if f.code.startswith("P") and f.verdict != "clear"}


def skid(start: float, stop: float, more: str = "") -> str:
    """A skid's table."""
    return f'\n[[fitting]]\nkind = "skid"\nid = "skid"\nfrom_mm = {start}\nto_mm = {stop}\n{more}\n'


@cache
def _workshop(name: str) -> Workshop:
    value = load_workshop(EXAMPLES / "workshops" / f"{name}.toml", stock=built_in_stock()).value
    if value is None:
        raise ValueError(name)
    return value


def built(
    name: str, extra: str, edit: Callable[[str], str] = str, workshop: str = "school-laser",
    clearance: float | None = None,
) -> Built:  # fmt: skip
    """One of the demo designs with tables added and its text changed; clearance: of another printer."""
    plain = without_fittings((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    text = edit(plain) + "\n" + extra
    design = load_design(text.encode(), stock=built_in_stock()).value
    if design is None:
        raise ValueError(f"{name} does not load")
    bench = _workshop(workshop)
    if clearance is not None and bench.printer is not None:
        printer = bench.printer.model_copy(update={"clearance_mm": clearance})
        bench = bench.model_copy(update={"printer": printer})
    fitted = fit(design, bench, built_in_stock()).value
    if fitted is None:
        raise ValueError(f"{name} is not fitted")
    return Built(build_airframe(design, fitted, bench), fitted, bench)


def put(old: str, new: str) -> Callable[[str], str]:
    """A change of a design's text that must be there to be changed."""

    def edit(text: str) -> str:
        if old not in text:
            raise ValueError(f"{old!r} is not in the design")
        return text.replace(old, new)

    return edit
