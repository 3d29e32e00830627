"""Solid coupons as beds to print."""

from __future__ import annotations

from foldwright.base.finding import Finding
from foldwright.design.resolve import FittedFilament
from foldwright.design.stock import Stock, StockFilament
from foldwright.design.workshop import Printer
from foldwright.make.coupons.model import Coupons
from foldwright.make.fitting_prints import settings_for, to_print
from foldwright.make.print_job import Job, alone
from foldwright.make.printing import Print


def coupon_jobs(
    found: Coupons, printer: Printer, filament: FittedFilament
) -> tuple[tuple[Job, ...], tuple[Finding, ...]]:
    """A bed for each solid coupon; one that does not print is told, as a watch, and left out."""
    jobs: list[Job] = []
    told: list[Finding] = []
    for name, title, made, use in found.made:
        settings = settings_for(made, printer, filament, printer.infill_pct / 100.0)
        wanted = Print(
            name=name, title=title, group="coupons", body=made.body, settings=settings,
            orientation=made.orientation, support=made.support, notes=(use, *made.notes), bodies=made.bodies,
            of=name,
        )  # fmt: skip
        one, wrong = to_print(made, printer, wanted, f"coupons.{name}")
        told += [Finding(each.code, "watch", each.where, each.params) for each in wrong]
        if one is not None:
            jobs.append(alone(one, printer))
    return tuple(jobs), tuple(told)


def filament_of(printer: Printer, stock: Stock) -> FittedFilament | None:
    """What is in the printer as a rule; None for an id that is no filament of the stock."""
    entry = stock.by_id.get(printer.material)
    if not isinstance(entry, StockFilament):
        return None
    return FittedFilament(
        entry.id, entry.name, entry.source, entry.density_g_cm3, entry.softens_c, entry.bends
    )
