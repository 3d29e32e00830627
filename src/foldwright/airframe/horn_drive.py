"""How a servo drives a control: which way its arm stands, where the horn goes, how high its hole is.

Every way that the servo can be put in (shaft to either side, arm to either side, each hole of the arm) is
worked out and the best is taken. Frame: x aft, y right, z up, mm; angles rad.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from math import asin, cos, degrees, inf, radians, sin

import numpy as np
import shapely

from foldwright.airframe.control_line import SIDES, ControlLine, Side, control_lines, nearest_line
from foldwright.airframe.fitting import Site
from foldwright.airframe.fitting_ground import Ground, ground_of
from foldwright.airframe.pierced import Hit, pierced
from foldwright.airframe.servo_pose import ARM_BELOW_MM, ARM_TIP_MM, ServoPose, arms_of, poses
from foldwright.base.types import FloatArray
from foldwright.design.fittings import ControlHorn
from foldwright.design.resolve import FittedItem
from foldwright.physics import linkage as rods
from foldwright.physics.linkage import Linkage

SPARE = 1.1
"""[judgement] the servo may turn this many times as far as the larger throw wants."""
RESERVE = 1.35
"""[judgement] a control that trims is reckoned with this many times its travel where its neutral is not
known: the trim of the first launch is set at the transmitter or in the rod, and the full throw is still there
beyond it."""
SNAP_DEG = 15.0
"""[judgement] an arm stands square to the servo's case where that is within this of square to the rod: a
builder sees whether it does, and a spline has about that many degrees between two teeth."""
MOST_SET = 0.5
"""Sine of the greatest neutral that is reckoned with."""
LOW_MM, HIGH_MM = 8.0, 25.0
"""[judgement] heights of a horn's hole above the board: lower wants no play at all, higher tears the foot
off."""
FOOT_MM = (14.0, 22.0)
"""[judgement] least and greatest length of a horn's foot, mm; between them 1.3 times the hole's height."""
FOOT_WIDE_MM, FOOT_THICK_MM = 10.0, 2.0
BEHIND_MM = 1.0
"""A foot begins this far behind the bevel, mm, so that it never keeps the hinge from closing."""
EDGE_MM = 1.0
"""[judgement] foot to the control's edges, at least, mm."""
ROOM_MM = 3.0
"""[judgement] middle of the horn from the control's end, at least, mm."""
LEAST_MM = 4.0
"""A hole lower than this would run into the foot, mm."""
STEP_MM = 0.1
"""A height that is worked out is rounded down to this: a hair more throw, never less."""
ARMS_APART_MM = 1.0
"""[judgement] an arm's tip stays this far from the middle between two servos side by side, mm."""
_TURNS = 7


