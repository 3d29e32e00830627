"""Motor mounts: a block on a former that turns the motor into the thrust line.

The motor's mounting face is square to the thrust line, the foot lies flat on the former as it stands, so
the wedge between them is whatever is left of the two tilts: none where the former takes the motor's tilt.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, cos, degrees, radians, sin

import numpy as np
import shapely

from foldwright.airframe.fitting import FittingBuild, Site
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fitting_places import face_frame, face_looking, placed_named, room_on
from foldwright.airframe.fittings.mount_backing import (
    BackingShape,
    Stood,
    backing,
    behind,
    lead_hole,
    lead_mark,
    lead_note,
    screw_length,
    screw_marks,
    sound,
)
from foldwright.airframe.fittings.mount_room import STEPS, exit_given, outlines, rect_sides
from foldwright.airframe.fittings.mount_screws import (
    EARS_MM,
    SCREW_G,
    SCREW_MM,
    former_screws,
    head_room,
    motor_holes,
    pocket_of,
)
from foldwright.airframe.fittings.mount_shape import WALL_MM, MotorMountShape, Rect, rect_area
from foldwright.airframe.fittings.mount_words import aside_words, short_words, tilt_words
from foldwright.airframe.model import Direction, MarkRequest, Note, Placed
from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.fittings import MotorMount
from foldwright.design.resolve import FittedMotor
from foldwright.geometry.fold.model import Face
from foldwright.geometry.solid.core import Area
from foldwright.geometry.transform import frame, inverse

MODEL = MotorMount

HOT_C = 75.0
"""What a mount must stand beside a hot motor, degrees Celsius: common practice, no source."""
USUAL = "petg"
INFILL = 0.5
"""[judgement] it carries thrust and shaking, and is small."""
HOLLOW_MM = 12.0
"""Deeper behind the plate than this, the block is walls only, mm."""
LONG_MM = 60.0
"""[judgement] a stand-off longer than this shakes, mm."""
STEEP = cos(radians(45.0))


@dataclass(frozen=True, slots=True, eq=False)
class _Seat:
    """A motor's face and the former that it is to stand on.

    tail: "" or "/right", "/left"; sign: of y. ahead: +1 pusher, -1 tractor. placement: 4x4 of the mount. one,
    face: the former and the face that looks to the motor.
    """

    tail: str
    sign: float
    ahead: float
    placement: FloatArray
    one: Placed
    face: Face

    @property
    def panel(self) -> str:
        return self.one.blank.panels[0].name

    @property
    def stood(self) -> Stood:
        return Stood(self.one, self.panel, self.face, self.placement)

    @property
    def look(self) -> Direction:
        """The way that one looks at the face."""
        return "-x" if self.ahead > 0.0 else "+x"

    def foot(self) -> tuple[float, float, float]:
        """The former's face in the mount's frame: depth = h0 + hx x + hy y."""
        local = inverse(self.placement) @ face_frame(self.one, self.panel, self.face)
        n, p = local[:3, 2], local[:3, 3]
        return -float(n @ p) / float(n[2]), float(n[0] / n[2]), float(n[1] / n[2])


def build(fitting: MotorMount, site: Site) -> FittingBuild:
    """One mount, or one for each motor of a pair."""
    made: list[Fitting] = []
    findings: list[Finding] = []
    notes: list[Note] = []
    guides: list[MarkRequest] = []
    motor = site.fitted.motor
    if not motor.bolts_mm:
        lacking: dict[str, Param] = {"motor": motor.id}
        return FittingBuild(findings=(Finding("P14", "no-go", f"fitting.{fitting.id}", lacking),))
    for tail, sign in (("/right", 1.0), ("/left", -1.0)) if site.airframe.thrust.mirrored else (("", 1.0),):
        seat, why = _seat(fitting, site, tail, sign)
        if seat is None:
            findings += why
            continue
        shape, found = _shape(fitting, site, seat)
        findings += found
        if shape is None:
            continue
        mount = _fitting(fitting, site, seat, shape)
        made.append(mount)
        lead = lead_hole(seat.stood, shape.notch, fitting.exit_mm[1])
        plate = backing(
            seat.stood, behind(site.airframe, seat.stood), shape.screws, shape.screw, lead
        )  # fmt: skip
        if plate is not None:
            made.append(_plate(fitting, site, seat, plate))
            guides += screw_marks(seat.stood, shape.screws, seat.look)
        notes += _notes(seat, shape, site, mount.id)
        if lead is not None:
            guides.append(lead_mark(seat.stood, lead, seat.look))
            notes.append(lead_note(seat.one.blank.name, mount.id, lead))
    if made:
        findings += _heat(fitting, made[0])
    # said once where both of a pair lack the same
    once = {(one.code, tuple(sorted(one.params.items()))): one for one in findings}
    gone = ("motor-mount",) if made else ()
    return FittingBuild(tuple(made), tuple(once.values()), tuple(guides), tuple(notes), gone)


def thrust_axis(tilt: float, side: float, sign: float) -> FloatArray:
    """Unit vector of the thrust (3,), rad; sign: +1 for the only or the right motor, -1 for the left one.

    tilt: nose-up positive; side: to the right positive, of the right motor; the left one mirrors it.
    """
    return np.array([-cos(tilt) * cos(side), sign * sin(side), sin(tilt) * cos(side)])


def mount_placement(motor: FittedMotor, ahead: float, sign: float) -> FloatArray:
    """4x4 of a mount: its origin where the thrust line meets the motor's mounting face."""
    thrust = thrust_axis(radians(motor.tilt_deg), radians(motor.side_deg), sign)
    out = -ahead * thrust
    x, y, z = motor.place_mm
    face = np.array([x, sign * y if sign < 0.0 else y, z]) - motor.length_mm * out
    up = np.array([0.0, 0.0, 1.0])
    return frame(face, np.cross(up - (up @ out) * out, out), out)


