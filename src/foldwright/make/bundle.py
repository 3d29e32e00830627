"""All files of a plan set in memory, from one evaluation and the texts that it was read from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from foldwright import __version__
from foldwright.airframe.model import MassItem
from foldwright.base.finding import Finding, Verdict, worst
from foldwright.evaluate import Evaluation, Results
from foldwright.flight.weights import battery_moments
from foldwright.layout.from_airframe import lay_out
from foldwright.make.airframe_json import airframe_json
from foldwright.make.card import card_json, card_pdf
from foldwright.make.charts import chart_files
from foldwright.make.equipment_places import equipment_places
from foldwright.make.folding_text import folding_text
from foldwright.make.formats.typeface import printable
from foldwright.make.layout_toml import layout_toml
from foldwright.make.libraries import libraries
from foldwright.make.manifest import About
from foldwright.make.plans import changes_text, licence_text, plan_set_name
from foldwright.make.print_files import print_files
from foldwright.make.print_set import PrintSet, print_set
from foldwright.make.sheet_files import sheet_files
from foldwright.make.sheet_marks import Titles
from foldwright.make.sheet_sums import Sums, sums
from foldwright.make.sheets import Sheets, draw_sheets
from foldwright.make.stock_toml import stock_toml, used_entries
from foldwright.make.views import NAMES, Paper, Shown, gear_of, picture_svg, views_pdf

Say = Callable[[str], None]


@dataclass(frozen=True, slots=True)
class Texts:
    """The design file and the workshop file as they were read, and what reading them found.

    drawings: of the free shapes that the design names, by file name.
    """

    design: str
    workshop: str
    findings: tuple[Finding, ...] = ()
    drawings: tuple[tuple[str, bytes], ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Bundle:
    """A plan set before it is written.

    files: by path in the plan set, the manifest left out. name: of its folder and zip. evaluation: with the
    findings of files, sheets and prints among its own, as the card has them. sheets: number of cut files.
    prints: what is printed, None where a no-go came first.
    """

    files: Mapping[str, bytes]
    name: str
    about: About
    evaluation: Evaluation
    sums: Sums
    sheets: int
    prints: PrintSet | None = None

    @property
    def verdict(self) -> Verdict:
        """The gravest finding of design, files and sheets."""
        return self.evaluation.verdict


def make_bundle(evaluation: Evaluation, texts: Texts, say: Say = lambda _text: None) -> Bundle:
    """Draw the sheets, the views and the card of an evaluated design, and make what it has to print.

    say: told what is being made. Raises ValueError for an evaluation without results. A bundle whose
    verdict is a no-go (a blank that finds no sheet, a fitting that finds no bed) holds no card: it must not
    be built.
    """
    results = evaluation.results
    if results is None:
        raise ValueError("a plan set needs complete results")
    design, workshop = evaluation.design.design, evaluation.workshop
    say("laying out the sheets")
    laid = lay_out([one.blank for one in results.airframe.placed], workshop)
    drawn = draw_sheets(laid, workshop, Titles(design.name, design.revision, workshop.name))
    told = (*_lettering(evaluation), *_names_taken(texts, drawn))
    found = (*texts.findings, *evaluation.findings, *drawn.findings, *told)
    prints = None if worst(found) == "no-go" else print_set(evaluation, say)
    found += () if prints is None else prints.findings
    judged = replace(evaluation, findings=_once(found))
    name = plan_set_name(design.name, design.revision, workshop.id)
    about = About(
        design.name, design.revision, workshop.id, design.licence, design.flown, __version__, libraries()
    )
    total = sums(laid, drawn, workshop)
    files: dict[str, bytes] = {}
    if prints is not None and judged.verdict != "no-go":
        title = f"{design.name} {design.revision}, {workshop.name}"
        files = {
            **sheet_files(drawn, workshop, lambda name: say(f"drawing {name}")),
            **_pictures(judged, results, say),
            **(print_files(prints, title, say, workshop.paper) if prints else {}),
            "folding.txt": _folding(judged, results),
            "layout.toml": layout_toml(laid, drawn, workshop, total),
            "airframe.json": airframe_json(results.airframe, _leading_edge(results), _other_masses(results)),
            "design.toml": texts.design.encode(),
            **dict(texts.drawings),
            "workshop.toml": texts.workshop.encode(),
            "stock.toml": stock_toml(used_entries(evaluation.design, workshop, evaluation.stock)),
            "LICENSE-of-the-plans.txt": licence_text(about, design.author),
            "CHANGES.md": changes_text(about),
        }
    return Bundle(files, name, about, judged, total, len(drawn.sheets), prints)


def _lettering(evaluation: Evaluation) -> tuple[Finding, ...]:
    """F55 for every name whose letters the typeface lacks."""
    about, bench = evaluation.design.design, evaluation.workshop
    names = {
        "design.name": about.name,
        "design.author": about.author,
        "design.licence": about.licence,
        "name": bench.name,
        "board.name": bench.board.name,
    }
    found = []
    for where, name in names.items():
        plain = printable(name)
        if plain.replaced:
            letters = ", ".join(sorted(letter for letter, _ in plain.replaced))
            found.append(Finding("F55", "watch", where, {"letters": letters, "shown": plain.text}))
    return tuple(found)


def _names_taken(texts: Texts, sheets: Sheets) -> tuple[Finding, ...]:
    """F68 for drawings with the name of a sheet or of each other, capitals and small letters alike."""
    taken = {f"{name}.dxf".lower() for sheet in sheets.sheets for name, _ in sheet.drawings}
    found = []
    for name, _ in texts.drawings:
        if name.lower() in taken:
            found.append(Finding("F68", "no-go", name, {"drawing": name}))
        taken.add(name.lower())
    return tuple(found)


def _once(findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Each finding once, in order: reading and fitting may report the same key."""
    seen = {(one.code, one.verdict, one.where): one for one in reversed(findings)}
    kept = {id(one) for one in seen.values()}
    return tuple(one for one in findings if id(one) in kept)


