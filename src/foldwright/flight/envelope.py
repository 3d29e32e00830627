"""What the aeroplane can do: stall, glide, sink, range, top speed, climb, turns, time aloft.

Sources
1. J. D. Anderson, *Aircraft Performance and Design*, ch. 5 and 6: glide, climb, turns, endurance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.band import Band
from foldwright.base.types import FloatArray
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved
from foldwright.flight.balance import Balance
from foldwright.flight.drag import Drag, drag
from foldwright.flight.drive import Drive, Static, drive_of, static
from foldwright.flight.level import Level, Plane, drag_coefficient, level
from foldwright.flight.lift import Lift, Samples
from foldwright.flight.planform import Detail
from foldwright.flight.trim import Pull, trim_state
from foldwright.physics.atmosphere import STANDARD_GRAVITY, Air

SPEEDS: dict[Detail, int] = {"interactive": 16, "final": 28}
"""Speeds of the table."""
_SLOW = 0.75
"""Slow end of the table over the centre's stall speed."""
_FAST = (2.2, 6.0)
"""Least and greatest fast end, likewise; between them where thrust and drag meet, with a reserve."""
_RESERVE = 1.2
BASIS = "lattice, drag item by item, drive at work, assumptions sampled"
STALL_BASIS = "weight over wing area and assumed greatest lift"
AS_FLOWN = 1.6
"""Current of a flight with climbs, turns and gusts over that of level cruise [judgement]."""
FIRST_WIND = 1.0 / 3.0
"""Wind of first flights over the stall speed (common practice, no source)."""


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """All of it. speeds in m/s, forces N, currents A.

    density: of the air, kg/m³; usable: charge that is flown, A h. level: the table of level flight; drags:
    build-ups at its speeds; full: thrust of full throttle at them (k, n). glide: best lift over drag and its
    speed; sink: least sinking speed and the speed for it. top: fastest level flight; climb: greatest rate of
    climb, m/s, the speed and the angle, degrees. cruise_*: at the speed of the targets: share of throttle,
    current, watts. time_cruise: minutes level at cruise, reserve kept; time_flown: with climbs and turns;
    reach: km through still air at cruise. load: greatest load factor before the stall at cruise; radius:
    tightest level turn that power sustains, m. wind_first: for first flights.
    """

    density: float
    usable: float
    level: Level
    drags: tuple[Drag, ...]
    full: FloatArray
    drive: Drive
    static: Static
    stall: Band
    glide: Band
    glide_speed: Band
    sink: Band
    sink_speed: Band
    top: Band
    climb: Band
    climb_speed: Band
    climb_angle: Band
    cruise_throttle: Band
    cruise_current: Band
    cruise_watts: Band
    time_cruise: Band
    time_flown: Band
    reach: Band
    load: Band
    radius: Band
    wind_first: Band


def envelope(
    airframe: Airframe,
    design: Design,
    equipment: Resolved,
    parts: tuple[Lift, Balance, Samples],
    air: Air,
    detail: Detail,
) -> Envelope:
    """Work it all out. parts: lift, balance and samples of the same evaluation."""
    lift, balance, samples = parts
    drive = drive_of(design, equipment, samples)
    density = float(air.density)
    stall = _stall(lift, balance, density)
    fast = _fast_end(drag(airframe, design, samples, air, 2.0 * float(stall[0])), drive, stall, density)
    speeds = np.linspace(_SLOW * float(stall[0]), fast, SPEEDS[detail])
    drags = tuple(drag(airframe, design, samples, air, float(v)) for v in speeds)
    area = np.stack([each.area for each in drags])
    plane = Plane(airframe, lift, balance, samples, drive, density, speeds, area)
    table = level(plane)
    full = np.asarray(drive.at(1.0, speeds[:, None], density).thrust * drive.count)
    glide = _glide(plane)
    power = _power(plane, table, full)
    cruise = _cruise(plane, table, design)
    turn = _turns(plane, full, stall, design.targets.cruise_speed_m_s)
    bands = {**glide, **power, **cruise, **turn}
    return Envelope(
        density, _usable(drive, design), table, drags, full, drive, static(drive, density),
        stall=Band.of(stall, "m/s", STALL_BASIS),
        wind_first=Band.of(FIRST_WIND * stall, "m/s", "a third of the stall speed (common practice)"),
        **bands,
    )  # fmt: skip


