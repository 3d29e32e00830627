"""Boxes for the tests: one by hand, and as many at random as wanted."""

from __future__ import annotations

from typing import Any

import numpy as np

from foldwright.airframe.model import Board
from foldwright.design.parts import Box
from foldwright.geometry.fold.mass import Material


def board(thickness: float = 5.0, radius: float = 0.0) -> Board:
    return Board(thickness, Material(thickness, 3.3e-5, 1e-4), radius, thickness, 0.5)


def station(x: float, width: float, bottom: float, top: float) -> dict[str, float]:
    return {"x_mm": x, "width_mm": width, "bottom_mm": bottom, "top_mm": top}


def box(**changes: Any) -> Box:
    """A body with a nose taper, a straight run and a tapered tail whose floor rises."""
    table: dict[str, Any] = {
        "kind": "box",
        "id": "body",
        "station": (
            station(-60, 40, -26, 10),
            station(0, 56, -30, 22),
            station(250, 56, -30, 22),
            station(385, 40, -18, 22),
        ),
        "former": (
            {"id": "nose", "x_mm": -60, "role": "nose"},
            {"id": "middle", "x_mm": 120, "hole": ({"width_mm": 20, "z_mm": -5},)},
            {"id": "mount", "x_mm": 378, "role": "motor", "hole": ({"width_mm": 8, "z_mm": 2},)},
        ),
        "deck": (
            {"id": "fore", "from_mm": -55, "to_mm": 60},
            {"id": "lid", "role": "hatch", "from_mm": 60, "to_mm": 150},
            {"id": "tray", "role": "tray", "from_mm": 10, "to_mm": 120, "z_mm": -10},
            {"id": "aft", "from_mm": 270, "to_mm": 378, "seat": "on"},
        ),
    }
    return Box.model_validate({**table, **changes})


def plain(width: float, height: float, length: float = 200.0, **changes: Any) -> Box:
    """A straight box without formers or decks."""
    stations = (station(0, width, 0, height), station(length, width, 0, height))
    return box(station=stations, former=(), deck=(), **changes)


def random_box(rng: np.random.Generator) -> tuple[Box, Board, float]:
    """A body of two to five stations with a straight run, formers, decks and a motor tilt, at random.

    Some grow wider or deeper away from the run, some have a floor that slopes along the run.
    """
    t = float(rng.uniform(3.0, 6.5))
    slope = float(rng.choice([0.0, rng.uniform(-0.15, 0.15)]))
    length = float(rng.uniform(90, 260))
    width, bottom, top = float(rng.uniform(36, 70)), float(rng.uniform(-40, -15)), float(rng.uniform(15, 35))
    rows = [(0.0, width, bottom, top), (length, width, bottom + slope * length, top + slope * length)]
    for _ in range(int(rng.integers(0, 3))):
        rows.append(_onward(rng, rows[-1], 1.0))
    for _ in range(int(rng.integers(0, 2))):
        rows.insert(0, _onward(rng, rows[0], -1.0))
    first, last = rows[0][0], rows[-1][0]
    places = np.linspace(first + 2, last - 3 * t, 4)
    formers: list[dict[str, Any]] = [
        {"id": "nose", "x_mm": first, "role": "nose"},
        {"id": "one", "x_mm": float(places[1])},
        {"id": "two", "x_mm": float(places[2])},
        {"id": "end", "x_mm": last - 1.6 * t, "role": str(rng.choice(["motor", "tail"]))},
    ]
    low = max(row[2] for row in rows) + 2.5 * t
    deck = float(rng.uniform(places[0] + 10, places[3]))
    decks: list[dict[str, Any]] = [
        {"id": "fore", "from_mm": first + t, "to_mm": deck, "seat": str(rng.choice(["on", "between"]))},
        {"id": "lid", "role": "hatch", "from_mm": deck, "to_mm": last - 2 * t, "gap_mm": 0.5},
        {
            "id": "tray",
            "role": "tray",
            "from_mm": float(places[1]) + t,
            "to_mm": float(places[2]),
            "z_mm": low,
        },
    ]
    part = box(
        station=tuple(station(*row) for row in rows), former=tuple(formers), deck=tuple(decks),
        corner=str(rng.choice(["groove", "rebate", "slit"])), bend=str(rng.choice(["groove", "slit"])),
        least_inside_mm=5.0,
    )  # fmt: skip
    return part, board(t), float(rng.uniform(-0.1, 0.1))


