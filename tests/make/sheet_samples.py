"""Blanks, boards and workshops that the sheet tests share; dimensions invented."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np

from foldwright.airframe.model import Board
from foldwright.airframe.wing import build_wing
from foldwright.design.parts import Control, FoldedWing, Nose, Ridge, Spar, Strip, Trailing
from foldwright.design.workshop import Board as WorkshopBoard
from foldwright.design.workshop import Cutter, Sheet, Workshop
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, unfold
from foldwright.geometry.fold.mass import Material
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Mark, Method, Panel

T = 5.0
RidgeMethod = Literal["groove", "crush", "slit"]
NoseMethod = Literal["slit", "mitre", "two_fold"]


def board(crush_width: float = 5.0, radius: float = 0.0) -> Board:
    return Board(T, Material(T, 5.6e-5, 1.0e-4), radius, crush_width, 0.5)


def workshop(**changes: object) -> Workshop:
    cutter: dict[str, object] = {"kind": "laser", "kerf_mm": 0.3, "bed_mm": (700.0, 500.0)}
    base: dict[str, object] = {
        "format": 1,
        "name": "Saltmere village school",
        "id": "school-laser",
        "board": {
            "thickness_mm": (T,),
            "areal_density_g_m2": 480.0,
            "sheet": ({"length_mm": 700.0, "width_mm": 500.0, "price": 4.2},),
        },
        "cutter": cutter,
    }
    for key, value in changes.items():
        room, _, name = key.partition("__")
        if name:
            base[room] = {**dict(base[room]), name: value}  # type: ignore[call-overload]
        else:
            base[room] = value
    return Workshop.model_validate(base)


def wing_part(ridge: RidgeMethod = "groove", nose: NoseMethod = "slit") -> FoldedWing:
    return FoldedWing(
        kind="folded_wing", id="wing", x_mm=100.0, z_mm=0.0, span_mm=640.0, chord_mm=180.0,
        nose=Nose(method=nose), spar=Spar(x_mm=52.0, height_mm=16.0), ridge=Ridge(method=ridge),
        strip=Strip(aft_mm=105.0), trailing=Trailing(kind="level"),
        control=(Control(id="elevon", chord_mm=42.0, inner_mm=60.0, outer_mm=310.0),),
    )  # fmt: skip


def wing(ridge: RidgeMethod = "groove", nose: NoseMethod = "slit") -> tuple[Blank, Blank]:
    """A wing and its board spar, with balance marks under the strip and a line on the upper side."""
    part = wing_part(ridge, nose)
    main, spar = build_wing(part, board()).blanks
    strip, front = main.panel("strip"), main.panel("front")
    u0, v0 = strip.polygon.min(axis=0)
    u1, v1 = strip.polygon.max(axis=0)
    marks = [
        Mark(f"balance-{side}", "strip", "a", np.array([[u0 + 0.4 * (u1 - u0), v]]))
        for side, v in (("left", v0 + 0.4 * (v1 - v0)), ("right", v0 + 0.6 * (v1 - v0)))
    ]
    low, high = front.polygon.min(axis=0), front.polygon.max(axis=0)
    middle = (low + high) / 2.0
    marks.append(
        Mark("centre", "front", "b", np.array([[low[0] + 8.0, middle[1]], [high[0] - 8.0, middle[1]]]))
    )
    return replace(main, marks=tuple(marks)), spar


def u_box(method: Method = "groove", length: float = 260.0) -> Blank:
    """A floor 60 mm wide with two sides 45 mm high, outer dimensions; frame x aft, y right, z up."""
    half, high = 30.0, 45.0
    floor = SpacePanel(
        "floor", np.array([0.0, 0.0, -1.0]), -T,
        np.array([(0.0, -half, 0.0), (0.0, half, 0.0), (length, half, 0.0), (length, -half, 0.0)]),
    )  # fmt: skip
    inset = half - T if method == "slit" else half
    panels = [replace(floor, corners=floor.corners * np.array([1.0, inset / half, 1.0]))]
    folds = []
    for name, sign, edge in (("left", -1.0, 3), ("right", 1.0, 1)):
        y = sign * half
        z0 = T if method == "slit" else 0.0
        rows = [(0.0, y, z0), (length, y, z0), (length * 0.8, y, high), (0.0, y, high)]
        corners = np.array(rows if sign < 0 else [rows[0], rows[3], rows[2], rows[1]])
        panels.append(SpacePanel(f"side-{name}", np.array([0.0, sign, 0.0]), half - T, corners))
        hinge = "b" if method == "slit" else "a"
        folds.append(SpaceFold(name, "floor", f"side-{name}", edge, 0 if sign < 0 else 3, method, hinge, 5.0))  # type: ignore[arg-type]
    blank = unfold("fuselage/box", T, tuple(panels), tuple(folds), np.array([1.0, 0.0, 0.0]))
    hole = blank.panel("floor").polygon.mean(axis=0) + np.array(
        [(-40.0, -12), (-40, 12), (30, 12), (30, -12)]
    )
    floor_flat = replace(blank.panel("floor"), holes=(hole,))
    return replace(blank, panels=(floor_flat, *blank.panels[1:]))


def plate(name: str = "fin/right", *, bevel: float = 0.0) -> Blank:
    """A fin with two tabs; with `bevel` its lower edges are slanted by that much on face a."""
    rows = [
        (0.0, 0.0),
        (20.0, 0.0),
        (20.0, -5.0),
        (35.0, -5.0),
        (35.0, 0.0),
        (100.0, 0.0),
        (85.0, 70.0),
        (35.0, 70.0),
    ]
    cuts = [SQUARE] * len(rows)
    cuts[6] = EdgeCut(a=bevel)
    placement_ = np.eye(4)
    placement_[:3, 3] = (250.0, 150.0, 10.0)
    return Blank(name, T, (Panel("plate", np.array(rows), tuple(cuts)),), (), "plate", placement_)


def former(name: str = "fuselage/former-2") -> Blank:
    """A small former, slanted on two edges and square-trimmed on one, as a tail former is."""
    rows = np.array([(0.0, 0.0), (46.0, 0.0), (46.0, 38.0), (0.0, 38.0)])
    cuts = (EdgeCut(a=1.0, b=1.0), EdgeCut(b=0.8), SQUARE, EdgeCut(b=0.8))
    angle = np.linspace(0.0, 2.0 * np.pi, 24, endpoint=False)
    hole = np.stack([23.0 + 8.0 * np.cos(angle), 20.0 + 8.0 * np.sin(angle)], axis=1)
    place = np.array(
        [[0.0, 0.0, 1.0, 60.0], [1.0, 0.0, 0.0, -23.0], [0.0, 1.0, 0.0, 2.0], [0.0, 0.0, 0.0, 1.0]]
    )
    return Blank(name, T, (Panel("former", rows, cuts, (hole,)),), (), "former", place)


def kit() -> tuple[Blank, ...]:
    return (*wing(), u_box(), plate(), plate("fin/left", bevel=2.0), former(), former("fuselage/former-1"))


__all__ = ["Cutter", "Sheet", "WorkshopBoard", "board", "former", "kit", "plate", "u_box", "wing", "workshop"]
