"""`foldwright readback`: a plan set's own files folded into the aeroplane again."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldwright.base.finding import Finding
from foldwright.cli.codes import NO_GO
from foldwright.cli.options import AsJson

if TYPE_CHECKING:
    from foldwright.cli.progress import Say
    from foldwright.make.readback_rows import ReadbackReport, Row


def readback(
    folder: Annotated[
        Path,
        typer.Argument(
            metavar="FOLDER", help="The folder that holds manifest.json, or the zip.", show_default=False
        ),
    ],
    show_all: Annotated[
        bool, typer.Option("--all", help="Print every comparison, not only the sums and what fails.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Read a plan set back and compare it.

    Its own sheets are folded into the aeroplane again, weighed, and held against the setup card; card and
    drawings are made again from its own design, workshop and stock files and compared. Exit code 1 where
    the files do not agree; where they do, nothing is said about flight.
    """
    from foldwright.cli.progress import progress
    from foldwright.cli.show import answer, print_json, refuse, stop

    with progress() as say:
        report = read_back(folder, say)
    if isinstance(report, Finding):
        refuse("readback", [report], as_json, holds=False, sentence=None, rows=[])
    if as_json:
        print_json(answer("readback", report.findings, **report_data(report)))
    else:
        print_report(report, show_all=show_all)
    stop(0 if report.holds else NO_GO)


def read_back(folder: Path, say: Say) -> ReadbackReport | Finding:
    """What a plan set's folder or zip reads back as, or the finding that says why there is no plan set."""
    say("reading the files")
    from foldwright.make.manifest import NAME
    from foldwright.make.readback import check_files, read_folder
    from foldwright.make.readback import readback as damaged
    from foldwright.make.readback_again import made_again
    from foldwright.make.readback_rows import ReadbackReport

    def none(reason: str, hint: str = "Name the folder that holds manifest.json.") -> Finding:
        name = str(folder)
        return Finding("F53", "no-go", name, {"file": name, "reason": reason, "hint": hint})

    try:
        if not folder.exists():
            return none("there is nothing at that place")
        if folder.is_dir() and not (folder / NAME).is_file():
            inside = sorted(one.parent.name for one in folder.glob(f"*/{NAME}"))
            if not inside:
                return none(f"there is no {NAME} in it")
            hint = f"Name one of the folders in it: {', '.join(inside)}."
            return none(f"there is no {NAME} in it itself", hint)
        files = read_folder(folder)
    except OSError as error:
        return none(error.strerror or str(error))
    except ValueError as error:
        return damaged(folder) if _was_zip(folder) else none(str(error))
    if NAME not in files:
        return none(f"there is no {NAME} in it")
    say("folding them again")
    folded = check_files(files)
    return ReadbackReport((*folded.rows, *made_again(files, say)))


def _was_zip(file: Path) -> bool:
    """Whether a file begins as a zip does: then it is a damaged one."""
    with file.open("rb") as stream:
        return stream.read(4) == b"PK\x03\x04"


def report_data(report: ReadbackReport) -> dict[str, Any]:
    """The table as JSON data."""
    from dataclasses import asdict

    return {"holds": report.holds, "sentence": report.sentence, "rows": [asdict(row) for row in report.rows]}


def print_report(report: ReadbackReport, *, show_all: bool) -> None:
    """What was compared, what fails in full, and what may be claimed."""
    from foldwright.cli.show import print_findings
    from foldwright.cli.streams import paragraph, say_line, styled

    for row in report.rows if show_all else ():
        paragraph(_row_text(row), "  holds  " if row.holds else "  FAILS  ", 9)
    if not show_all:
        for name, rows in _groups(report).items():
            good = sum(row.holds for row in rows)
            text = f"{good} of {len(rows)} hold{_greatest(rows)}"
            paragraph(text, f"  {name}", 26)
    print_findings(report.findings)
    say_line(styled(report.sentence, "strong" if report.holds else "no-go"))


_GROUPS = {
    "R01": "files as listed", "R02": "files readable", "R03": "outlines", "R04": "folds", "R05": "marks",
    "R06": "lines on blanks", "R07": "mass and balance", "R08": "true scale", "R09": "blanks there",
    "R10": "blanks rebuilt", "R12": "holes of both sides", "R14": "other files", "R15": "figures made again",
    "R16": "files drawn again", "R17": "plan set made again", "R18": "plan set made again",
    "R19": "prints there", "R20": "prints closed", "R21": "prints on the bed", "R22": "templates' edges",
    "R23": "templates' lines", "R24": "thrust axis of mounts", "R25": "holes of mounts", "R26": "dummies",
    "R27": "mass of prints", "R28": "3MF against STL", "R29": "fittings in place",
}  # fmt: skip


def _groups(report: ReadbackReport) -> dict[str, list[Row]]:
    """Rows by what was compared, in the order of the codes."""
    groups: dict[str, list[Row]] = {}
    for row in sorted(report.rows, key=lambda one: one.code):
        groups.setdefault(_GROUPS.get(row.code, row.code), []).append(row)
    return groups


def _greatest(rows: list[Row]) -> str:
    """The greatest difference of a group in each of its units, and what is allowed."""
    parts = []
    for unit in sorted({row.unit for row in rows if row.difference is not None}):
        pairs = [
            (row.difference, row.tolerance)
            for row in rows
            if row.unit == unit and row.difference is not None and row.tolerance is not None
        ]
        far, allowed = max(pairs, key=lambda pair: pair[0] / pair[1])
        parts.append(f"{far:.3f} of {allowed:g} {unit} allowed")
    return f"; worst {', '.join(parts)}" if parts else ""


def _row_text(row: Row) -> str:
    text = f"{row.what}: expected {row.expected}, got {row.got}"
    if row.difference is None or row.tolerance is None:
        return text
    return f"{text} ({row.difference:.3f} of {row.tolerance:g} {row.unit} allowed)"