def _onward(
    rng: np.random.Generator, row: tuple[float, float, float, float], way: float
) -> tuple[float, float, float, float]:
    run = float(rng.uniform(30, 120))
    x, width, bottom, top = row
    wider = float(rng.uniform(-0.22, 0.06)) * run
    return (
        x + way * run,
        max(width + wider, 30.0),
        bottom + float(rng.uniform(-0.04, 0.12)) * run,
        top + float(rng.uniform(-0.08, 0.08)) * run,
    )


def any_box(rng: np.random.Generator) -> tuple[Box, Board, float]:
    """A body of two to eight stations: tapers, floor slopes and upper edges as they come, one straight run.

    With formers, a deck, a hatch, openings, sometimes a rolled deck or nose.
    """
    t, count = float(rng.uniform(3, 6)), int(rng.integers(2, 9))
    straight = int(rng.integers(0, count - 1))
    row = [0.0, float(rng.uniform(40, 75)), float(rng.uniform(-40, -15)), float(rng.uniform(15, 35))]
    rows = [tuple(row)]
    for index in range(count - 1):
        run = float(rng.uniform(60, 200) if index == straight else rng.uniform(25, 160))
        if index != straight and rng.random() < 0.7:
            row[1] = float(np.clip(row[1] + rng.uniform(-0.35, 0.2) * run, 2 * t + 12, 90))
        for place in (2, 3):
            row[place] += float(rng.uniform(-0.2, 0.2)) * run if rng.random() < 0.7 else 0.0
        row[3] = max(row[3], row[2] + 25 + t)
        row[0] += run
        rows.append(tuple(row))
    long, middle = row[0], float(rng.uniform(0.3, 0.7)) * row[0]
    formers = (
        {"id": "nose", "x_mm": 0.0, "role": "nose"},
        {"id": "one", "x_mm": long * float(rng.uniform(0.2, 0.4)), "hole": ({"width_mm": 8, "z_mm": 0},)},
        {"id": "end", "x_mm": long - 1.6 * t, "role": "motor"},
    )
    decks: list[dict[str, Any]] = [
        {"id": "fore", "from_mm": t, "to_mm": middle, "seat": str(rng.choice(["on", "between"]))},
        {"id": "lid", "role": "hatch", "from_mm": middle, "to_mm": long - 2 * t},
    ]
    turn = rng.random()
    if turn < 0.3:
        start, stop = rows[straight][0], rows[straight + 1][0]
        rise = t + float(rng.uniform(0.1, 0.4)) * (rows[straight][1] / 2 - t)
        decks = [{"id": "arch", "role": "rolled", "from_mm": start, "to_mm": stop, "rise_mm": rise}]
    elif turn < 0.5:
        rise = t + float(rng.uniform(0.1, 0.4)) * ((rows[0][3] - rows[0][2]) / 2 - t)
        decks.append({"id": "cap", "role": "rolled_nose", "from_mm": -rise, "to_mm": 0.0})
    x = float(rng.uniform(0.1, 0.9)) * long
    openings = (
        {"id": "air", "role": "inlet", "x_mm": x, "z_mm": 0.0, "length_mm": 12, "height_mm": 8},
        {"id": "eye", "role": "camera", "panel": "floor", "shape": "round", "x_mm": x, "length_mm": 9},
    )
    part = box(
        station=tuple(station(*row) for row in rows), former=formers, deck=tuple(decks), opening=openings,
        corner=str(rng.choice(["groove", "rebate", "slit"])), bend=str(rng.choice(["groove", "slit"])),
        least_inside_mm=5.0, work=({"kind": "bare", "face": "b"},),
    )  # fmt: skip
    return part, board(t), float(rng.uniform(-0.06, 0.06))