def _pictures(evaluation: Evaluation, results: Results, say: Say) -> dict[str, bytes]:
    """The setup card, the views and the charts."""
    about = evaluation.design.design
    paper: Paper = "Letter" if evaluation.workshop.paper == "Letter" else "A4"
    shown = Shown(gear=gear_of([*results.airframe.masses, _battery(results)]), balance=results.balance.cg)
    say("drawing the setup card")
    files = {"setup-card.json": card_json(evaluation), "setup-card.pdf": card_pdf(evaluation)}
    say("drawing the views")
    files["views.pdf"] = views_pdf(results.airframe, f"{about.name} {about.revision}", shown, paper)
    for name in NAMES:
        files[f"views/{name}.svg"] = picture_svg(results.airframe, name, shown=shown)
    say("drawing the charts")
    return files | chart_files(evaluation, paper)


def _folding(evaluation: Evaluation, results: Results) -> bytes:
    """folding.txt, with the equipment where it flies."""
    design, airframe = evaluation.design, results.airframe
    places = equipment_places(design, airframe, results.fitted, results.balance.battery.x)
    return folding_text(design, airframe, evaluation.workshop, places)


def _leading_edge(results: Results) -> float:
    """Where the leading edge is that the balance point is measured from, x in mm."""
    return results.balance.wanted.x - results.balance.wanted.behind_marks


def _battery(results: Results) -> MassItem:
    """The battery where it flies."""
    fitted, equipment = results.fitted.battery, results.fitted
    centre = np.array([results.balance.battery.x, equipment.battery_y_mm, equipment.battery_z_mm])
    moments = battery_moments(fitted, centre)
    return MassItem("battery", "equipment", moments, size=fitted.size_mm)


def _other_masses(results: Results) -> tuple[MassItem, ...]:
    """All masses but the board's, which the readback weighs from the sheets."""
    return (*(item for item in results.airframe.masses if item.group != "board"), _battery(results))