def _seat(fitting: MotorMount, site: Site, tail: str, sign: float) -> tuple[_Seat | None, list[Finding]]:
    """The former whose face the thrust line meets nearest to the motor, or why there is none."""
    motor, airframe = site.fitted.motor, site.airframe
    where = f"fitting.{fitting.id}" + (".former" if fitting.former else "")
    named = fitting.former.replace(".", "/") if fitting.former else None
    names = [named] if named else list(dict.fromkeys(mount.blank for mount in airframe.mounts))
    standing = [one for name in names if (one := placed_named(airframe, name)) is not None]
    found: list[tuple[float, str, _Seat]] = []
    for one in standing:
        for ahead in (1.0, -1.0):
            placement = mount_placement(motor, ahead, sign)
            out = placement[:3, 2]
            panel = one.blank.panels[0].name
            if abs(float(one.transforms[panel][:3, 2] @ out)) < STEEP:
                continue
            face = face_looking(one, panel, out.tolist())
            seat = _Seat(tail, sign, ahead, placement, one, face)
            # the propeller stands on the far side of the former: its plane lies farther out than the face
            if seat.foot()[0] + motor.length_mm > 0.0 and _meets(seat):
                found.append((round(abs(seat.foot()[0]), 6), one.blank.name, seat))
    if found:
        return min(found, key=lambda row: row[:2])[2], []
    params: dict[str, Param] = {"known": ", ".join(names) or "none"}
    return None, [Finding("P13", "no-go", where, params)]


def _meets(seat: _Seat) -> bool:
    """Whether the thrust line passes through the former's outline."""
    local = inverse(seat.one.transforms[seat.panel]) @ seat.placement
    p, d = local[:3, 3], local[:3, 2]
    spot = p - d * (p[2] / d[2])
    ring = shapely.Polygon(seat.one.blank.panels[0].polygon)
    return bool(ring.contains(shapely.Point(float(spot[0]), float(spot[1]))))


def _shape(fitting: MotorMount, site: Site, seat: _Seat) -> tuple[MotorMountShape | None, list[Finding]]:
    """The mount's numbers, or what is in their way."""
    motor, foot, clearance = site.fitted.motor, seat.foot(), site.printer.clearance_mm
    shaft = motor.shaft_mm + 2.0 * clearance
    pocket, need = pocket_of(motor, shaft), fitting.plate_mm + fitting.foot_mm
    room = room_on(
        site.airframe, (seat.one, seat.panel, seat.face), max(foot[0], need) + 2.0, fitting.gap_mm,
        seat.placement,
    )  # fmt: skip
    core = rect_sides(pocket, WALL_MM)
    outline, screws = _outline(fitting, site, seat, (room, core, pocket))
    if outline is None:
        return None, [_too_large(fitting, seat, room, core)]
    x0, y0, x1, y1 = outline
    least = min(foot[0] + foot[1] * x + foot[2] * y for x in (x0, x1) for y in (y0, y1))
    if least < need - 0.005:
        return None, [_too_near(fitting, seat, motor, least, need)]
    found = []
    if least > LONG_MM:
        figures: dict[str, Param] = {"long": round(least, 1), "most": LONG_MM, "blank": seat.one.blank.name}
        found.append(Finding("P15", "watch", "motor.x_mm", figures, round(least, 1), LONG_MM, "mm"))
    notch = _notch(fitting, outline, motor, seat)
    found += exit_given(fitting, outline, notch)
    shape = MotorMountShape(
        outline, foot, fitting.plate_mm, pocket, head_room(motor), least - fitting.plate_mm > HOLLOW_MM,
        motor_holes(motor),
        motor.bolt_mm + clearance, shaft, screws, SCREW_MM + clearance, notch, _sides(motor, seat),
    )  # fmt: skip
    return shape, found


