"""Rolled decks and noses of a body: an arch from side to side, or from the floor's front edge to the top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, degrees

import numpy as np

from foldwright.airframe.box_decks import glued, slant
from foldwright.airframe.box_shell import LEAST_SEGMENT, PRINTED, Shell, down, finding, up
from foldwright.airframe.mirror import mirror_blank
from foldwright.airframe.model import Note, Seam
from foldwright.airframe.profile import secant
from foldwright.airframe.rolled import (
    LEAST_FACET,
    LEAST_RADIUS_BARE,
    LEAST_RADIUS_PAPER,
    MOST_TURN,
    Arch,
    end_slope,
    radius_of,
    rise_of,
    slope_for,
)
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.design.parts import Deck
from foldwright.geometry.fold.model import SQUARE, Blank, Panel
from foldwright.geometry.transform import frame

ROLLED = frozenset({"rolled", "rolled_nose"})
TOUCH = 1e-6  # mm


@dataclass(frozen=True, slots=True, eq=False)
class Rolled:
    """A rolled deck or nose: its blanks (the rolled one first), glue lines, what the builder must know.

    outline (n, 3): x, width and height that the body gains there, for its outer cross-sections.
    """

    deck: Deck
    blanks: tuple[Blank, ...]
    seams: tuple[Seam, ...]
    notes: tuple[Note, ...]
    outline: FloatArray


def rolled_decks(shell: Shell) -> tuple[tuple[Rolled, ...], tuple[Finding, ...]]:
    """Every rolled deck and nose that can be made, and the findings of all of them."""
    made: list[Rolled] = []
    found: list[Finding] = []
    for deck in shell.part.deck:
        if deck.role not in ROLLED:
            continue
        reasons = [*(_nose_place(shell, deck) if deck.role == "rolled_nose" else _deck_place(shell, deck))]
        arch = None if reasons else _arch(shell, deck)
        if not reasons and arch is None:
            reasons = [_rise(shell, deck)]
        if arch is not None:
            reasons += _bendable(shell, deck, arch)
        found += reasons
        if arch is not None and not reasons:
            made.append(_nose(shell, deck, arch) if deck.role == "rolled_nose" else _deck(shell, deck, arch))
    return tuple(made), tuple(found)


def _where(shell: Shell, deck: Deck, key: str) -> str:
    return f"{shell.part.id}.deck.{deck.id}.{key}"


def _deck_place(shell: Shell, deck: Deck) -> list[Finding]:
    """G50, G51 as for other decks; G148 where the body bends under the arch."""
    length = deck.to_mm - deck.from_mm
    if length < LEAST_SEGMENT:
        return [
            finding(
                _where(shell, deck, "to_mm"), "G50", length, LEAST_SEGMENT, name=deck.id, length=length,
                least=LEAST_SEGMENT, need=up(deck.from_mm + LEAST_SEGMENT),
            )
        ]  # fmt: skip
    for key, x, verb, side, end in (
        ("from_mm", deck.from_mm, "begins", "ahead of", shell.start),
        ("to_mm", deck.to_mm, "ends", "behind", shell.stop),
    ):
        out = end - x if key == "from_mm" else x - end
        if out > TOUCH:
            return [
                finding(
                    _where(shell, deck, key), "G51", x, end, name=deck.id, verb=verb, x=x, side=side, end=end
                )
            ]
    bends = sorted({*shell.half.kinks, *shell.top.kinks})
    inside = [x for x in bends if deck.from_mm + PRINTED < x < deck.to_mm - PRINTED]
    if not inside:
        return []
    return [_bent(shell, deck, inside)]


def _bent(shell: Shell, deck: Deck, inside: Sequence[float]) -> Finding:
    """G148, with the longest run between bends as what stays."""
    ends = [deck.from_mm, *inside, deck.to_mm]
    start, stop = max(pairwise(ends), key=lambda run: run[1] - run[0])
    keys = [("from_mm", start, up(start))] if start > deck.from_mm else []
    keys += [("to_mm", stop, down(stop))] if stop < deck.to_mm else []
    key, x, _ = keys[0]
    cure = " and ".join(f"{name} to {need:g}" for name, _, need in keys)
    return finding(
        _where(shell, deck, key), "G148", x, deck.from_mm if key == "from_mm" else deck.to_mm,
        name=deck.id, x=x, set=cure, kept=stop - start,
    )  # fmt: skip


def _nose_place(shell: Shell, deck: Deck) -> list[Finding]:
    """G149: a rolled nose stands ahead of the body's front end and reaches back to it."""
    if abs(deck.to_mm - shell.start) <= PRINTED:
        return []
    return [
        finding(
            _where(shell, deck, "to_mm"), "G149", deck.to_mm, shell.start, name=deck.id, x=deck.to_mm,
            start=shell.start,
        )
    ]  # fmt: skip


