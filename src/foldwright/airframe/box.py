"""A box fuselage: floor and two sides folded from one blank, with formers, decks, hatches and trays."""

from __future__ import annotations

import numpy as np

from foldwright.airframe.box_checks import check_decks, check_formers
from foldwright.airframe.box_decks import DeckPlate, deck_plate, reach_of, sits_on
from foldwright.airframe.box_formers import FormerPlate, plate, tilt_of
from foldwright.airframe.box_main import body_blanks, corner_lines, free_half
from foldwright.airframe.box_shell import Shell, shell_of
from foldwright.airframe.model import Board, Body, PartBuild, Seam
from foldwright.airframe.profile import SAME
from foldwright.design.parts import Box


def build_box(part: Box, board: Board, motor_tilt_rad: float = 0.0) -> PartBuild:
    """Blanks, seams, outer cross-sections and findings of a box body.

    motor_tilt_rad: thrust tilt, + = the vector points nose-up; turns formers of role motor that have no
    tilt of their own. Blanks: `<id>/main` (panels floor, right, left; "right-2" behind a bend, "right-fore"
    ahead of one), `<id>/<former id>`, `<id>/<deck id>`. Outer dimensions hold when the board's thickness
    changes. With stations that allow no body there are findings and no blanks; a former or deck with a
    finding against it is left out.
    """
    shell, found = shell_of(part, board)
    if shell is None:
        return PartBuild(part.id, (), findings=found)
    deck_findings, decks = check_decks(shell)
    plates = tuple(deck_plate(shell, deck) for deck in decks)
    roofs = [reach_of(deck) for deck in decks if deck.role != "tray" and not sits_on(deck)]
    drawn = tuple(plate(shell, former, tilt_of(former, motor_tilt_rad), roofs) for former in part.former)
    former_findings, formers = check_formers(shell, drawn, plates)
    blanks = (*body_blanks(shell), *(item.blank for item in formers), *(item.blank for item in plates))
    return PartBuild(
        part.id, blanks, bodies=(body_of(shell),), seams=seams_of(shell, formers, plates),
        findings=(*deck_findings, *former_findings),
    )  # fmt: skip


def body_of(shell: Shell) -> Body:
    """Outer width and height at every x where a line of the body bends."""
    x = sorted({*shell.half.x, *shell.bottom.x, *shell.top.x})
    width = np.array([2.0 * shell.half.at(place) for place in x])
    height = np.array([shell.top.at(place) - shell.bottom.at(place) for place in x])
    return Body(shell.part.id, np.array(x), width, height)


def seams_of(
    shell: Shell, formers: tuple[FormerPlate, ...], decks: tuple[DeckPlate, ...]
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
        seams += deck.seams()
    return tuple(seams)
