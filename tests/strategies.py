"""Shapes for the tests of geometry: boxes, strips and sections with known answers, and random ones."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import atan, cos, pi, sin, tan
from typing import Any

import numpy as np
from hypothesis import strategies as st

from foldwright.base.types import FloatArray
from foldwright.geometry.fold.flat import SpaceFold, SpacePanel, transforms, unfold
from foldwright.geometry.fold.methods import bevel, cuts
from foldwright.geometry.fold.model import SQUARE, Blank, EdgeCut, Face, Fold, Method, Panel
from foldwright.geometry.fold.rings import solid_ring
from foldwright.geometry.transform import apply, frame

X_AXIS = np.array([1.0, 0.0, 0.0])
OTHER: dict[Face, Face] = {"a": "b", "b": "a"}


def natural_toward(method: Method, hinge: Face) -> Face:
    """The face a fold turns to when it is made as it is meant to be."""
    return hinge if method == "slit" else OTHER[hinge]


# --- boxes --------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Box:
    """A U of floor and two sides, outer sizes in mm, x along the box, open at the top."""

    width: float
    height: float
    length: float
    thickness: float
    method: Method = "groove"
    tool_width: float = 0.0
    radius: float = 0.0


def box_panels(box: Box) -> tuple[SpacePanel, ...]:
    """floor, left, right in space; outer floor at z = 0, sides out to y = ±width/2."""
    t, half = box.thickness, box.width / 2.0
    inside = t if box.method == "slit" else 0.0  # the hinge skin: inner for a slit, outer otherwise
    y, z = half - inside, inside
    n, h = box.length, box.height
    floor = np.array([(0.0, -y, z), (0.0, y, z), (n, y, z), (n, -y, z)])
    left = np.array([(0.0, -y, z), (n, -y, z), (n, -y, h), (0.0, -y, h)])
    right = np.array([(n, y, z), (0.0, y, z), (0.0, y, h), (n, y, h)])
    return (
        SpacePanel("floor", np.array([0.0, 0.0, -1.0]), -t, floor),
        SpacePanel("left", np.array([0.0, -1.0, 0.0]), half - t, left),
        SpacePanel("right", np.array([0.0, 1.0, 0.0]), half - t, right),
    )


def box_folds(box: Box) -> tuple[SpaceFold, ...]:
    """The two folds of the floor's long edges."""
    hinge: Face = "b" if box.method == "slit" else "a"
    return (
        SpaceFold("to-left", "floor", "left", 3, 0, box.method, hinge, box.tool_width, radius=box.radius),
        SpaceFold(
            "to-right", "floor", "right", 1, 0, box.method, hinge, box.tool_width, order=1, radius=box.radius
        ),
    )


def box_blank(box: Box) -> Blank:
    """The box laid flat."""
    return unfold("box", box.thickness, box_panels(box), box_folds(box), X_AXIS)


def random_box(rng: np.random.Generator) -> Box:
    """A box that can be folded by its method."""
    t = float(rng.uniform(3.0, 6.0))
    methods: tuple[Method, ...] = ("groove", "crush", "rebate", "slit")
    method = methods[int(rng.integers(4))]
    tool_width, radius = (t, float(rng.uniform(0.0, 0.6) * t)) if method == "crush" else (0.0, 0.0)
    width, height, length = rng.uniform((4.0 * t, 3.0 * t, 50.0), (30.0 * t, 20.0 * t, 600.0)).tolist()
    return Box(width, height, length, t, method, tool_width, radius)


# --- a wing section with known flat widths -----------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Section:
    """A constant section with slit nose, groove ridge and level trailing part, mm."""

    slope: float
    spar: float
    strip_end: float
    chord: float
    span: float
    thickness: float

    @property
    def height(self) -> float:
        """Spar height between the inner skins at the ridge: (d - t*sin(alpha))*tan(alpha)."""
        return (self.spar - self.thickness * sin(self.slope)) * tan(self.slope)

    @property
    def aft_slope(self) -> float:
        """tan(mu) = h/(x_b - x_s)."""
        return atan(self.height / (self.strip_end - self.spar))