def _front(shell: Shell) -> float:
    """Place x of the plane that a nose rests on: ahead of every inner corner of floor and sides.

    Ends are square to the board, so those of a floor that slopes up and of sides that narrow lean forward.
    """
    floor, side = shell.bottom.slope(shell.start), shell.half.slope(shell.start)
    return shell.start - shell.t * max(0.0, floor / secant(floor), -side / secant(side))


def _chords(shell: Shell, deck: Deck) -> tuple[float, float]:
    """Outer chord at both ends of an arch, mm."""
    if deck.role == "rolled_nose":
        high = shell.top.at(shell.start) - shell.bottom.at(shell.start)
        return high, high
    return 2.0 * shell.half.at(deck.from_mm), 2.0 * shell.half.at(deck.to_mm)


def _risen(shell: Shell, deck: Deck) -> float:
    """Outer rise asked for, at the wider end, mm."""
    return _front(shell) - deck.from_mm if deck.role == "rolled_nose" else deck.rise_mm or 0.0


def _arch(shell: Shell, deck: Deck) -> Arch | None:
    """The arch; None for a rise that no arch has."""
    chords = _chords(shell, deck)
    slope = end_slope(max(chords), _risen(shell, deck), shell.t)
    if slope is None:
        return None
    if deck.role == "rolled_nose":
        half = shell.half.at(shell.start)
        z = (shell.top.at(shell.start) + shell.bottom.at(shell.start)) / 2.0
        ends = np.array([(_front(shell), half, z), (_front(shell), -half, z)])
        axes = np.array([(0.0, -1.0, 0.0), (0.0, 0.0, 1.0), (-1.0, 0.0, 0.0)])
    else:
        lift = slant(shell, deck.from_mm, deck.to_mm)
        ends = np.array([(x, 0.0, shell.top.at(x) + lift) for x in (deck.from_mm, deck.to_mm)])
        axes = np.eye(3)
    return Arch(axes[0], axes[1], axes[2], ends, chords, slope, deck.facets, shell.t)


def _key(shell: Shell, deck: Deck, rise: float) -> tuple[str, float]:
    """The key that sets the rise, and the value of it that gives one (no more than asked)."""
    if deck.role == "rolled_nose":
        return "from_mm", up(_front(shell) - rise)
    return "rise_mm", down(rise)


def _rise(shell: Shell, deck: Deck) -> Finding:
    """G145: a rise that no arch has."""
    most, least = max(_chords(shell, deck)) / 2.0, shell.t + 1.0
    rise = _risen(shell, deck)
    key, need = _key(shell, deck, most if rise > most else least)
    if rise <= shell.t:
        need = round(need + (0.1 if key == "rise_mm" else -0.1), 1)
    return finding(
        _where(shell, deck, key), "G145", rise, most if rise > most else shell.t, name=deck.id, rise=rise,
        least=up(least), most=down(most), key=key, need=need,
    )  # fmt: skip


def peeled(shell: Shell, deck: Deck) -> bool:
    """Whether the inner paper of a rolled board is taken off."""
    return any(
        work.kind == "bare" and work.face in {"b", "both"} and work.panel in {None, deck.id}
        for work in shell.part.work
    )


def _bendable(shell: Shell, deck: Deck, arch: Arch) -> list[Finding]:
    """G146: rolled too tightly; G147: too few or too many lines."""
    return [*_tight(shell, deck, arch), *_lines(shell, deck, arch)]


def _tight(shell: Shell, deck: Deck, arch: Arch) -> list[Finding]:
    bare = peeled(shell, deck)
    share = LEAST_RADIUS_BARE if bare else LEAST_RADIUS_PAPER
    least, got = share * shell.t, arch.radius
    if got >= least - PRINTED:
        return []
    slope = slope_for(min(arch.chords), least)
    key, need = _key(shell, deck, rise_of(max(arch.chords), slope, shell.t))
    other = "use thinner board" if bare else f"peel the inner paper (work, face b, panel {deck.id})"
    papers = "with the inner paper peeled" if bare else "with both papers on"
    return [
        finding(
            _where(shell, deck, key), "G146", got, least, name=deck.id, radius=got, least=least, share=share,
            t=shell.t, papers=papers, key=key, need=need, other=other,
        )
    ]  # fmt: skip


