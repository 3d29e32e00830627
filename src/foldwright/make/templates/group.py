"""Which blanks are traced with one plate: equal ones, and the two of a pair that mirror each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Cutter, Workshop
from foldwright.evaluate import Results
from foldwright.geometry.fold.model import Blank
from foldwright.layout.as_cut import as_cut, is_one_piece
from foldwright.make.blank_drawing import draw_blank
from foldwright.make.templates.traces import Trace, board_of, same_outline, traces_of, unmatched

_FLIP = np.array([1.0, -1.0])


@dataclass(frozen=True, slots=True, eq=False)
class Group:
    """Blanks that one plate serves.

    number: from 1, in the order of the aeroplane's blanks. blank: the first of them, as cut; area and traces
    in its frame, lines that only one of them has included (`Trace.only` names it). same: others traced alike,
    upper side up. turned: those traced with the plate turned over. copies, turned_copies: how many pieces of
    board that makes.
    """

    number: int
    blank: Blank
    area: shapely.Polygon
    traces: tuple[Trace, ...]
    same: tuple[str, ...] = ()
    turned: tuple[str, ...] = ()
    copies: int = 1
    turned_copies: int = 0

    @property
    def names(self) -> tuple[str, ...]:
        """Every blank that the plate serves."""
        return (self.blank.name, *self.same, *self.turned)


@dataclass(frozen=True, slots=True, eq=False)
class Groups:
    """All groups of an aeroplane, and findings about blanks that are in none."""

    groups: tuple[Group, ...]
    findings: tuple[Finding, ...]

    def of(self, name: str) -> Group:
        """The group of a blank. Raises KeyError."""
        for group in self.groups:
            if name in group.names:
                return group
        raise KeyError(name)


def groups(results: Results, workshop: Workshop) -> Groups:
    """The blanks of an aeroplane by the plates that trace them."""
    return groups_of([one.blank for one in results.airframe.placed], workshop.cutter)


def groups_of(blanks: Sequence[Blank], cutter: Cutter) -> Groups:
    """Blanks by the plates that trace them; one that falls apart has none (P95)."""
    found: list[Group] = []
    findings: list[Finding] = []
    for blank in (as_cut(one) for one in blanks):
        if not is_one_piece(blank):
            findings.append(Finding("P95", "watch", blank.name))
            continue
        drawing = draw_blank(blank, cutter)
        new = Group(len(found) + 1, blank, board_of(drawing), traces_of(blank, drawing), copies=blank.copies)
        joined = _joined(found, new)
        if joined is None:
            found.append(new)
        else:
            found[joined.number - 1] = joined
    return Groups(tuple(found), tuple(findings))


def _joined(found: Sequence[Group], new: Group) -> Group | None:
    """The group that takes a blank in, with it."""
    for group in found:
        if new.blank.mirror_of == group.blank.name:
            turned = _as_turned(group, new)
            if turned is not None:
                return turned
    return next((same for group in found if (same := _as_same(group, new)) is not None), None)


def _as_turned(group: Group, new: Group) -> Group | None:
    """With the mirror image of its blank; lines that one of the two lacks are named for the other."""
    area = shapely.transform(new.area, _mirror)
    if not same_outline(group.area, area):
        return None
    mine, its = unmatched([one for one in group.traces if not one.only], new.traces, _mirror)
    return replace(
        group,
        traces=(*_for_one(group.traces, mine, group.blank.name), *_of_other(its, new.blank.name)),
        turned=(*group.turned, new.blank.name),
        turned_copies=group.turned_copies + new.copies,
    )


def _for_one(traces: Sequence[Trace], lone: Sequence[Trace], name: str) -> list[Trace]:
    return [replace(one, only=name) if any(one is other for other in lone) else one for one in traces]


def _of_other(traces: Sequence[Trace], name: str) -> list[Trace]:
    return [replace(one.moved(_mirror), only=name) for one in traces]


def _as_same(group: Group, new: Group) -> Group | None:
    """With a blank equal in every line, moved but not turned."""
    step = np.asarray(group.area.bounds[:2]) - np.asarray(new.area.bounds[:2])

    def to(points: FloatArray) -> FloatArray:
        moved: FloatArray = points + step
        return moved

    if group.turned or not same_outline(group.area, shapely.transform(new.area, to)):
        return None
    if any(unmatched(new.traces, group.traces, to)):
        return None
    return replace(group, same=(*group.same, new.blank.name), copies=group.copies + new.copies)


def _mirror(points: FloatArray) -> FloatArray:
    mirrored: FloatArray = points * _FLIP
    return mirrored
