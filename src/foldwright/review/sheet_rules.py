"""Rules S80-S84: can this workshop cut it."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations

import shapely

from foldwright.airframe.model import Placed
from foldwright.base.finding import Finding
from foldwright.design.joints import JointModel
from foldwright.geometry.fold.flatcheck import outline
from foldwright.geometry.fold.model import Blank
from foldwright.review.keys import number_at
from foldwright.review.subject import PRACTICE, CureKey, Rule, Subject, judged

SLOT_LOW_MM, SLOT_HIGH_MM = -0.2, 0.3
"""Slot width less board thickness that holds and still goes together; common practice, no source."""
LEAST_PART_MM = 5.0
"""Least part or bridge of foam board; common practice, no source."""


@lru_cache(maxsize=64)
def outline_of(blank: Blank) -> shapely.Polygon | shapely.MultiPolygon:
    """Outline of a blank as cut; the last ones are remembered (blanks are compared by identity)."""
    return outline(blank)


def _extent(one: Placed) -> tuple[float, float]:
    """Longer and shorter side of a blank's bounding rectangle along u and v, mm."""
    low_u, low_v, high_u, high_v = outline_of(one.blank).bounds
    sides = sorted((high_u - low_u, high_v - low_v), reverse=True)
    return float(sides[0]), float(sides[1])


def sheet_size(subject: Subject) -> tuple[Finding, ...]:
    """S80: the largest blank goes on one of the workshop's sheets, border kept, square to its edges."""
    border = 2.0 * subject.workshop.board.border_mm
    sheets = [
        sorted((s.length_mm - border, s.width_mm - border), reverse=True)
        for s in subject.workshop.board.sheet
    ]
    return _fits(subject, "S80", sheets, "board.sheet")


def bed_size(subject: Subject) -> tuple[Finding, ...]:
    """S81: the largest blank goes on the cutter's bed."""
    bed = subject.workshop.cutter.bed_mm
    if bed is None:
        return ()
    return _fits(subject, "S81", [sorted(bed, reverse=True)], "cutter.bed_mm")


def _fits(subject: Subject, code: str, rooms: list[list[float]], where: str) -> tuple[Finding, ...]:
    found: list[Finding] = []
    have = " or ".join(f"{room[0]:.0f} x {room[1]:.0f}" for room in rooms)
    largest = (0.0, 0.0)
    for one in subject.airframe.placed:
        if one.blank.mirror_of:
            continue
        long, short = _extent(one)
        largest = max(largest, (long, short))
        if any(long <= room[0] and short <= room[1] for room in rooms):
            continue
        found += judged(
            code,
            "no-go",
            one.blank.name,
            long,
            max(room[0] for room in rooms),
            "mm",
            where,
            blank=one.blank.name,
            long=round(long, 1),
            short=round(short, 1),
            have=have,
        )
    clear = judged(
        code,
        "clear",
        where,
        largest[0],
        max(room[0] for room in rooms),
        "mm",
        where,
        blank="The largest blank",
        long=round(largest[0], 1),
        short=round(largest[1], 1),
        have=have,
    )
    return tuple(found) or clear


def _tabbed(subject: Subject) -> list[tuple[JointModel, float]]:
    """Joints that have tabs in slots, with their clearance, mm."""
    found: list[tuple[JointModel, float]] = []
    for joint in subject.design.joint:
        clearance = number_at(joint, "clearance_mm")
        if number_at(joint, "tabs") is not None and clearance is not None:
            found.append((joint, clearance))
    return found


def slot_fit(subject: Subject) -> tuple[Finding, ...]:
    """S82: slots neither split the tab nor fall off it."""
    found: list[Finding] = []
    for joint, value in _tabbed(subject):
        ok = SLOT_LOW_MM <= value <= SLOT_HIGH_MM
        found += judged(
            "S82",
            "clear" if ok else "watch",
            f"joint.{joint.id}.clearance_mm",
            value,
            SLOT_LOW_MM if value < SLOT_LOW_MM else SLOT_HIGH_MM,
            "mm",
            PRACTICE,
            clearance=value,
            low=SLOT_LOW_MM,
            high=SLOT_HIGH_MM,
        )
    return tuple(found)