def _lines(shell: Shell, deck: Deck, arch: Arch) -> list[Finding]:
    few = 1 + ceil(2.0 * arch.slope / MOST_TURN - 1e-9)
    many = max(few, 1 + int(2.0 * arch.slope * arch.radius / LEAST_FACET + 1e-9))
    if few <= deck.facets <= many:
        return []
    need = few if deck.facets < few else many
    return [
        finding(
            _where(shell, deck, "facets"), "G147", deck.facets, need, "", name=deck.id, facets=deck.facets,
            turn=degrees(arch.turn), apart=arch.radius * arch.turn, most=degrees(MOST_TURN),
            least=LEAST_FACET, need=need,
        )
    ]  # fmt: skip


def _note(shell: Shell, deck: Deck, arch: Arch, name: str) -> Note:
    """G158: how the board is scored and rolled; a tapering arch has its lines closer at the narrow end."""
    near, far = (round(radius_of(chord, arch.slope) * arch.turn, 1) for chord in sorted(arch.chords))
    params: dict[str, float | int | str] = {
        "lines": deck.facets - 1, "apart": f"{near}" if near == far else f"{near} to {far}",
        "radius": round(arch.radius, 1), "turn": round(degrees(arch.turn), 1),
        "first": "The inner paper is peeled off first." if peeled(shell, deck) else "Both papers stay on.",
    }  # fmt: skip
    return Note("G158", name, params)


def _deck(shell: Shell, deck: Deck, arch: Arch) -> Rolled:
    name = f"{shell.part.id}/{deck.id}"
    blank = arch.blank(name, "rolled", shell.tool_width)
    left, right = arch.feet()
    seams = _glued(deck, (Seam(f"{name}/right", "glue", right), Seam(f"{name}/left", "glue", left)))
    rises = [rise_of(chord, arch.slope, shell.t) for chord in arch.chords]
    outline = np.array([(x, 0.0, rise) for x, rise in zip((deck.from_mm, deck.to_mm), rises, strict=True)])
    return Rolled(deck, (blank,), seams, (_note(shell, deck, arch, name),), outline)


def _nose(shell: Shell, deck: Deck, arch: Arch) -> Rolled:
    """The rolled nose and its two cheeks, which close it to the right and to the left."""
    name = f"{shell.part.id}/{deck.id}"
    blank = arch.blank(name, "rolled", shell.tool_width)
    low, high = arch.feet()
    half, t = shell.half.at(shell.start), shell.t
    ring = arch.inside()
    x, z = arch.ends[0][0] - ring[:, 1], arch.ends[0][2] + ring[:, 0]
    matrix = frame(np.array([0.0, half - t, 0.0]), np.array([1.0, 0.0, 0.0]), np.array([0.0, 1.0, 0.0]))
    flat = _opened_ring(np.column_stack([x, -z]))
    cheek = Blank(f"{name}-right", t, (Panel("plate", flat, (SQUARE,) * len(flat)),), (), "plate", matrix)
    curve = np.column_stack([x, np.full(len(x), half - t / 2.0), z])
    seams = _glued(
        deck,
        (
            Seam(f"{name}/floor", "glue", low),
            Seam(f"{name}/top", "glue", high),
            Seam(f"{name}-right", "glue", np.concatenate([curve, curve[:1]])),
            Seam(f"{name}-left", "glue", np.concatenate([curve, curve[:1]]) * np.array([1.0, -1.0, 1.0])),
        ),
    )
    return Rolled(
        deck, (blank, cheek, mirror_blank(cheek, f"{name}-left")), seams, (_note(shell, deck, arch, name),),
        _nose_outline(shell, deck, arch),
    )  # fmt: skip


def _opened_ring(points: FloatArray) -> FloatArray:
    """A ring counter-clockwise."""
    x, y = points.T
    area = float(x @ np.roll(y, -1) - np.roll(x, -1) @ y)
    return points if area > 0.0 else points[::-1].copy()


def _nose_outline(shell: Shell, deck: Deck, arch: Arch) -> FloatArray:
    """Width and height of the nose at five x from its front."""
    width, middle = 2.0 * shell.half.at(shell.start), arch.radius
    foot = shell.t * float(np.cos(arch.slope))
    rows = []
    for share in (0.0, 0.1, 0.3, 0.6, 0.95):
        out = (1.0 - share) * _risen(shell, deck)
        over = max(out - foot, 0.0) + middle * float(np.cos(arch.slope))
        rows.append((_front(shell) - out, width, 2.0 * float(np.sqrt(max(middle**2 - over**2, 0.0)))))
    return np.array(rows)


def _glued(deck: Deck, seams: Sequence[Seam]) -> tuple[Seam, ...]:
    return tuple(seams) if glued(deck) else ()
