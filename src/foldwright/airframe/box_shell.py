"""The lines of a box body: what its stations mean on board of one thickness, and what they do not allow.

Frame: x aft, y right, z up, mm. The body is symmetrical in y = 0 and its sides are vertical.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, degrees, floor, inf, tan

from foldwright.airframe.model import Board
from foldwright.airframe.profile import SAME, Profile, secant
from foldwright.base.finding import Finding, Param, Verdict
from foldwright.design.parts import Box
from foldwright.geometry.fold.model import Face, Method

CLEAR = 0.2  # mm: common practice, no source; between a floor cut free and the sides' inner faces
FORMER_GAP = 0.1  # mm a side: common practice, no source; a former slides in and is glued
FOLD_STOP = 0.5  # mm: common practice, no source; added to t*tan(turn/2) where a corner fold stops
LEAST_RUN = 20.0  # mm: judgement; a shorter folded corner holds nothing square
LEAST_SEGMENT = 5.0  # mm: common practice, no source; least part or bridge of foam board
PRINTED = 0.05  # mm: findings print tenths; what prints as enough is enough
FLAT_ROOM = 0.3  # mm: common practice, no source; from each side to the middle of the floor in the flat blank
BEND_LIMIT_DEG = 60.0  # judgement; a groove for more is wider than 1.15 t a side


@dataclass(frozen=True, slots=True)
class Shell:
    """Lines of a body, mm.

    half, bottom, top: outer half width, outer face of the floor, upper edge of the sides; inner, floor: the
    inner faces of sides and floor. run: x from and to of the corner folds; section: of the run of constant
    width and floor slope that holds them.
    """

    part: Box
    t: float
    half: Profile
    bottom: Profile
    top: Profile
    inner: Profile
    floor: Profile
    run: tuple[float, float]
    section: tuple[float, float]
    radius: float
    tool_width: float

    @property
    def start(self) -> float:
        """The front end, x."""
        return self.half.x[0]

    @property
    def stop(self) -> float:
        """The aft end, x."""
        return self.half.x[-1]

    @property
    def lower(self) -> Profile:
        """Lower edge of the sides: outer face of the floor, or its inner face with slit corners."""
        return self.floor if self.corner_hinge == "b" else self.bottom

    @property
    def corner_hinge(self) -> Face:
        """The skin that stays whole along the corners: inner for a slit, else outer."""
        return "b" if self.part.corner == "slit" else "a"

    def bend(self, outward: bool) -> tuple[Method, Face]:
        """Method and hinge of a bend across a run; outward: it turns toward face A (a hollow bend)."""
        method: Method = self.part.bend
        inside = method == "slit"
        return method, "a" if inside == outward else "b"

    def rounding(self, method: Method) -> float:
        """Outer radius of a fold, mm: a crushed one is round."""
        return self.radius if method == "crush" else 0.0


def finding(
    where: str,
    code: str,
    value: float,
    limit: float,
    unit: str = "mm",
    verdict: Verdict = "no-go",
    **params: Param,
) -> Finding:
    """A finding with its numbers rounded for print."""
    tidy = {key: round(param, 1) if isinstance(param, float) else param for key, param in params.items()}
    return Finding(code, verdict, where, tidy, round(value, 3), round(limit, 3), unit)


def up(value: float) -> float:
    """Rounded up to 0.1 mm, for a number to be reached."""
    return ceil(value * 10.0 - 1e-6) / 10.0


def down(value: float) -> float:
    """Rounded down to 0.1 mm, for a number not to be passed."""
    return floor(value * 10.0 + 1e-6) / 10.0


def shell_of(part: Box, board: Board) -> tuple[Shell | None, tuple[Finding, ...]]:
    """The lines of a body, or None with the findings that say why there are none."""
    found = _order(part)
    if found:
        return None, found
    x = [station.x_mm for station in part.station]
    half = Profile.of(x, [station.width_mm / 2.0 for station in part.station])
    bottom = Profile.of(x, [station.bottom_mm for station in part.station])
    top = Profile.of(x, [station.top_mm for station in part.station])
    t = board.thickness
    inner, inside_floor = half.offset(-t), bottom.offset(t)
    found = (*_room(part, half, bottom, t), *_bends(part, half, bottom, inner, inside_floor))
    section, run, crossing = _run(part, half, bottom, t)
    found = (*found, *_run_findings(part, section, run), *crossing)
    if found or inner is None or inside_floor is None:
        return None, found
    tool = part.tool_width_mm or board.crush_width
    return Shell(part, t, half, bottom, top, inner, inside_floor, run, section, board.radius, tool), ()


def _order(part: Box) -> tuple[Finding, ...]:
    found = []
    for number, (before, after) in enumerate(pairwise(part.station), start=2):
        gap = after.x_mm - before.x_mm
        if gap < LEAST_SEGMENT:
            least = before.x_mm + LEAST_SEGMENT
            found.append(
                finding(
                    f"{part.id}.station.{number}.x_mm",
                    "G40",
                    gap,
                    LEAST_SEGMENT,
                    number=number,
                    x=after.x_mm,
                    before=before.x_mm,
                    least=LEAST_SEGMENT,
                    need=up(least),
                )
            )
    return tuple(found)


def _room(part: Box, half: Profile, bottom: Profile, t: float) -> list[Finding]:
    """Stations at which nothing is left inside the walls."""
    found = []
    least = part.least_inside_mm
    for number, station in enumerate(part.station, start=1):
        walls = 2.0 * t * secant(half.steepest(station.x_mm - 1e-3, station.x_mm + 1e-3))
        inside = station.width_mm - walls
        if inside < least - PRINTED:
            found.append(
                finding(
                    f"{part.id}.station.{number}.width_mm",
                    "G41",
                    inside,
                    least,
                    number=number,
                    inside=inside,
                    t=t,
                    least=least,
                    need=up(walls + least),
                    thin=down((station.width_mm - least) / 2.0),
                )
            )
        wall = t * secant(bottom.steepest(station.x_mm - 1e-3, station.x_mm + 1e-3))
        high = station.top_mm - station.bottom_mm - wall
        if high < least - PRINTED:
            found.append(
                finding(
                    f"{part.id}.station.{number}.top_mm",
                    "G42",
                    high,
                    least,
                    number=number,
                    inside=high,
                    t=t,
                    least=least,
                    need=up(station.bottom_mm + wall + least),
                )
            )
    return found


def _bends(
    part: Box, half: Profile, bottom: Profile, inner: Profile | None, inside_floor: Profile | None
) -> list[Finding]:
    found = []
    for line, parallel, what, key in (
        (half, inner, "sides", "width_mm"),
        (bottom, inside_floor, "floor", "bottom_mm"),
    ):
        for x in line.kinks:
            turn = abs(degrees(line.turn(x)))
            if turn > BEND_LIMIT_DEG:
                where = f"{part.id}.station.{_number(part, x)}.{key}"
                found.append(
                    finding(
                        where,
                        "G46",
                        turn,
                        BEND_LIMIT_DEG,
                        "deg",
                        what=what,
                        turn=turn,
                        x=x,
                        most=BEND_LIMIT_DEG,
                    )
                )
        if parallel is None and not any(item.code == "G46" for item in found):
            short = min(pairwise(line.x), key=lambda pair: pair[1] - pair[0])
            where = f"{part.id}.station.{_number(part, short[1])}.x_mm"
            length = short[1] - short[0]
            found.append(
                finding(where, "G45", length, LEAST_SEGMENT, what=what, start=short[0], stop=short[1])
            )
    return found


def _number(part: Box, x: float) -> int:
    """Number from 1 of the station nearest to x."""
    distances = [abs(station.x_mm - x) for station in part.station]
    return distances.index(min(distances)) + 1


Stretch = tuple[float, float]  # x from and to


def _run(part: Box, half: Profile, bottom: Profile, t: float) -> tuple[Stretch, Stretch, tuple[Finding, ...]]:
    """The stretch of constant width and floor slope that is folded, and the part of it with the folds.

    It is the longest one whose sides do not cross in the flat blank. Returns a stretch of no length where
    the width is constant nowhere, and a finding where every choice lets the sides cross.
    """
    cuts = sorted({*half.x, *bottom.kinks})
    level = [(p, q) for p, q in pairwise(cuts) if abs(half.slope((p + q) / 2.0)) < SAME]
    if not level:
        return (half.x[0], half.x[0]), (half.x[0], half.x[0]), ()
    choices = [(section, _folded(half, bottom, section, t)) for section in sorted(level, key=_longest)]
    for section, run in choices:
        if run[1] - run[0] >= LEAST_RUN and _crossing(part, half, bottom, section, t) is None:
            return section, run, ()
    section, run = choices[0]
    crossing = _crossing(part, half, bottom, section, t) if run[1] - run[0] >= LEAST_RUN else None
    return section, run, () if crossing is None else (crossing,)


def _longest(stretch: Stretch) -> tuple[float, float]:
    return stretch[0] - stretch[1], stretch[0]


def _folded(half: Profile, bottom: Profile, section: Stretch, t: float) -> Stretch:
    """The part of a section that is folded.

    The fold stops t*tan(turn/2) + FOLD_STOP before the bend, or the bent side bites into the mitre; with a
    sloping floor the mitre's end, square to the floor, leans toward the upright bend by t*slope more.
    """
    ends = []
    for x, inward in ((section[0], 1.0), (section[1], -1.0)):
        turn = max(abs(half.turn(x)), abs(bottom.turn(x)))
        lean = t * abs(bottom.slope((section[0] + section[1]) / 2.0))
        ends.append(x + inward * (t * tan(turn / 2.0) + lean + FOLD_STOP) if turn > 0.0 else x)
    return ends[0], ends[1]


def _crossing(part: Box, half: Profile, bottom: Profile, section: Stretch, t: float) -> Finding | None:
    """Sides that would lie over each other in the flat blank, where the floor drops far below its run.

    Laid flat, a side reaches across the floor by as much as its lower edge lies below the straight line of
    the folded corner; along the line it is as long as the bent side.
    """
    m = bottom.slope((section[0] + section[1]) / 2.0)
    z = bottom.at(section[0] + SAME)
    room = half.at(section[0] + SAME) - (t if part.corner == "slit" else 0.0) - FLAT_ROOM
    worst: tuple[float, float, float] | None = None
    for x in sorted({*half.x, *bottom.x}):
        low, high = sorted((section[0], x))
        length = sum((q - p) * secant(half.slope((p + q) / 2.0)) for p, q in _steps(half, low, high))
        line = z + m * (length if x > section[0] else -length)
        drop = (line - bottom.at(x)) / secant(m)
        if drop > room + SAME and (worst is None or drop > worst[1]):
            worst = (x, drop, line)
    if worst is None:
        return None
    x, drop, line = worst
    number = _number(part, x)
    return finding(
        f"{part.id}.station.{number}.bottom_mm", "G140", drop, room, number=number, x=x, drop=drop, most=room,
        start=section[0], stop=section[1], need=up(line - room * secant(m)), width=up(2.0 * (drop - room)),
    )  # fmt: skip


def _steps(line: Profile, start: float, stop: float) -> list[Stretch]:
    return list(pairwise(x for x, _ in line.between(start, stop))) if stop - start > SAME else []


def _run_findings(part: Box, section: tuple[float, float], run: tuple[float, float]) -> list[Finding]:
    if section[1] - section[0] < SAME:
        pairs = list(pairwise(part.station))
        flattest = min(range(len(pairs)), key=lambda i: _taper(part, i))
        width = pairs[flattest][0].width_mm
        where = f"{part.id}.station.{flattest + 2}.width_mm"
        return [finding(where, "G43", 0.0, LEAST_RUN, first=flattest + 1, second=flattest + 2, width=width)]
    length = run[1] - run[0]
    if length < LEAST_RUN:
        where = f"{part.id}.station.{_number(part, section[1])}.x_mm"
        need = section[1] + LEAST_RUN - length
        return [
            finding(
                where,
                "G44",
                length,
                LEAST_RUN,
                length=length,
                least=LEAST_RUN,
                start=section[0],
                stop=section[1],
                need=up(need),
            )
        ]
    return []


def _taper(part: Box, index: int) -> float:
    before, after = part.station[index], part.station[index + 1]
    length = after.x_mm - before.x_mm
    return abs(after.width_mm - before.width_mm) / length if length > 0.0 else inf