LEAST_NEXT_MM = 1000.0
"""What stands for "nothing beside it", mm."""
BRIDGE_SLACK_MM = 0.05
"""Rounding of a cutter."""


@lru_cache(maxsize=64)
def _thin(blank: Blank) -> float:
    """Largest area that is narrower than LEAST_PART_MM, mm²; the last ones are remembered (by identity)."""
    half = LEAST_PART_MM / 2.0 - 0.05
    shape = outline_of(blank)
    opened = shape.buffer(-half, join_style="mitre").buffer(
        half * 1.001, join_style="mitre", mitre_limit=20.0
    )
    # mitres of spikes beside one another may leave a shell within a shell
    lost = shape.difference(shapely.make_valid(opened, method="structure", keep_collapsed=False))
    return float(max((part.area for part in shapely.get_parts(lost)), default=0.0))


def thin_places(subject: Subject) -> tuple[Finding, ...]:
    """S83: no part of a blank is narrower than board can be cut and handled."""
    found: list[Finding] = []
    for one in subject.airframe.placed:
        if one.blank.mirror_of:
            continue
        thin = _thin(one.blank)
        if thin > LEAST_PART_MM * LEAST_PART_MM:
            found += judged(
                "S83",
                "watch",
                one.blank.name,
                thin,
                LEAST_PART_MM * LEAST_PART_MM,
                "mm²",
                PRACTICE,
                blank=one.blank.name,
                area=round(thin),
                least=LEAST_PART_MM,
            )
    clear = judged(
        "S83",
        "clear",
        "part",
        0.0,
        LEAST_PART_MM,
        "mm",
        PRACTICE,
        blank="in any blank",
        area=0,
        least=LEAST_PART_MM,
    )
    return tuple(found) or clear


def bridges(subject: Subject) -> tuple[Finding, ...]:
    """S84: board is left between a hole and what is cut next to it, joints and openings all made."""
    found: list[Finding] = []
    narrowest = LEAST_NEXT_MM
    for one in subject.airframe.placed:
        if one.blank.mirror_of:
            continue
        left = _bridge(one.blank)
        narrowest = min(narrowest, left)
        if left < LEAST_PART_MM - BRIDGE_SLACK_MM:
            found += judged(
                "S84", "watch", one.blank.name, left, LEAST_PART_MM, "mm", PRACTICE,
                blank=one.blank.name, left=round(left, 1), least=LEAST_PART_MM,
            )  # fmt: skip
    return tuple(found) or judged(
        "S84", "clear", "part", narrowest, LEAST_PART_MM, "mm", PRACTICE,
        blank="any blank", left=round(narrowest, 1), least=LEAST_PART_MM,
    )  # fmt: skip


@lru_cache(maxsize=64)
def _bridge(blank: Blank) -> float:
    """Least distance between two rings of one piece of a blank as it is cut, mm; remembered by identity."""
    gaps = [
        float(one.distance(other))
        for piece in shapely.get_parts(outline_of(blank))
        if isinstance(piece, shapely.Polygon)
        for one, other in combinations((piece.exterior, *piece.interiors), 2)
    ]
    return min(gaps, default=LEAST_NEXT_MM)


def _wing_size_keys(subject: Subject) -> tuple[CureKey, ...]:
    wing = subject.wing_part
    keys = [CureKey(f"{wing.id}.span_mm", wing.span_mm * 0.6, wing.span_mm, 5.0)]
    spar, strip = number_at(wing, "spar.x_mm"), number_at(wing, "strip.aft_mm")
    if spar is not None and strip is not None:
        keys.append(CureKey(f"{wing.id}.strip.aft_mm", spar + 30.0, strip, 1.0))
    return tuple(keys)


def _clearance_keys(subject: Subject) -> tuple[CureKey, ...]:
    return tuple(
        CureKey(f"joint.{joint.id}.clearance_mm", SLOT_LOW_MM, SLOT_HIGH_MM, 0.05)
        for joint, _ in _tabbed(subject)
    )


RULES = (
    Rule("S80", sheet_size, _wing_size_keys),
    Rule("S81", bed_size, _wing_size_keys),
    Rule("S82", slot_fit, _clearance_keys),
    Rule("S83", thin_places),
    Rule("S84", bridges),
)
