"""What a `[[fitting]]` is worked out from, and what it gives."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from foldwright.airframe.fitting_model import Fitting, PrintedIn
from foldwright.airframe.model import Airframe, MarkRequest, Note
from foldwright.base.finding import Finding, Param
from foldwright.design.fittings import FittingModel
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved
from foldwright.design.workshop import Printer, Workshop

SHORT_MM = 0.15
"""What is made smaller than asked for by less is not worth a word, mm."""


@dataclass(frozen=True, slots=True, eq=False)
class Site:
    """What a fitting is worked out from. airframe: folded and joined, without fittings."""

    design: Design
    fitted: Resolved
    workshop: Workshop
    airframe: Airframe

    @property
    def printer(self) -> Printer:
        """The workshop's printer; a usual one where fittings are printed elsewhere."""
        return self.workshop.printer or Printer()

    def printed(self, fitting: FittingModel, infill: float | None = None, usual: str = "") -> PrintedIn:
        """How it is printed: the file's own wish, then what the kind wants, then the printer's.

        infill: 0-1 that the kind wants, None for the printer's. usual: id of the filament it wants; where the
        stock lacks it the printer's own serves.
        """
        name = fitting.filament or (usual if usual in self.fitted.filaments else self.printer.material)
        share = infill if fitting.infill_pct is None else fitting.infill_pct / 100.0
        printer = self.printer
        return PrintedIn(
            self.fitted.filaments[name],
            printer.infill_pct / 100.0 if share is None else share,
            printer.walls * printer.line_mm,
        )


def given(fitting: FittingModel, key: str, made: float, why: str, part: int | None = None) -> list[Finding]:
    """P112 where a key that the file writes asks for more than is made, mm; nothing where it does not.

    why: what limits it, in words. part: which number of a key that has several.
    """
    if key not in fitting.model_fields_set:
        return []
    value = getattr(fitting, key)
    got = value if part is None else value[part]
    if not isinstance(got, int | float) or got <= made + SHORT_MM:
        return []
    least = floor(made * 10.0 + 1e-6) / 10.0
    facts: dict[str, Param] = {
        "id": fitting.id, "key": key if part is None else f"{key}, number {part + 1},",
        "got": f"{got:g}", "given": f"{least:g}", "why": why,
    }  # fmt: skip
    return [Finding("P112", "watch", f"fitting.{fitting.id}.{key}", facts, float(got), least, "mm")]


@dataclass(frozen=True, slots=True, eq=False)
class FittingBuild:
    """What one `[[fitting]]` gives.

    guides: marks on the board where it goes. replaces: ids of masses that it stands for ("motor-mount", a
    leg's id; those of a pair, with "/right" and "/left", go with it).
    """

    fittings: tuple[Fitting, ...] = ()
    findings: tuple[Finding, ...] = ()
    guides: tuple[MarkRequest, ...] = ()
    notes: tuple[Note, ...] = ()
    replaces: tuple[str, ...] = ()
