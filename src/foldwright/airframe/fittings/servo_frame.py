"""Servo frames: a rim glued to the board about the servo's pocket, with posts under its lugs.

Frame of a frame: z out of the board's face that the rim is glued to (the servo's shaft looks that way), x
along the servo's long side toward the end with the shaft, the origin on the face in the middle of the case.
It is the same for both hands.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely

from foldwright.airframe.control_line import moved
from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_ground import Ground, ground_of
from foldwright.airframe.fitting_model import SOLID, Fitting
from foldwright.airframe.fitting_places import (
    Stand,
    bites,
    face_area,
    face_frame,
    face_looking,
    room_on,
)
from foldwright.airframe.fittings.horn import outline_mark, round_mm2
from foldwright.airframe.horn_drive import drives
from foldwright.airframe.model import Note
from foldwright.airframe.servo_pose import ServoPose, poses
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import ControlHorn, ServoFrame
from foldwright.design.resolve import FittedItem
from foldwright.geometry.fold.marks import outside
from foldwright.geometry.solid.core import box
from foldwright.geometry.transform import apply, inverse

MODEL = ServoFrame

NEAR_MM = 8.0
"""A board further from a servo than this is not what it stands on, mm: as for the marks."""
ALIKE = 0.9
"""[judgement] cosine between shaft and board's normal: a frame stands square to the shaft, within 25°."""
POST_MOST_MM = 22.0
"""[judgement] posts higher than this rock, mm."""
PLAY_UP_MM = 0.6
"""Lugs this far from the rim still lie on it: the servo is set by as much, mm."""
COLLAR_MM, WALL_MM = 5.0, 1.4
"""[judgement] height and thickness of the collar that holds a case without lugs, mm."""
LUG_REST_MM = 1.0
"""A post reaches this far past the lug, mm."""
PILOT = 0.8
"""Hole for a screw that cuts its own thread, share of its diameter: common practice, no source."""
EDGE_MM, STEP_MM = 0.3, 0.1
"""A rim keeps this far off the board's edges and off walls, mm, and is narrowed in these steps."""
MOST_OUT_MM2 = 1.0
"""A frame may hang over or meet board by this without a word, mm²."""
TOUCH_MM = 0.02
LEAD_MM = (4.0, 2.5)
"""[judgement] width of the notch for the leads, and how much of the rim it leaves at least, mm."""
PASS_MM = 2.4
"""Room that a post leaves to either side for the leads, mm."""
POST_LEAST_MM = 3.6
"""A post is at least this wide, so that its walls hold about the screw, mm."""


@dataclass(frozen=True, slots=True)
class ServoFrameShape:
    """Numbers of one frame, mm. pocket: clear length and width. rims: width of the rim at -x, +x, -y and +y,
    narrower where the board ends or a wall stands; deep: its thickness.
    post: length along x, width and height above the board of the blocks at both ends, zeros for none.
    screws: middles of the lugs' screws from the middle, 0 for none; pilot: their holes. collar: height of the
    wall about the pocket above the board, 0 for none. lead: width and depth of the notch at the end with the
    shaft, zeros for none: past a post the leads go beside it.
    """

    pocket: tuple[float, float]
    rims: tuple[float, float, float, float]
    deep: float
    post: tuple[float, float, float]
    screws: float
    pilot: float
    collar: float
    lead: tuple[float, float]

    @property
    def rect(self) -> tuple[float, float, float, float]:
        """Least and greatest x, least and greatest y of the rim."""
        (long, wide), (fore, aft, left, right) = self.pocket, self.rims
        return -long / 2.0 - fore, long / 2.0 + aft, -wide / 2.0 - left, wide / 2.0 + right

    @property
    def outer(self) -> tuple[float, float]:
        """Length and width of the rim."""
        x0, x1, y0, y1 = self.rect
        return x1 - x0, y1 - y0

    @property
    def wall(self) -> float:
        """Thickness of the collar."""
        return WALL_MM if self.collar > self.deep else 0.0

    @property
    def volume(self) -> float:
        """Rim, posts or collar, less holes and notch."""
        (long, wide), (x, y) = self.pocket, self.outer
        total = (x * y - long * wide) * self.deep
        length, across, high = self.post
        total += 2.0 * length * across * max(high - self.deep, 0.0)
        if self.wall > 0.0:
            around = (long + 2.0 * self.wall) * (wide + 2.0 * self.wall) - long * wide
            total += around * (self.collar - self.deep)
        if self.screws > 0.0:
            total -= 2.0 * round_mm2(self.pilot) * max(self.deep, high)
        notch, into = self.lead
        above = max(self.collar - self.deep, 0.0) * min(self.wall, into)
        return total - notch * (into * self.deep + above)

    @property
    def surface(self) -> float:
        """An estimate: top and bottom of the rim, and all walls."""
        (long, wide), (x, y) = self.pocket, self.outer
        flat = 2.0 * (x * y - long * wide) + 2.0 * (x + y + long + wide) * self.deep
        post = 4.0 * (self.post[0] + self.post[1]) * max(self.post[2] - self.deep, 0.0)
        return flat + post + 4.0 * (long + wide) * max(self.collar - self.deep, 0.0)

    @property
    def box(self) -> tuple[tuple[float, float, float], tuple[float, float, float]]:
        """Corners."""
        x0, x1, y0, y1 = self.rect
        return (x0, y0, 0.0), (x1, y1, max(self.deep, self.post[2], self.collar))


