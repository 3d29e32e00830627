"""A box fuselage: floor and two sides from one blank, with formers, decks, hatches, trays, rolled board."""

from __future__ import annotations

import numpy as np

from foldwright.airframe.box_aids import floors_of, guides_of, mounts_of, titles_of
from foldwright.airframe.box_checks import check_arches, check_decks, check_formers
from foldwright.airframe.box_decks import DeckPlate, deck_plate, reach_of, sits_on
from foldwright.airframe.box_formers import FormerPlate, plate, tilt_of
from foldwright.airframe.box_hold import comes_off, hold_items, hold_notes, tape_hinges
from foldwright.airframe.box_main import body_blanks, corner_lines, free_half
from foldwright.airframe.box_openings import open_up
from foldwright.airframe.box_rolled import Rolled, rolled_decks
from foldwright.airframe.box_shell import Shell, shell_of
from foldwright.airframe.model import Board, Body, PartBuild, Seam
from foldwright.airframe.profile import SAME
from foldwright.base.finding import Finding
from foldwright.design.parts import Box, Deck

STEP = 0.1  # mm: over which a step of the body's height is drawn out


def build_box(part: Box, board: Board, motor_tilt_rad: float = 0.0) -> PartBuild:
    """Blanks, seams, outer cross-sections and findings of a box body.

    motor_tilt_rad: thrust tilt, + = the vector points nose-up; turns formers of role motor that have no
    tilt of their own. Blanks: `<id>/main` (panels floor, right, left; "right-2" behind a bend, "right-fore"
    ahead of one), `<id>/<former id>`, `<id>/<deck id>`; a rolled nose also has `<id>/<deck id>-right` and
    `-left`. Outer dimensions hold when the board's thickness changes. With stations that allow no body
    there are findings and no blanks; a former, deck or opening with a finding against it is left out.
    """
    shell, found = shell_of(part, board)
    if shell is None:
        return PartBuild(part.id, (), findings=found)
    deck_findings, decks = check_decks(shell)
    plates = tuple(deck_plate(shell, deck) for deck in decks)
    arches, arch_findings = _arches(shell, decks)
    roofs = [reach_of(deck) for deck in decks if deck.role != "tray" and not sits_on(deck)]
    drawn = tuple(plate(shell, former, tilt_of(former, motor_tilt_rad), roofs) for former in part.former)
    former_findings, formers = check_formers(shell, drawn, plates)
    blanks = (*body_blanks(shell), *(item.blank for item in formers), *(item.blank for item in plates))
    opened = open_up(shell, (*blanks, *(blank for arch in arches for blank in arch.blanks)), formers)
    holds = tuple(note for item in plates for note in hold_notes(item))
    return PartBuild(
        part.id, opened.blanks, bodies=(body_of(shell, arches),),
        seams=seams_of(shell, formers, plates, arches),
        masses=tuple(mass for item in plates for mass in hold_items(shell, item)),
        findings=(*deck_findings, *arch_findings, *former_findings, *opened.findings),
        guides=guides_of(shell, formers, plates), floors=floors_of(shell, blanks, plates),
        mounts=mounts_of(shell, formers), gaps=opened.gaps,
        notes=(*holds, *(note for arch in arches for note in arch.notes)), titles=titles_of(shell),
        loose=tuple(f"{part.id}/{deck.id}" for deck in part.deck if comes_off(deck)),
    )  # fmt: skip


def _arches(shell: Shell, decks: tuple[Deck, ...]) -> tuple[tuple[Rolled, ...], tuple[Finding, ...]]:
    """Rolled decks and noses that can be made, and the findings of all of them."""
    arches, found = rolled_decks(shell)
    clash = check_arches(decks, arches, shell.part.id)
    lost = {item.params["other"] for item in clash}
    return tuple(arch for arch in arches if arch.deck.id not in lost), (*found, *clash)


def body_of(shell: Shell, arches: tuple[Rolled, ...] = ()) -> Body:
    """Outer width and height at every x where a line of the body bends; arches on it and ahead counted in."""
    ends = [x for arch in arches if arch.deck.role == "rolled" for x in _span(arch)]
    inner = [p for p in ends if shell.start < p < shell.stop]
    x = sorted({*shell.half.x, *shell.bottom.x, *shell.top.x, *inner})
    width = [2.0 * shell.half.at(place) for place in x]
    height = [shell.top.at(place) - shell.bottom.at(place) + _risen(arches, place) for place in x]
    for arch in arches:
        if arch.deck.role == "rolled_nose":
            x = [*arch.outline[:, 0].tolist(), *x]
            width = [*arch.outline[:, 1].tolist(), *width]
            height = [*arch.outline[:, 2].tolist(), *height]
    return Body(shell.part.id, np.array(x), np.array(width), np.array(height))


def _span(arch: Rolled) -> tuple[float, ...]:
    """Ends of an arch, and just beyond them, where the body's height steps."""
    fore, aft = arch.outline[[0, -1], 0].tolist()
    return fore - STEP, fore, aft, aft + STEP


def _risen(arches: tuple[Rolled, ...], x: float) -> float:
    """What an arch adds to the body's height at x."""
    for arch in arches:
        rows = arch.outline
        if arch.deck.role == "rolled" and rows[0, 0] <= x <= rows[-1, 0]:
            return float(np.interp(x, rows[:, 0], rows[:, 2]))
    return 0.0


def seams_of(
    shell: Shell,
    formers: tuple[FormerPlate, ...],
    decks: tuple[DeckPlate, ...],
    arches: tuple[Rolled, ...] = (),
) -> tuple[Seam, ...]:
    """Glue lines: both corners of the folded run, floor edges beyond it, bends, formers, decks and trays."""
    name = shell.part.id
    seams = [
        Seam(f"{name}/corner/{side}", "glue", np.array(line)) for side, line in corner_lines(shell).items()
    ]
    free = free_half(shell)
    for end, start, stop in (("fore", shell.start, shell.run[0]), ("aft", shell.run[1], shell.stop)):
        if stop - start > SAME:
            line = np.array([(x, y, shell.floor.at(x)) for x, y in free.between(start, stop)])
            seams.append(Seam(f"{name}/floor-{end}/right", "glue", line))
            seams.append(Seam(f"{name}/floor-{end}/left", "glue", line * np.array([1.0, -1.0, 1.0])))
    for number, x in enumerate(shell.half.kinks, start=1):
        line = np.array([(x, shell.half.at(x), z) for z in (shell.bottom.at(x), shell.top.at(x))])
        seams.append(Seam(f"{name}/bend-{number}/right", "glue", line))
        seams.append(Seam(f"{name}/bend-{number}/left", "glue", line * np.array([1.0, -1.0, 1.0])))
    seams += [former.seam() for former in formers]
    for deck in decks:
        seams += [*deck.seams(), *tape_hinges(deck)]
    for arch in arches:
        seams += arch.seams
    return tuple(seams)
