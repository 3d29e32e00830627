"""Reading the files a command names, with all their findings in one run."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foldwright.base.finding import Finding
    from foldwright.design.model import Design
    from foldwright.design.stock import Stock
    from foldwright.design.workshop import Workshop


@dataclass(frozen=True, slots=True)
class Inputs:
    """Design, workshop and stock as read; `usable` is None where any of them cannot be used."""

    findings: tuple[Finding, ...]
    usable: tuple[Design, Workshop, Stock] | None
    design_text: str
    design_sha256: str
    workshop_text: str
    drawings: tuple[tuple[str, bytes], ...] = ()


def _of_file(findings: tuple[Finding, ...], path: Path | None) -> tuple[Finding, ...]:
    """The findings of reading one file, each with the name of that file, since keys recur between files."""
    if path is None:
        return findings
    return tuple(replace(one, params={"file": str(path), **one.params}) for one in findings)


def read_inputs(design: Path, workshop: Path | None, own_stock: Path | None) -> Inputs:
    """Read all files a command was given; without a workshop file the built-in plain one serves."""
    from foldwright.design.load import load_design, load_stock, load_workshop
    from foldwright.design.plain import PLAIN_WORKSHOP

    stock_read = load_stock(own_stock)
    design_read = load_design(design, stock=stock_read.value)
    if workshop is None:
        workshop_read = load_workshop(PLAIN_WORKSHOP.encode(), "plain workshop", stock_read.value)
    else:
        workshop_read = load_workshop(workshop, stock=stock_read.value)
    findings = (
        *_of_file(stock_read.findings, own_stock),
        *_of_file(design_read.findings, design),
        *_of_file(workshop_read.findings, workshop),
    )
    if stock_read.value is None or design_read.value is None or workshop_read.value is None:
        return Inputs(findings, None, "", "", "")
    written, bench = design_read.source, workshop_read.source
    if written is None or bench is None:  # a value without its text does not come back from reading
        return Inputs(findings, None, "", "", "")
    usable = (design_read.value, workshop_read.value, stock_read.value)
    return Inputs(findings, usable, written.text, written.sha256, bench.text, written.drawings)