@dataclass(frozen=True, slots=True, eq=False)
class _Seat:
    """A servo on its board. lugs: the side of the lugs that looks to the board, mm out of the board's face,
    None where the servo's lugs are not stated.
    """

    pose: ServoPose
    stand: Stand
    lugs: float | None


def build(fitting: ServoFrame, site: Site) -> FittingBuild:
    """A frame for each servo of that table."""
    return _built(fitting, ground_of(site))


@lru_cache(maxsize=32)
def _built(fitting: ServoFrame, ground: Ground) -> FittingBuild:
    """The last ones are remembered."""
    site = ground.site
    items = site.fitted.placed(fitting.servo)
    if not items:
        known = ", ".join(sorted({one.item for one in site.fitted.items if one.kind == "servo"})) or "none"
        facts: dict[str, Param] = {"what": "servo", "got": fitting.servo, "known": known}
        return FittingBuild(findings=(Finding("P36", "no-go", f"fitting.{fitting.id}.servo", facts),))
    fittings, findings, guides, notes = [], [], [], []
    for item in items:
        pose = _pose(fitting.servo, item, site)
        seat = _seat(pose, site)
        if seat is None:
            findings.append(_free(fitting, pose, site))
            continue
        one = _frame(fitting, site, seat)
        fittings.append(one)
        shape = _shape(fitting, site, seat)
        findings += [*_findings(fitting, seat), *_roomless(site, seat, (shape, one.placement))]
        rect = shape.rect
        guides.append(outline_mark("servo-frame", one.blank, seat.stand.face, one.placement, rect))
        notes.append(_note(one, seat))
    kept = {finding.code: finding for finding in reversed(findings)}
    return FittingBuild(
        tuple(fittings), tuple(kept[code] for code in sorted(kept)), tuple(guides), tuple(notes)
    )


def _pose(servo: str, item: FittedItem, site: Site) -> ServoPose:
    """As the horn that it drives has it; without one upright, the shaft forward."""
    for other in site.design.fitting:
        if isinstance(other, ControlHorn) and other.servo == servo:
            for drive in drives(site, other):
                if drive.pose.item.id == item.id:
                    return drive.pose
    return poses(item, np.array(item.place_mm) + np.array([100.0, 0.0, 0.0]))[0]


def _seat(pose: ServoPose, site: Site) -> _Seat | None:
    """The outermost board square to the shaft that the case passes through, else the nearest that it stands
    on.
    """
    rows = [row for row in _boards(pose, site) if row[0] <= NEAR_MM]
    if not rows:
        return None
    through = [row for row in rows if row[0] <= 0.0]
    _, _, stand = max(through, key=_rank) if through else min(rows, key=_rank)
    lugs = None
    if pose.item.lugs_mm is not None:
        seat = pose.bottom + pose.item.lugs_mm[2] * pose.shaft
        normal = stand.frame[:3, 2]
        lugs = float((seat - stand.frame[:3, 3]) @ normal)
    return _Seat(pose, stand, lugs)


def _rank(row: tuple[float, float, Stand]) -> tuple[float, float, str, str]:
    return round(row[0], 3) if row[0] > 0.0 else 0.0, round(row[1], 3), row[2].blank, row[2].panel.name


