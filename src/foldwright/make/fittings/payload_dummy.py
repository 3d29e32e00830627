"""The dummy of a payload: a block of its size, mass and centre, from printed plastic and ballast nuts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from foldwright.airframe.fitting_model import Fitting
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Solid, box, extrude, without
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.geometry.solid.shape import hexagon
from foldwright.make.fittings.side_words import face_at, sunk, word_area
from foldwright.make.printing import Extra, Made

WALL_MM = 2.4
"""Left about pockets and under them, mm."""
PLAY_MM = 0.3
"""Of a nut in its pocket, across its flats, where the printer's clearance is no larger."""
USUAL_INFILL = 0.2
"""[judgement] what a block prints well with; the nuts are chosen so that it comes near."""
LEAST_INFILL, MOST_INFILL = 0.05, 1.0
SAME_MM = 1.0
"""A dummy's centre is the payload's within this (as it is read back)."""
_STEPS = 50
_SHARES = (0.0, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9)


@dataclass(frozen=True, slots=True)
class _Task:
    """What the dummy is to be: size mm, mass g, nuts (g, mm across, mm high), filament g/mm³, shell mm."""

    size: tuple[float, float, float]
    mass: float
    nut: tuple[float, float, float]
    density: float
    shell: float


@dataclass(frozen=True, slots=True)
class _Try:
    """One way to do it. columns, each: nuts in all are columns times each; window: share of length and width
    that a window through its middle takes; infill: 0-1 that gives the mass.
    """

    columns: int
    each: int
    window: float
    infill: float
    bottom: float

    @property
    def nuts(self) -> int:
        return self.columns * self.each


def dummy_for(fitting: Fitting, printer: Printer) -> Extra:
    """The dummy of what a carrier holds, where the payload stands in the carrier's own frame; its figures say
    what it weighs and where its centre is.

    nuts: to be put in; mass_g: with them; off_mm: of its centre from the block's middle, along z;
    lack_g: by how much it stays too light (or, negative, too heavy) where no block does it.
    """
    told = fitting.figures
    size = (told["payload_long_mm"], told["payload_wide_mm"], told["payload_high_mm"])
    across = told["nut_across_mm"] + max(PLAY_MM, printer.clearance_mm)
    nut = (told["nut_g"], across, told["nut_high_mm"])
    density = fitting.printed.filament.density_g_cm3 / 1000.0
    task = _Task(size, told["payload_g"], nut, density, printer.walls * printer.line_mm)
    best = min(_tries(task), key=lambda one: (_lack(one), round(abs(one.infill - USUAL_INFILL), 6), one.nuts))
    best = _settled(task, best)
    body = _block(task, best, _label(task))
    infill = round(min(max(best.infill, 0.0), MOST_INFILL), 3)
    mass = _plastic(task, body, infill) + best.nuts * nut[0]
    figures = {
        "nuts": float(best.nuts), "mass_g": mass, "payload_g": task.mass, "lack_g": task.mass - mass,
        "off_mm": _off(task, body, best, infill),
    }  # fmt: skip
    way = "flat, pockets upward" if best.nuts else "flat"
    # in the carrier's frame: it stands on the carrier's floor, as the payload does
    home = body.moved(z=told["stack_mm"] + size[2] / 2.0)
    made = Made(home, orientation=way, notes=_notes(task, best, mass, told.get("payload_off_mm", 0.0)))
    return Extra(f"{fitting.id}-dummy", "dummy of the payload", "dummies", made, infill, figures)


def _label(task: _Task) -> str:
    """Its name and mass, or the mass alone where there is no room for both."""
    full = f"DUMMY {task.mass:.0f} g"
    return full if word_area(full, task.size[0], task.size[2]) is not None else f"{task.mass:.0f} g"


def _lack(one: _Try) -> float:
    """How far its infill lies outside what can be printed."""
    return round(max(LEAST_INFILL - one.infill, one.infill - MOST_INFILL, 0.0), 6)


