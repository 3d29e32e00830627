"""What a plate wing may carry besides its board: a doubler on top, a spar let in underneath."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from foldwright.airframe.area_glue import glue_film
from foldwright.airframe.bench import Bought
from foldwright.airframe.flat_checks import finding, most
from foldwright.airframe.flat_controls import LEAST_LAND_MM, Wanted, spot
from foldwright.airframe.flat_form import FlatForm
from foldwright.airframe.flat_surface import Made
from foldwright.airframe.flat_warp import joiner_notes, spar_bends
from foldwright.airframe.model import Bar, MarkRequest, MassItem, Note, PartBuild
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.wings import PlateWing
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import line_moments, moved, panels_moments
from foldwright.geometry.fold.methods import bevel
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.transform import apply, inverse


def doubler_glue(doublers: Sequence[Blank]) -> FloatArray:
    """Moments (4, 4) of the glue under doublers: a sheet on their under faces."""
    sheet = glue_film()
    total = np.zeros((4, 4))
    for blank in doublers:
        places = transforms(blank)
        rows = panels_moments(blank.panels, sheet)
        total += moved(rows, np.stack([places[panel.name] for panel in blank.panels])).sum(axis=0)
    return total


def lying(bought: Bought | None, thickness: float) -> Bought | None:
    """A bought spar as it lies in the board: a strip that stands higher than the board is laid flat."""
    if bought is None or bought.height <= thickness or bought.width > thickness:
        return bought
    return replace(bought, width=bought.height, height=bought.width)


def check_doubler(part: PlateWing, wanted: tuple[Wanted, ...]) -> Iterator[Finding]:
    """G129: off the board, over a fold, over a control, too narrow."""
    doubler = part.doubler
    if doubler is None:
        return
    half, chord = part.span_mm / 2.0, part.chord_mm
    reach = doubler.reach_mm or half
    limits = {"the board ends there": chord}
    limits |= {f"a camber fold lies at {fold.x_mm:g} mm": fold.x_mm for fold in part.camber}
    for one in wanted:
        ahead = one.table.horn.ahead_mm + one.table.end_gap_mm if one.table.horn is not None else 0.0
        limits[f"the control {one.table.id} is hinged there"] = _hinge_share(part, one) * chord - ahead
    why, end = min(limits.items(), key=lambda item: item[1])
    if reach > half + 1e-6:
        why = f"the half span is {half:g} mm"
    elif doubler.to_mm > end + 1e-9:
        pass
    elif doubler.to_mm - doubler.from_mm < LEAST_LAND_MM:
        why, end = f"less than {LEAST_LAND_MM:g} mm is left of it", max(end, doubler.from_mm + LEAST_LAND_MM)
    else:
        return
    params: dict[str, Param] = {
        "fore": doubler.from_mm, "aft": doubler.to_mm, "reach": reach, "why": why, "most": most(end),
        "tip": most(half),
    }  # fmt: skip
    key = "reach_mm" if reach > half + 1e-6 else "to_mm"
    judged = (reach, half, "mm") if key == "reach_mm" else (doubler.to_mm, end, "mm")
    yield finding(f"{part.id}.doubler.{key}", "G129", judged, params)


def _hinge_share(part: PlateWing, one: Wanted) -> float:
    """Least share of the chord at which a control's hinge lies."""
    ends = [bay.end_mm or part.span_mm / 2.0 for bay in part.bay] or [part.span_mm / 2.0]
    chords = [part.chord_mm, *(bay.chord_mm for bay in part.bay)] if part.bay else [part.chord_mm] * 2
    places = [0.0, *ends[:-1], part.span_mm / 2.0]
    table = one.table
    pairs = ((table.inner_mm, table.chord_mm), (table.outer_mm, one.outer_chord))
    return min(1.0 - chord / float(np.interp(y, places, chords)) for y, chord in pairs)


def check_spar(
    part: PlateWing, form: FlatForm, wanted: tuple[Wanted, ...], bought: Bought | None
) -> Iterator[Finding]:
    """G130 and G131: the spar's place on the board."""
    spar = part.spar
    if spar is None or bought is None:
        return
    half, chord, tip = part.span_mm / 2.0, part.chord_mm, form.ends[-1].chord
    reach, margin = spar.reach_mm or half, bought.width / 2.0 + LEAST_LAND_MM
    scale = chord / min(end.chord for end in form.ends)
    low, high = margin * scale, chord - margin * scale
    if reach > half + 1e-6 or not low <= spar.x_mm <= high or bought.height > form.thickness:
        why = f"the half span is {half:g} mm"
        if reach <= half + 1e-6:
            why = f"the board is {tip:g} mm wide at the tip and the spar {bought.width:g} mm"
        if bought.height > form.thickness:
            why = f"it is {bought.height:g} mm high, the board {form.thickness:g} mm thick"
        params: dict[str, Param] = {
            "x": spar.x_mm, "reach": reach, "why": why, "low": -most(-low), "high": most(high),
            "tip": most(half),
        }  # fmt: skip
        yield finding(f"{part.id}.spar.x_mm", "G130", (spar.x_mm, high, "mm"), params)
        return
    share = spar.x_mm / chord
    for fold, ridge in zip(part.camber, form.ridges, strict=True):
        room = bevel(ridge.turn, form.thickness) + bought.width / 2.0
        if abs(spar.x_mm - fold.x_mm) / scale < room:
            begins = fold.x_mm - room * scale
            params = {
                "x": spar.x_mm,
                "what": "a camber fold",
                "begins": begins,
                "most": most(begins),
                "end": 0.0,
            }
            yield finding(f"{part.id}.spar.x_mm", "G131", (spar.x_mm, begins, "mm"), params)
    for one in wanted:
        ahead = one.table.horn.ahead_mm + one.table.end_gap_mm if one.table.horn is not None else 0.0
        begins = _hinge_share(part, one) * chord - (ahead + bought.width / 2.0 + LEAST_LAND_MM) * scale
        if reach > one.table.inner_mm and share * chord > begins + 1e-9:
            params = {
                "x": spar.x_mm, "what": f"the control {one.table.id}", "most": most(begins),
                "begins": _hinge_share(part, one) * chord, "end": one.table.inner_mm,
            }  # fmt: skip
            yield finding(f"{part.id}.spar.x_mm", "G131", (spar.x_mm, begins, "mm"), params)


