"""Rule G87: every part is held by another, and the whole hangs together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding, Verdict
from foldwright.review.contact import Lump, Near, lumps, moves_text, nearest, owner
from foldwright.review.keys import number_at
from foldwright.review.subject import CureKey, Rule, Subject, judged

TOUCH_MM = 1.5
"""[judgement] a gap that glue fills: parts that are no further apart touch."""
_AXES = ("x", "y", "z")


@dataclass(frozen=True, slots=True)
class Adrift:
    """Parts that hang together, but not with the wing, and where they come nearest to the rest."""

    parts: tuple[str, ...]
    near: Near


def holds(subject: Subject) -> tuple[Finding, ...]:
    """G87: every part is joined to another or touches one, a surface is joined, and all hang together."""
    airframe = subject.airframe
    parts = _parts(airframe)
    if len(parts) < 2:
        return ()
    told = {name for joint in airframe.joints for name in joint.parts}
    if told >= set(parts) and len(_joined(airframe, parts)) == 1:
        return _said("clear", airframe.wing.id, 0.0, "All parts are joined", "Nothing to do")
    loose = adrift(airframe, parts)
    found: list[Finding] = []
    for each in loose:
        found += _hanging(subject, each)
    off = {name for each in loose for name in each.parts}
    for part in parts:
        if part not in told and part not in off:
            found += _standing(airframe, part, parts)
    return tuple(found)


def adrift(airframe: Airframe, parts: Sequence[str]) -> tuple[Adrift, ...]:
    """Groups of parts that neither joints nor contact connect to the main wing."""
    solid, home = lumps(airframe, parts), airframe.wing.id
    groups = _joined(airframe, parts)

    def all_of(group: Sequence[str]) -> list[Lump]:
        return [lump for name in group for lump in solid.get(name, ())]

    groups = [group for group in groups if all_of(group)]
    while True:
        pairs = combinations(groups, 2)
        touching = next((p for p in pairs if nearest(*map(all_of, p)).gap <= TOUCH_MM), None)
        if touching is None:
            break
        groups = [group for group in groups if group not in touching] + [touching[0] + touching[1]]
    found = []
    for group in groups:
        others = [name for name in parts if name not in group]
        if home not in group and all_of(others):
            found.append(
                Adrift(tuple(n for n in parts if n in group), nearest(all_of(group), all_of(others)))
            )
    return tuple(sorted(found, key=lambda each: each.parts))


def _parts(airframe: Airframe) -> tuple[str, ...]:
    """Ids of parts with board or bars, in the order of the aeroplane; dowels of joints are no part."""
    bars = [owner(bar) for bar in airframe.bars]
    joints = {joint.id for joint in airframe.joints}
    names = [one.part for one in airframe.placed] + [name for name in bars if name not in joints]
    return tuple(dict.fromkeys(names))


def _joined(airframe: Airframe, parts: Sequence[str]) -> list[tuple[str, ...]]:
    """Parts that joints connect."""
    groups: list[tuple[str, ...]] = [(name,) for name in parts]
    for joint in airframe.joints:
        hit = [group for group in groups if set(group) & set(joint.parts)]
        groups = [group for group in groups if group not in hit]
        if hit:
            groups.append(tuple(name for group in hit for name in group))
    return groups


def _hanging(subject: Subject, each: Adrift) -> tuple[Finding, ...]:
    near, several = each.near, len(each.parts) > 1
    how = f"{' and '.join(each.parts)} {'hang' if several else 'hangs'} in the air"
    move = moves_text(near.apart) or f"{near.gap:.1f} mm nearer"
    keys = [f"{key} {here:g} to {here + step:.4g}" for key, here, step in _moves(subject, each)]
    also = f" ({' and '.join(keys)})" if keys else ""
    joint = f'join the two: a [[joint]] with parts = ["{near.part}", "{near.other}"]'
    return _said(
        "no-go", each.parts[0], near.gap,
        f"{how}, {near.gap:.1f} mm from the nearest part, {near.other}",
        f"Move {' and '.join(each.parts)} {move}{also}, and {joint}",
    )  # fmt: skip


def _standing(airframe: Airframe, part: str, parts: Sequence[str]) -> tuple[Finding, ...]:
    """A part that touches another and is in no joint."""
    solid = lumps(airframe, parts)
    others = [lump for name, each in solid.items() if name != part for lump in each]
    near = nearest(solid[part], others)
    flies = any(surface.id == part for surface in airframe.surfaces)
    says = (
        f"{part} touches {near.other}, but no joint holds it"
        if flies
        else f"{part} is glued on to {near.other}"
    )
    cure = f'Join the two: a [[joint]] with parts = ["{part}", "{near.other}"]; air loads pull at it'
    return _said("watch" if flies else "clear", part, near.gap, says, cure if flies else "Nothing to do")


def _said(verdict: Verdict, where: str, gap: float, how: str, cure: str) -> tuple[Finding, ...]:
    return judged(
        "G87", verdict, where, gap, TOUCH_MM, "mm", "geometry",
        how=how, got="in no joint" if verdict == "watch" else f"{gap:.1f} mm", limit_mm=TOUCH_MM, help=cure,
    )  # fmt: skip


def _moves(subject: Subject, each: Adrift) -> list[tuple[str, float, float]]:
    """Keys of a part by itself that bring it to the nearest one: key, value, step there."""
    if len(each.parts) != 1:
        return []
    (name,) = each.parts
    part = next((part for part in subject.design.part if part.id == name), None)
    found = []
    for axis in (0, 2):
        here = None if part is None else number_at(part, f"{_AXES[axis]}_mm")
        if here is not None and abs(each.near.apart[axis]) >= 0.5:
            found.append((f"{name}.{_AXES[axis]}_mm", here, each.near.apart[axis]))
    return found


def _keys(subject: Subject) -> tuple[CureKey, ...]:
    """The place of every part that hangs, as far as the nearest and a little on."""
    found = []
    for each in adrift(subject.airframe, _parts(subject.airframe)):
        for key, here, step in _moves(subject, each):
            end = here + step + (3.0 if step > 0.0 else -3.0)
            found.append(CureKey(key, min(here, end), max(here, end), 0.5))
    return tuple(found)


RULES = (Rule("G87", holds, _keys),)