def _tries(task: _Task) -> Iterator[_Try]:
    """Blocks with even columns of nuts, then blocks with a window: all those that there is room for."""
    _, _, high = task.size
    most = int((high - WALL_MM) // task.nut[2])
    for columns in (0, 2, 4):
        if columns and not _fits(task, columns):
            continue
        for each in range(1, most + 1) if columns else (0,):
            if columns * each * task.nut[0] <= task.mass + 1e-9:
                yield _tried(task, columns, each, 0.0)
    for share in _SHARES[1:]:
        if all(length * (1.0 - share) / 2.0 >= WALL_MM for length in task.size[:2]):
            yield _tried(task, 0, 0, share)


def _fits(task: _Task, columns: int) -> bool:
    """Whether pockets leave their walls."""
    spots, (long, wide, _) = _spots(task, columns), task.size
    reach = task.nut[1] / 3.0**0.5 + WALL_MM
    inside = all(abs(x) + reach <= long / 2.0 and abs(y) + reach <= wide / 2.0 for x, y in spots)
    apart = min(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a in spots for b in spots if a != b)
    return inside and apart >= 2.0 * reach - WALL_MM


def _spots(task: _Task, columns: int) -> tuple[tuple[float, float], ...]:
    """Middles of the pockets, even about the block's middle."""
    long, wide, _ = task.size
    x, y = long / 4.0, wide / 4.0
    if columns == 2:
        return ((-x, 0.0), (x, 0.0)) if long >= wide else ((0.0, -y), (0.0, y))
    return ((-x, -y), (x, -y), (-x, y), (x, y)) if columns else ()


def _tried(task: _Task, columns: int, each: int, window: float) -> _Try:
    """A block of that kind and the infill that gives the mass, by its closed forms."""
    long, wide, high = task.size
    volume = long * wide * high * (1.0 - window**2)
    area = 2.0 * (long * wide * (1.0 - window**2) + (long + wide) * high * (1.0 + window))
    hexa = hexagon(task.nut[1])
    if columns:
        deep = high / 2.0 + each * task.nut[2] / 2.0
        volume -= columns * float(hexa.area) * deep
        area += columns * float(hexa.length) * deep
    wanted = (task.mass - columns * each * task.nut[0]) / task.density
    return _Try(columns, each, window, _infill(task, volume, area, wanted), 0.0)


def _infill(task: _Task, volume: float, area: float, wanted: float) -> float:
    """Infill that leaves `wanted` mm³ of plastic; below 0 where the shell alone is more."""
    shell = min(volume, area * task.shell)
    inside = volume - shell
    return (wanted - shell) / inside if inside > 1e-6 else (0.5 if abs(wanted - volume) < 1.0 else 2.0)


def _settled(task: _Task, one: _Try) -> _Try:
    """The pocket's bottom that puts the centre into the middle, and the infill by the solid itself."""
    bottom = _bottom(task, one)
    body = _block(task, _Try(one.columns, one.each, one.window, one.infill, bottom), _label(task))
    wanted = (task.mass - one.nuts * task.nut[0]) / task.density
    return _Try(one.columns, one.each, one.window, _infill(task, body.volume, body.area, wanted), bottom)


def _bottom(task: _Task, one: _Try) -> float:
    """Z of the pockets' bottom from the block's middle: the moments of void and nuts are even there.

    What the pockets take of plastic weighs d V (z_b + c/2)/2, the nuts n g (z_b + m h/2); d: mean density.
    """
    long, wide, high = task.size
    if not one.columns:
        return 0.0
    grams, across, tall = task.nut
    pocket = one.columns * float(hexagon(across).area)
    stack, nuts = one.each * tall, one.nuts * grams

    def moment(z: float) -> float:
        void = pocket * (high / 2.0 - z)
        density = (task.mass - nuts) / (long * wide * high - void)
        return nuts * (z + stack / 2.0) - density * void * (z + high / 2.0) / 2.0

    low, top = -high / 2.0 + WALL_MM, high / 2.0 - stack
    if moment(low) >= 0.0:
        return low
    if moment(top) <= 0.0:
        return top
    for _ in range(_STEPS):
        middle = (low + top) / 2.0
        low, top = (middle, top) if moment(middle) < 0.0 else (low, middle)
    return (low + top) / 2.0


def _block(task: _Task, one: _Try, label: str) -> Solid:
    """The block about its middle: pockets open above, a window through it, its name on its side."""
    long, wide, high = task.size
    body = box((-long / 2.0, -wide / 2.0, -high / 2.0), (long / 2.0, wide / 2.0, high / 2.0))
    deep = high / 2.0 - one.bottom + 1.0
    taken = [extrude(hexagon(task.nut[1], at), deep, one.bottom) for at in _spots(task, one.columns)]
    if one.window > 0.0:
        half_x, half_y = one.window * long / 2.0, one.window * wide / 2.0
        taken.append(extrude(shapely.box(-half_x, -half_y, half_x, half_y), high + 2.0, -high / 2.0 - 1.0))
    side = face_at((0.0, -wide / 2.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, 1.0))
    return sunk(without(body, taken), label, side, (long, high))


def _plastic(task: _Task, body: Solid, infill: float) -> float:
    """Grams of plastic."""
    return filled_mm3(body.volume, body.area, task.shell, infill) * task.density


def _off(task: _Task, body: Solid, one: _Try, infill: float) -> float:
    """Z of the dummy's centre with its nuts from the block's middle, mm, plastic of one mean density."""
    long, wide, high = task.size
    void = one.columns * float(hexagon(task.nut[1]).area) * (high / 2.0 - one.bottom)
    plastic, nuts = _plastic(task, body, infill), one.nuts * task.nut[0]
    moment = nuts * (one.bottom + one.each * task.nut[2] / 2.0)
    moment -= plastic / (long * wide * high - void) * void * (one.bottom + high / 2.0) / 2.0
    return moment / (plastic + nuts) if plastic + nuts > 0.0 else 0.0


def _notes(task: _Task, one: _Try, mass: float, off: float) -> tuple[str, ...]:
    """off: of the payload's own centre from the middle of its box, mm."""
    found = []
    if off > SAME_MM:
        found.append(
            f"What the bay holds has its centre {off:.1f} mm off the middle of the bay, the dummy in it."
        )
    if one.nuts:
        found.append(
            f"{one.nuts} nuts of {task.nut[0]:g} g: {one.each} in each of its {one.columns} pockets, with a"
            " drop of glue on top."
        )
    found.append(f"Weigh it: {task.mass:.1f} g are wanted; file or add tape until it is within 1 g.")
    if abs(task.mass - mass) > 0.5:
        way = "lighter" if mass > task.mass else "heavier"
        found.append(
            f"The payload is {way} than a block of its size can be printed: this one has {mass:.1f} g."
        )
    return tuple(found)