@dataclass(frozen=True, slots=True, eq=False)
class Drive:
    """One way to drive one piece of a control.

    face: the horn's. along: mm from the hinge line's inner end. height: of the hole above the board's face;
    wished: what the throw asks for, None where the file says the height. arm: hole in use, mm. passed: board
    that the rod goes through, in order; blocked: board that the arm meets while it turns. linkage: with the
    control in line. neutral: the file's own, where the control stands at the servo's middle, rad, positive
    toward the under face; None where it does not say.
    """

    line: ControlLine
    pose: ServoPose
    face: Side
    along: float
    height: float
    wished: float | None
    arm: float
    linkage: Linkage
    travel: float
    passed: tuple[Hit, ...]
    blocked: tuple[str, ...]
    neutral: float | None = None

    def rigged(self, neutral: float) -> Linkage:
        """The linkage with a rod that holds the control there at the servo's middle: rad, positive toward the
        under face. Its throws count from there.
        """
        return set_to(self.linkage, neutral)

    @property
    def tail(self) -> str:
        """Ending "/right" or "/left" for a mirrored servo, else none."""
        _, cut, side = self.pose.item.id.partition("/")
        return cut + side

    def longer(self, edge: float = 1.0) -> float:
        """How much longer the rod is for a trailing edge so many mm up (fins: left), mm."""
        return float(self.rigged(neutral_of(self.line, edge)).rod - self.linkage.rod)

    @property
    def rod(self) -> FloatArray:
        """(2, 3) from the arm's hole to the horn's, at neutral."""
        one = self.linkage
        return np.array([one.shaft + one.arm, one.hinge + one.horn])

    @property
    def sense(self) -> float:
        """+1 where a right-handed turn about the shaft moves the trailing edge toward the under face."""
        return 1.0 if float(rods.ratio(self.linkage)) > 0.0 else -1.0

    def reached(self, side: Side) -> float:
        """Deflection toward a face at the servo's full travel, from the file's neutral or from in line, rad,
        positive; NaN where the rod locks.
        """
        return self.reached_from(self.neutral or 0.0, side)

    def reached_from(self, neutral: float, side: Side) -> float:
        """As `reached`, with a rod for another neutral: rad, positive toward the under face."""
        way = 1.0 if side == "under" else -1.0
        return way * float(rods.throw(self.rigged(neutral), way * self.sense * self.travel).angle)

    def wanted(self, side: Side) -> float:
        """Travel that the design asks for toward a face, rad."""
        return self.line.to_under if side == "under" else self.line.to_upper

    def turn_for(self, side: Side) -> float:
        """Turn of the servo for that, rad, positive; NaN where it does not get there."""
        way = 1.0 if side == "under" else -1.0
        return abs(float(rods.turn_for(self.rigged(self.neutral or 0.0), way * self.wanted(side)).angle))

    @property
    def pulled(self) -> Side:
        """The face that the trailing edge goes toward when the arm's hole moves forward."""
        one = self.linkage
        forward = float(np.cross(one.axis, one.arm)[0]) < 0.0  # a right-handed turn moves the hole forward
        return "under" if forward == (self.sense > 0.0) else "upper"

    @property
    def tallest(self) -> float:
        """Greatest height of the hole above the board at which the whole travel gives both throws, mm."""
        found = (
            _tallest(self.rigged(self.neutral or 0.0), self.line, self.travel) - self.line.depth[self.face]
        )
        return float(np.floor(found / STEP_MM) * STEP_MM) if np.isfinite(found) else found

    @property
    def own_board(self) -> tuple[Hit, ...]:
        """Board of the control's own part that the rod would have to pass."""
        return tuple(hit for hit in self.passed if hit.part == self.line.placed.part)

    @property
    def other_board(self) -> tuple[Hit, ...]:
        """Board of other parts on the rod's way: it wants a slot there."""
        return tuple(hit for hit in self.passed if hit.part != self.line.placed.part)


@dataclass(frozen=True, slots=True, eq=False)
class _Try:
    """A way that is tried: pose, arm with its place in the list, where the horn stands, the loop."""

    pose: ServoPose
    arm: float
    rank: int
    along: float
    height: float
    wished: float | None
    linkage: Linkage


def drives(site: Site, model: ControlHorn) -> tuple[Drive, ...]:
    """How a horn's servo drives its control: two of a mirrored one, right before left; none where the design
    has no such control or servo.
    """
    return _drives(model, ground_of(site))


@lru_cache(maxsize=32)
def _drives(model: ControlHorn, ground: Ground) -> tuple[Drive, ...]:
    """The last ones are remembered."""
    site = ground.site
    lines = control_lines(site.airframe, model.control)
    if not lines:
        return ()
    items = site.fitted.placed(model.servo)
    return tuple(
        best_drive(site, model, nearest_line(lines, np.array(item.place_mm)), item)
        for item in items
        if item.kind == "servo" or item.arm_mm
    )


def best_drive(site: Site, model: ControlHorn, line: ControlLine, item: FittedItem) -> Drive:
    """The best way for that servo to drive that control.

    First what keeps the arm clear of board and the rod clear of the control's own part; then a horn of a
    height that holds; then little board in the way, a rod that does not slant, the shaft on the horn's side
    of a surface that the servo sits in (else upward), the arm outward, and a hole in the middle of the arm.
    """
    tries = list(_tries(model, line, item))
    travel = radians(item.travel_deg)
    rod_lines = np.array([_rod(one.linkage) for one in tries])
    arm_lines = np.array([pair for one in tries for pair in _swept(one.linkage, travel)])
    box_lines = np.array([_stood(one.pose) for one in tries[:1]])
    airframe = site.airframe
    others = [one for one in site.fitted.items if one.kind == "servo" and one.id != item.id]
    passed = pierced(airframe, rod_lines, model.rod_mm)
    swept = pierced(airframe, arm_lines)
    sits_in = any(hit.part == line.placed.part for hit in pierced(airframe, box_lines)[0])
    own = None if model.neutral_mm is None else neutral_of(line, model.neutral_mm)
    rows = []
    for i, one in enumerate(tries):
        met = {hit.blank for row in swept[i * _TURNS : (i + 1) * _TURNS] for hit in row}
        blocked = (*sorted(met), *(other.id for other in others if _meets(one, other)))
        drive = Drive(
            line, one.pose, model.face, one.along, one.height, one.wished, one.arm, one.linkage, travel,
            passed[i], blocked, own,
        )  # fmt: skip
        rows.append((_cost(drive, one.rank, sits_in), i, drive))
    return min(rows, key=lambda row: row[:2])[2]


