"""Findings and figures in words or JSON."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterable, Mapping
from math import isfinite, isnan
from typing import TYPE_CHECKING, Any

import typer

from foldwright.base.finding import severity
from foldwright.base.messages import words

if TYPE_CHECKING:
    from foldwright.base.band import Band
    from foldwright.base.finding import Finding


def finding_data(finding: Finding) -> dict[str, Any]:
    """A finding as JSON: code, verdict, place, sentence, expected, got, cure, numbers."""
    said = words(finding)
    return {
        "code": finding.code,
        "verdict": finding.verdict,
        "where": finding.where,
        "title": said.title,
        "says": said.says,
        "expected": said.expected,
        "got": said.got,
        "cure": said.cure,
        "value": finding.value,
        "limit": finding.limit,
        "unit": finding.unit,
        "source": finding.source,
    }


def print_json(data: Mapping[str, Any]) -> None:
    """One JSON document on standard output; numbers that are not finite become null."""
    print(json.dumps(_finite(data), indent=2, ensure_ascii=False, sort_keys=True, allow_nan=False))


def _finite(value: object) -> object:
    if isinstance(value, Mapping):
        return {str(key): _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    if isinstance(value, float):
        return round(value, 6) if isfinite(value) else None
    return value


def print_findings(findings: Iterable[Finding], *, clear: bool = False) -> None:
    """Gravest first; clear ones only on request."""
    for finding in sorted(findings, key=lambda one: (-severity(one.verdict), one.code, one.where)):
        if finding.verdict == "clear" and not clear:
            continue
        said = words(finding)
        colour = {"no-go": typer.colors.MAGENTA, "watch": typer.colors.CYAN, "clear": None}[finding.verdict]
        head = typer.style(f"{finding.verdict:>6}", fg=colour, bold=True)
        typer.echo(f"{head}  {finding.code}  {finding.where}: {said.says}")
        if said.expected:
            typer.echo(f"              expected {said.expected}; got {said.got}")
        if said.cure and finding.verdict != "clear":
            typer.echo(f"              cure: {said.cure}")


def band_text(band: Band, digits: int = 1) -> str:
    """A band such as 5.2 mm (3.9 to 6.8); says where part of the samples have no value."""
    unit = f" {band.unit}" if band.unit else ""
    if isnan(band.value):
        return f"none{unit}"
    text = f"{band.value:.{digits}f}{unit}"
    if band.high - band.low > 10.0**-digits / 2.0:
        text += f" ({band.low:.{digits}f} to {band.high:.{digits}f})"
    if band.missing > 0.005:
        text += f", none in {100.0 * band.missing:.0f} % of cases"
    return text


def stop(code: int) -> None:
    """Leave with an exit code once everything has been printed."""
    sys.stdout.flush()
    raise typer.Exit(code)
