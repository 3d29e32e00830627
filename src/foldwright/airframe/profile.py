"""Lines that bend: a body's half width, floor and upper edge along x, and their parallels."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import atan, hypot

SAME = 1e-9  # mm: points nearer than this are one


@dataclass(frozen=True, slots=True)
class Profile:
    """A line y(x), straight between its points; x strictly increasing, mm. Straight on beyond both ends."""

    x: tuple[float, ...]
    y: tuple[float, ...]

    @staticmethod
    def of(x: Sequence[float], y: Sequence[float]) -> Profile:
        """The line through points, those in the middle of a straight run left out."""
        kept = [(float(x[0]), float(y[0]))]
        for index in range(1, len(x)):
            here = (float(x[index]), float(y[index]))
            last = index == len(x) - 1
            if last or abs(_slope(here, (x[index + 1], y[index + 1])) - _slope(kept[-1], here)) > SAME:
                kept.append(here)
        return Profile(tuple(p for p, _ in kept), tuple(q for _, q in kept))

    @property
    def slopes(self) -> tuple[float, ...]:
        """The gradient dy/dx of every straight run."""
        return tuple(_slope(p, q) for p, q in pairwise(zip(self.x, self.y, strict=True)))

    @property
    def kinks(self) -> tuple[float, ...]:
        """Every x at which the line bends."""
        return self.x[1:-1]

    def run(self, x: float) -> int:
        """Index of the straight run that holds x (the later one at a bend)."""
        # looked for between the second and the last point: beyond the ends the outer runs go on
        return bisect_right(self.x, x, 1, len(self.x) - 1) - 1

    def slope(self, x: float) -> float:
        """Gradient at x (behind a bend where x is one)."""
        index = self.run(x)
        return _slope((self.x[index], self.y[index]), (self.x[index + 1], self.y[index + 1]))

    def at(self, x: float) -> float:
        """Ordinate at x, straight on beyond the ends."""
        xs, ys, index = self.x, self.y, self.run(x)
        return ys[index] + (ys[index + 1] - ys[index]) / (xs[index + 1] - xs[index]) * (x - xs[index])

    def turn(self, x: float) -> float:
        """Signed turn of direction at a bend, rad, positive toward +y; 0 elsewhere."""
        slopes = self.slopes
        for index, kink in enumerate(self.kinks):
            if abs(kink - x) < SAME:
                return atan(slopes[index + 1]) - atan(slopes[index])
        return 0.0

    def offset(self, distance: float) -> Profile | None:
        """The parallel at `distance` mm toward +y (square to each run), mitred at bends, over the same x.

        None where a run is too short for its bends: its parallel would have no length left.
        """
        m = self.slopes
        c = [self.y[i] - m[i] * self.x[i] + distance * secant(m[i]) for i in range(len(m))]
        xs = [self.x[0], *((c[i] - c[i + 1]) / (m[i + 1] - m[i]) for i in range(len(m) - 1)), self.x[-1]]
        if any(after - before < SAME for before, after in pairwise(xs)):
            return None
        rows = [*range(len(m)), len(m) - 1]
        return Profile(tuple(xs), tuple(c[row] + m[row] * x for row, x in zip(rows, xs, strict=True)))

    def shifted(self, distance: float) -> Profile:
        """Every ordinate moved by `distance` mm."""
        return Profile(self.x, tuple(y + distance for y in self.y))

    def gathered(self, places: Sequence[tuple[float, float]]) -> Profile:
        """The line with bends moved to places (x, distance) that they come nearer to than that distance.

        The line lies nowhere above this one: a moved bend takes the lower of its two runs at the new place,
        and the higher run is left for it within that distance.
        """
        points: dict[float, float] = {}
        slopes = self.slopes
        for index, (x, y) in enumerate(zip(self.x, self.y, strict=True)):
            near = [entry for entry in places if abs(entry[0] - x) < entry[1]]
            if not near or index in {0, len(self.x) - 1}:
                points[x] = min(y, points.get(x, y))
                continue
            place, distance = min(near, key=lambda entry: abs(entry[0] - x))
            runs = [y + slope * (place - x) for slope in slopes[index - 1 : index + 1]]
            low = min(runs)
            points[place] = min(low, points.get(place, low))
            for height, slope, end, way in zip(
                runs,
                slopes[index - 1 : index + 1],
                (self.x[index - 1], self.x[index + 1]),
                (-1.0, 1.0),
                strict=True,
            ):
                if height > low + SAME and 2.0 * distance < abs(end - place):
                    points[place + way * distance] = height + slope * way * distance
        rows = sorted(points.items())
        return Profile(tuple(x for x, _ in rows), tuple(y for _, y in rows))

    def between(self, start: float, stop: float) -> list[tuple[float, float]]:
        """Points of the line from start to stop: both ends and every bend between them."""
        inner = [x for x in self.kinks if start + SAME < x < stop - SAME]
        return [(x, self.at(x)) for x in (start, *inner, stop)]

    def extremes(self, start: float, stop: float) -> tuple[float, float]:
        """Least and greatest ordinate between two x."""
        values = [y for _, y in self.between(start, stop)]
        return min(values), max(values)

    def steepest(self, start: float, stop: float) -> float:
        """Greatest gradient between two x, without sign."""
        return max(abs(_slope(p, q)) for p, q in pairwise(self.between(start, stop)))

    def straight_below(self, start: float, stop: float) -> tuple[float, float]:
        """Gradient m and constant c of a straight line m*x + c nowhere above this one from start to stop.

        It is the line itself where that is straight there, else its chord lowered as far as needed.
        """
        points = self.between(start, stop)
        m = _slope(points[0], points[-1])
        return m, min(y - m * x for x, y in points)

    def straight_above(self, start: float, stop: float) -> tuple[float, float]:
        """As `straight_below`, nowhere below this one."""
        m, c = Profile(self.x, tuple(-y for y in self.y)).straight_below(start, stop)
        return -m, -c


def _slope(p: tuple[float, float], q: tuple[float, float]) -> float:
    return (q[1] - p[1]) / (q[0] - p[0])


def secant(slope: float) -> float:
    """1/cos of a slope's angle, sqrt(1 + slope²)."""
    return hypot(1.0, slope)
