"""A template plate for a group of blanks: edge, material, slots and notches, letters [mm, blank frame]."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from foldwright.base.finding import Finding, Param
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Template, TemplateKind, Workshop
from foldwright.geometry.solid.core import Area
from foldwright.make.templates.areas import joined, lines
from foldwright.make.templates.edges import Openings, drawn_in, openings_of, straight_edge
from foldwright.make.templates.group import Group
from foldwright.make.templates.guiding import Guided, guided
from foldwright.make.templates.halves import Cover, half, whole
from foldwright.make.templates.lettering import Words, lettered
from foldwright.make.templates.model import Guide, Plate
from foldwright.make.templates.rim import bar_width, frame
from foldwright.make.templates.slots import BESIDE_MM
from foldwright.make.templates.words import line_words

BLADE_MM = 3.0
"""Least height of a guide for a blade: a thinner one lets it climb (common practice, no source)."""

UNDER_RECESS_MM = 0.4
"""Least material left under a recess [judgement]."""

WORTH = 0.75
"""A half plate is made where it takes no more than this share of the whole one's area [judgement]."""

_NO_BED = 200.0
_BEYOND_FULL = 8.0


@dataclass(frozen=True, slots=True, eq=False)
class PlateMade:
    """A plate, or None where none can be made, and what is to be said about it.

    unsaid: names of lines for one blank or half alone for whose words there is no room.
    """

    plate: Plate | None
    findings: tuple[Finding, ...]
    unsaid: tuple[str, ...] = ()


def template_findings(template: Template) -> tuple[Finding, ...]:
    """What is wrong with the workshop's keys for every plate: P90 (no plates then), P91."""
    found: list[Finding] = []
    least = template.recess_mm + UNDER_RECESS_MM
    if template.plate_mm < least - 1e-9:
        params = {"plate": template.plate_mm, "recess": template.recess_mm, "least": round(least, 2)}
        found.append(
            Finding("P90", "watch", "template.plate_mm", params, template.plate_mm, round(least, 2), "mm")
        )
    if template.tool == "blade" and template.plate_mm < BLADE_MM:
        params = {"plate": template.plate_mm, "least": BLADE_MM}
        found.append(Finding("P91", "watch", "template.plate_mm", params, template.plate_mm, BLADE_MM, "mm"))
    return tuple(found)


def plate_of(group: Group, kind: TemplateKind, workshop: Workshop) -> PlateMade:
    """The plate of a group of blanks as a rim frame or a full plate; None for paper, or where the
    workshop's plates are too thin to be recessed (`template_findings` says so).
    """
    template = workshop.template
    if kind == "paper" or template.plate_mm < template.recess_mm + UNDER_RECESS_MM - 1e-9:
        return PlateMade(None, ())
    chosen = _chosen(group, kind, workshop)
    made = _finished(group, chosen, kind, template)
    if chosen.cover.use == "whole" or not made.unsaid:
        return made
    # what one half alone has would be drawn on both
    return _finished(group, _draft(group, whole(group), kind, template), kind, template)


def _chosen(group: Group, kind: TemplateKind, workshop: Workshop) -> _Draft:
    """A half of a blank that goes on no single bed, where that saves enough; else all of it."""
    template = workshop.template
    part = None
    if _long(group.area) > _bed(workshop):
        part = half(group, template.rim_mm / 2.0 if kind == "rim" else _BEYOND_FULL)
    if part is None:
        return _draft(group, whole(group), kind, template)
    halved = _draft(group, part, kind, template)
    across = 0.0 if part.middle is None else float(np.hypot(*(part.middle[1] - part.middle[0])))
    if across < _long(group.area) - 1.0:
        # half the length always saves enough; half the width may not
        return halved
    every = _draft(group, whole(group), kind, template)
    return halved if halved.body.area <= WORTH * every.body.area else every


@dataclass(frozen=True, slots=True, eq=False)
class _Draft:
    """A plate before its letters. full: the rim left no window."""

    cover: Cover
    edge: shapely.Polygon
    holes: Openings
    guided: Guided
    straight: FloatArray | None
    left: float

    @property
    def body(self) -> shapely.Polygon:
        return self.guided.body


def _long(area: Area) -> float:
    low_u, low_v, high_u, high_v = area.bounds
    return max(high_u - low_u, high_v - low_v)


