"""Findings and figures in words or JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from math import isfinite, isnan
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import typer

from foldwright.base.finding import Finding, severity, worst
from foldwright.base.messages import words
from foldwright.cli.codes import NO_GO, UNUSABLE
from foldwright.cli.streams import flush, paragraph, say_line, styled, takes_unicode

if TYPE_CHECKING:
    from foldwright.base.band import Band

FORMAT = 1
INDENT = 7


def finding_data(finding: Finding) -> dict[str, Any]:
    """A finding as JSON: code, verdict, place, sentence, expected, got, cure, numbers."""
    said = words(finding)
    return {
        "code": finding.code,
        "verdict": finding.verdict,
        "file": finding.params.get("file"),
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


def answer(command: str, findings: Iterable[Finding], **more: object) -> dict[str, Any]:
    """What every command says in JSON, and its own besides."""
    rows = list(findings)
    return {
        "format": FORMAT,
        "command": command,
        "verdict": worst(rows),
        "findings": [finding_data(one) for one in rows],
        **more,
    }


def print_json(data: Mapping[str, Any]) -> None:
    """One JSON document on standard output; numbers that are not finite become null."""
    say_line(
        json.dumps(_finite(data), indent=2, ensure_ascii=not takes_unicode(), sort_keys=True, allow_nan=False)
    )


def _finite(value: object) -> object:
    if isinstance(value, Mapping):
        return {str(key): _finite(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_finite(item) for item in value]
    if isinstance(value, float):
        return round(value, 6) + 0.0 if isfinite(value) else None
    return str(value) if isinstance(value, Path) else value


def print_findings(findings: Iterable[Finding], *, clear: bool = False, by_file: bool = False) -> None:
    """Gravest first; clear ones only on request. by_file: under the name of each file, in its own order."""
    shown = [one for one in findings if clear or one.verdict != "clear"]
    if not by_file:
        for finding in sorted(shown, key=lambda one: (-severity(one.verdict), one.code, one.where)):
            print_finding(finding)
        return
    for file in dict.fromkeys(str(one.params.get("file", "")) for one in shown):
        mine = [one for one in shown if str(one.params.get("file", "")) == file]
        count = f"{len(mine)} finding{'s' if len(mine) > 1 else ''}"
        if file:
            say_line(styled(f"{file}: {count}", "strong"))
        for finding in sorted(mine, key=lambda one: -severity(one.verdict)):
            print_finding(finding)


def print_finding(finding: Finding, cures: Sequence[str] = ()) -> None:
    """One finding: place, sentence, expected and got, and the cure. cures: computed ones, best first."""
    said = words(finding)
    head = styled(f"{finding.verdict:>5}", finding.verdict)
    say_line(f"{head}  {finding.code}  {finding.where}")
    paragraph(said.says, "", INDENT)
    if finding.verdict == "clear":
        return
    if said.expected and said.got:
        paragraph(f"expected {said.expected}; got {said.got}", "", INDENT)
    for cure in cures:
        paragraph(f"cure, computed: {cure}", "", INDENT)
    if said.cure and not cures:
        paragraph(f"cure: {said.cure}", "", INDENT)


def band_text(band: Band, digits: int = 1) -> str:
    """A band such as 5.2 mm (3.9 to 6.8); says where part of the samples have no value."""
    unit = f" {band.unit}" if band.unit else ""
    if isnan(band.value):
        return "none"
    text = f"{band.value + 0.0:.{digits}f}{unit}"
    if band.high - band.low > 10.0**-digits / 2.0:
        text += f" ({band.low:.{digits}f} to {band.high:.{digits}f})"
    if band.missing > 0.005:
        text += f", none in {100.0 * band.missing:.0f} % of cases"
    return text


def refuse(command: str, findings: Sequence[Finding], as_json: bool, **more: object) -> NoReturn:
    """Say why the input cannot be used, and leave with exit code 2."""
    if as_json:
        print_json({**answer(command, findings, **more), "verdict": "unusable"})
    else:
        print_findings(findings, by_file=True)
    stop(UNUSABLE)


def cannot_write(path: Path, error: OSError) -> Finding:
    """F51: a file or folder that cannot be written, with the machine's reason."""
    reason = error.strerror or str(error)
    return Finding("F51", "no-go", str(path), {"file": str(path), "reason": reason})


def stop(code: int) -> NoReturn:
    """Leave with an exit code once everything has been printed."""
    flush()
    raise typer.Exit(code)


def exit_code(verdict: str) -> int:
    """0 clear or watch, 1 no-go."""
    return NO_GO if verdict == "no-go" else 0
