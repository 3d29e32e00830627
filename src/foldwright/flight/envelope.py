"""What the aeroplane can do: stall, glide, sink, range, top speed, climb, turns, time aloft.

Sources
1. J. D. Anderson, *Aircraft Performance and Design*, ch. 5 and 6: glide, climb, turns, endurance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from foldwright.airframe.model import Airframe
from foldwright.base.band import Band
from foldwright.base.types import BoolArray, FloatArray
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved
from foldwright.flight.balance import Balance
from foldwright.flight.drag import Drag, drag, drags
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
SAME_SPEED = 1e-6
"""Speeds nearer to each other than this are one, m/s."""
BASIS = "lattice, drag item by item, drive at work, assumptions sampled"
STALL_BASIS = "weight over wing area and assumed greatest lift"
AS_FLOWN = 1.6
"""Current of a flight with climbs, turns and gusts over that of level cruise [judgement]."""
FIRST_WIND = 1.0 / 3.0
"""Wind of first flights over the stall speed (common practice, no source)."""
_SAYS: dict[str, tuple[str, str]] = {
    "stall": ("m/s", STALL_BASIS),
    "wind_first": ("m/s", "a third of the stall speed (common practice)"),
    "glide": ("", BASIS),
    "glide_speed": ("m/s", BASIS),
    "sink": ("m/s", BASIS),
    "sink_speed": ("m/s", BASIS),
    "top": ("m/s", BASIS),
    "climb": ("m/s", BASIS),
    "climb_speed": ("m/s", BASIS),
    "climb_angle": ("°", BASIS),
    "cruise_throttle": ("", BASIS),
    "cruise_current": ("A", BASIS),
    "cruise_watts": ("W", BASIS),
    "time_cruise": ("min", BASIS),
    "time_flown": ("min", BASIS),
    "reach": ("km", BASIS),
    "load": ("", STALL_BASIS),
    "radius": ("m", BASIS),
}
"""Unit and basis of each band."""


@dataclass(frozen=True, slots=True, eq=False)
class Envelope:
    """All of it. speeds in m/s, forces N, currents A.

    density: of the air, kg/m³; usable: charge that is flown, A h. level: the table of level flight, evenly
    spaced, with launch and cruise speed between; drags: build-ups at its speeds; full: thrust of full
    throttle at them (k, n). glide: best lift over drag and its speed; sink: least sinking speed and the speed
    for it. top: fastest level flight; climb: greatest rate of climb, m/s, the speed and the angle, degrees.
    cruise_*: at the speed of the targets: share of throttle, current, watts. time_cruise: minutes level at
    cruise, reserve kept; time_flown: with climbs and turns; reach: km through still
    air at cruise. load: greatest load factor before the stall at cruise; radius: tightest level turn that
    power sustains, m. wind_first: for first flights. samples: what the bands are of, by their names, (n,)
    each.
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
    samples: Mapping[str, FloatArray]


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
    speeds, even = _table_speeds(_SLOW * float(stall[0]), fast, SPEEDS[detail], design)
    build_ups = drags(airframe, design, samples, air, speeds)
    area = np.stack([each.area for each in build_ups])
    plane = Plane(airframe, lift, balance, samples, drive, density, speeds, area)
    table = level(plane)
    full = np.asarray(drive.at(1.0, speeds[:, None], density).thrust * drive.count)
    steps = replace(plane, speeds=speeds[even], drag_area=area[even])
    found = {
        "stall": stall,
        "wind_first": FIRST_WIND * stall,
        **_glide(steps),
        **_power(steps, (full - table.force)[even]),
        **_cruise(plane, table, design),
        **_turns(steps, full[even], stall, design.targets.cruise_speed_m_s),
    }
    return Envelope(
        density, _usable(drive, design), table, build_ups, full, drive, static(drive, density),
        **{name: Band.of(values, *_SAYS[name]) for name, values in found.items()},
        samples=found,
    )  # fmt: skip


def _table_speeds(slow: float, fast: float, count: int, design: Design) -> tuple[FloatArray, BoolArray]:
    """Speeds of the table, rising, and which of them are evenly spaced.

    Launch and cruise speed stand in it, so that nothing there is read between two rows, of which one may be
    stalled.
    """
    even = np.linspace(slow, fast, count)
    wanted = {design.targets.launch_speed_m_s, design.targets.cruise_speed_m_s}
    more = [v for v in sorted(wanted) if slow < v < fast and np.min(np.abs(even - v)) > SAME_SPEED]
    every = np.concatenate([even, more])
    order = np.argsort(every, kind="stable")
    return every[order], np.asarray(order < count)


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


def _glide(plane: Plane) -> dict[str, FloatArray]:
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
    return {"glide": best, "glide_speed": at_best, "sink": -least, "sink_speed": at_least}


def _power(plane: Plane, spare: FloatArray) -> dict[str, FloatArray]:
    """Fastest level flight and best climb from thrust to spare (k, n) [N] (source 1, ch. 5.9, 5.10)."""
    rate = plane.speeds[:, None] * spare / plane.weight
    climb, at = _peak(rate, plane.speeds)
    slope, _ = _peak(spare / plane.weight, plane.speeds)
    return {
        "top": _crossing(spare, plane.speeds),
        "climb": np.where(climb > 0.0, climb, np.nan),
        "climb_speed": np.where(climb > 0.0, at, np.nan),
        "climb_angle": np.degrees(np.arcsin(np.clip(slope, -1.0, 1.0))),
    }


def _usable(drive: Drive, design: Design) -> float:
    """Charge that is flown, the reserve kept, A h."""
    return drive.capacity * (1.0 - design.targets.reserve_pct / 100.0)


def _cruise(plane: Plane, table: Level, design: Design) -> dict[str, FloatArray]:
    """At the speed of the targets: throttle, current, how long and how far."""
    speed = design.targets.cruise_speed_m_s
    current = along(table.current, plane.speeds, speed)
    hours = _usable(plane.drive, design) / current
    return {
        "cruise_throttle": along(table.throttle, plane.speeds, speed),
        "cruise_current": current,
        "cruise_watts": along(table.watts, plane.speeds, speed),
        "time_cruise": np.asarray(60.0 * hours),
        "time_flown": np.asarray(60.0 * hours / AS_FLOWN),
        "reach": np.asarray(3.6 * speed * hours),
    }


def _turns(plane: Plane, full: FloatArray, stall: FloatArray, cruise: float) -> dict[str, FloatArray]:
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
    return {"load": np.asarray(load), "radius": -tightest}


def along(values: FloatArray, speeds: FloatArray, speed: float) -> FloatArray:
    """Values (k, n) at one speed, straight between those of the table (k,); NaN outside it.

    A speed of the table has its row, whatever its neighbours are.
    """
    if not speeds[0] <= speed <= speeds[-1]:
        return np.full(values.shape[1], np.nan)
    near = int(np.argmin(np.abs(speeds - speed)))
    if abs(speeds[near] - speed) <= SAME_SPEED:
        return np.asarray(values[near])
    k = int(np.clip(np.searchsorted(speeds, speed) - 1, 0, len(speeds) - 2))
    share = (speed - speeds[k]) / (speeds[k + 1] - speeds[k])
    return np.asarray(values[k] + share * (values[k + 1] - values[k]))


def _peak(values: FloatArray, speeds: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Greatest of values (k, n) and the speed of it, by a parabola through the three points about it.

    speeds (k,): evenly spaced. NaN values are passed over; NaN where there is none.
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