def _boards(pose: ServoPose, site: Site) -> Iterator[tuple[float, float, Stand]]:
    """Faces that look the shaft's way under or about the case: how far below its bottom (0 or less where the
    case passes through), how far out along the shaft, and the face.
    """
    for one in site.airframe.placed:
        for panel in one.blank.panels:
            normal = one.transforms[panel.name][:3, 2]
            if abs(float(normal @ pose.shaft)) < ALIKE:
                continue
            face = face_looking(one, panel.name, pose.shaft.tolist())
            frame = face_frame(one, panel.name, face)
            out = float((frame[:3, 3] - pose.centre) @ frame[:3, 2])
            spot = apply(inverse(one.transforms[panel.name]), pose.centre + out * frame[:3, 2])[:2]
            if outside(panel.polygon, spot) > 0.0 or out > pose.height / 2.0:
                continue
            below = -out - pose.height / 2.0
            yield below, out, Stand(one, panel, face, frame, 0.0)


def _free(fitting: ServoFrame, pose: ServoPose, site: Site) -> Finding:
    """P40: nothing to glue it to."""
    gaps = [row[0] for row in _boards(pose, site)]
    facts: dict[str, Param] = {
        "servo": pose.item.id, "gap": f"{min(gaps):.1f} mm" if gaps else "nowhere below it", "limit": NEAR_MM,
    }  # fmt: skip
    return Finding("P40", "watch", f"fitting.{fitting.id}.servo", facts)


def _carried(fitting: ServoFrame, seat: _Seat) -> bool:
    """Whether rim or posts reach the lugs."""
    return seat.lugs is not None and fitting.thick_mm - PLAY_UP_MM <= seat.lugs <= POST_MOST_MM


def _shape(fitting: ServoFrame, site: Site, seat: _Seat) -> ServoFrameShape:
    pose, play = seat.pose, site.printer.clearance_mm
    pocket = (round(pose.length + 2.0 * play, 4), round(pose.width + 2.0 * play, 4))
    if not _carried(fitting, seat) or pose.item.lugs_mm is None or seat.lugs is None:
        high = max(COLLAR_MM, fitting.thick_mm)
        rims = _rims(fitting, site, seat, pocket, (WALL_MM, high))
        into = round(max(rims[1] - LEAD_MM[1], WALL_MM), 4) if rims[1] > LEAD_MM[1] + 0.9 else 0.0
        lead = (LEAD_MM[0] if into > 0.0 else 0.0, into)
        return ServoFrameShape(pocket, rims, fitting.thick_mm, (0.0, 0.0, 0.0), 0.0, 0.0, high, lead)
    over = pose.item.lugs_mm[0]
    post = round((over - pocket[0]) / 2.0 + LUG_REST_MM, 4)
    high = round(max(seat.lugs, fitting.thick_mm), 3)
    screws = round((pose.length + over) / 4.0, 4)
    pilot = round(PILOT * (pose.item.screw_mm or 2.0), 3)
    across = round(max(pocket[1] - 2.0 * PASS_MM, POST_LEAST_MM), 4)
    rims = _rims(fitting, site, seat, pocket, (post, high))
    return ServoFrameShape(
        pocket, rims, fitting.thick_mm, (post, across, high), screws, pilot, 0.0, (0.0, 0.0)
    )


def _rims(
    fitting: ServoFrame, site: Site, seat: _Seat, pocket: tuple[float, float], held: tuple[float, float]
) -> tuple[float, float, float, float]:
    """Width of the rim on each side, as asked for where the board has room for it.

    held: least width at both ends, and height of the frame.
    """
    stand = seat.stand
    room = room_on(site.airframe, (stand.placed, stand.panel.name, stand.face), held[1], EDGE_MM)
    to = inverse(_placement(seat)) @ stand.frame
    area = moved(room, to).buffer(1e-6)
    x, y = pocket[0] / 2.0, pocket[1] / 2.0
    least = (held[0], held[0], WALL_MM, WALL_MM)
    rims = [max(fitting.rim_mm, low) for low in least]
    for side in range(4):
        while rims[side] > least[side] and not area.covers(_strip(side, rims[side], (x, y))):
            rims[side] = max(rims[side] - STEP_MM, least[side])
    for one, other in ((0, 2), (0, 3), (1, 2), (1, 3)):
        while not area.covers(_corner(one, other, rims, (x, y))):
            wider = max(one, other, key=lambda side: rims[side] - least[side])
            if rims[wider] <= least[wider]:
                break
            rims[wider] = max(rims[wider] - STEP_MM, least[wider])
    fore, aft, left, right = (round(rim, 3) for rim in rims)
    return fore, aft, left, right


def _corner(one: int, other: int, rims: list[float], half: tuple[float, float]) -> shapely.Point:
    """Corner of the rim between two of its sides."""
    x, y = half[0] + rims[one], half[1] + rims[other]
    return shapely.Point(x if one == 1 else -x, y if other == 3 else -y)


