"""What the book needs of an airframe beside its blanks, as data: titles, notes, joints, bars, gaps, surfaces,
fittings, thrust line.

Keys carry their units; lengths are rounded to 1e-6 mm, angles to 1e-9 degrees.
"""

from __future__ import annotations

import re
from math import degrees
from typing import Any

import numpy as np

from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.model import Airframe, Bar, Control, Gap, JointShown, LiftingSurface, Note, Thrust
from foldwright.base.messages import told
from foldwright.base.types import FloatArray

Json = dict[str, Any]

_SEVERAL = re.compile(r"\b(\d+)((?: \w+){1,3})\(s\)")


def book_data(airframe: Airframe) -> Json:
    """Titles by blank, notes in words, joints, bars, gaps, lifting surfaces, fittings and the thrust line."""
    return {
        "titles": {name: airframe.titles[name] for name in sorted(airframe.titles)},
        "notes": [_note(note) for note in airframe.notes],
        "joints": [_joint(joint) for joint in airframe.joints],
        "bars": [_bar(bar) for bar in airframe.bars],
        "gaps": [_gap(gap) for gap in airframe.gaps],
        "surfaces": [_surface(surface) for surface in airframe.surfaces],
        "fittings": [_fitting(fitting) for fitting in airframe.fittings],
        "thrust": _thrust(airframe.thrust),
    }


def note_words(note: Note) -> str:
    """A note's sentence, with what to do where there is something."""
    said = told(note.code, note.about, note.params)
    return counted(" ".join(words for words in (said.says, said.cure) if words))


def counted(words: str) -> str:
    """Words with "1 length" and "2 lengths" where they say "length(s)" after a number."""
    return _SEVERAL.sub(lambda found: found[1] + found[2] + ("" if found[1] == "1" else "s"), words)


def _number(value: float, digits: int = 6) -> float:
    return round(float(value), digits) + 0.0


def _numbers(values: FloatArray, digits: int = 6) -> list[float]:
    return [_number(value, digits) for value in np.asarray(values).tolist()]


def _turns(values: FloatArray | None) -> list[float] | None:
    return None if values is None else _numbers(np.degrees(values), 9)


def _note(note: Note) -> Json:
    return {"code": note.code, "about": note.about, "says": note_words(note)}


def _joint(joint: JointShown) -> Json:
    return {
        "id": joint.id,
        "kind": joint.kind,
        "parts": list(joint.parts),
        "first": list(joint.first),
        "second": list(joint.second),
        "glued": joint.glued,
        "figures": {name: _number(joint.figures[name]) for name in sorted(joint.figures)},
    }


def _bar(bar: Bar) -> Json:
    return {
        "id": bar.id,
        "ends_mm": [_numbers(end) for end in bar.ends],
        "width_mm": _number(bar.width),
        "height_mm": _number(bar.height),
        "material": bar.material,
        "form": bar.form,
    }


def _gap(gap: Gap) -> Json:
    return {
        "id": gap.id,
        "role": gap.role,
        "centre_mm": _numbers(gap.centre),
        "normal": _numbers(gap.normal),
        "width_mm": _number(gap.size[0]),
        "height_mm": _number(gap.size[1]),
        "area_mm2": _number(gap.area),
    }


def _surface(surface: LiftingSurface) -> Json:
    return {
        "id": surface.id,
        "role": surface.role,
        "main": surface.main,
        "symmetric": surface.symmetric,
        "leading_edge_mm": [_numbers(point) for point in surface.le],
        "chord_mm": _numbers(surface.chord),
        "twist_deg": _turns(surface.twist),
        "washout_deg": _turns(surface.washout),
        "folding_twist_deg": _turns(surface.folding_twist),
        "thickness_pct": _number(100.0 * surface.thickness),
        "step_mm": _number(surface.step),
        "step_x_mm": None if surface.step_x is None else _numbers(surface.step_x),
        "controls": [_control(control) for control in surface.controls],
    }


def _control(control: Control) -> Json:
    return {
        "id": control.id,
        "kind": control.kind,
        "chord_mm": _number(control.chord),
        "outer_chord_mm": None if control.outer_chord is None else _number(control.outer_chord),
        "inner_mm": _number(control.inner),
        "outer_mm": _number(control.outer),
        "up_deg": _number(degrees(control.up), 9),
        "down_deg": _number(degrees(control.down), 9),
        "all_moving": control.all_moving,
        "horn_mm2": _number(control.horn_area),
    }


def _fitting(fitting: Fitting) -> Json:
    """A printed fitting where it sits. box_mm: least and greatest corner in its own frame."""
    return {
        "id": fitting.id,
        "kind": fitting.kind,
        "title": fitting.title,
        "blank": fitting.blank,
        "placement": [[round(float(value), 12) + 0.0 for value in row] for row in fitting.placement],
        "box_mm": [_numbers(np.array(corner)) for corner in fitting.shape.box],
        "mass_g": _number(fitting.mass_g),
        "plastic_g": _number(fitting.plastic_g),
        "extra_g": _number(fitting.extra_g),
        "filament": fitting.printed.filament.id,
        "infill_pct": _number(100.0 * fitting.printed.infill),
        "figures": {name: _number(fitting.figures[name]) for name in sorted(fitting.figures)},
    }


def _thrust(thrust: Thrust) -> Json:
    """The thrust line: middle of the propeller's plane; tilt nose-up and side to the right positive, of the
    right motor of a pair.
    """
    return {
        "point_mm": [_number(value) for value in (thrust.x, thrust.y, thrust.z)],
        "tilt_deg": _number(degrees(thrust.tilt), 9),
        "side_deg": _number(degrees(thrust.side), 9),
        "mirrored": thrust.mirrored,
    }
