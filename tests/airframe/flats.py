"""Random surfaces of single board and the checks that all of them have to stand."""

from __future__ import annotations

from typing import Any

import numpy as np
import trimesh

from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.model import Board, PartBuild
from foldwright.base.types import FloatArray
from foldwright.design.plates import Plate
from foldwright.design.tails import VTail
from foldwright.design.wings import PlateWing
from foldwright.geometry.fold.edges import fold_sides
from foldwright.geometry.fold.flat import SpaceFold, transforms, unfold
from foldwright.geometry.fold.mass import Material, board_moments, mass_properties
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.fold.rings import solid_ring
from foldwright.geometry.fold.solids import loft
from foldwright.geometry.transform import apply
from tests.geometry.fold.sheets_of_panel import mass_ring
from tests.strategies import space_panels

CLOSES = 1e-9
OTHER = {"right": "left", "left": "right"}


def bench(t: float = 5.0, *, spar: float = 3.0) -> Bench:
    """Foam alone (its papers are tested with the fold geometry), a round carbon spar for the wing."""
    board = Board(t, Material(t, 3.0e-5, 0.0), 0.0, t, 0.5)
    return Bench(board, (("wing", Bought(spar, spar, 14.0, "carbon", "rod")),), 0.0)


def plate_wing(**changes: Any) -> PlateWing:
    """A wing of 800 x 180 mm of single board."""
    data: dict[str, Any] = {
        "kind": "plate_wing", "id": "wing", "x_mm": 100.0, "z_mm": 20.0, "span_mm": 800.0, "chord_mm": 180.0,
    }  # fmt: skip
    return PlateWing.model_validate(data | changes)


def v_tail(**changes: Any) -> VTail:
    """A V of two panels of 180 mm at 35 degrees with ruddervators to the tip."""
    control = {"id": "ruddervator", "chord_mm": 35.0, "inner_mm": 15.0, "outer_mm": 180.0}
    data: dict[str, Any] = {
        "kind": "v_tail", "id": "tail", "x_mm": 600.0, "z_mm": 30.0, "root_mm": 110.0, "tip_mm": 80.0,
        "length_mm": 180.0, "tip_aft_mm": 25.0, "control": (control,),
    }  # fmt: skip
    return VTail.model_validate(data | changes)


def random_wing(rng: np.random.Generator) -> PlateWing:
    """A plate wing of one to three bays with most of what may be asked of one; maybe unbuildable."""
    span, chord = float(rng.uniform(300.0, 1400.0)), float(rng.uniform(80.0, 260.0))
    bays = _bays(rng, span, chord)
    data: dict[str, Any] = {
        "span_mm": span, "chord_mm": chord, "bay": bays, "centre": str(rng.choice(["one", "two"])),
        "x_mm": float(rng.uniform(0.0, 500.0)), "z_mm": float(rng.uniform(-40.0, 60.0)),
        "incidence_deg": float(rng.uniform(-4.0, 6.0)),
        "role": str(rng.choice(["wing", "tailplane", "canard"])),
    }  # fmt: skip
    if rng.random() < 0.5:
        folds = np.sort(rng.uniform(0.15, 0.6, int(rng.integers(1, 3)))) * chord
        data["camber"] = tuple(
            {"x_mm": float(x), "turn_deg": float(rng.uniform(2.0, 14.0)),
             "method": str(rng.choice(["groove", "crush"]))}
            for x in folds
        )  # fmt: skip
    if rng.random() < 0.6:
        data["control"] = (_control(rng, span, chord, bays),)
    if rng.random() < 0.3:
        data["doubler"] = {"to_mm": 0.14 * chord, "reach_mm": float(rng.uniform(0.2, 0.5)) * span}
    if rng.random() < 0.3:
        data["tip_cut_mm"] = float(rng.uniform(2.0, 20.0))
    if rng.random() < 0.3:
        data["spar"] = {
            "x_mm": 0.3 * chord,
            "stock": "rod-3",
            "reach_mm": float(rng.uniform(0.2, 0.5)) * span,
        }
    return plate_wing(**data)


