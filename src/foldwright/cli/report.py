"""What `check` says: figures with their bands, findings with their cures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from math import isnan
from typing import TYPE_CHECKING, Any

from foldwright.base.finding import severity, worst
from foldwright.cli.report_air import (
    air_data,
    air_figures,
    contributor_figures,
    contributors,
    contributors_data,
)
from foldwright.cli.show import band_text, print_finding
from foldwright.cli.streams import paragraph, say_line, styled

if TYPE_CHECKING:
    from foldwright.base.band import Band
    from foldwright.base.finding import Finding
    from foldwright.cure import Cure
    from foldwright.design.assumptions import Assumptions
    from foldwright.evaluate import Evaluation, Results
    from foldwright.flight.battery import BatteryPlace
    from foldwright.flight.tail import Steadier
    from foldwright.flight.thrust_line import ThrustLine
    from foldwright.flight.trim import Trim

Cures = Mapping[int, "tuple[Cure, ...]"]
"""Cures by the place of their finding in the list that is shown."""

NAMES = 17
LEVEL_LEAST = 0.03
"""[judgement] share of the wing's area from which what a surface is from above is worth a line: fins that
lean have a little."""


def print_check(result: Evaluation, findings: Sequence[Finding], cures: Cures, *, show_all: bool) -> None:
    """Figures first, then what is not clear, then the verdict."""
    about = result.design.design
    say_line(styled(f"{about.name} {about.revision}, built in: {result.workshop.name}", "strong"))
    if result.results is not None:
        for name, text in (*figures(result.results), *contributor_figures(contributors(result))):
            paragraph(text, f"  {name}", NAMES)
    if show_all:
        print_assumptions(result.assumptions)
    order = sorted(range(len(findings)), key=lambda i: (-severity(findings[i].verdict), findings[i].code, i))
    for index in order:
        if findings[index].verdict != "clear" or show_all:
            print_finding(findings[index], [cure.says for cure in cures.get(index, ())[:2]])
    print_verdict(findings, worked_out=result.results is not None)


def print_verdict(findings: Sequence[Finding], *, worked_out: bool = True) -> None:
    """The gravest of all findings, how many there are of each, and what nobody has judged."""
    counts = {name: sum(one.verdict == name for one in findings) for name in ("no-go", "watch", "clear")}
    tally = ", ".join(f"{count} {name}" for name, count in counts.items())
    verdict, left = worst(findings), _left_out()
    if not worked_out:
        left = f"Balance and trim: not worked out, put this right first. {left}"
    paragraph(f"({tally}). {left}", styled(f"Verdict: {verdict} ", verdict), 0)


def _left_out() -> str:
    """What nobody has judged, as the card has it."""
    from foldwright.make.card_data import NOT_ASSESSED

    *rest, last = NOT_ASSESSED
    words = f"{', '.join(rest)}, {last}" if rest else last
    return f"{words[:1].upper()}{words[1:]}: not assessed."


def print_assumptions(assumptions: Assumptions) -> None:
    """The judgement values used, each with its spread and source."""
    say_line("  judgement values (a design file can set them under [assumptions]):")
    for one in assumptions.entries:
        unit = f" {one.unit}" if one.unit else ""
        paragraph(f"{one.name} {one.value:g}{unit}, deviation {one.sd:g}: {one.source}", "", 4)


def figures(results: Results) -> list[tuple[str, str]]:
    """The figures a designer asks for first, by name, each with its band."""
    balance, trims, thrust = results.balance, results.trims, results.thrust
    placed, wanted, station = balance.placed, balance.wanted, trims.launch.station
    if balance.first_window:
        low, high = balance.forward.behind_root, balance.first_aft.behind_root
        window = f"first flights from {low:.1f} to {high:.1f} mm"
    else:
        window = "no place is right for first flights: the neutral point is too uncertain"
    margin = band_text(balance.static_margin, 1)
    way = "behind" if placed.behind_root >= 0.0 else "ahead of"
    point = f"{abs(placed.behind_root):.1f} mm {way} the leading edge ({placed.pct:.1f} % of the chord)"
    if abs(placed.x - wanted.x) > 0.5:
        point += f", where the battery stands; {wanted.behind_root:.1f} mm asked for"
    return [
        ("all-up weight", f"{band_text(balance.mass, 0)}, wing loading {band_text(balance.wing_loading, 1)}"),
        ("balance point", f"{point}; {window}"),
        ("neutral point", f"{band_text(results.lift.neutral_pct, 1)}, static margin {margin}"),
        ("battery", place_text(balance.battery)),
        *(("or", place_text(place)) for place in balance.alternatives),
        ("launch trim", trim_text(trims.launch)),
        ("cruise trim", trim_text(trims.cruise)),
        ("", f"(at the inner end of {station.control}, {_station(results)})"),
        ("power", power_text(thrust)),
        *air_figures(results),
        *layout_figures(results),
    ]


def _station(results: Results) -> str:
    """Where trim is measured, in the words of the card."""
    from foldwright.make.card_controls import controls

    row = next(row for row in controls(results) if row["trims"])
    return f"{row['station']['mm']:g} mm from the {row['station']['from']}"


def layout_figures(results: Results) -> list[tuple[str, str]]:
    """Controls with their throws and ways, tail volumes, what it takes up in a car."""
    from foldwright.make.card_controls import controls, right_way
    from foldwright.review.transport import transport

    rows, found = controls(results), transport(results.airframe)
    said = [("controls", "; ".join(_throws(row) for row in rows)), ("right way", "; ".join(right_way(rows)))]
    least = LEVEL_LEAST * results.lift.mean.area
    said += [(each.surface, _lying(each)) for each in results.tail.lying if each.level_area >= least]
    if results.tail.standing:
        said.append(("fin volume", f"{results.tail.fin_volume:.3f}"))
    apart = f"; apart, each within {_sides(found.largest)}" if found.comes_apart else ""
    return [*said, ("transport", f"{_sides(found.whole)}{apart}")]


def _lying(each: Steadier) -> str:
    """A tailplane, V-tail or foreplane: volume, downwash (upwash negative), shift of the neutral point."""
    way, wash = "aft" if each.neutral_shift >= 0.0 else "forward", band_text(each.downwash, 2)
    moves = f"moves the neutral point {100.0 * abs(each.neutral_shift):.0f} % of the chord {way}"
    return f"volume {abs(each.volume):.2f}, downwash {wash} per degree of incidence; {moves}"


def _throws(row: Mapping[str, Any]) -> str:
    """A control with its throws from neutral, mm."""
    reach = " and ".join(
        f"{'?' if one['mm'] is None else format(one['mm'], 'g')} mm {one['way']}" for one in row["throws"]
    )
    return f"{row['name']} {reach}"


def _sides(size: Sequence[float]) -> str:
    """A box, longest side first, mm."""
    return " x ".join(f"{side:.0f}" for side in sorted(size, reverse=True)) + " mm"


def power_text(thrust: ThrustLine) -> str:
    """Which way power pitches the nose, and how much that is at the trailing edge."""
    edge = thrust.edge_launch
    if thrust.direction == "neither":
        like = f", between {edge.low:.1f} and {edge.high:.1f} mm of trailing edge up"
    else:
        like = f", like {edge_text(edge)}"
    return f"{thrust.says}{like} at launch speed; {thrust.tilt_says}"


def trim_text(trim: Trim) -> str:
    """Where the trailing edge stands for level flight at one speed."""
    at = f"at {trim.condition.speed:g} m/s"
    return f"no level flight {at}" if isnan(trim.up.value) else f"{edge_text(trim.up)} {at}"


def edge_text(band: Band) -> str:
    """Travel of a trailing edge with its direction in words; the band keeps the direction of the value."""
    if isnan(band.value):
        return "an unknown trim"
    if band.value >= 0.0:
        return f"{band_text(band, 1)} trailing edge up"
    low, high = -band.high, -band.low
    down = type(band)(-band.value, low, high, band.unit, band.basis, band.missing)
    return f"{band_text(down, 1)} trailing edge down"


def place_text(place: BatteryPlace) -> str:
    """Where a battery goes, or what it lacks."""
    text = f"{place.id}: front face at x {place.front:.0f} mm, all-up {place.mass:.0f} g"
    if place.fits:
        half = (place.rear - place.front) / 2.0
        if place.first is None:
            return f"{text}; no place within the first-flight window"
        low, high = (x - half for x in place.first)
        return f"{text} (front face {low:.0f} to {high:.0f} mm keeps within the window)"
    if place.too_long:
        return f"{text}; too long for its slide"
    ballast = (
        f", {place.ballast.grams} g of ballast at the {place.ballast.end} would do" if place.ballast else ""
    )
    return f"{text}; does not balance within its slide (wants x {place.wanted:.0f} mm at its middle{ballast})"


def place_data(place: BatteryPlace) -> dict[str, Any]:
    """Where a battery goes, keys with their units; None where a place or help is not there."""
    ballast = place.ballast
    return {
        "id": place.id,
        "battery_g": place.battery_mass,
        "all_up_g": place.mass,
        "x_mm": place.x,
        "front_mm": place.front,
        "rear_mm": place.rear,
        "wanted_x_mm": place.wanted,
        "window_x_mm": None if place.first is None else list(place.first),
        "cg_x_mm": place.cg_x,
        "static_margin_pct": 100.0 * place.static_margin,
        "fits": place.fits,
        "too_long": place.too_long,
        "moves": [{"id": m.item, "from_x_mm": m.before, "to_x_mm": m.after} for m in place.moves],
        "ballast": None if ballast is None else {"g": ballast.mass, "x_mm": ballast.x, "end": ballast.end},
    }


def check_data(result: Evaluation, cures: Cures, rows: list[dict[str, Any]]) -> dict[str, Any]:
    """What `check` says besides the findings, as JSON data; the rows of the findings get their cures."""
    for index, row in enumerate(rows):
        row["cures"] = [{**asdict(cure), "says": cure.says} for cure in cures.get(index, ())]
    from foldwright.make.card_data import NOT_ASSESSED

    about = result.design.design
    return {
        "design": {"name": about.name, "revision": about.revision},
        "workshop": {"id": result.workshop.id, "name": result.workshop.name},
        "figures": None if result.results is None else figures_data(result.results),
        "assumptions": [asdict(one) for one in result.assumptions.entries],
        "contributors": contributors_data(contributors(result)),
        "not_assessed": list(NOT_ASSESSED),
    }


def figures_data(results: Results) -> dict[str, Any]:
    """The figures with unit suffixes."""
    balance, trims, thrust = results.balance, results.trims, results.thrust
    window = [balance.forward.behind_root, balance.first_aft.behind_root] if balance.first_window else None
    return {
        "all_up_g": asdict(balance.mass),
        "wing_loading_g_dm2": asdict(balance.wing_loading),
        "balance_mm_behind_le": balance.placed.behind_root,
        "balance_pct": balance.placed.pct,
        "balance_wanted_mm_behind_le": balance.wanted.behind_root,
        "cg_mm": balance.cg.tolist(),
        "cg_x_from_masses_mm": asdict(balance.cg_from_masses),
        "inertia_about_cg_g_mm2": balance.inertia.tolist(),
        "first_flights_mm_behind_le": window,
        "neutral_point_pct": asdict(results.lift.neutral_pct),
        "static_margin_pct": asdict(balance.static_margin),
        "battery": place_data(balance.battery),
        "alternatives": [place_data(place) for place in balance.alternatives],
        "launch_trim_mm_up": asdict(trims.launch.up),
        "cruise_trim_mm_up": asdict(trims.cruise.up),
        "power_moment_n_mm_nose_up": asdict(thrust.moment),
        "power_mm_up_at_launch": asdict(thrust.edge_launch),
        "power_mm_up_at_cruise": asdict(thrust.edge_cruise),
        "thrust_line_above_cg_mm": thrust.passes,
        "power": thrust.says,
        "tilt": thrust.tilt_says,
        "derivatives_per_rad": dict(results.slopes),
        **air_data(results),
        **layout_data(results),
    }


def layout_data(results: Results) -> dict[str, Any]:
    """Controls, tails and transport with unit suffixes; None for the volume of a tail that is not there."""
    from foldwright.make.card_controls import controls, right_way
    from foldwright.review.transport import transport

    rows, found, tail = controls(results), transport(results.airframe), results.tail
    return {
        "controls": rows,
        "right_way": right_way(rows),
        "tail": [asdict(each) for each in tail.lying],
        "fins": [asdict(each) for each in tail.standing],
        "tail_volume": tail.volume if tail.lying else None,
        "fin_volume": tail.fin_volume if tail.standing else None,
        "transport_whole_mm": list(found.whole),
        "transport_apart_mm": [{"parts": list(p.parts), "size_mm": list(p.size)} for p in found.parts],
    }
