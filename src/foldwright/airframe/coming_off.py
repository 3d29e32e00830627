"""What comes off an aeroplane by hand: hatches, and parts that a joint without glue holds."""

from __future__ import annotations

from foldwright.airframe.model import Airframe


def parts_off(airframe: Airframe) -> tuple[frozenset[str], ...]:
    """Parts that come off, those that come off together in one set: the first part of a joint that is not
    glued, with what is glued to it.
    """
    glued = [set(joint.parts) for joint in airframe.joints if joint.glued]
    found: dict[frozenset[str], None] = {}
    for joint in airframe.joints:
        if joint.glued:
            continue
        with_it = {joint.parts[0]}
        for _ in glued:
            with_it |= {name for pair in glued if pair & with_it for name in pair}
        if joint.parts[1] not in with_it:
            found[frozenset(with_it)] = None
    return tuple(found)


def taken_off(airframe: Airframe, keeps: str = "") -> frozenset[str]:
    """Names of blanks that come off: loose ones, and those of parts that come off.

    keeps: a part that is left out with what comes off together with it, loose ones apart.
    """
    off = {name for parts in parts_off(airframe) if keeps not in parts for name in parts}
    return frozenset((*airframe.loose, *(one.blank.name for one in airframe.placed if one.part in off)))
