"""The folded aeroplane as data, enough to fold the sheets into it again; JSON, format 1.

Beside the blanks it holds what else the book needs: titles, notes, joints, bars, gaps, lifting surfaces,
fittings and the thrust line.
Keys carry their units. Lengths are rounded to 1e-6 mm, points of blanks to 1e-9 (corners of two panels on one
fold that lies askew must stay on one line), matrices to 1e-12, masses to 1e-6 g.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from math import degrees
from typing import Any

import numpy as np

from foldwright.airframe.model import Airframe, MassItem, Placed
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.marks import station_of
from foldwright.geometry.fold.mass import Material, panels_moments
from foldwright.geometry.fold.model import Blank, EdgeCut, Fold, Mark, Panel
from foldwright.layout.as_cut import as_cut
from foldwright.make.book_data import book_data

FORMAT = 1


def airframe_json(
    airframe: Airframe, leading_edge_x_mm: float, others: Sequence[MassItem] | None = None
) -> bytes:
    """The file's bytes.

    leading_edge_x_mm: the edge that the balance point is measured from. others: masses to count beside the
    board, with the battery where it flies; the airframe's own where left out. Items of the group "board" are
    not counted again: the readback weighs the sheets.
    """
    material = airframe.board.material
    items = airframe.masses if others is None else others
    blanks = [_blank(placed, material) for placed in airframe.placed]
    data = {
        "format": FORMAT,
        "board": {
            "thickness_mm": _length(material.thickness_mm),
            "foam_g_mm3": float(f"{material.foam_g_mm3:.9g}"),
            "paper_g_mm2": float(f"{material.paper_g_mm2:.9g}"),
        },
        "leading_edge_x_mm": _length(leading_edge_x_mm),
        "blanks": blanks,
        "other_masses": [_mass(item) for item in items if item.group != "board" and item.moments[3, 3] > 0],
        **book_data(airframe),
    }
    return (json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _length(value: float) -> float:
    return round(float(value), 6) + 0.0


def _points(points: FloatArray) -> list[list[float]]:
    return [[round(float(value), 9) + 0.0 for value in row] for row in points]


def _blank(placed: Placed, material: Material) -> dict[str, Any]:
    blank = as_cut(placed.blank)
    masses = panels_moments(blank.panels, material)[:, 3, 3]
    return {
        "name": blank.name,
        "part": placed.part,
        "root": blank.root,
        "mirror_of": blank.mirror_of,
        "copies": blank.copies,
        "thickness_mm": _length(blank.thickness),
        "placement": [[round(float(v), 12) + 0.0 for v in row] for row in blank.placement],
        "panels": [_panel(panel, float(mass)) for panel, mass in zip(blank.panels, masses, strict=True)],
        "folds": [_fold(fold) for fold in blank.folds],
        "marks": [_mark(blank, mark, placed.transforms) for mark in blank.marks],
        "mass_g": round(float(masses.sum()), 6),
    }


def _panel(panel: Panel, mass: float) -> dict[str, Any]:
    return {
        "name": panel.name,
        "outline_mm": _points(panel.polygon),
        "holes_mm": [_points(hole) for hole in panel.holes],
        "edges": [_edge(cut) for cut in panel.cuts],
        "skin_a_g_mm2": _areal(panel.skin[0]),
        "skin_b_g_mm2": _areal(panel.skin[1]),
        "bare_a": panel.bare[0],
        "bare_b": panel.bare[1],
        "mass_g": round(mass, 6),
    }


def _areal(value: float) -> float:
    return float(f"{value:.9g}") + 0.0


def _edge(cut: EdgeCut) -> dict[str, Any]:
    return {
        "cut_a_mm": _length(cut.a),
        "cut_b_mm": _length(cut.b),
        "squeezed": cut.squeezed,
        "paper_a": cut.paper_a,
        "paper_b": cut.paper_b,
    }


def _fold(fold: Fold) -> dict[str, Any]:
    return {
        "name": fold.name,
        "parent": fold.parent,
        "child": fold.child,
        "from_mm": _points(fold.p[None])[0],
        "to_mm": _points(fold.q[None])[0],
        "method": fold.method,
        "hinge": fold.hinge,
        "toward": fold.toward,
        "angle_deg": round(degrees(fold.angle), 9),
        "limit_deg": round(degrees(fold.limit), 9),
        "tool_width_mm": _length(fold.tool_width),
        "gain_mm": _length(fold.gain),
        "order": fold.order,
    }


def _mark(blank: Blank, mark: Mark, transforms: dict[str, FloatArray]) -> dict[str, Any]:
    return {
        "name": mark.name,
        "panel": mark.panel,
        "face": mark.face,
        "points_mm": _points(mark.points),
        "stations_mm": _points(station_of(blank, mark, transforms)),
    }


def _mass(item: MassItem) -> dict[str, Any]:
    mass = float(item.moments[3, 3])
    return {
        "id": item.id,
        "group": item.group,
        "mass_g": round(mass, 6),
        "cg_mm": [_length(value) for value in item.moments[:3, 3] / mass],
    }


def read_blanks(data: dict[str, Any]) -> tuple[tuple[Blank, str], ...]:
    """Blanks (as cut) and their parts from the file's data. Raises KeyError, TypeError or ValueError if it
    is damaged.
    """
    return tuple((_read_blank(row), str(row["part"])) for row in data["blanks"])


def read_material(data: dict[str, Any]) -> Material:
    """The board from the file's data. Raises KeyError, TypeError or ValueError if it is damaged."""
    row = data["board"]
    return Material(float(row["thickness_mm"]), float(row["foam_g_mm3"]), float(row["paper_g_mm2"]))


def _read_blank(row: dict[str, Any]) -> Blank:
    return Blank(
        str(row["name"]),
        float(row["thickness_mm"]),
        tuple(_read_panel(panel) for panel in row["panels"]),
        tuple(_read_fold(fold) for fold in row["folds"]),
        str(row["root"]),
        _array(row["placement"], 4),
        tuple(
            Mark(str(m["name"]), str(m["panel"]), m["face"], _array(m["points_mm"], 2)) for m in row["marks"]
        ),
        str(row["mirror_of"]),
        int(row["copies"]),
    )


def _array(rows: Any, columns: int) -> FloatArray:  # noqa: ANN401 - whatever stands in a file
    return np.array(rows, dtype=np.float64).reshape(-1, columns)


def _read_panel(row: dict[str, Any]) -> Panel:
    cuts = tuple(
        EdgeCut(
            float(e["cut_a_mm"]),
            float(e["cut_b_mm"]),
            bool(e["squeezed"]),
            bool(e["paper_a"]),
            bool(e["paper_b"]),
        )
        for e in row["edges"]
    )
    holes = tuple(_array(hole, 2) for hole in row["holes_mm"])
    # files of before skins were written have none
    skin = float(row.get("skin_a_g_mm2", 0.0)), float(row.get("skin_b_g_mm2", 0.0))
    bare = bool(row.get("bare_a", False)), bool(row.get("bare_b", False))
    return Panel(str(row["name"]), _array(row["outline_mm"], 2), cuts, holes, skin, bare)


def _read_fold(row: dict[str, Any]) -> Fold:
    return Fold(
        str(row["name"]), str(row["parent"]), str(row["child"]),
        _array(row["from_mm"], 2)[0], _array(row["to_mm"], 2)[0],
        row["method"], row["hinge"], row["toward"],
        float(np.radians(row["angle_deg"])), float(np.radians(row["limit_deg"])),
        float(row["tool_width_mm"]), int(row["order"]), float(row["gain_mm"]),
    )  # fmt: skip