def _bed(workshop: Workshop) -> float:
    """The longer side of what can be used of the printer's bed."""
    printer = workshop.printer
    if printer is None:
        return _NO_BED
    return max(printer.bed_mm[:2]) - 2.0 * printer.margin_mm


def _draft(group: Group, cover: Cover, kind: TemplateKind, template: Template) -> _Draft:
    holes = openings_of(cover.area, template.offset)
    straight = straight_edge(cover)
    edge, left = drawn_in(cover, holes, template.offset, straight)
    width = bar_width(template.rim_mm, template.slot_mm, BESIDE_MM)

    def body_of(pads: Sequence[shapely.Polygon]) -> shapely.Polygon:
        return frame(edge, template.rim_mm, pads, width) if kind == "rim" else edge

    return _Draft(
        cover,
        edge,
        holes,
        guided(cover, line_words(group, cover), edge, holes, body_of, template),
        straight,
        left,
    )


def _finished(group: Group, draft: _Draft, kind: TemplateKind, template: Template) -> PlateMade:
    cover, made = draft.cover, draft.guided
    windows = draft.edge.area - made.body.area > 1.0
    findings: list[Finding] = []
    if kind == "rim" and not windows:
        findings.append(Finding("P93", "clear", group.blank.name, {"rim": template.rim_mm}))
    words = lettered(group, cover, made, draft.straight, template)
    if words.numbered:
        findings.append(Finding("P92", "clear", group.blank.name, {"number": group.number}))
    elif words.nameless:
        findings.append(Finding("P94", "clear", group.blank.name, {"number": group.number}))
    unreached = sorted({guide.name for guide in made.guides if guide.how == "none"})
    if unreached:
        said: dict[str, Param] = {"count": len(unreached), "lines": ", ".join(unreached)}
        findings.append(Finding("P96", "watch", group.blank.name, said))
    if draft.left + made.lost > 1.0:
        findings.append(Finding("P97", "watch", group.blank.name, {"area": round(draft.left + made.lost, 1)}))
    unsaid = tuple(sorted({one for one in words.unsaid if one.endswith(" only")}))
    if unsaid:
        params = {"lines": "; ".join(unsaid)}
        findings.append(Finding("P98", "watch", group.blank.name, params))
    plate = _plate(group, draft, "rim" if windows else "full", template, words)
    return PlateMade(plate, tuple(findings), unsaid)


def _plate(group: Group, draft: _Draft, kind: TemplateKind, template: Template, words: Words) -> Plate:
    cover, made = draft.cover, draft.guided
    return Plate(
        name=group.blank.name.replace("/", "-"),
        title=" + ".join(group.names),
        blank=group.blank.name,
        turned=group.turned,
        use=cover.use,
        kind=kind,
        outline=cover.area,
        edge=draft.edge,
        body=made.body,
        through=made.through,
        grooves=joined([*made.grooves, *words.arrows]),
        letters=words.letters,
        guides=(*_outline_guides(draft), *made.guides),
        thickness=template.plate_mm,
        recess=template.recess_mm,
        pencil_only=_long(group.area) < template.small_mm,
        copies=group.copies,
        same=group.same,
        straight=draft.straight,
        middle=cover.middle,
        shift=cover.shift,
        number=group.number,
        legend=words.legend,
        unwritten=words.missed,
        unsaid=words.unsaid,
    )


def _outline_guides(draft: _Draft) -> tuple[Guide, ...]:
    """Outline and holes as the plate's own edges guide them; not the middle line, which is no outline."""
    rings = [(draft.cover.area.exterior, "outline", "edge")]
    pricked = draft.holes.pricked
    for number, ring in enumerate(draft.cover.area.interiors):
        rings.append((ring, "hole", "hole" if number in pricked else "edge"))
    return tuple(
        Guide(name, "cut", "", np.asarray(part.coords), "hole" if how == "hole" else "edge")
        for ring, name, how in rings
        for part in _true_edges(draft.cover, shapely.LineString(ring))
    )


def _true_edges(cover: Cover, ring: shapely.LineString) -> list[shapely.LineString]:
    if cover.cut is None:
        return [ring]
    rest = ring.difference(cover.cut.buffer(1e-4))
    return lines(rest)
