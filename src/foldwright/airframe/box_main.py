"""The U of a body: floor and two sides in one blank, and floor pieces where it cannot hold them."""

from __future__ import annotations

from math import tan

import numpy as np
import shapely

from foldwright.airframe.box_shell import CLEAR, Shell
from foldwright.airframe.box_sides import Side, corner_ends, mirrored, right_side
from foldwright.airframe.box_strips import Plan, Strip, strip
from foldwright.airframe.profile import SAME, Profile, secant
from foldwright.geometry.fold.flat import SpaceFold, unfold
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.fold.path import path_overlaps

AFT = np.array([1.0, 0.0, 0.0])
GIVE = 1.0  # mm: judgement, as for every fold path; boards bend and foam gives while they are folded


def body_blanks(shell: Shell) -> tuple[Blank, ...]:
    """The U blank `<id>/main` and, where needed, `<id>/floor-fore` and `<id>/floor-aft`.

    Face A is outside: right, left, and below on the floor. Beyond the folded run the floor hangs on to the
    floor of the run and is cut free of the sides. Where it would lie over a side in the flat (a body that
    grows wider or deeper away from its run), or would bite into a side while the corners are folded (it
    drops below the run), it is a piece of its own. Folding order: bends of the
    floor, bends of the sides, then the corners: the sides close on the floor, none passes through it.
    """
    right = right_side(shell)
    sides = (right, mirrored(right))
    own: frozenset[str] = frozenset()
    blank = _main(shell, sides, own)
    for _ in ("fore", "aft"):
        clash = _clashes(blank, sum(shell.run) / 2.0) - own
        if not clash:
            break
        own |= clash
        blank = _main(shell, sides, own)
    if bites := _bites(shell, blank, own):
        own |= bites
        blank = _main(shell, sides, own)
    return (blank, *(_piece(shell, end) for end in sorted(own, reverse=True)))


def _main(shell: Shell, sides: tuple[Side, Side], own: frozenset[str]) -> Blank:
    floor = strip(shell, "floor", shell.bottom, _plan(shell, own), sum(shell.run) / 2.0, facing_up=False)
    corner = shell.part.corner
    root = next(panel for panel in floor.panels if panel.name == "floor")
    edge = _corner_edge(shell, floor)
    edges = (edge, len(root.corners) - 2 - edge)
    corners = tuple(
        SpaceFold(
            f"floor/{side.root}", "floor", side.root, at, side.corner_edge, corner, shell.corner_hinge,
            shell.tool_width, order=3, radius=shell.rounding(corner),
        )
        for side, at in zip(sides, edges, strict=True)
    )  # fmt: skip
    rest = tuple(panel for panel in floor.panels if panel is not root)
    panels = (root, *sides[0].panels, *sides[1].panels, *rest)
    folds = (*corners, *sides[0].folds, *sides[1].folds, *floor.folds)
    return unfold(f"{shell.part.id}/main", shell.t, panels, folds, AFT, floor.cuts)


def free_half(shell: Shell) -> Profile:
    """Half width of a floor cut free: CLEAR short of the sides' inner faces, on both of its faces."""
    return between_half(shell, CLEAR, shell.bottom, (shell.start, shell.stop))


def between_half(shell: Shell, gap: float, face: Profile, reach: tuple[float, float]) -> Profile:
    """Half width of a plate between the sides with a gap square to each side; it follows `face` over `reach`.

    A sloping plate ends t*sin(slope) further along on its other face, where a tapered body is narrower. A
    bend of the sides that falls into the bevel of a bend or end of the plate is moved to that bend or end.
    """
    parallel = shell.inner.offset(-gap)
    if parallel is None:
        parallel = shell.inner.shifted(-gap * secant(shell.inner.steepest(shell.start, shell.stop)))
    tau = shell.half.steepest(shell.start, shell.stop)
    phi = face.steepest(*reach)
    return parallel.shifted(-shell.t * phi / secant(phi) * tau).gathered(bevel_reaches(shell, face, reach))


def bevel_reaches(shell: Shell, face: Profile, reach: tuple[float, float]) -> list[tuple[float, float]]:
    """Bends and ends (x) of a plate that follows `face`, with the distance that their bevels take + 1 mm."""
    phi = face.steepest(*reach)
    kinks = [x for x in face.kinks if reach[0] < x < reach[1]]
    return [(x, shell.t * (tan(abs(face.turn(x)) / 2.0) + phi) + 1.0) for x in (*kinks, *reach)]


