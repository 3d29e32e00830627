"""folding.txt: every blank with its folds in the order they are made, as plain text, 78 signs to a line."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from types import MappingProxyType

from foldwright.airframe.model import Airframe, JointShown, Placed
from foldwright.design.model import Design
from foldwright.design.workshop import Cutter, Workshop
from foldwright.geometry.fold.model import Blank, Fold
from foldwright.geometry.fold.path import folding_order
from foldwright.layout.as_cut import as_cut
from foldwright.make.blank_drawing import draw_blank
from foldwright.make.book_data import note_words
from foldwright.make.drawing import Pen
from foldwright.make.fold_table import TABLE, whole_degrees
from foldwright.make.folded_way import face_words, hinge_way
from foldwright.make.legend import legend
from foldwright.make.way_round import faces_where, way_round

WIDTH = 78
_UNITS = MappingProxyType({"mm": " mm", "deg": "°", "g": " g", "mm2": " mm²", "pct": " %"})

_OPENING = """
    Every blank says where its face A ends up; face B is the other one. A fold is opened on one face, where it
    is cut or pressed; the paper of the other face stays whole and is the hinge. Angles are turned from flat.
    Make the folds of a blank in the order given; try each one dry before any glue.
"""
_CAUTIONS = """
    Blades: cut away from your fingers, along a steel rule, in several light strokes with a fresh blade; cap
    it when you lay it down.

    Lasers: foam and paper burn and their fumes harm; draw the air off, stay beside the machine, keep to its
    maker's rules and your local ones.
"""


def folding_text(design: Design, airframe: Airframe, workshop: Workshop, places: Sequence[str] = ()) -> bytes:
    """The file: blanks that are folded, flat parts, joints, equipment, what to know besides, cautions.

    places: a paragraph for every piece of equipment (`equipment_places`).
    """
    about, blanks = design.design, [one.blank for one in airframe.placed]
    head = f"Folding {about.name}, revision {about.revision}, at {workshop.name}"
    lines = [*_filled(head), "=" * min(len(head), WIDTH), ""]
    lines += _filled(_OPENING)
    notes = {
        name: [note_words(note) for note in airframe.notes if note.about == name] for name in _homes(airframe)
    }
    for one in (one for one in airframe.placed if one.blank.folds):
        lines += ["", *_folded(one, _what(one.blank, airframe), workshop.cutter)]
        for words in notes.pop(one.blank.name, []):
            lines += ["", *_item(words, " *  ")]
    flat = [blank for blank in blanks if not blank.folds]
    if flat:
        said = [
            " ".join([_flat(blank, _what(blank, airframe)), *notes.pop(blank.name, [])]) for blank in flat
        ]
        lines += _section("Flat parts", said)
    lines += _section("Joints", [_joint(joint) for joint in airframe.joints])
    lines += _section("Equipment", places)
    besides = [f"{name}: {words}" for name, rest in notes.items() for words in rest]
    lines += _section("Besides", [*besides, *_colours(design)])
    lines += _section("Lines on the sheets", _lines(blanks, workshop))
    lines += _section("Cautions", _CAUTIONS.split("\n\n"))
    return ("\n".join(lines) + "\n").encode()


def _lines(blanks: Sequence[Blank], workshop: Workshop) -> list[str]:
    """The legend of the sheets: every pen and every fold method that is used."""
    cutter = workshop.cutter
    pens: set[Pen] = {"cut"}
    for blank in blanks:
        pens |= {line.pen for line in draw_blank(as_cut(blank), cutter).lines}
    methods = {fold.method for blank in blanks for fold in blank.folds}
    return [f"{words}." for words in legend(pens, methods, workshop)]


def _colours(design: Design) -> list[str]:
    """How top and underside are told apart in the air, and what each face is given."""
    tell = design.tell
    said = [] if tell is None else [f"Colours: top {tell.top}, underside {tell.under}."]
    for part in design.part:
        for work in getattr(part, "work", ()):
            if work.colour is not None:
                where = f"{part.id} {work.panel}" if work.panel is not None else part.id
                said.append(f"{where}: {work.kind} on face {work.face.upper()}, {work.colour}.")
    return said


def _homes(airframe: Airframe) -> list[str]:
    """What notes are about, in the order in which they stand."""
    return list(dict.fromkeys(note.about for note in airframe.notes))


def _section(head: str, items: Sequence[str]) -> list[str]:
    """A heading with items under it; nothing where there are none."""
    if not items:
        return []
    lines = ["", head, "-" * len(head), ""]
    for item in items:
        lines += _item(item, "- ")
    return lines


def _joint(joint: JointShown) -> str:
    """A joint as both its parts show it, and whether it comes off."""
    kind, (one, other) = joint.kind.replace("_", " "), joint.parts
    sentences = [f"{joint.id}: {kind}, {one} to {other}; {'glued' if joint.glued else 'comes off'}."]
    for part, shown in ((one, joint.first), (other, joint.second)):
        if shown:
            sentences.append(f"On {part}: {'; '.join(_gathered(shown))}.")
    # a lean of 0° or a part moved by 0 mm is nothing to do
    told = [_figure(name, value) for name, value in joint.figures.items() if round(value, 1)]
    if told:
        sentences.append(f"Figures: {', '.join(told)}.")
    return " ".join(sentences)


def _gathered(shown: Sequence[str]) -> list[str]:
    """What is shown in several places once, with the places before it and how often."""
    places: dict[str, list[str]] = {}
    for one in shown:
        where, colon, what = one.rpartition(": ")
        places.setdefault(what if colon else one, []).append(where)
    return [_with_places(what, wheres) for what, wheres in places.items()]


def _with_places(what: str, wheres: Sequence[str]) -> str:
    said, last = list[str](), ""
    for where in dict.fromkeys(filter(None, wheres)):
        blank, _, panel = where.partition(" ")
        said.append(panel if panel and blank == last else where)
        last = blank
    times = f" ({len(wheres)} times)" if len(wheres) > 1 else ""
    return f"{', '.join(said)}: {what}{times}" if said else f"{what}{times}"


def _figure(name: str, value: float) -> str:
    """A figure by its key, whose end is its unit."""
    plain, _, unit = name.rpartition("_")
    if unit not in _UNITS:
        plain, unit = name, ""
    return f"{plain.replace('_', ' ')} {round(value, 1) + 0.0:g}{_UNITS.get(unit, '')}"


def _filled(text: str, first: str = "", rest: str = "") -> list[str]:
    return wrap(
        " ".join(text.split()),
        WIDTH,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
        break_long_words=True,
    )


def _item(text: str, sign: str) -> list[str]:
    return _filled(text, sign, " " * len(sign))


def _folded(one: Placed, what: str, cutter: Cutter) -> list[str]:
    blank, places = one.blank, one.transforms
    lines = [blank.name, "-" * min(len(blank.name), WIDTH), ""]
    lines += _filled(f"{what}.{_copies(blank)} {face_words(blank, places)}")
    apart = {line.name for line in draw_blank(as_cut(blank), cutter).lines if line.role == "edge"}
    hinges = [fold for fold in blank.folds if fold.method == "live"]
    for number, fold in enumerate([*folding_order(blank), *hinges], 1):
        said = _fold(fold, cutter, hinge_way(fold, places), alone=fold.name not in apart)
        lines += ["", *_item(said, f"{number:2d}. ")]
    return lines


def _what(blank: Blank, airframe: Airframe) -> str:
    """What a blank is, in the trade's words: its title, or its name where nobody gave it one."""
    said = airframe.titles.get(blank.name, blank.name)
    return said[:1].upper() + said[1:]