def section_panels(s: Section) -> tuple[SpacePanel, ...]:
    """aft (root), front, strip and trailing; z = 0 on the strip's inner face, x aft of the leading edge."""
    t, a, m, half = s.thickness, s.slope, s.aft_slope, s.span / 2.0
    n_front, n_aft = np.array([-sin(a), 0.0, cos(a)]), np.array([sin(m), 0.0, cos(m)])
    start = t * sin(a)
    d_front = -sin(a) * start
    d_aft = sin(m) * s.strip_end
    ridge = np.linalg.solve(np.array([n_front[[0, 2]], n_aft[[0, 2]]]), np.array([d_front + t, d_aft + t]))
    aft = _between(ridge, np.array([s.strip_end, 0.0]), half)
    front = _between(np.array([start, 0.0]), ridge, half)
    strip = np.array([
        (start, -half, 0.0), (start, half, 0.0), (s.strip_end, half, 0.0), (s.strip_end, -half, 0.0)
    ])  # fmt: skip
    trailing = _between(np.array([s.strip_end, 0.0]), np.array([s.chord, 0.0]), half)
    return (
        SpacePanel("aft", n_aft, d_aft, aft),
        SpacePanel("front", n_front, d_front, front),
        SpacePanel("strip", np.array([0.0, 0.0, -1.0]), 0.0, strip),
        SpacePanel("trailing", np.array([0.0, 0.0, 1.0]), 0.0, trailing),
    )


def _between(fore: FloatArray, aft: FloatArray, half: float) -> FloatArray:
    """Rectangle between two (x, z) points, seen from above counter-clockwise."""
    return np.array([
        (fore[0], -half, fore[1]), (aft[0], -half, aft[1]), (aft[0], half, aft[1]), (fore[0], half, fore[1])
    ])  # fmt: skip


SECTION_FOLDS = (
    SpaceFold("ridge", "aft", "front", 3, 1, "groove", "a", order=2),
    SpaceFold("nose", "front", "strip", 3, 0, "slit", "b", order=1),
    SpaceFold("crease", "aft", "trailing", 1, 3, "groove", "b", order=0),
)


def section_blank(s: Section) -> Blank:
    """The section laid flat; u runs aft."""
    return unfold("section", s.thickness, section_panels(s), SECTION_FOLDS, X_AXIS)


def sections() -> st.SearchStrategy[Section]:
    """Sections whose flat trailing part lies behind the under strip."""
    return st.builds(
        lambda a, spar, back, tail, span, t: Section(a, spar, spar + back, spar + back + tail, span, t),
        st.floats(0.15, 0.5), st.floats(35.0, 80.0), st.floats(60.0, 120.0), st.floats(20.0, 80.0),
        st.floats(100.0, 800.0), st.floats(3.0, 6.0),
    )  # fmt: skip


# --- strips: panels side by side, folded along lines that need not be parallel ------------------------------