def _plan(shell: Shell, own: frozenset[str]) -> Plan:
    """Half widths of the floor of the U: folded edge over the run, free edges beyond."""
    start, stop = shell.run
    fold = shell.half.at(sum(shell.run) / 2.0) - (shell.t if shell.corner_hinge == "b" else 0.0)
    free = free_half(shell)
    plan: Plan = [(start, fold), (stop, fold)]
    if start > shell.start + SAME and "fore" not in own:
        plan = [*free.between(shell.start, start), *plan]
    if stop < shell.stop - SAME and "aft" not in own:
        plan = [*plan, *free.between(stop, shell.stop)]
    return plan


def _corner_edge(shell: Shell, floor: Strip) -> int:
    """Index of the folded edge among the right edges of the floor's root."""
    index = next(n for n, panel in enumerate(floor.panels) if panel.name == "floor")
    middle = sum(shell.run) / 2.0
    return next(n for n, (start, stop) in enumerate(floor.right_edges[index]) if start < middle < stop)


def _clashes(blank: Blank, middle: float) -> frozenset[str]:
    """Ends ("fore", "aft") at which a floor lies over a side in the flat blank."""
    outlines = {panel.name: shapely.Polygon(panel.polygon) for panel in blank.panels}
    floors = [name for name in outlines if name.startswith("floor")]
    found = set()
    root = blank.placement
    for floor in floors:
        for name, shape in outlines.items():
            common = shape.intersection(outlines[floor]) if name not in floors else shapely.Polygon()
            if common.area > 1e-6:
                u, v = common.centroid.x, common.centroid.y
                x = float(root[0, :2] @ np.array([u, v]) + root[0, 3])
                found.add("fore" if x < middle else "aft")
    return frozenset(found)


def _bites(shell: Shell, blank: Blank, own: frozenset[str]) -> frozenset[str]:
    """Ends at which the free floor bites into a side on the way; looked for only where the floor drops."""
    ends = {"fore": (shell.start, shell.run[0]), "aft": (shell.run[1], shell.stop)}
    middle = sum(shell.run) / 2.0
    z, m = shell.bottom.at(middle), shell.bottom.slope(middle)

    def drops(start: float, stop: float) -> bool:
        return any(z + m * (x - middle) - low > shell.t / 2.0 for x, low in shell.bottom.between(start, stop))

    asked = {end for end, (start, stop) in ends.items() if end not in own and stop - start > SAME}
    if not any(drops(*ends[end]) for end in asked):
        return frozenset()
    met = [found for found in path_overlaps(blank) if found.depth > GIVE]
    floors = {name for found in met for name in (found.panel, found.other_panel) if name.startswith("floor-")}
    hit = {"fore" if name.startswith("floor-fore") else "aft" for name in floors}
    return frozenset(hit & asked)


def _piece(shell: Shell, end: str) -> Blank:
    """A floor piece of its own, CLEAR away from the floor of the run."""
    free = free_half(shell)
    fore = end == "fore"
    plan = (
        free.between(shell.start, shell.run[0] - CLEAR)
        if fore
        else free.between(shell.run[1] + CLEAR, shell.stop)
    )
    root_x = plan[-1][0] - SAME if fore else plan[0][0]
    chain = strip(shell, f"floor-{end}", shell.bottom, plan, root_x, facing_up=False)
    root = next(panel for panel in chain.panels if panel.name == f"floor-{end}")
    panels = (root, *(panel for panel in chain.panels if panel is not root))
    return unfold(f"{shell.part.id}/floor-{end}", shell.t, panels, chain.folds, AFT, chain.cuts)


def corner_lines(shell: Shell) -> dict[str, list[tuple[float, float, float]]]:
    """The glued corner lines (x, y, z) of the folded run, right and left, on the hinge skin."""
    y = shell.half.at(sum(shell.run) / 2.0) - (shell.t if shell.corner_hinge == "b" else 0.0)
    ends = corner_ends(shell)
    return {side: [(x, sign * y, z) for x, z in ends] for side, sign in (("right", 1.0), ("left", -1.0))}
