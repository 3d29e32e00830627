"""Which pages of a grid have to be printed so that all of them join to one sheet."""

from __future__ import annotations

from collections import deque

Place = tuple[int, int]
"""Row and column of a page, from 0."""


def joined(places: frozenset[Place], rows: int, columns: int) -> frozenset[Place]:
    """The places, and as few more as join each island to the next over a shortest way of pages side by side.

    Same input, same pages: ways begin at the island of the first page by row and column.
    """
    kept = set(places)
    while kept:
        island = _island(min(kept), kept)
        rest = kept - island
        if not rest:
            break
        kept |= _way(island, rest, rows, columns)
    return frozenset(kept)


def _beside(place: Place) -> tuple[Place, ...]:
    row, column = place
    return ((row, column - 1), (row, column + 1), (row - 1, column), (row + 1, column))


def _island(start: Place, places: set[Place]) -> set[Place]:
    """All places that can be reached from one over neighbours."""
    found, left = {start}, [start]
    while left:
        for place in _beside(left.pop()):
            if place in places and place not in found:
                found.add(place)
                left.append(place)
    return found


def _way(island: set[Place], rest: set[Place], rows: int, columns: int) -> set[Place]:
    """The places between an island and the nearest of the rest."""
    before: dict[Place, Place | None] = dict.fromkeys(sorted(island))
    left = deque(before)
    while left:
        here = left.popleft()
        for place in _beside(here):
            if place in before or not (0 <= place[0] < rows and 0 <= place[1] < columns):
                continue
            before[place] = here
            if place in rest:
                return _back(before[place], before) - island
            left.append(place)
    return set()


def _back(place: Place | None, before: dict[Place, Place | None]) -> set[Place]:
    found: set[Place] = set()
    while place is not None:
        found.add(place)
        place = before[place]
    return found