def strip_blank(
    widths: FloatArray,
    skews: FloatArray,
    turns: FloatArray,
    methods: tuple[Method, ...],
    hinges: tuple[Face, ...],
    thickness: float,
    depth: float = 120.0,
    placement: FloatArray | None = None,
) -> Blank:
    """n panels along u with n - 1 folds across; skews (n + 1,): slope of each dividing line.

    turns (n - 1,) rad; the panel 0 is the root. Rebates turn by 90 degrees whatever `turns` says.
    """
    lines = np.concatenate([[0.0], np.cumsum(widths)])
    low, high = lines - skews * depth / 2.0, lines + skews * depth / 2.0
    folds: list[Fold] = []
    edge_cuts: dict[tuple[int, int], EdgeCut] = {}
    for i, (turn_, method, hinge) in enumerate(zip(turns, methods, hinges, strict=True)):
        angle = pi / 2.0 if method == "rebate" else float(turn_)
        tool = thickness if method == "crush" else 0.0
        # the child lies at larger u: left of a line that runs down in v
        p, q = np.array([high[i + 1], depth]), np.array([low[i + 1], 0.0])
        toward = natural_toward(method, hinge)
        folds.append(Fold(f"f{i}", f"p{i}", f"p{i + 1}", p, q, method, hinge, toward, angle, pi, tool, i))
        edge_cuts[i, 1], edge_cuts[i + 1, 3] = cuts(method, hinge, angle, thickness, tool)
    panels = tuple(
        Panel(
            f"p{i}",
            np.array([(low[i], 0.0), (low[i + 1], 0.0), (high[i + 1], depth), (high[i], depth)]),
            tuple(edge_cuts.get((i, edge), SQUARE) for edge in range(4)),
        )
        for i in range(len(widths))
    )
    return Blank(
        "strip", thickness, panels, tuple(folds), "p0", np.eye(4) if placement is None else placement
    )


def random_strip(rng: np.random.Generator, count: int = 4) -> Blank:
    """A strip with skewed folds of any method, turned by up to 80 degrees, anywhere in space."""
    t = float(rng.uniform(3.0, 6.0))
    methods: tuple[Method, ...] = tuple(rng.choice(["groove", "crush", "rebate", "slit"], count - 1))
    hinges: tuple[Face, ...] = tuple(rng.choice(["a", "b"], count - 1))
    skews = rng.uniform(-0.12, 0.12, count + 1)
    if "rebate" in methods:
        skews[:] = skews[0]
    place = frame(rng.uniform(-300.0, 300.0, 3), rng.normal(size=3), rng.normal(size=3))
    return strip_blank(
        rng.uniform(40.0, 120.0, count), skews, rng.uniform(0.1, 1.4, count - 1), methods, hinges, t,
        placement=place,
    )  # fmt: skip


def seeds() -> st.SearchStrategy[np.random.Generator]:
    """Generators for the random shapes above."""
    return st.integers(0, 2**32 - 1).map(np.random.default_rng)


def space_panels(blank: Blank, places: dict[str, FloatArray] | None = None) -> tuple[SpacePanel, ...]:
    """A folded blank's panels as they stand in space: the way back into `unfold`."""
    where = transforms(blank) if places is None else places
    made = []
    for panel in sorted(blank.panels, key=lambda panel: panel.name != blank.root):
        place = where[panel.name]
        normal = place[:3, 2]
        flat = np.column_stack([panel.polygon, np.zeros(len(panel.polygon))])
        holes = tuple(apply(place, np.column_stack([hole, np.zeros(len(hole))])) for hole in panel.holes)
        made.append(SpacePanel(panel.name, normal, float(normal @ place[:3, 3]), apply(place, flat), holes))
    return tuple(made)


# --- a blank whose folds have an order ----------------------------------------------------------------------


def chest(first: int, second: int) -> Blank:
    """Floor, two sides and two lids that lie on each other, the left one 45 mm up, the right one 40 mm.

    The lids are bent first; `first` and `second` order the folds of the right and the left side.
    """
    parent, child = cuts("groove", "a", pi / 2, 5.0)

    def strip(name: str, u0: float, u1: float, at_low: EdgeCut, at_high: EdgeCut) -> Panel:
        ring = np.array([(u0, 0.0), (u1, 0.0), (u1, 100.0), (u0, 100.0)])
        return Panel(name, ring, (SQUARE, at_high, SQUARE, at_low))

    def fold(name: str, carrier: str, u: float, order: int) -> Fold:
        p, q = np.array([u, 100.0]), np.array([u, 0.0])
        ends = (p, q) if u > 0.0 else (q, p)
        return Fold(name, carrier, name, *ends, "groove", "a", "b", pi / 2, pi, 0.0, order)

    panels = (
        strip("floor", 0.0, 60.0, parent, parent),
        strip("right", 60.0, 100.0, child, parent),
        strip("right-lid", 100.0, 150.0, child, SQUARE),
        strip("left", -45.0, 0.0, parent, child),
        strip("left-lid", -95.0, -45.0, SQUARE, child),
    )
    folds = (
        fold("right", "floor", 60.0, first),
        fold("right-lid", "right", 100.0, 0),
        fold("left", "floor", 0.0, second),
        fold("left-lid", "left", -45.0, 0),
    )
    return Blank("chest", 5.0, panels, folds, "floor", np.eye(4))