def _fast_end(build_up: Drag, drive: Drive, stall: FloatArray, density: float) -> float:
    """Speed [m/s] past where full throttle and the drag at zero lift meet, in the centre."""
    v = float(stall[0]) * np.linspace(*_FAST, 24)
    thrust = drive.at(1.0, v[:, None], density).thrust[:, 0] * drive.count
    beaten = np.nonzero(0.5 * density * v**2 * build_up.area[0] > thrust)[0]
    meet = float(v[beaten[0]]) if beaten.size else float(v[-1])
    return min(max(_RESERVE * meet, float(v[0])), float(v[-1]))


def _stall(lift: Lift, balance: Balance, density: float) -> FloatArray:
    """Stall speed, level, no power: V = √(2 W / (ρ S C_Lmax)), (n,) [m/s]."""
    weight = balance.mass_samples * 1e-3 * STANDARD_GRAVITY
    return np.asarray(np.sqrt(2.0 * weight / (density * lift.mean.area * 1e-6 * lift.cl_max)))


def _glide(plane: Plane) -> dict[str, Band]:
    """Best glide and least sink of the trimmed aeroplane without power (source 1, ch. 5.7)."""
    v = plane.speeds[:, None]
    still = np.zeros((len(plane.speeds), len(plane.weight)))
    state = trim_state(
        plane.airframe, plane.lift, plane.balance, plane.samples, Pull(still, v, plane.density)
    )
    ratio = state.lift / drag_coefficient(plane, state)
    # nose-down by atan(D/L): the speed of sinking is V sin of it
    sink = -v * np.sin(np.arctan(1.0 / ratio))
    best, at_best = _peak(ratio, plane.speeds)
    least, at_least = _peak(sink, plane.speeds)
    return {
        "glide": Band.of(best, "", BASIS),
        "glide_speed": Band.of(at_best, "m/s", BASIS),
        "sink": Band.of(-least, "m/s", BASIS),
        "sink_speed": Band.of(at_least, "m/s", BASIS),
    }


def _power(plane: Plane, table: Level, full: FloatArray) -> dict[str, Band]:
    """Fastest level flight and best climb from thrust to spare (source 1, ch. 5.9, 5.10)."""
    spare = full - table.force
    rate = plane.speeds[:, None] * spare / plane.weight
    climb, at = _peak(rate, plane.speeds)
    slope, _ = _peak(spare / plane.weight, plane.speeds)
    return {
        "top": Band.of(_crossing(spare, plane.speeds), "m/s", BASIS),
        "climb": Band.of(np.where(climb > 0.0, climb, np.nan), "m/s", BASIS),
        "climb_speed": Band.of(np.where(climb > 0.0, at, np.nan), "m/s", BASIS),
        "climb_angle": Band.of(np.degrees(np.arcsin(np.clip(slope, -1.0, 1.0))), "°", BASIS),
    }


def _usable(drive: Drive, design: Design) -> float:
    """Charge that is flown, the reserve kept, A h."""
    return drive.capacity * (1.0 - design.targets.reserve_pct / 100.0)


def _cruise(plane: Plane, table: Level, design: Design) -> dict[str, Band]:
    """At the speed of the targets: throttle, current, how long and how far."""
    speed = design.targets.cruise_speed_m_s
    current = along(table.current, plane.speeds, speed)
    hours = _usable(plane.drive, design) / current
    return {
        "cruise_throttle": Band.of(along(table.throttle, plane.speeds, speed), "", BASIS),
        "cruise_current": Band.of(current, "A", BASIS),
        "cruise_watts": Band.of(along(table.watts, plane.speeds, speed), "W", BASIS),
        "time_cruise": Band.of(60.0 * hours, "min", BASIS),
        "time_flown": Band.of(60.0 * hours / AS_FLOWN, "min", BASIS),
        "reach": Band.of(3.6 * speed * hours, "km", BASIS),
    }