def _bays(rng: np.random.Generator, span: float, chord: float) -> tuple[dict[str, float], ...]:
    count = int(rng.integers(0, 4))
    ends = np.sort(rng.uniform(0.15, 0.45, count)) * span
    level = rng.random() < 0.3
    rows = []
    aft = 0.0
    for index in range(count):
        chord *= float(rng.uniform(0.7, 1.05))
        aft += float(rng.uniform(-0.15, 0.3)) * chord
        rows.append(
            {
                "end_mm": float(ends[index]) if index < count - 1 else span / 2.0,
                "chord_mm": chord,
                "aft_mm": aft,
                "dihedral_deg": 0.0 if level else float(rng.uniform(-8.0, 16.0)),
                "washout_deg": float(rng.uniform(0.0, 3.0)),
            }
        )
    return tuple(rows)


def _control(
    rng: np.random.Generator, span: float, chord: float, bays: tuple[dict[str, float], ...]
) -> dict[str, Any]:
    ends = [0.0, *(bay["end_mm"] for bay in bays)] if bays else [0.0, span / 2.0]
    bay = int(rng.integers(0, len(ends) - 1))
    room = ends[bay + 1] - ends[bay]
    low, high = ends[bay] + 0.3 * room * rng.choice([0.0, rng.random()]), ends[bay + 1]
    if rng.random() < 0.5:
        high -= 0.3 * room * rng.random()
    tip = bays[-1]["chord_mm"] if bays else chord
    data: dict[str, Any] = {
        "id": "flap", "kind": str(rng.choice(["elevator", "elevon", "aileron", "flap"])),
        "chord_mm": float(rng.uniform(0.12, 0.3)) * tip, "inner_mm": float(low), "outer_mm": float(high),
        "end_gap_mm": float(rng.uniform(0.5, 3.0)), "hinge_face": str(rng.choice(["a", "b"])),
    }  # fmt: skip
    if rng.random() < 0.5:
        data["outer_chord_mm"] = float(rng.uniform(0.12, 0.3)) * tip
    if rng.random() < 0.4:
        data["horn"] = {"length_mm": 0.15 * (float(high) - float(low)), "ahead_mm": 0.12 * tip}
    return data


def random_fin(rng: np.random.Generator) -> Plate:
    """A tapered fin, mirrored or not, leaning or not, mostly with a rudder."""
    root, height = float(rng.uniform(60.0, 200.0)), float(rng.uniform(60.0, 250.0))
    tip = root * float(rng.uniform(0.4, 1.0))
    y = float(rng.choice([0.0, rng.uniform(20.0, 400.0), -rng.uniform(20.0, 400.0)]))
    data: dict[str, Any] = {
        "kind": "plate", "id": "fin", "x_mm": float(rng.uniform(0.0, 600.0)), "y_mm": y,
        "z_mm": float(rng.uniform(-20.0, 60.0)), "mirrored": bool(y != 0.0 and rng.random() < 0.5),
        "lean_deg": float(rng.choice([0.0, rng.uniform(0.0, 40.0)])),
        "taper": {"root_mm": root, "tip_mm": tip, "height_mm": height,
                  "tip_aft_mm": float(rng.uniform(-0.2, 0.6)) * root},
    }  # fmt: skip
    if rng.random() < 0.8:
        inner = float(rng.choice([0.0, 0.2 * height * rng.random()]))
        outer = float(rng.choice([height, height * rng.uniform(0.6, 0.95)]))
        control: dict[str, Any] = {
            "id": "rudder", "kind": "rudder", "chord_mm": 0.35 * tip, "inner_mm": inner, "outer_mm": outer,
            "hinge_face": str(rng.choice(["a", "b"])), "outer_chord_mm": float(rng.uniform(0.25, 0.4)) * tip,
        }  # fmt: skip
        if rng.random() < 0.4:
            control["horn"] = {"length_mm": 0.15 * height, "ahead_mm": 0.15 * tip}
        data["control"] = (control,)
    return Plate.model_validate(data)


def random_v_tail(rng: np.random.Generator) -> VTail:
    """A V-tail of any angle, of one or two blanks."""
    root, length = float(rng.uniform(70.0, 200.0)), float(rng.uniform(90.0, 350.0))
    tip = root * float(rng.uniform(0.5, 1.0))
    control = {
        "id": "ruddervator", "chord_mm": 0.35 * tip, "inner_mm": float(rng.uniform(0.0, 0.2)) * length,
        "outer_mm": length, "outer_chord_mm": float(rng.uniform(0.25, 0.4)) * tip,
    }  # fmt: skip
    return v_tail(
        root_mm=root, tip_mm=tip, length_mm=length, tip_aft_mm=float(rng.uniform(-0.1, 0.5)) * root,
        angle_deg=float(rng.uniform(20.0, 55.0)), incidence_deg=float(rng.uniform(-4.0, 4.0)),
        joint=str(rng.choice(["one", "two"])), control=(control,),
    )  # fmt: skip


