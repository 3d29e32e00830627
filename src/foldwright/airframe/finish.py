"""What is done to the faces of a part: paper peeled off, tape, paint, waterproofing, as mass per area.

The work lies where the paper of its face lies (`geometry.fold.mass`): on the whole face less its holes and
bevels, so mass, balance and inertia follow. Waterproofing of cut edges is not reckoned: a bead along an edge
weighs about as much as the scatter of the board itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType
from typing import Literal

from foldwright.airframe.model import Board, Note, PartBuild
from foldwright.base.finding import Finding, Param
from foldwright.design.common import PartModel
from foldwright.design.finish import SurfaceKind, SurfaceWork
from foldwright.geometry.fold.model import Blank, Face, Fold, Panel

USUAL_G_M2: Mapping[SurfaceKind, float] = MappingProxyType(
    {"bare": 0.0, "tape": 40.0, "paint": 30.0, "waterproof": 25.0}
)
"""Mass per area of each kind of work, g/m² (typical, no source; tape: 2 g/m of a tape 50 mm wide)."""
_G_MM2 = 1e-6
_MOST_NAMES = 24
_FACES: Mapping[str, tuple[Face, ...]] = MappingProxyType({"a": ("a",), "b": ("b",), "both": ("a", "b")})
_SIDE: Mapping[Face, Literal[0, 1]] = MappingProxyType({"a": 0, "b": 1})


def finished(build: PartBuild, part: PartModel, board: Board) -> PartBuild:
    """The part with its work done: `Panel.skin` and `Panel.bare` set, a note a row, findings.

    Peeling a face twice takes its paper once; tape, paint and waterproofing add up, on bare foam too.
    """
    rows: tuple[SurfaceWork, ...] = getattr(part, "work", ())
    if not rows or not build.blanks:
        return build
    blanks, findings, notes = build.blanks, list[Finding](), list[Note]()
    for number, row in enumerate(rows, start=1):
        chosen = _chosen(blanks, row.panel)
        if not chosen:
            findings.append(_unknown(build, row, number))
            continue
        blanks = tuple(_worked(blank, row, chosen, board) for blank in blanks)
        notes.append(_note(build.id, row))
    findings += [finding for blank in blanks for finding in _hinges(blank)]
    return replace(
        build,
        blanks=blanks,
        findings=(*build.findings, *findings),
        notes=(*build.notes, *notes),
    )


def weight_g_m2(row: SurfaceWork) -> float:
    """What a row puts on, g/m²: as written, or the usual figure of its kind; nothing for bare."""
    if row.kind == "bare":
        return 0.0
    return USUAL_G_M2[row.kind] if row.g_m2 is None else row.g_m2


def _chosen(blanks: Iterable[Blank], name: str | None) -> frozenset[tuple[str, str]]:
    """Blank and panel of everything that a name means: a panel, a blank (all of it), or the whole part."""
    return frozenset(
        (blank.name, panel.name)
        for blank in blanks
        for panel in blank.panels
        if name is None or name in (panel.name, blank.name, blank.name.rpartition("/")[2])
    )


def _unknown(build: PartBuild, row: SurfaceWork, number: int) -> Finding:
    """G180, with the names that there are."""
    names = dict.fromkeys(
        name for blank in build.blanks for name in (blank.name.rpartition("/")[2], *_names(blank.panels))
    )
    shown = sorted(names)
    more = f" and {len(shown) - _MOST_NAMES} more" if len(shown) > _MOST_NAMES else ""
    params: dict[str, Param] = {"got": str(row.panel), "known": ", ".join(shown[:_MOST_NAMES]) + more}
    return Finding("G180", "no-go", f"{build.id}.work.{number}.panel", params)


def _names(panels: Sequence[Panel]) -> list[str]:
    return [panel.name for panel in panels]


def _worked(blank: Blank, row: SurfaceWork, chosen: frozenset[tuple[str, str]], board: Board) -> Blank:
    panels = tuple(
        _panel(panel, row, board.material.paper_g_mm2) if (blank.name, panel.name) in chosen else panel
        for panel in blank.panels
    )
    return replace(blank, panels=panels)


def _panel(panel: Panel, row: SurfaceWork, paper: float) -> Panel:
    skin, bare = list(panel.skin), list(panel.bare)
    for face in _FACES[row.face]:
        side = _SIDE[face]
        if row.kind != "bare":
            skin[side] += weight_g_m2(row) * _G_MM2
        elif not bare[side]:
            skin[side] -= paper
            bare[side] = True
    return replace(panel, skin=(skin[0], skin[1]), bare=(bare[0], bare[1]))


def _note(part: str, row: SurfaceWork) -> Note:
    where = "the whole part" if row.panel is None else row.panel
    face = {"a": "face A", "b": "face B", "both": "both faces"}[row.face]
    colour = "" if row.colour is None else f", {row.colour}"
    params: dict[str, Param] = {
        "face": face, "panel": where, "work": _WORDS[row.kind], "colour": colour, "g_m2": weight_g_m2(row)
    }  # fmt: skip
    return Note("G194" if row.kind == "bare" else "G195", part, params)


_WORDS: Mapping[SurfaceKind, str] = MappingProxyType(
    {"bare": "bare foam", "tape": "tape", "paint": "paint", "waterproof": "waterproofing"}
)


def _hinges(blank: Blank) -> list[Finding]:
    """G181, G182: folds that hang by paper that is peeled off."""
    if blank.mirror_of:
        return []
    found: list[Finding] = []
    for fold in blank.folds:
        peeled = [name for name in (fold.parent, fold.child) if _is_bare(blank, name, fold)]
        if peeled:
            code = "G181" if fold.method == "live" else "G182"
            params: dict[str, Param] = {
                "fold": fold.name, "face": fold.hinge.upper(), "panels": " and ".join(peeled)
            }  # fmt: skip
            found.append(Finding(code, "no-go", f"{blank.name}/{fold.name}", params))
    return found


def _is_bare(blank: Blank, panel: str, fold: Fold) -> bool:
    return blank.panel(panel).bare[_SIDE[fold.hinge]]