def _cost(drive: Drive, rank: int, sits_in: bool) -> tuple[float, ...]:
    up = np.array([0.0, 0.0, 1.0])
    liked = drive.line.normal(drive.face) if sits_in else up
    wished = drive.height if drive.wished is None else drive.wished
    off = max(LOW_MM - wished, wished - HIGH_MM, 0.0) if np.isfinite(wished) and wished > 0.0 else inf
    if off < inf and wished < LOW_MM and all(drive.reached(side) >= drive.wanted(side) for side in SIDES):
        off = 0.0  # what is spared of the servo's travel makes up for it
    side = 1.0 if drive.pose.item.place_mm[1] >= 0.0 else -1.0
    arm = drive.linkage.arm
    return (
        float(bool(drive.blocked)),
        float(bool(drive.own_board)),
        round(off, 3),
        float(len(drive.other_board)),
        float(float(rods.slant(drive.linkage)) > float(rods.MOST_SLANT)),
        round(-float(drive.pose.shaft @ liked), 3),
        round(-side * float(arm[1]) / drive.arm, 3),
        float(rank),
    )


def _tries(model: ControlHorn, line: ControlLine, item: FittedItem) -> Iterator[_Try]:
    place = np.array(item.place_mm)
    near = line.at(min(max(line.along_of(place), 0.0), line.length))
    arms = (model.arm_mm,) if model.arm_mm is not None else arms_of(item)
    middle = (len(arms) - 1) // 2
    for pose in poses(item, near):
        run = near - pose.point
        run -= (run @ pose.shaft) * pose.shaft
        if float(np.linalg.norm(run)) < 1.0:
            run = -pose.long
        square = _stood_square(pose, np.cross(pose.shaft, run / np.linalg.norm(run)))
        for way in (1.0, -1.0):
            for index, arm in enumerate(arms):
                yield _tried(model, line, pose, (way * arm * square, arm, abs(index - middle)))


def _tried(
    model: ControlHorn, line: ControlLine, pose: ServoPose, held: tuple[FloatArray, float, int]
) -> _Try:
    """held: the arm as a vector, its length, how far it is from the middle hole."""
    arm, length, rank = held
    hole = pose.point + arm
    along = line.along_of(hole) if model.at_mm is None else line.along_at(model.at_mm)
    low, high = _room(line, model.face)
    along = min(max(along, low), high)
    normal, hinge, depth = line.normal(model.face), line.at(along), line.depth[model.face]
    base = Linkage(pose.point, pose.shaft, arm, hinge, line.line, (10.0 + depth) * normal)
    height, wished = max(model.height_mm or 0.0, LEAST_MM), None
    if model.height_mm is None:
        share = reserve_of(model, line)
        there = set_to(base, neutral_of(line, model.neutral_mm or 0.0))
        wished = _tallest(there, line, radians(pose.item.travel_deg) / SPARE, share) - depth
        held_in = min(max(wished, LOW_MM), HIGH_MM) if np.isfinite(wished) and wished > 0.0 else HIGH_MM
        height = float(np.floor(held_in / STEP_MM + 1e-6) * STEP_MM)
    made = rods.with_horn(base, (height + depth) * normal)
    return _Try(pose, length, rank, along, height, wished, made)


def _stood_square(pose: ServoPose, square: FloatArray) -> FloatArray:
    """The direction of the case nearest to one that is square to the rod; that one where none is near."""
    sides = [sign * side for side in (pose.across, pose.long) for sign in (1.0, -1.0)]
    best = max(sides, key=lambda side: round(float(side @ square), 9))
    return best if float(best @ square) >= cos(radians(SNAP_DEG)) else square


def set_to(linkage: Linkage, neutral: float) -> Linkage:
    """A linkage with its control turned, rad, and the rod that holds it there."""
    if neutral == 0.0:
        return linkage
    return rods.with_horn(linkage, rods.turned(linkage.horn, linkage.line, np.array(neutral)))


def up_sign(line: ControlLine) -> float:
    """Sign of a turn, positive toward the under face, that takes the trailing edge up (fins: left)."""
    return 1.0 if line.surface.upright else -1.0


def neutral_of(line: ControlLine, edge: float) -> float:
    """Turn, rad, positive toward the under face, of a trailing edge so many mm up (fins: left) at the
    control's inner end; no further than `MOST_SET`.
    """
    return up_sign(line) * asin(min(max(edge / line.control.chord, -MOST_SET), MOST_SET))


