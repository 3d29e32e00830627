"""`docs/validation.md`: published value, ours and the difference, from the data that the tests use.

`make docs` writes the file; `tests/house/test_docs.py` holds the committed one against a new run.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from math import degrees, gamma, pi
from pathlib import Path
from textwrap import fill

import numpy as np

from foldwright.flight.envelope import _crossing as crossing
from foldwright.flight.envelope import _peak as peak
from foldwright.geometry.fold.methods import crush_squeezed, radius_gain
from foldwright.geometry.fold.model import Method
from foldwright.physics import flap as glauert
from foldwright.physics.atmosphere import standard_air
from foldwright.physics.body_moment import rectangle_factor
from foldwright.physics.electric import RPM, at_current, best_current
from foldwright.physics.friction import base_drag, laminar, turbulent
from foldwright.physics.modes import lanchester_period, lengthwise_matrices, modes
from foldwright.physics.stream import induced_velocity
from foldwright.physics.trim import control_power, edge_up, solve_trim, thrust_moment
from tests.geometry.fold import test_methods as folds
from tests.physics import test_atmosphere as air
from tests.physics import test_lattice_flap as flaps
from tests.physics import test_lattice_published as wings
from tests.physics import test_lattice_tails as tails
from tests.physics import test_linkage as rods
from tests.physics import test_modes as mode_cases
from tests.physics import test_propeller as propellers
from tests.physics import test_stream as stream
from tests.physics import test_trim_table as trim
from tests.physics.lattice_cases import aspect
from tests.strategies import Box, box_blank

FILE = Path(__file__).resolve().parents[1] / "docs" / "validation.md"


@dataclass(frozen=True, slots=True)
class Row:
    """One line: what, the values expected and ours (as many), decimals to print.

    relative: difference in percent, else in the unit of the values.
    """

    what: str
    expected: tuple[float, ...]
    ours: tuple[float, ...]
    digits: int
    relative: bool = True

    def cells(self) -> str:
        """The line in markdown; of several values the greatest difference counts."""
        texts = [" / ".join(f"{_whole(v, self.digits)}" for v in row) for row in (self.expected, self.ours)]
        pairs = [
            (round(ours, self.digits) - round(wanted, self.digits), wanted)
            for ours, wanted in zip(self.ours, self.expected, strict=True)
        ]
        if self.relative:
            worst = max((100.0 * gap / abs(wanted) for gap, wanted in pairs), key=abs)
            return f"| {self.what} | {texts[0]} | {texts[1]} | {_signed(worst, 2)} % |"
        worst = max((gap for gap, _ in pairs), key=abs)
        return f"| {self.what} | {texts[0]} | {texts[1]} | {_signed(worst, self.digits)} |"


@dataclass(frozen=True, slots=True)
class Group:
    """One table: heading, where the expected values come from, its rows."""

    title: str
    source: str
    rows: Callable[[], Iterable[Row]]


def _whole(value: float, digits: int) -> str:
    """A number without a minus before nothing."""
    return f"{round(value, digits) + 0.0:.{digits}f}"


def _signed(value: float, digits: int) -> str:
    text = f"{round(value, digits) + 0.0:+.{digits}f}"
    return text.replace("+", "") if float(text) == 0.0 else text


def _wings() -> Iterable[Row]:
    bertin = wings.bertin()
    circulation = bertin.gamma[:, 1] / (4.0 * np.pi)
    yield Row(
        "swept wing of Bertin & Smith, example 7.2: circulation at four stations, root to tip",
        wings.BERTIN_GAMMA,
        tuple(float(each) for each in circulation),
        4,
    )
    yield Row("the same wing: lift slope", (wings.BERTIN_SLOPE,), (bertin.derivatives()["CL_alpha"],), 3)
    yield Row(
        "the same wing measured by Weber & Brebner: C_L at "
        + " / ".join(f"{angle:g}°" for angle, _ in wings.WEBER),
        tuple(lift for _, lift in wings.WEBER),
        tuple(wings.weber(angle) for angle, _ in wings.WEBER),
        3,
    )
    lift, moment = wings.warren_extrapolated()
    yield Row("Warren 12: lift slope", (wings.WARREN[0],), (lift,), 3)
    yield Row("Warren 12: pitching moment slope about the apex", (wings.WARREN[1],), (moment,), 2)
    yield Row("flat square wing (Tuck): lift slope", (wings.TUCK,), (wings.square_wing(),), 5)
    yield Row("slope of a flat plate in two dimensions over 2π, aspect ratio 2000", (1.0,), (_plate(),), 3)


def _plate() -> float:
    return float(aspect(2000.0, 4, 12).strip("wing").cl[0, 1]) / (2.0 * pi)


def _rectangles() -> Iterable[Row]:
    for ratio, slope, centre in wings.RECTANGLES:
        lattice = aspect(ratio, 24, 16)
        ours = lattice.derivatives()["CL_alpha"]
        yield Row(f"aspect ratio {ratio:g}: lift slope", (slope,), (ours,), 4)
        yield Row(f"aspect ratio {ratio:g}: neutral point, chords", (centre,), (lattice.neutral_point(),), 3)


def _tails() -> Iterable[Row]:
    ours, theory = tails.elliptic_downwash(60.0)
    yield Row("downwash dε/dα far behind an elliptic wing in its plane, 2 C_Lα/(π A)", (theory,), (ours,), 4)
    for height in (0.0, 0.06):
        shift, handbook = tails.handbook_shift(height)
        what = f"neutral point moved by a tail {1e3 * height:.0f} mm above the wing, chords, by tail volume"
        yield Row(what, (handbook,), (shift,), 3)
    chart = tails.DIHEDRAL_CHART * 1e5
    yield Row(
        "dihedral effect C_lβ/Γ of a rectangle, aspect ratio 6, 10⁻⁵ per degree²",
        (chart,),
        (tails.dihedral_per_degree() * 1e5,),
        1,
    )
    for ratio in (4.0, 8.0):
        strips = -tails.published_slope(0.5 * ratio) / 4.0 * np.radians(5.0)
        slope = tails.dihedral(ratio).derivatives()["Cl_beta"]
        yield Row(f"dihedral of 5°, aspect ratio {ratio:g}: C_lβ by strips", (float(strips),), (slope,), 4)
    for what, ratio, tail in (("free", 0.13 / 0.11, False), ("on a tailplane", 0.26 / 0.11, True)):
        slope = tails.finned(0.0 if tail else 0.05, tail).derivatives()["Cn_beta"]
        yield Row(f"fin {what}: C_nβ by fin volume", (tails.fin_by_handbook(ratio),), (slope,), 4)
    for angle in (20.0, 35.0):
        lift, _ = tails.v_tail(angle)
        what = f"V-tail of {angle:g}°: lift slope over the flat one's, cos²Γ"
        yield Row(what, (float(np.cos(np.radians(angle)) ** 2),), (lift,), 3)


def _flap_formulas() -> Iterable[Row]:
    for part, tau, moment, b1, b2 in flaps.TABLE:
        functions = (
            glauert.effectiveness,
            glauert.moment_slope,
            glauert.hinge_alpha_slope,
            glauert.hinge_flap_slope,
        )
        ours = tuple(float(function(part)) for function in functions)
        yield Row(f"flap of {part:g} chord: τ, c_mδ, b₁, b₂", (tau, moment, b1, b2), ours, 3)


def _flap_lattice() -> Iterable[Row]:
    for part in flaps.PARTS:
        wanted = (float(glauert.effectiveness(part)), float(glauert.moment_slope(part)))
        yield Row(f"flap of {part:g} chord: τ, c_mδ", wanted, flaps.two_dimensional(part, 12), 4)


def _trim_table() -> Iterable[Row]:
    for cm0, columns in trim.TABLE.items():
        for margin, wanted in zip(trim.MARGINS, columns, strict=True):
            slopes = trim.slopes(trim.FINAL, cm0, margin)
            states = (solve_trim(slopes, trim.lift_at(speed)) for speed in trim.SPEEDS)
            ours = tuple(float(edge_up(state.delta, trim.SHARE * trim.CHORD * 1e3)) for state in states)
            yield Row(f"c_m0 {cm0:+.3f}, static margin {100 * margin:.0f} %", wanted, ours, 1, relative=False)


def _power() -> Iterable[Row]:
    for speed, wanted in trim.TILT_AS_EDGE:
        tilt = float(thrust_moment(4.4, 0.0, 0.21, -np.radians(3.0)))
        cm = tilt / (0.5 * trim.DENSITY * speed**2 * trim.SPAN * trim.CHORD**2)
        delta = cm / (trim.ETA * control_power(trim.slopes(trim.FINAL, 0.0, 0.08)))
        up = float(edge_up(delta, trim.SHARE * trim.CHORD * 1e3))
        yield Row(f"3° of tilt as trailing edge up at {speed:g} m/s, mm", (wanted,), (up,), 1, relative=False)


def _air() -> Iterable[Row]:
    for height, kelvin, pascal, density, mu in air.TABLE:
        state = standard_air(height)
        wanted = (kelvin, pascal / 100.0, density, mu)
        ours = (state.temperature, state.pressure / 100.0, state.density, state.viscosity * 1e5)
        yield Row(f"{height:g} m: K, hPa, kg/m³, 10⁻⁵ Pa s", wanted, tuple(float(v) for v in ours), 4)
    for speed, induced in stream.MOMENTUM:
        found = float(induced_velocity(5.0, speed, 1.225, stream.AREA))
        yield Row(f"propeller disc, 5 N at {speed:g} m/s: added velocity, m/s", (induced,), (found,), 3)
    square = float(rectangle_factor(np.array(1.0), np.array(1.0)))
    yield Row("square body section: apparent mass over the circle's", (_square(),), (square,), 2)


def _square() -> float:
    """Conformal map of the square: c = Γ(1/4)²/(4 π^1.5) of its side, (2 π c² - 1)/(π/4)."""
    radius = gamma(0.25) ** 2 / (4.0 * pi**1.5)
    return float((2.0 * pi * radius**2 - 1.0) / (pi / 4.0))


def _folds() -> Iterable[Row]:
    slit, rounded = Box(80.0, 50.0, 300.0, 5.0, "slit"), Box(80.0, 50.0, 300.0, 5.0, "crush", 5.0, 5.0)
    for k, box in ((0.0, slit), (1.0, rounded)):
        yield Row(
            f"bend deduction at 90°, 5 mm board, R = 0, K = {k:g}, mm",
            (folds.bend_deduction(pi / 2, 5.0, 0.0, k),),
            ((180.0 - folds.flat_width(box_blank(box))) / 2.0,),
            3,
            relative=False,
        )
    methods: tuple[Method, ...] = ("groove", "crush", "rebate", "slit")
    for method in methods:
        lost = 4.0 if method == "slit" else 0.0
        box = Box(70.0, 45.0, 250.0, 5.0, method, 5.0 if method == "crush" else 0.0)
        flat = folds.flat_width(box_blank(box))
        yield Row(
            f"flat width of a U box 70 wide, 45 high, 5 mm board, {method}, mm",
            (70.0 + 90.0 - lost * 5.0,),
            (flat,),
            3,
            relative=False,
        )
    yield Row(
        "board saved by a corner of 1 mm outer radius at 90°, mm",
        (2.0 - pi / 2,),
        (radius_gain(pi / 2, 1.0),),
        3,
        relative=False,
    )
    yield Row(
        "turn up to which a crush as wide as the board is free, °", (53.13,), (_free(),), 2, relative=False
    )


def _free() -> float:
    """Greatest turn at which nothing is squeezed; first principles: t tan(θ/2) = t/2."""
    low, high = 0.0, pi / 2
    while high - low > 1e-12:
        middle = 0.5 * (low + high)
        low, high = (middle, high) if crush_squeezed(middle, 5.0, 5.0) <= 0.0 else (low, middle)
    return degrees(low)


def _friction() -> Iterable[Row]:
    yield Row("laminar plate (Blasius), Reynolds number 100,000", (0.00420,), (float(laminar(1e5)),), 5)
    for reynolds, wanted in ((1e6, 0.455 / 6.0**2.58), (1e7, 0.00300)):
        what = f"turbulent plate (Prandtl-Schlichting), Reynolds number {reynolds:,.0f}"
        yield Row(what, (wanted,), (float(turbulent(reynolds)),), 5)
    skin = 0.012
    yield Row(
        "blunt trailing edge 2 % thick, friction 0.012: 0.135 (h/c)^(4/3)/C_f^(1/3)",
        (0.135 * 0.02 ** (4.0 / 3.0) / skin ** (1.0 / 3.0),),
        (float(base_drag(0.02, skin)),),
        5,
    )


def _drive() -> Iterable[Row]:
    kv = 1000.0 * RPM
    state, best = at_current(11.1, 10.0, kv, 0.1, 0.6), float(best_current(11.1, 0.1, 0.6))
    ours = (state.omega / RPM, state.torque, state.shaft, state.efficiency)
    wanted = (10_100.0, 0.08976, 94.94, 0.8553)
    yield Row("motor at 10 A: 1/min, N m, W, efficiency", wanted, tuple(float(v) for v in ours), 4)
    peak = (best, float(at_current(11.1, best, kv, 0.1, 0.6).efficiency))
    yield Row("the same motor: current of best efficiency, A, and the efficiency", (8.161, 0.8584), peak, 4)
    screw = propellers.of(9.0, 6.0)
    thrust, power = (float(value) for value in screw.at(0.0))
    measured = (0.105, 0.0475, 0.775)
    what = "propeller 9 x 6: C_T, C_P at rest, J without thrust; middle of the measured ranges"
    yield Row(what, measured, (thrust, power, screw.zero_thrust), 4)


def _performance() -> Iterable[Row]:
    speeds = np.linspace(80.0, 160.0, 161)
    pressure = 0.5 * float(standard_air(6000.0).density) * speeds**2
    weight, area = 51.0e3, 20.0
    drag = (pressure * area * (0.015 + 0.04 * (weight / (pressure * area)) ** 2))[:, None]
    least, at = peak(-drag, speeds)
    spare = -1.1 * least - drag
    ends = (-float(crossing(spare[::-1], -speeds[::-1])[0]), float(crossing(spare, speeds)[0]))
    yield Row("speed of least drag at 6 km, m/s", (112.36,), (float(at[0]),), 2)
    yield Row("slow and fast speed with a tenth more thrust than that, m/s", (90.0, 140.3), ends, 1)


def _modes() -> Iterable[Row]:
    short, slow = modes(mode_cases.B747_LONG)
    dutch, roll, spiral = modes(mode_cases.B747_LAT)
    quick, long = modes(lengthwise_matrices(mode_cases.navion(), 53.64))
    for what, mode, wanted, digits in (
        ("Boeing 747, short period", short, (-0.3719, 0.8875), 4),
        ("Boeing 747, phugoid", slow, (-0.003289, 0.06723), 6),
        ("Boeing 747, Dutch roll", dutch, (-0.0330, 0.9465), 4),
        ("NAVION, short period", quick, (-2.51, 2.59), 2),
        ("NAVION, phugoid", long, (-0.017, 0.213), 3),
    ):
        yield Row(f"{what}: real and imaginary part, 1/s", wanted, (mode.root.real, mode.root.imag), digits)
    found = (roll.root.real, spiral.root.real)
    yield Row("Boeing 747, roll and spiral root, 1/s", (-0.5625, -0.0073), found, 4)
    yield Row("Lanchester's phugoid at 10 m/s, s", (4.53,), (lanchester_period(10.0),), 2)


def _linkages() -> Iterable[Row]:
    yield Row(
        "four-bar of 40, 120, 80, frame 100 mm, arm at 40°: horn, open and crossed circuit, degrees",
        (rods.OPEN_DEG, rods.CROSSED_DEG),
        (rods.found_deg(1.0), rods.found_deg(-1.0)),
        2,
        relative=False,
    )
    yield Row(
        "arm 10, horn 20 mm, endless rod, servo at 40°: deflection by the ratio of sines, degrees",
        (rods.sines_deg(),),
        (rods.long_rod_deg(),),
        3,
        relative=False,
    )


GROUPS = (
    Group(
        "Lifting surfaces",
        "Bertin & Smith, *Aerodynamics for Engineers*; Weber & Brebner, ARC R&M 2882, 1958 (an experiment:"
        " friction and thickness are in it); Warren 12; Tuck. Recalled from memory where the sources are not"
        " at hand, and recomputed by an independent script. Slopes per radian.",
        _wings,
    ),
    Group(
        "Flat rectangular wings",
        "Lifting-surface values extrapolated by an independent script; 24 x 16 panels a half here, not"
        " extrapolated.",
        _rectangles,
    ),
    Group(
        "Several surfaces",
        "Prandtl's lifting line (downwash); USAF Datcom, sections 4.4.1 and 5.1.2, formula and chart from"
        " memory (downwash in the tail-volume formula, dihedral effect); Etkin & Reid, *Dynamics of Flight*,"
        " 3rd ed. (tail volume, strips, fin) with the slopes of the rectangles above, each half of a wing"
        " with dihedral as a wing of half the aspect ratio, a fin on a tailplane as one of twice its own;"
        " Purser & Campbell, NACA Report 823, 1945 (V-tail). Handbook estimates: 10 to 15 % is what they are"
        " good for.",
        _tails,
    ),
    Group(
        "Hinged flap, closed forms",
        "Glauert, ARC R&M 1095, 1927; Houghton & Carpenter, *Aerodynamics for Engineering Students*,"
        " eqs 4.49-4.57.",
        _flap_formulas,
    ),
    Group(
        "Hinged flap, lattice in the two-dimensional limit",
        "The closed forms above; 12 chordwise panels, aspect ratio 2000.",
        _flap_lattice,
    ),
    Group(
        "Trim of a fixed plank",
        "The project's own worked numbers from an earlier prototype, not published: span 0.66 m, chord"
        " 0.22 m, 0.38 kg, control of 22 % chord over the whole span. Millimetres of trailing edge up at"
        " 12 / 9 / 8 m/s.",
        _trim_table,
    ),
    Group("Tilt of the thrust line", "The same notes: 4.4 N, motor 0.21 m behind the balance point.", _power),
    Group(
        "Air, propeller disc, body",
        "ISO 2533 and momentum theory, recomputed from their formulas; the square by conformal mapping.",
        _air,
    ),
    Group(
        "Friction and blunt edges",
        "Blasius; Prandtl-Schlichting, formula and (10⁷) table from memory; Hoerner, *Fluid-Dynamic Drag*,"
        " from memory.",
        _friction,
    ),
    Group(
        "Motor and propeller",
        "M. Drela, *First-Order DC Electric Motor Model*, MIT 2007, recomputed; Deters, Ananda & Selig, AIAA"
        " 2014-2151 and Brandt & Selig 2011, ranges from memory: C_T 0.10 to 0.11, C_P 0.045 to 0.05,"
        " J 0.75 to 0.8.",
        _drive,
    ),
    Group(
        "Performance",
        "H. Smith, *Aircraft Flight Mechanics* (open textbook, read): 20 m², 51.0 kN,"
        " C_D = 0.015 + 0.04 C_L².",
        _performance,
    ),
    Group(
        "Modes of motion",
        "Etkin & Reid, *Dynamics of Flight* (747 in ft and s; lateral roots from memory); Nelson, *Flight"
        " Stability and Automatic Control* (NAVION, three figures); Lanchester.",
        _modes,
    ),
    Group(
        "Folds",
        "Sheet-metal handbook form of the bend deduction; first principles for the others.",
        _folds,
    ),
    Group(
        "Control linkages",
        "Norton, *Design of Machinery*, example 4-1, recalled from memory; first principles. Freudenstein's"
        " equation is held along whole throw curves to 1e-12 in `tests/physics/test_linkage.py`.",
        _linkages,
    ),
)

HEAD = """# Validation

