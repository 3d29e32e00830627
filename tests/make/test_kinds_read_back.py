"""Blanks of parts that are tapered, swept and bent, drawn and read back: files that are right agree."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import TypeAdapter

from foldwright.airframe.bench import Bench
from foldwright.airframe.kinds import builders
from foldwright.design.parts import Part
from foldwright.geometry.fold.model import Blank
from foldwright.make.plans import complete
from foldwright.make.readback import check_files
from tests.make.plan_samples import ABOUT, bundle
from tests.make.sheet_samples import board, workshop

LARGE = {"board__sheet": ({"length_mm": 1400.0, "width_mm": 1000.0},), "cutter__bed_mm": None}

BENT: dict[str, Any] = {
    "kind": "plate_wing", "id": "wing", "x_mm": 160.0, "z_mm": 20.0, "span_mm": 800.0, "chord_mm": 180.0,
    "bay": ({"chord_mm": 140.0, "aft_mm": 20.0, "dihedral_deg": 6.0},),
    "camber": ({"x_mm": 45.0, "turn_deg": 8.0},),
    "control": (
        {"id": "aileron", "kind": "aileron", "chord_mm": 35.0, "inner_mm": 180.0, "outer_mm": 380.0},
    ),
}  # fmt: skip
"""Three folds and a cut meet in one place at the centre line."""

VEE: dict[str, Any] = {
    "kind": "plate_wing", "id": "vee", "role": "tailplane", "x_mm": 620.0, "z_mm": 24.0, "span_mm": 300.0,
    "chord_mm": 100.0, "bay": ({"chord_mm": 80.0, "aft_mm": 15.0, "dihedral_deg": 35.0},),
    "control": (
        {"id": "ruddervator", "kind": "ruddervator", "chord_mm": 32.0, "inner_mm": 6.0, "outer_mm": 140.0},
    ),
}  # fmt: skip
"""Corners of the controls lie on edges that run askew: rounding must not part them."""

SWEPT: dict[str, Any] = {
    "kind": "folded_wing", "id": "wing", "x_mm": 120.0, "z_mm": 10.0, "span_mm": 900.0, "chord_mm": 230.0,
    "bay": (
        {"chord_mm": 150.0, "aft_mm": 190.0, "washout_deg": 3.0, "spar_x_mm": 44.0, "strip_aft_mm": 94.8},
    ),
    "spar": {"x_mm": 60.0, "height_mm": 16.0}, "strip": {"aft_mm": 130.0},
    "control": (
        {"id": "elevon", "chord_mm": 45.0, "outer_chord_mm": 32.0, "inner_mm": 160.0, "outer_mm": 430.0},
    ),
}  # fmt: skip
"""Folds that end short of the edges they lie on, by 0.02 and 0.4 mm."""

STEPPED: dict[str, Any] = {
    "kind": "plate_wing", "id": "wing", "x_mm": 141.0, "z_mm": 28.0, "span_mm": 960.0, "chord_mm": 160.0,
    "incidence_deg": -4.0, "centre": "two",
    "camber": ({"x_mm": 73.3, "turn_deg": 12.0}, {"x_mm": 82.3, "turn_deg": 7.1}),
    "bay": (
        {"end_mm": 240.0, "chord_mm": 160.0}, {"chord_mm": 120.0, "aft_mm": 15.0, "dihedral_deg": 14.0},
    ),
}  # fmt: skip
"""A gap of 0.015 mm across the folds: the line of a fold that ends there runs on over it, 0.0002 mm beside
the corner of the next one."""

ARCHED: dict[str, Any] = {
    "kind": "box", "id": "body", "corner": "groove",
    "station": (
        {"x_mm": 0.0, "width_mm": 46.0, "bottom_mm": -22.0, "top_mm": 22.0},
        {"x_mm": 60.0, "width_mm": 52.0, "bottom_mm": -28.0, "top_mm": 28.0},
        {"x_mm": 380.0, "width_mm": 52.0, "bottom_mm": -28.0, "top_mm": 28.0},
        {"x_mm": 678.0, "width_mm": 26.0, "bottom_mm": 0.0, "top_mm": 23.0},
    ),
    "deck": ({"id": "arch", "role": "rolled", "from_mm": 0.0, "to_mm": 50.2, "rise_mm": 5.1},),
}  # fmt: skip
"""Staves of a rolled deck over sides that taper: found by trial, they meet to 1e-7 mm."""

FIN: dict[str, Any] = {
    "kind": "plate", "id": "fin", "x_mm": 640.0, "z_mm": 40.0,
    "taper": {"root_mm": 110.0, "tip_mm": 65.0, "height_mm": 125.0, "tip_aft_mm": 50.0},
    "control": ({"id": "rudder", "kind": "rudder", "chord_mm": 36.0, "inner_mm": 8.0, "outer_mm": 122.0},),
}  # fmt: skip


HORNED: dict[str, Any] = {
    **FIN,
    "control": ({**FIN["control"][0], "outer_mm": 125.0, "horn": {"length_mm": 20.0, "ahead_mm": 15.0}},),
}
BAYS: dict[str, Any] = {
    **{key: value for key, value in BENT.items() if key not in {"camber", "control"}},
    "bay": (
        {"end_mm": 200.0, "chord_mm": 180.0, "dihedral_deg": 2.0},
        {"chord_mm": 110.0, "aft_mm": 40.0, "dihedral_deg": 12.0},
    ),
    "tip_cut_mm": 15.0,
}
FREE: dict[str, Any] = {
    "kind": "plate", "id": "pod", "role": "plate", "plane": "level", "x_mm": 0.0, "z_mm": 0.0,
    "lifting": False,
    "polygon_mm": ((0.0, 0.0), (120.0, 0.0), (150.0, 60.0), (120.0, 120.0), (0.0, 120.0)),
    "fold": (
        {"id": "one", "from_mm": (40.0, 0.0), "to_mm": (30.0, 120.0), "angle_deg": 35.0},
        {
            "id": "two", "from_mm": (120.0, 0.0), "to_mm": (120.0, 120.0), "angle_deg": 50.0,
            "method": "crush", "tool_width_mm": 5.0,
        },
    ),
    "mark": ({"id": "line", "face": "a", "points_mm": ((50.0, 20.0), (90.0, 40.0))},),
    "cutout": ({"id": "window", "polygon_mm": ((60.0, 60.0), (90.0, 60.0), (80.0, 90.0))},),
}  # fmt: skip


def blanks_of(row: dict[str, Any]) -> tuple[Blank, ...]:
    part: Any = TypeAdapter(Part).validate_python(row)
    build = builders()[type(part)](part, Bench(board(), (), 0.0))
    assert build.blanks
    assert not any(finding.verdict == "no-go" for finding in build.findings), build.findings
    return build.blanks


@pytest.mark.parametrize(
    "row",
    [BENT, VEE, SWEPT, STEPPED, ARCHED, FIN, HORNED, BAYS, FREE],
    ids=["bent", "vee", "swept", "stepped", "arched", "fin", "horned", "bays", "free"],
)
@pytest.mark.parametrize(
    ("kind", "kerf", "to_paper"), [("laser", 0.2, True), ("laser", 0.3, False), ("knife", 0.0, True)]
)
def test_parts_of_any_shape_read_back(row: dict[str, Any], kind: str, kerf: float, to_paper: bool) -> None:
    shop = workshop(cutter__kind=kind, cutter__kerf_mm=kerf, cutter__to_paper=to_paper, **LARGE)
    report = check_files(complete(bundle(blanks_of(row), shop), ABOUT))
    assert report.holds, report.findings