def _copies(blank: Blank) -> str:
    return f" {blank.copies} of them." if blank.copies > 1 else ""


def _fold(fold: Fold, cutter: Cutter, way: str, *, alone: bool) -> str:
    """One fold in sentences. way: where a hinge clears to; alone: one line is drawn for it."""
    opened, hinge, toward = fold.opened.upper(), fold.hinge.upper(), fold.toward.upper()
    done = "pressed" if fold.method == "crush" else "cut"
    if fold.method == "live":
        clears = f"clears {whole_degrees(fold.limit)}° towards face {toward} ({way})"
        first, last = f"{fold.name}: hinge (live), flat at rest, {clears}.", ""
    else:
        closes = _closes(fold, alone=alone)
        first = f"{fold.name}: {fold.method}, {whole_degrees(fold.angle)}°."
        last = f"Turn {fold.child} towards face {toward}; {closes}."
    second = f"Opened ({done}) on face {opened}; the paper of face {hinge} is the hinge."
    return " ".join(s for s in (first, second, _making(fold, cutter, alone=alone), last) if s)


def _closes(fold: Fold, *, alone: bool) -> str:
    """What becomes of the opened face when the fold is turned."""
    if fold.toward != fold.opened:
        return "it opens wide"
    return "its edges press together" if alone and fold.method != "crush" else "it closes"


def _making(fold: Fold, cutter: Cutter, *, alone: bool) -> str:
    """What the cutter has done and what is left to a hand."""
    rule = TABLE[fold.method]
    middle, edges = rule.middle[cutter.kind], rule.edges.get(cutter.kind)
    by_laser = cutter.kind == "laser" and cutter.to_paper
    if edges is not None and alone:
        return _narrow(fold, by_laser=by_laser)
    sentences = []
    if by_laser and "to_paper" in {middle, edges}:
        sentences.append("The laser has cut it to the far paper.")
    elif middle == "to_paper":
        lines = "both lines" if edges == "to_paper" else "the line"
        sentences.append(f"With a knife, cut along {lines} down to the far paper.")
    if hand := rule.hand[cutter.kind]:
        sentences.append(f"By hand: {hand}.")
    return " ".join(sentences)


def _narrow(fold: Fold, *, by_laser: bool) -> str:
    """A fold whose lines lie so near each other that one is drawn."""
    if fold.method == "crush":
        return "By hand: press along the line."
    if by_laser:
        return "The laser has cut it to the far paper; no foam comes out."
    return "With a knife, one upright cut along the line down to the far paper; no foam comes out."


def _flat(blank: Blank, what: str) -> str:
    way = way_round(blank)
    words = f"{blank.name}: {what}.{_copies(blank)}"
    words += f" Built in, face A looks {faces_where(blank, 'a')}"
    if way is None:
        return f"{words}."
    edge = "forward" if way.word == "front" else "up"
    return f'{words} and the edge lettered "{way.word}" points {edge}.'
