"""Setup tools and board tools as things to print."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from foldwright.base.finding import Finding
from foldwright.design.workshop import Printer
from foldwright.evaluate import Evaluation, Results
from foldwright.make.fitting_prints import file_name, settings_for, to_print
from foldwright.make.printing import Print
from foldwright.make.tools import Tool, ToolBench, makers

Say = Callable[[str], None]


def tool_prints(
    evaluation: Evaluation, results: Results, printer: Printer, say: Say = lambda _text: None
) -> tuple[tuple[Print, ...], tuple[Finding, ...]]:
    """Prints of all tools that the design has a use for, and what was found about them.

    A tool that does not print is told and left out: nothing that flies hangs on it.
    """
    bench = ToolBench(evaluation, results, printer)
    made: list[Print] = []
    found: list[Finding] = []
    say("making the tools")
    for make in makers():
        for tool in make(bench):
            found += tool.findings
            one, told = _print(tool, results, printer)
            found += told
            if one is not None:
                made.append(one)
    return tuple(made), tuple(found)


def _print(tool: Tool, results: Results, printer: Printer) -> tuple[Print | None, list[Finding]]:
    if tool.made is None:
        return None, []
    made = tool.made
    infill = printer.infill_pct / 100.0 if tool.infill is None else tool.infill
    filament = results.fitted.filaments[printer.material]
    one, found = to_print(made, printer, Print(
        name=file_name(tool.name), title=tool.title, group="tools", body=made.body,
        settings=settings_for(made, printer, filament, infill), orientation=made.orientation,
        support=made.support, notes=(tool.use, *made.notes), copies=tool.copies, bodies=made.bodies,
        of=tool.name, figures=tool.figures,
    ), f"tools.{tool.name}")  # fmt: skip
    return one, watched(found)


def watched(found: Sequence[Finding]) -> list[Finding]:
    """Findings as watches: a tool or coupon that does not print keeps nobody from building."""
    return [replace(one, verdict="watch") for one in found]