def _outline(
    fitting: MotorMount, site: Site, seat: _Seat, rooms: tuple[Area, Rect, Rect]
) -> tuple[Rect | None, tuple[tuple[float, float], ...]]:
    """The least outline that screws find room in, with them; without room for any, the largest one. None
    where the core does not fit. rooms: on the former; the core and the pocket.
    """
    motor, (room, core, pocket) = site.fitted.motor, rooms
    screw, far = SCREW_MM + site.printer.clearance_mm, behind(site.airframe, seat.stood)
    outline: Rect | None = None
    for ear in EARS_MM:
        for outline in outlines(room, core, motor.diameter_mm / 2.0 + ear):
            screws = sound(seat.stood, former_screws(outline, motor, pocket, far, screw), screw)
            lead = lead_hole(seat.stood, _notch(fitting, outline, motor, seat), fitting.exit_mm[1])
            if backing(seat.stood, far, screws, screw, lead) is not None:
                return outline, screws
    return outline, ()


def _notch(fitting: MotorMount, outline: Rect, motor: FittedMotor, seat: _Seat) -> Rect | None:
    """The way out for the leads, in from an edge; left and right are the aeroplane's, mirrored on a left
    motor. No deeper than leaves a wall to the motor's holes.
    """
    if fitting.exit == "none":
        return None
    wide, deep = fitting.exit_mm
    x0, y0, x1, y1 = outline
    half = wide / 2.0
    # the mount's x axis in the aeroplane: to the right on a tractor seen from ahead it runs to the left
    right = float(seat.placement[1, 0]) * seat.sign > 0.0
    way = (
        fitting.exit
        if fitting.exit in ("up", "down") or right
        else {"left": "right", "right": "left"}[fitting.exit]
    )
    if way in ("up", "down"):
        edge, half = (y1 if way == "up" else -y0), min(half, -x0 - WALL_MM, x1 - WALL_MM)
    else:
        edge, half = (x1 if way == "right" else -x0), min(half, -y0 - WALL_MM, y1 - WALL_MM)
    inner = max(edge - deep, motor.shaft_mm / 2.0 + WALL_MM)
    turn = {"up": (0.0, 1.0), "down": (0.0, -1.0), "right": (1.0, 0.0), "left": (-1.0, 0.0)}[way]
    for x, y in motor_holes(motor):
        along, across = x * turn[0] + y * turn[1], abs(x * turn[1] - y * turn[0])
        if across < half + motor.bolt_mm / 2.0 + 1.2 and along > 0.0:
            inner = max(inner, along + motor.bolt_mm / 2.0 + 1.2)
    far = edge + 1.0
    return {
        "up": (-half, inner, half, far), "down": (-half, -far, half, -inner),
        "right": (inner, -half, far, half), "left": (-far, -half, -inner, half),
    }[way]  # fmt: skip


def _sides(motor: FittedMotor, seat: _Seat) -> tuple[str, ...]:
    """Words on the block's top, right and left side."""
    return ("UP", *short_words(motor.tilt_deg, seat.sign * motor.side_deg, seat.ahead > 0.0))


def _too_near(fitting: MotorMount, seat: _Seat, motor: FittedMotor, least: float, need: float) -> Finding:
    """P10: no room between motor and former."""
    lack = need - least
    x = motor.place_mm[0] + seat.ahead * ceil(lack * 2.0 + 0.1) / 2.0
    back = ceil(lack * 2.0 + 0.1) / 2.0
    figures: dict[str, Param] = {
        "room": round(least, 1), "need": round(need, 1), "blank": seat.one.blank.name, "x": round(x, 1),
        "way": "forward" if seat.ahead > 0.0 else "aft", "by": back,
        "id": fitting.id,
    }  # fmt: skip
    return Finding("P10", "no-go", "motor.x_mm", figures, round(least, 2), round(need, 2), "mm")


def _too_large(fitting: MotorMount, seat: _Seat, room: Area, core: Rect) -> Finding:
    """P11: the mount is larger than the former; how far each side reaches, and may."""
    names = ("left", "down", "right", "up")
    lacks = {}
    for index, name in enumerate(names):
        need, thin = abs(core[index]), (-0.5, -0.5, 0.5, 0.5)
        low, high = 0.5, max(need, 0.5)
        for _ in range(STEPS):
            middle = (low + high) / 2.0
            trial = [*thin[:index], middle if index > 1 else -middle, *thin[index + 1 :]]
            fits = room.contains(rect_area((trial[0], trial[1], trial[2], trial[3])))
            low, high = (middle, high) if fits else (low, middle)
        lacks[name] = (need, low if low > 0.5 else 0.0)
    worst = max(names, key=lambda name: round(lacks[name][0] - lacks[name][1], 6))
    need, have = lacks[worst]
    figures: dict[str, Param] = {
        "need": round(need, 1), "room": round(have, 1), "blank": seat.one.blank.name, "side": worst,
        "lack": ceil((need - have) * 10.0 - 1e-6) / 10.0 or 0.1, "gap": fitting.gap_mm,
        "wide": round(core[2] - core[0], 1), "high": round(core[3] - core[1], 1),
    }  # fmt: skip
    where = f"fitting.{fitting.id}"
    return Finding("P11", "no-go", where, figures, round(have, 2), round(need, 2), "mm")