def reserve_of(model: ControlHorn, line: ControlLine) -> float:
    """How many times its throws a control is reckoned with: more where it trims and its neutral is not
    known.
    """
    return RESERVE if model.neutral_mm is None and line.control.gains[0] != 0.0 else 1.0


def driven(site: Site) -> dict[str, Drive]:
    """How every horn of the design is driven, by the horn's id with "/right" or "/left"."""
    horns = [one for one in site.design.fitting if isinstance(one, ControlHorn)]
    return {one.id + drive.tail: drive for one in horns for drive in drives(site, one)}


@lru_cache(maxsize=16)
def _room(line: ControlLine, face: Side) -> tuple[float, float]:
    """Places along the hinge line, from the inner end, between which a horn's foot stays on the control, mm.

    The control's ends may run slanted to its hinge. Where a foot finds no room anywhere, the blade alone
    keeps off the ends. The last ones are remembered (lines by identity).
    """
    edge = min(ROOM_MM, line.length / 2.0)
    area = line.area(face, 0.0).buffer(-EDGE_MM + 1e-6, join_style="mitre")
    out = 1.0 if float(line.frame(0.0, face)[:3, 1] @ line.outward) > 0.0 else -1.0
    fore, half = line.behind[face] + BEHIND_MM, line.length / 2.0
    aft = fore + max(min(FOOT_MM[1], area.bounds[2] - fore), FOOT_MM[0])
    near, far = ROOM_MM / 2.0, FOOT_WIDE_MM - ROOM_MM / 2.0
    steps = np.arange(edge, half, 1.0)
    low, high = np.sort([out * (steps - near), out * (steps + far)], axis=0)
    fits = shapely.covers(area, shapely.box(fore, low, aft, high))
    ends = line.length - steps
    low, high = np.sort([out * (ends - far), out * (ends + near)], axis=0)
    fits_too = shapely.covers(area, shapely.box(fore, low, aft, high))
    if not fits.any() or not fits_too.any():
        return edge, line.length - edge
    return float(steps[np.argmax(fits)]), float(ends[np.argmax(fits_too)])


def _tallest(base: Linkage, line: ControlLine, travel: float, share: float = 1.0) -> float:
    """Greatest height of the hole above the hinge line at which a turn of the servo, rad, still gives `share`
    of both throws, mm; endless where none does.
    """
    sense = 1.0 if float(rods.ratio(base)) > 0.0 else -1.0
    turn = sense * travel
    found = [
        float(rods.horn_for(base, way * turn, way * share * wanted))
        for way, wanted in ((1.0, line.to_under), (-1.0, line.to_upper))
        if wanted > 1e-6
    ]
    good = [x for x in found if np.isfinite(x) and x > 0.0]
    return min(good) if good and len(good) == len(found) else inf


def edge_mm(chord: float, angle: float) -> float:
    """How far the trailing edge moves square to the board at a deflection, mm."""
    return chord * sin(angle)


def shown_deg(angle: float) -> float:
    """An angle for people, degrees."""
    return round(degrees(angle), 1)


def _rod(one: Linkage) -> FloatArray:
    return np.array([one.shaft + one.arm, one.hinge + one.horn])


def _swept(one: Linkage, travel: float) -> list[FloatArray]:
    """Lines from the shaft's end over the arm's tip, over the servo's travel."""
    turns = np.linspace(-travel, travel, _TURNS)
    arms = rods.turned(one.arm, one.axis, turns)
    long, top = float(np.linalg.norm(one.arm)), one.shaft + ARM_BELOW_MM * one.axis
    return [np.array([top, top + arm * (1.0 + ARM_TIP_MM / long)]) for arm in arms]


def _meets(one: _Try, other: FittedItem) -> bool:
    """Whether an arm would reach past the middle between two servos that stand side by side."""
    off = np.array(other.place_mm) - one.pose.centre
    apart = float(np.linalg.norm(off))
    if apart > 2.0 * (one.arm + ARM_TIP_MM) + one.pose.length or apart == 0.0:
        return False
    tip = one.linkage.shaft + one.linkage.arm * (1.0 + ARM_TIP_MM / one.arm)
    return float((tip - one.pose.centre) @ off) / apart > apart / 2.0 - ARMS_APART_MM


def _stood(pose: ServoPose) -> FloatArray:
    half = pose.height / 2.0 * pose.shaft
    return np.array([pose.centre - half, pose.centre + half])