# --- single panels ------------------------------------------------------------------------------------------


def random_panel(rng: np.random.Generator, thickness: float, *, hole: bool = True) -> Panel:
    """A panel on random points of an oval, with random bevels and trims and, maybe, a hole."""
    count = int(rng.integers(3, 9))
    angles = np.sort((np.arange(count) + rng.uniform(0.1, 0.9, count)) * 2.0 * pi / count)
    polygon = np.stack([90.0 * np.cos(angles), 70.0 * np.sin(angles)], axis=1) + rng.uniform(-200.0, 200.0, 2)
    kinds = [
        SQUARE, EdgeCut(b=bevel(float(rng.uniform(0.2, 1.2)), thickness)), EdgeCut(a=thickness),
        EdgeCut(b=thickness / 2.0, squeezed=True), EdgeCut(a=thickness, b=thickness, paper_a=True),
    ]  # fmt: skip
    edge_cuts = tuple(kinds[int(rng.integers(len(kinds)))] for _ in range(count))
    centre = polygon.mean(axis=0)
    around = np.linspace(0.0, 2.0 * pi, 5)[:-1] + float(rng.uniform(0.0, 1.0))
    ring = centre + float(rng.uniform(2.0, 6.0)) * np.stack([np.cos(around), np.sin(around)], axis=1)
    panel = Panel("panel", polygon, edge_cuts)
    room = solid_ring(Panel("panel", polygon, (EdgeCut(a=3.0 * thickness, b=3.0 * thickness),) * count), 0.0)
    return Panel("panel", polygon, edge_cuts, (ring,)) if hole and _holds(room, ring) else panel


def _holds(outer: FloatArray, inner: FloatArray) -> bool:
    """Whether all points of a ring lie inside a convex counter-clockwise ring."""
    edge = np.roll(outer, -1, axis=0) - outer
    gap = inner[:, None, :] - outer[None, :, :]
    return bool((edge[:, 0] * gap[..., 1] - edge[:, 1] * gap[..., 0] > 0.0).all())


# --- folded wings -------------------------------------------------------------------------------------------


def random_folded_wing(rng: np.random.Generator) -> dict[str, Any]:
    """A folded wing's table of any planform, nose, ridge, trailing part, joint, tip and control.

    It may turn out not to be foldable; about two in three are.
    """
    chord, span = float(rng.uniform(140.0, 260.0)), float(rng.uniform(500.0, 1100.0))
    share = float(rng.uniform(0.24, 0.33))
    nose: dict[str, Any] = {"method": str(rng.choice(["slit", "mitre", "two_fold"]))}
    trailing = str(rng.choice(["level", "straight"]))
    data: dict[str, Any] = {
        "kind": "folded_wing", "id": "wing", "x_mm": float(rng.uniform(50.0, 200.0)),
        "z_mm": float(rng.uniform(-20.0, 60.0)), "incidence_deg": float(rng.uniform(-3.0, 5.0)),
        "span_mm": span, "chord_mm": chord, "nose": nose, "trailing": {"kind": trailing},
        "spar": {"x_mm": share * chord, "height_mm": float(rng.uniform(0.065, 0.09)) * chord},
        "ridge": {"method": str(rng.choice(["groove", "crush", "slit"]))},
        "strip": {"aft_mm": chord * float(rng.uniform(0.55, 0.65))},
        "tip": str(rng.choice(["open", "cap"], p=[0.7, 0.3])),
        "centre": str(rng.choice(["auto", "two"], p=[0.8, 0.2])),
    }  # fmt: skip
    if trailing == "level" and rng.random() < 0.5:
        data["strip"] |= {"runs_on": True, "land_mm": 0.04 * chord}
    data["bay"] = random_bays(rng, data, share)
    data["control"] = random_controls(rng, data)
    return data