# --- checks -------------------------------------------------------------------------------------------------


def corners(blank: Blank, w: float = 0.0, live: dict[str, float] | None = None) -> dict[str, FloatArray]:
    """Outline of every panel in the aeroplane at a depth, mm."""
    places = transforms(blank, deflection=live)
    return {
        panel.name: apply(
            places[panel.name], np.column_stack([panel.polygon, np.full(len(panel.polygon), w)])
        )
        for panel in blank.panels
    }


def unfolded(blank: Blank) -> Blank:
    """The folded blank's panels laid flat by the independent way back from space."""
    folds = []
    for fold in blank.folds:
        parent, child = fold_sides(blank, fold)
        folds.append(
            SpaceFold(
                fold.name, fold.parent, fold.child, parent[0], child[0], fold.method, fold.hinge,
                fold.tool_width, fold.limit, fold.order,
            )
        )  # fmt: skip
    return unfold(blank.name, blank.thickness, space_panels(blank), tuple(folds), blank.placement[:3, 0])


def round_trip(blank: Blank) -> float:
    """Farthest that a blank differs from its folded self laid flat again, in space and flat, mm."""
    again = unfolded(blank)
    before, after = corners(blank), corners(again)
    space = max(float(np.abs(after[name] - points).max()) for name, points in before.items())
    names = [panel.name for panel in blank.panels]
    flat = [np.concatenate([one.panel(name).polygon for name in names]) for one in (blank, again)]
    apart = [np.linalg.norm(points[:, None] - points[None], axis=2) for points in flat]
    return max(space, float(np.abs(apart[0] - apart[1]).max()))


def mass_error(blank: Blank, material: Material) -> float:
    """Greatest relative difference of mass, CG and inertia from a mesh library's."""
    places = transforms(blank)
    ours = mass_properties(board_moments(((blank, places),), material))
    points, faces, count = [], [], 0
    for panel in blank.panels:
        solid = loft(mass_ring(panel, 0.0), mass_ring(panel, 1.0), blank.thickness, panel.holes)
        points.append(apply(places[panel.name], solid.points))
        faces.append(solid.triangles + count)
        count += len(solid.points)
    mesh = trimesh.Trimesh(np.concatenate(points), np.concatenate(faces), process=False)
    mesh.density = material.foam_g_mm3
    theirs = mesh.mass_properties
    size = float(np.ptp(mesh.vertices, axis=0).max())
    inertia = np.array(theirs.inertia)
    return max(
        abs(ours.mass / float(theirs.mass) - 1.0),
        float(np.abs(ours.cg - theirs.center_mass).max()) / size,
        float(np.abs(ours.inertia - inertia).max() / np.abs(inertia).max()),
    )


def twin(blank: str, panel: str) -> tuple[str, str]:
    """Blank and panel on the other side, by their names."""

    def other(name: str) -> str:
        return "-".join(OTHER.get(word, word) for word in name.split("-"))

    part, own = blank.split("/")
    return f"{part}/{other(own)}", other(panel)


def asymmetry(build: PartBuild) -> float:
    """Farthest that a corner lies from its opposite's mirror image, on either face, mm."""
    t = build.blanks[0].thickness
    worst = 0.0
    for w in (0.0, t):
        rows = {
            (blank.name, name): points for blank in build.blanks for name, points in corners(blank, w).items()
        }
        for (blank, panel), points in rows.items():
            mirrored = rows[twin(blank, panel)] * [1.0, -1.0, 1.0]
            apart = np.linalg.norm(points[:, None] - mirrored[None], axis=2)
            worst = max(worst, float(apart.min(axis=1).max()))
    return worst


def face(blank: Blank, panel: str, side: str) -> FloatArray:
    """Corners of one face of a folded panel, its bevels taken off, in the aeroplane, mm."""
    ring = solid_ring(blank.panel(panel), 1.0 if side == "a" else 0.0)
    w = np.full(len(ring), blank.thickness if side == "a" else 0.0)
    return apply(transforms(blank)[panel], np.column_stack([ring, w]))
