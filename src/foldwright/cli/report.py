"""What `check` says: figures with their bands, findings with their cures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import typer

from foldwright.base.finding import severity
from foldwright.base.messages import words
from foldwright.cli.show import band_text, finding_data

if TYPE_CHECKING:
    from foldwright.base.band import Band
    from foldwright.base.finding import Finding
    from foldwright.cure import Cure
    from foldwright.evaluate import Evaluation, Results
    from foldwright.flight.battery import BatteryPlace

Cures = Mapping[int, "tuple[Cure, ...]"]


def print_check(result: Evaluation, findings: Sequence[Finding], cures: Cures, *, show_clear: bool) -> None:
    """Figures first, then what is not clear, then the verdict."""
    about = result.design.design
    typer.secho(f"{about.name} {about.revision}, built in: {result.workshop.name}", bold=True)
    if result.results is not None:
        for line in figures(result.results):
            typer.echo(f"  {line}")
    offset = len(findings) - len(result.findings)
    order = sorted(range(len(findings)), key=lambda i: (-severity(findings[i].verdict), findings[i].code, i))
    for index in order:
        if findings[index].verdict != "clear" or show_clear:
            _print_one(findings[index], cures.get(index - offset, ()))
    counts = {name: sum(one.verdict == name for one in findings) for name in ("no-go", "watch", "clear")}
    tally = ", ".join(f"{count} {name}" for name, count in counts.items())
    typer.secho(f"Verdict: {result.verdict} ({tally}). Strength, drive and launch: not assessed.", bold=True)


def _print_one(finding: Finding, cures: tuple[Cure, ...]) -> None:
    said = words(finding)
    typer.echo(f"{finding.verdict:>6}  {finding.code}  {finding.where}: {said.says}")
    if finding.verdict == "clear":
        return
    if said.expected:
        typer.echo(f"              expected {said.expected}; got {said.got}")
    for cure in cures[:2]:
        typer.echo(f"              cure, computed: {cure.says}")
    if said.cure and not cures:
        typer.echo(f"              cure: {said.cure}")


def figures(results: Results) -> list[str]:
    """The figures a designer asks for first, each with its band."""
    balance, trims, thrust = results.balance, results.trims, results.thrust
    launch, cruise, wanted = trims.launch, trims.cruise, balance.wanted
    window = f"{balance.forward.behind_root:.1f} to {balance.first_aft.behind_root:.1f} mm"
    margin = band_text(balance.static_margin, 1)
    edge = band_text(thrust.edge_launch, 1)
    rows = [
        ("all-up weight", f"{band_text(balance.mass, 0)}, wing loading {band_text(balance.wing_loading, 1)}"),
        (
            "balance point",
            f"{wanted.behind_root:.1f} mm behind the leading edge ({wanted.pct:.1f} % of the chord)",
        ),
        ("", f"first flights from {window}"),
        ("neutral point", f"{band_text(results.lift.neutral_pct, 1)}, static margin {margin}"),
        ("battery", place_text(balance.battery)),
        *(("or", place_text(place)) for place in balance.alternatives),
        ("launch trim", f"{band_text(launch.up, 1)} trailing edge up at {launch.condition.speed:g} m/s"),
        ("", f"(at the inner end of {launch.station.control}, {launch.station.y:g} mm from the centre line)"),
        ("cruise trim", f"{band_text(cruise.up, 1)} trailing edge up at {cruise.condition.speed:g} m/s"),
        ("power", f"{thrust.says}, like {edge} of elevon up at launch speed; {thrust.tilt_says}"),
    ]
    return [f"{name:<16}{text}" for name, text in rows]


def place_text(place: BatteryPlace) -> str:
    """Where a battery goes, or what it lacks."""
    text = f"{place.id}: front face at x {place.front:.0f} mm, all-up {place.mass:.0f} g"
    if place.fits and place.low is not None and place.high is not None:
        half = (place.rear - place.front) / 2.0
        return f"{text} (front face {place.low - half:.0f} to {place.high - half:.0f} keeps within limits)"
    ballast = (
        f", {place.ballast.mass:.0f} g of ballast at the {place.ballast.end} would do"
        if place.ballast
        else ""
    )
    return f"{text}; does not balance within its slide (wants x {place.wanted:.0f} mm at its middle{ballast})"


def check_data(result: Evaluation, findings: Sequence[Finding], cures: Cures) -> dict[str, Any]:
    """All of it as JSON data."""
    offset = len(findings) - len(result.findings)
    rows = []
    for index, finding in enumerate(findings):
        row = finding_data(finding)
        row["cures"] = [asdict(cure) for cure in cures.get(index - offset, ())]
        rows.append(row)
    about = result.design.design
    return {
        "design": {"name": about.name, "revision": about.revision},
        "workshop": result.workshop.id,
        "verdict": result.verdict,
        "findings": rows,
        "figures": None if result.results is None else figures_data(result.results),
    }


def band_data(band: Band) -> dict[str, Any]:
    """A band as JSON."""
    return asdict(band)


def figures_data(results: Results) -> dict[str, Any]:
    """The figures with unit suffixes."""
    balance, trims, thrust = results.balance, results.trims, results.thrust
    return {
        "all_up_g": band_data(balance.mass),
        "wing_loading_g_dm2": band_data(balance.wing_loading),
        "balance_mm_behind_le": balance.wanted.behind_root,
        "balance_pct": balance.wanted.pct,
        "window_mm_behind_le": [balance.forward.behind_root, balance.first_aft.behind_root],
        "neutral_point_pct": band_data(results.lift.neutral_pct),
        "static_margin_pct": band_data(balance.static_margin),
        "battery": asdict(balance.battery),
        "alternatives": [asdict(place) for place in balance.alternatives],
        "launch_trim_mm_up": band_data(trims.launch.up),
        "cruise_trim_mm_up": band_data(trims.cruise.up),
        "power_mm_up_at_launch": band_data(thrust.edge_launch),
        "power": thrust.says,
        "tilt": thrust.tilt_says,
        "derivatives_per_rad": dict(results.slopes),
    }