@dataclass(frozen=True, slots=True)
class Lying:
    """Where a spar lies.

    share: of the chord. reach: to each side along the board, mm. place: 4x4 from the wing's own frame to the
    aeroplane. rises: level distance of each bay's inner end from the centre line, mm, and its rise, rad.
    """

    share: float
    reach: float
    place: FloatArray
    rises: tuple[tuple[float, float], ...]


def let_in(build: PartBuild, made: Made, bought: Bought, lies: Lying) -> PartBuild:
    """A bought spar in the under face along a share of the chord, cut where the wing bends."""
    share, reach, depth = lies.share, lies.reach, bought.height / 2.0
    right, under = _line(made, share, reach, depth), _line(made, share, reach, 0.0)
    flip = np.array([1.0, -1.0, 1.0])
    whole_line = _straightened(np.concatenate([right[:0:-1] * flip, right]))
    pieces = list(pairwise(whole_line))
    lengths = [float(np.linalg.norm(stop - start)) for start, stop in pieces]
    bends = spar_bends(apply(inverse(lies.place), whole_line), lies.rises)
    mass = line_moments(whole_line, bought.g_m / 1000.0)
    bars = tuple(
        Bar(
            f"{build.id}/spar" + (f"-{number}" if len(pieces) > 1 else ""), np.array(ends), bought.width,
            bought.height, bought.material, bought.form,
        )
        for number, ends in enumerate(pieces, 1)
    )  # fmt: skip
    note = Note("G136", build.id, {
        "width": round(bought.width, 1), "deep": round(bought.height, 1), "pieces": len(pieces),
        "long": round(max(lengths), 1),
    })  # fmt: skip
    return replace(
        build,
        masses=(*build.masses, MassItem(f"{build.id}/spar", "fitting", mass)),
        bars=bars,
        guides=(*build.guides, *_spar_marks(build.id, made, under)),
        notes=(*build.notes, note, *joiner_notes(build.id, bends, bought.width)),
    )


def _line(made: Made, share: float, reach: float, depth: float) -> FloatArray:
    """Points of the right half's line at a share of the chord, root outward, mm in the aeroplane."""
    laid, form = made.laid, made.laid.form
    shares = [0.0, *(ridge.share for ridge in form.ridges), 1.0]
    level = sum(ridge.share < share for ridge in form.ridges)
    part = (share - shares[level]) / (shares[level + 1] - shares[level])
    points: list[FloatArray] = []
    for bay, (inner, outer) in enumerate(pairwise(form.ends)):
        if inner.along >= reach - 1e-6:
            break
        index = next(i for i, c in enumerate(laid.bays) if c.side > 0 and c.bay == bay)
        layer = laid.bays[index].layers[level]
        ends = layer.fore + part * (layer.aft - layer.fore)
        place = made.folded[laid.run_of(index, level).name]
        for along in ([inner.along] if not points else []) + [min(outer.along, reach)]:
            v = spot(laid, bay, along)
            u = ends[0, 0] + (v - ends[0, 1]) / (ends[1, 1] - ends[0, 1]) * (ends[1, 0] - ends[0, 0])
            points.append(apply(place, np.array([u, v, depth])))
    result = np.array(points)
    result[0, 1] = 0.0
    return result


def _straightened(points: FloatArray) -> FloatArray:
    """A polyline without the points in the middle of its straight runs."""
    kept = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        one, two = here - before, after - here
        if np.linalg.norm(np.cross(one, two)) > 1e-9 * np.linalg.norm(one) * np.linalg.norm(two):
            kept.append(here)
    return np.array([*kept, points[-1]])


def _spar_marks(name: str, made: Made, under: FloatArray) -> tuple[MarkRequest, ...]:
    """Lines on the under face where the groove runs, one a straight run and half."""
    marks = []
    for number, (start, stop) in enumerate(pairwise(under), 1):
        for side, sign in (("right", 1.0), ("left", -1.0)):
            blank = f"{name}/{'main' if made.laid.form.one else side}"
            ends = tuple((float(p[0]), sign * float(p[1]), float(p[2])) for p in (start, stop))
            marks.append(MarkRequest(f"spar-{side}-{number}", blank, "+z", ends, "b", least=0.8))
    return tuple(marks)