def random_bays(rng: np.random.Generator, data: dict[str, Any], share: float) -> list[dict[str, Any]]:
    """None to three bays: tapered, swept either way, rising, drooping, washed out, joined or apart."""
    count = int(rng.integers(0, 4))
    ends = np.linspace(0.0, data["span_mm"] / 2.0, count + 1)[1:]
    chord, aft, bays = data["chord_mm"], 0.0, list[dict[str, Any]]()
    tapered, level = rng.random() < 0.6, rng.random() < 0.4
    for end in ends:
        chord *= float(rng.uniform(0.88, 1.0))
        aft += float(rng.choice([0.0, rng.uniform(0.0, 60.0), rng.uniform(-25.0, 0.0)], p=[0.3, 0.5, 0.2]))
        bay: dict[str, Any] = {
            "end_mm": float(end), "chord_mm": chord, "aft_mm": aft,
            "dihedral_deg": 0.0 if level else float(rng.uniform(-3.0, 10.0)),
            "washout_deg": float(rng.uniform(-1.0, 4.0)),
            "joint": str(rng.choice(["strip", "apart"], p=[0.8, 0.2])),
        }  # fmt: skip
        if tapered:
            bay["spar_x_mm"] = share * chord
        if tapered and data["nose"]["method"] == "two_fold" and rng.random() < 0.5:
            before = bays[-1]["chord_mm"] if bays else data["chord_mm"]
            here = data["spar"]["height_mm"] if not bays else bays[-1].get("spar_height_mm", 0.0)
            if here:
                bay["spar_height_mm"] = here * (chord / before) ** float(rng.uniform(0.8, 1.2))
        bays.append(bay)
    if bays and rng.random() < 0.5:
        del bays[-1]["end_mm"]
    return bays


def random_controls(rng: np.random.Generator, data: dict[str, Any]) -> list[dict[str, Any]]:
    """A control in most bays, some tapered, some with a balance horn, some up to the bay's end."""
    half = data["span_mm"] / 2.0
    ends = [0.0, *(bay.get("end_mm", half) for bay in data["bay"])] if data["bay"] else [0.0, half]
    chords = [data["chord_mm"], *(bay["chord_mm"] for bay in data["bay"])]
    kinds = ("elevon", "aileron", "elevator", "flap", "flaperon")
    found = []
    for number, (low, high) in enumerate(pairwise(ends)):
        if rng.random() < 0.4:
            continue
        run, chord = high - low, chords[min(number + 1, len(chords) - 1)]
        last = number == len(ends) - 2
        at_end = rng.random() < 0.3 and not (last and data["tip"] == "cap")
        control: dict[str, Any] = {
            "id": f"control{number + 1}", "kind": str(rng.choice(kinds)), "chord_mm": 0.17 * chord,
            "inner_mm": low + float(rng.choice([0.0, 0.2])) * run,
            "outer_mm": high if at_end else low + 0.9 * run,
            "end_gap_mm": float(rng.uniform(0.5, 2.0)), "hinge_face": str(rng.choice(["a", "b"])),
        }  # fmt: skip
        if rng.random() < 0.4:
            control["outer_chord_mm"] = 0.15 * chord
        if rng.random() < 0.2:
            control["horn"] = {"length_mm": 0.15 * run, "ahead_mm": 8.0}
        found.append(control)
    return found