def _heat(fitting: MotorMount, made: Fitting) -> Iterator[Finding]:
    """P12: a filament that softens beside a hot motor."""
    filament = made.printed.filament
    if filament.softens_c < HOT_C:
        figures: dict[str, Param] = {"filament": filament.name, "softens": filament.softens_c, "least": HOT_C}
        yield Finding(
            "P12", "watch", f"fitting.{fitting.id}.filament", figures, filament.softens_c, HOT_C, "°C",
            "common practice, no source",
        )  # fmt: skip


def _usual(site: Site) -> str:
    """The printer's own filament where it stands the heat, else the usual one, else the first that does."""
    filaments = site.fitted.filaments
    own = filaments.get(site.printer.material)
    if own is not None and own.softens_c >= HOT_C:
        return own.id
    if USUAL in filaments:
        return USUAL
    good = sorted(name for name, one in filaments.items() if one.softens_c >= HOT_C and not one.bends)
    return good[0] if good else site.printer.material


def _fitting(fitting: MotorMount, site: Site, seat: _Seat, shape: MotorMountShape) -> Fitting:
    motor = site.fitted.motor
    normal = face_frame(seat.one, seat.panel, seat.face)[:3, 2]
    wedge = degrees(np.arccos(np.clip(float(normal @ seat.placement[:3, 2]), -1.0, 1.0)))
    return Fitting(
        fitting.id + seat.tail, fitting.kind, "motor mount", shape, seat.placement,
        site.printed(fitting, INFILL, _usual(site)), _screws_g(fitting, shape), seat.one.blank.name,
        {
            "tilt_deg": motor.tilt_deg, "side_deg": seat.sign * motor.side_deg, "wedge_deg": float(wedge),
            "long_mm": shape.foot[0], "circle_mm": max(across for across, _ in motor.bolts_mm),
            "wide_mm": shape.box[1][0] - shape.box[0][0], "high_mm": shape.box[1][1] - shape.box[0][1],
        },
    )  # fmt: skip


def _screws_g(fitting: MotorMount, shape: MotorMountShape) -> float:
    """Of the motor's screws and those through the former; what the file says is all of them."""
    own = 0.0 if "screws_g" in fitting.model_fields_set else SCREW_G * len(shape.screws)
    return fitting.screws_g + own


def _plate(fitting: MotorMount, site: Site, seat: _Seat, shape: BackingShape) -> Fitting:
    """The plate behind the former; its nuts are reckoned with the mount's screws."""
    return Fitting(
        f"{fitting.id}{seat.tail}/backing", fitting.kind, "backing plate", shape, seat.stood.far_frame(),
        site.printed(fitting, INFILL, _usual(site)), 0.0, seat.one.blank.name,
        {"thick_mm": shape.thick, "screws": float(len(shape.screws))},
    )  # fmt: skip


def _notes(seat: _Seat, shape: MotorMountShape, site: Site, name: str) -> list[Note]:
    """P16: how it is put on; P120, P121: screwed, or glued for good."""
    motor, blank = site.fitted.motor, seat.one.blank
    words = [tilt_words(motor.tilt_deg, seat.ahead > 0.0)]
    aside = aside_words(seat.sign * motor.side_deg, seat.ahead > 0.0)
    params: dict[str, Param] = {
        "id": name, "says": ", ".join([*words, *([aside] if aside else [])]),
        "screws": len(shape.bolts), "size": f"{motor.bolt_mm:g}",
        "long": ceil(shape.plate + 4.0 + motor.bolt_mm / 2.0),
        "how": f"with {len(shape.screws)} screws M{SCREW_MM:g} through it" if shape.screws
        else "with epoxy, for good",
    }  # fmt: skip
    first = Note("P16", blank.name, params)
    if not shape.screws:
        return [first, Note("P121", blank.name, {"id": name})]
    through = max(shape.depth(at) for at in shape.screws) + blank.thickness
    how: dict[str, Param] = {
        "id": name, "screws": len(shape.screws), "size": f"{SCREW_MM:g}",
        "long": f"{screw_length(through):g}", "hole": f"{shape.screw:.1f}",
    }  # fmt: skip
    return [first, Note("P120", blank.name, how)]
