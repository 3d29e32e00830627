"""`foldwright propellers`: every propeller of the stock on one aeroplane."""

from __future__ import annotations

from dataclasses import asdict
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldwright.cli.options import AsJson, DesignFile, StockFile, WorkshopFile

if TYPE_CHECKING:
    from collections.abc import Sequence

    from foldwright.evaluate import Evaluation
    from foldwright.flight.propellers import PropellerRow


class Rank(StrEnum):
    """What propellers are ranked by."""

    ENDURANCE = "endurance"
    LAUNCH = "launch"
    CURRENT = "current"


SAYS = {
    Rank.ENDURANCE: "longest time aloft first",
    Rank.LAUNCH: "most thrust to spare at launch first",
    Rank.CURRENT: "least current at full throttle first",
}
"""Each order in words; one that overloads motor or controller always comes last."""
COLUMNS = ("", "propeller", "time aloft", "to spare", "static", "full", "cruise", "too much for")


def propellers(
    design: DesignFile,
    workshop: WorkshopFile = None,
    own_stock: StockFile = None,
    rank: Annotated[
        Rank,
        typer.Option(help="endurance: longest flight first; launch: most thrust to spare; current: least."),
    ] = Rank.ENDURANCE,
    as_json: AsJson = False,
) -> None:
    """Compare all propellers of the stock on a design.

    Motor, battery and speeds as fitted; those that overload motor or controller come last. Exit code: 0, or 2
    for unusable input.
    """
    from foldwright.cli.inputs import read_inputs
    from foldwright.cli.progress import progress
    from foldwright.cli.show import answer, print_findings, print_json, refuse, stop

    with progress() as say:
        say("reading")
        inputs = read_inputs(design, workshop, own_stock)
        result: Evaluation | None = None
        findings = inputs.findings
        if inputs.usable is not None:
            say("flying each propeller")
            from foldwright.evaluate import evaluate

            result = evaluate(*inputs.usable, None, "interactive")
            findings = (*findings, *result.findings)
    if result is None or result.results is None:
        refuse("propellers", findings, as_json, propellers=[])
    rows = ranked(_rows(result), rank)
    if as_json:
        print_json(answer("propellers", inputs.findings, **table_data(result, rows, rank)))
    else:
        print_findings(inputs.findings, by_file=True)
        print_table(result, rows, rank)
    stop(0)


def _rows(result: Evaluation) -> tuple[PropellerRow, ...]:
    """The table of an evaluation with results; none without."""
    from foldwright.flight.propellers import propeller_table

    if result.results is None:
        return ()
    targets = result.design.targets
    speeds = (targets.launch_speed_m_s, targets.cruise_speed_m_s)
    fitted = result.results.fitted.propeller.id
    return propeller_table(result.results.flown.envelope, result.stock, fitted, speeds)


def ranked(rows: Sequence[PropellerRow], rank: Rank) -> tuple[PropellerRow, ...]:
    """Rows in the order wanted: what overloads something last, what does not reach cruise after what does."""

    def key(row: PropellerRow) -> tuple[bool, bool, float, str]:
        by = {
            Rank.ENDURANCE: -(row.minutes or 0.0),
            Rank.LAUNCH: -row.spare_n,
            Rank.CURRENT: row.static_a,
        }[rank]
        return bool(row.over), row.minutes is None, round(by, 6), row.id

    return tuple(sorted(rows, key=key))


def table_data(result: Evaluation, rows: Sequence[PropellerRow], rank: Rank) -> dict[str, Any]:
    """The table as JSON; null where a propeller does not fly level at cruise."""
    targets, about = result.design.targets, result.design.design
    return {
        "design": {"name": about.name, "revision": about.revision},
        "workshop": {"id": result.workshop.id, "name": result.workshop.name},
        "ranked_by": rank.value,
        "launch_m_s": targets.launch_speed_m_s,
        "cruise_m_s": targets.cruise_speed_m_s,
        "reserve_pct": targets.reserve_pct,
        "propellers": [_row_data(row) for row in rows],
    }


def _row_data(row: PropellerRow) -> dict[str, Any]:
    names = {
        "static_n": "static_thrust_n", "static_a": "static_current_a", "spare_n": "spare_at_launch_n",
        "cruise_a": "cruise_current_a", "minutes": "time_aloft_min", "over": "too_much_for",
    }  # fmt: skip
    return {names.get(key, key): value for key, value in asdict(row).items()}


def print_table(result: Evaluation, rows: Sequence[PropellerRow], rank: Rank) -> None:
    """The table in columns, the fitted one marked."""
    from foldwright.cli.streams import paragraph, say_line, styled

    about, targets = result.design.design, result.design.targets
    say_line(styled(f"{about.name} {about.revision}, built in: {result.workshop.name}", "strong"))
    paragraph(f"Every propeller of the stock, {SAYS[rank]}; * is fitted.")
    cells = [_cells(row) for row in rows]
    wide = [max(len(line[k]) for line in (COLUMNS, *cells)) for k in range(len(COLUMNS))]
    say_line(styled(_line(COLUMNS, wide), "strong"))
    for line in cells:
        say_line(_line(line, wide))
    paragraph(
        f"Time aloft: level at {targets.cruise_speed_m_s:g} m/s with climbs and turns,"
        f" {targets.reserve_pct:g} % of the charge kept. To spare: thrust at {targets.launch_speed_m_s:g} m/s"
        " and full throttle less drag. Static and full: thrust and current at rest, fresh battery. Centre"
        " values: a static test of your own narrows them. Whether it clears the board is not judged here: fit"
        " it and check."
    )


def _cells(row: PropellerRow) -> tuple[str, ...]:
    return (
        "*" if row.fitted else "",
        row.id,
        "none" if row.minutes is None else f"{row.minutes:.0f} min",
        f"{row.spare_n:.1f} N",
        f"{row.static_n:.1f} N",
        f"{row.static_a:.1f} A",
        "does not fly" if row.cruise_a is None else f"{row.cruise_a:.1f} A",
        row.over or "-",
    )


def _line(cells: Sequence[str], wide: Sequence[int]) -> str:
    """Words to the left, figures to the right of their columns."""
    shown = [
        f"{text:<{size}}" if k in {0, 1, len(wide) - 1} else f"{text:>{size}}"
        for k, (text, size) in enumerate(zip(cells, wide, strict=True))
    ]
    return "  ".join(shown).rstrip()