Expected value, ours and the difference, side by side. This file is written by `make docs` from the data that
the tests use; a test fails when it no longer agrees with the code. Where a line holds several values, the
difference is the greatest of them. Where each number comes from stands above its table; none of it is a
measurement of a folded aeroplane, so it shows that the sums are right, not that an aeroplane flies.
What the model leaves out is in [model.md](model.md).
"""

TAIL = """
## Held in the tests as limits

These have no single number to print; the tests named hold them on many random cases.

| what | limit | test |
|---|---|---|
| folded, laid flat and folded again: random wings and boxes | 1e-9 mm | `tests/geometry/fold` |
| panels that share room when folded | 1e-3 mm³ | `tests/geometry/fold/test_solids.py` |
| marks carried to the flat board and back | 1e-9 mm | `tests/geometry/fold/test_marks.py` |
| mass, centre of gravity, inertia against a mesh library | 1e-9 | `tests/geometry/fold/test_mass.py` |
| elliptic wing: span efficiency | 0.99 to 1 | `tests/physics/test_lattice_published.py` |
| a tail's downwash as its span changes in the wing's wake, against a smooth curve | 0.1 % |\
 `tests/physics/test_lattice_tails.py` |
| tight fins at lift, any chordwise panels: side force, rolling moments | 2 % |\
 `tests/physics/test_lattice_tails.py` |
| neutral point with the lattice's own downwash and slopes in the tail-volume formula | 1e-12 |\
 `tests/physics/test_lattice_tails.py` |
"""


def text() -> str:
    """The whole file."""
    parts = [HEAD]
    for group in GROUPS:
        rows = "\n".join(row.cells() for row in group.rows())
        parts.append(
            f"\n## {group.title}\n\n{fill(group.source, 112)}\n\n"
            f"| | expected | ours | difference |\n|---|---|---|---|\n{rows}\n"
        )
    return "".join([*parts, TAIL])


if __name__ == "__main__":
    FILE.write_text(text(), encoding="utf-8")
