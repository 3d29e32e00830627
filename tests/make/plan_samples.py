"""A whole plan set of the sample kit, made in memory; the card holds only what the readback needs."""

from __future__ import annotations

import json
from functools import cache

import numpy as np

from foldwright.airframe.model import Airframe, MassItem, Placed, Thrust
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.marks import station_of
from foldwright.geometry.fold.mass import mass_properties, moved, panels_moments, point_moments
from foldwright.geometry.fold.model import Blank
from foldwright.layout.from_airframe import lay_out
from foldwright.make.airframe_json import airframe_json
from foldwright.make.layout_toml import layout_toml
from foldwright.make.manifest import About
from foldwright.make.plans import changes_text, complete, licence_text
from foldwright.make.sheet_files import sheet_files
from foldwright.make.sheet_marks import Titles
from foldwright.make.sheet_sums import sums
from foldwright.make.sheets import draw_sheets
from tests.make.sheet_samples import board, kit, workshop

ABOUT = About("Marram", "r1", "school-laser", "CC BY 4.0", "unflown", "0.1.0")
LEADING_EDGE_X_MM = 100.0


def airframe(blanks: tuple[Blank, ...]) -> Airframe:
    placed = tuple(Placed(blank.name.split("/")[0], blank, transforms(blank)) for blank in blanks)
    motor = MassItem("motor", "equipment", point_moments(np.array([300.0, 0.0, 20.0]), 28.0))
    battery = MassItem("battery", "equipment", point_moments(np.array([40.0, 0.0, 10.0]), 90.0))
    thrust = Thrust(300.0, 0.0, 20.0, 0.0, None, 150.0)
    return Airframe(board(), placed, (), (), (motor, battery), thrust, ())


def card(made: Airframe) -> bytes:
    total = np.zeros((4, 4))
    for placed in made.placed:
        places = np.stack([placed.transforms[panel.name] for panel in placed.blank.panels])
        total += moved(panels_moments(placed.blank.panels, made.board.material), places).sum(axis=0)
    found = mass_properties(total)
    mass, cg = found.mass, found.cg
    moment = mass * float(cg[0]) + sum(float(item.moments[0, 3]) for item in made.masses)
    whole = mass + sum(float(item.moments[3, 3]) for item in made.masses)
    marks = [
        {
            "name": mark.name, "blank": placed.blank.name, "panel": mark.panel, "face": mark.face,
            "points_mm": station_of(placed.blank, mark, placed.transforms).tolist(),
        }
        for placed in made.placed
        for mark in placed.blank.marks
    ]  # fmt: skip
    reference = {
        "board_mass_g": mass,
        "board_cg_mm": cg.tolist(),
        "blank_mass_g": {
            one.blank.name: float(panels_moments(one.blank.panels, made.board.material)[:, 3, 3].sum())
            for one in made.placed
        },
        "balance_mm_behind_le": moment / whole - LEADING_EDGE_X_MM,
        "marks": marks,
    }
    return json.dumps({"reference": reference}, sort_keys=True).encode()


def workshop_toml(shop: Workshop) -> bytes:
    cutter = shop.cutter
    lines = [
        f'paper = "{shop.paper}"', "[cutter]", f'kind = "{cutter.kind}"', f"kerf_mm = {cutter.kerf_mm}",
        f"to_paper = {str(cutter.to_paper).lower()}", f'dxf = "{cutter.dxf}"',
    ]  # fmt: skip
    return ("\n".join(lines) + "\n").encode()


def bundle(blanks: tuple[Blank, ...], shop: Workshop, kits: int = 1) -> dict[str, bytes]:
    made = airframe(blanks)
    laid = lay_out(blanks, shop, kits)
    sheets = draw_sheets(laid, shop, Titles("Marram", "r1", shop.name))
    # S06: the gap between swept halves closes to nothing at the centre line
    assert {f.code for f in sheets.findings} <= {"S04", "S06"}
    return {
        **sheet_files(sheets, shop),
        "airframe.json": airframe_json(made, LEADING_EDGE_X_MM),
        "layout.toml": layout_toml(laid, sheets, shop, sums(laid, sheets, shop)),
        "workshop.toml": workshop_toml(shop),
        "setup-card.json": card(made),
        "CHANGES.md": changes_text(ABOUT),
        "LICENSE-of-the-plans.txt": licence_text(ABOUT, "Saltmere dune wardens"),
    }


@cache
def sample() -> dict[str, bytes]:
    """The kit for the school's laser."""
    return complete(bundle(kit(), workshop()), ABOUT)