def _turns(plane: Plane, full: FloatArray, stall: FloatArray, cruise: float) -> dict[str, Band]:
    """Load factor before the stall at cruise, and the tightest turn that full throttle sustains.

    n = (V/V_s)²; r = V²/(g √(n² - 1)) (source 1, eq. 6.9). In a turn C_L is n times that of level flight; n
    is held where thrust equals drag or at the stall.
    """
    load = (cruise / stall) ** 2
    v = plane.speeds[:, None]
    pressure = 0.5 * plane.density * v**2 * plane.wing
    lift = plane.weight / pressure
    kept, slope = plane.samples["suction_share"], plane.lift.pitch.cl_alpha
    lattice = plane.lift.lattice
    aspect = lattice.reference.span**2 / lattice.reference.area
    factor = kept / (np.pi * aspect * 0.95) + (1.0 - kept) / slope
    rest = np.maximum(full / pressure - plane.drag_area / plane.wing, 0.0)
    most = np.minimum(np.sqrt(rest / factor) / lift, (v / stall) ** 2)
    radius = np.where(
        most > 1.001, v**2 / (STANDARD_GRAVITY * np.sqrt(np.maximum(most**2 - 1.0, 1e-9))), np.nan
    )
    tightest, _ = _peak(-radius, plane.speeds)
    return {"load": Band.of(load, "", STALL_BASIS), "radius": Band.of(-tightest, "m", BASIS)}


def along(values: FloatArray, speeds: FloatArray, speed: float) -> FloatArray:
    """Values (k, n) at one speed, straight between those of the table (k,); NaN outside it."""
    if not speeds[0] <= speed <= speeds[-1]:
        return np.full(values.shape[1], np.nan)
    k = int(np.clip(np.searchsorted(speeds, speed) - 1, 0, len(speeds) - 2))
    share = (speed - speeds[k]) / (speeds[k + 1] - speeds[k])
    return np.asarray(values[k] + share * (values[k + 1] - values[k]))


def _peak(values: FloatArray, speeds: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Greatest of values (k, n) and the speed of it, by a parabola through the three points about it.

    NaN values are passed over; NaN where there is none.
    """
    held = np.where(np.isfinite(values), values, -np.inf)
    k = np.argmax(held, axis=0)
    columns = np.arange(values.shape[1])
    inner = np.clip(k, 1, len(speeds) - 2)
    near = [held[inner + step, columns] for step in (-1, 0, 1)]
    whole = np.isfinite(near).all(axis=0) & (k == inner)
    a, b, c = (np.where(whole, value, 0.0) for value in near)
    bend = a - 2.0 * b + c
    shift = np.where(bend < 0.0, 0.5 * (a - c) / np.where(bend < 0.0, bend, -1.0), 0.0)
    top = np.where(whole, b - 0.25 * (a - c) * shift, held[k, columns])
    none = ~np.isfinite(held[k, columns])
    step = speeds[1] - speeds[0]
    return np.where(none, np.nan, top), np.where(none, np.nan, speeds[k] + shift * step)


def _crossing(spare: FloatArray, speeds: FloatArray) -> FloatArray:
    """Speed (n,) past which nothing is left of the thrust to spare (k, n); NaN where it never was.

    The last speed of the table where it is spare to its end.
    """
    left = np.where(np.isfinite(spare), spare, -np.inf) > 0.0
    last = len(speeds) - 1 - np.argmax(left[::-1], axis=0)
    columns = np.arange(spare.shape[1])
    after = np.minimum(last + 1, len(speeds) - 1)
    a, b = spare[last, columns], spare[after, columns]
    share = np.where(last == after, 0.0, a / np.where(a == b, 1.0, a - b))
    found = speeds[last] + share * (speeds[after] - speeds[last])
    return np.where(left.any(axis=0), found, np.nan)