def _strip(side: int, rim: float, half: tuple[float, float]) -> shapely.Polygon:
    """One side of the rim (0 to 3: -x, +x, -y, +y) along the pocket, which is 2 half wide."""
    x, y = half
    return (
        shapely.box(-x - rim, -y, -x, y),
        shapely.box(x, -y, x + rim, y),
        shapely.box(-x, -y - rim, x, -y),
        shapely.box(-x, y, x, y + rim),
    )[side]


def _frame(fitting: ServoFrame, site: Site, seat: _Seat) -> Fitting:
    pose, shape = seat.pose, _shape(fitting, site, seat)
    _, cut, side = pose.item.id.partition("/")
    return Fitting(
        fitting.id + cut + side,
        fitting.kind,
        "servo frame",
        shape,
        _placement(seat),
        site.printed(fitting, SOLID),
        0.0,
        seat.stand.blank,
        {
            "length_mm": shape.outer[0],
            "width_mm": shape.outer[1],
            "post_mm": shape.post[2],
            "screws_mm": 2.0 * shape.screws,
        },
    )


def _placement(seat: _Seat) -> FloatArray:
    pose, frame = seat.pose, seat.stand.frame
    normal, matrix = frame[:3, 2], np.eye(4)
    x = pose.long - (pose.long @ normal) * normal
    x /= np.linalg.norm(x)
    out = float((frame[:3, 3] - pose.centre) @ normal)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2] = x, np.cross(normal, x), normal
    matrix[:3, 3] = pose.centre + out * normal
    return matrix


def _findings(fitting: ServoFrame, seat: _Seat) -> Iterator[Finding]:
    """P41: the lugs do not come to lie on the frame."""
    if seat.lugs is None or _carried(fitting, seat):
        return
    inside = seat.lugs < fitting.thick_mm
    off = (fitting.thick_mm - seat.lugs) if inside else (seat.lugs - POST_MOST_MM)
    way = seat.pose.shaft * (1.0 if inside else -1.0)
    axis = int(np.argmax(np.round(np.abs(way), 3)))
    words = (("aft", "forward"), ("to the right", "to the left"), ("up", "down"))[axis]
    facts: dict[str, Param] = {
        "servo": seat.pose.item.item, "lugs": round(abs(seat.lugs), 1),
        "way": "behind" if seat.lugs < 0.0 else "outside",
        "low": fitting.thick_mm, "high": POST_MOST_MM,
        "move": round(off, 1), "move_way": words[0 if way[axis] > 0.0 else 1],
    }  # fmt: skip
    yield Finding("P41", "watch", f"equipment.{seat.pose.item.item}", facts)


def _roomless(site: Site, seat: _Seat, made: tuple[ServoFrameShape, FloatArray]) -> Iterator[Finding]:
    """P49: narrowed as far as it may be, the frame still hangs over an edge or meets other board.

    made: its shape and placement.
    """
    shape, placement = made
    stand, (x0, x1, y0, y1) = seat.stand, shape.rect
    x, y = shape.pocket[0] / 2.0, shape.pocket[1] / 2.0
    ring = shapely.box(x0, y0, x1, y1).difference(shapely.box(-x, -y, x, y))
    face = face_area(stand.placed, stand.panel.name, stand.face)
    over = ring.difference(moved(face, inverse(placement) @ stand.frame)).area
    rim = box((x0, y0, TOUCH_MM), (x1, y1, shape.box[1][2])) - box((-x, -y, -1.0), (x, y, 99.0))
    met = sum(bites(site.airframe, rim.placed(placement)).values()) / shape.box[1][2]
    if over + met < MOST_OUT_MM2:
        return
    facts: dict[str, Param] = {
        "servo": seat.pose.item.id, "blank": stand.blank, "out": round(over + met, 1),
    }  # fmt: skip
    yield Finding("P49", "watch", f"equipment.{seat.pose.item.item}", facts)


def _note(one: Fitting, seat: _Seat) -> Note:
    """P42: where it is glued."""
    screws = one.figures["screws_mm"]
    how = (
        f"Screw the lugs on, {screws:.1f} mm apart."
        if screws > 0.0
        else "Hold the case in it with hot glue on two sides."
    )
    axis = int(np.argmax(np.abs(seat.pose.long)))
    ends = (("aft", "forward"), ("to the right", "to the left"), ("up", "down"))[axis]
    shaft_end = ends[0 if seat.pose.long[axis] > 0.0 else 1]
    params: dict[str, float | int | str] = {
        "frame": one.id, "blank": one.blank, "how": how, "end": shaft_end,
    }  # fmt: skip
    return Note("P42", one.blank, params)
