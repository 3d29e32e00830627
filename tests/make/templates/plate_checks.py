"""What must hold of every template plate, whatever blank it traces."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from pathlib import Path

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from foldwright.airframe.build import build_airframe
from foldwright.airframe.model import Airframe
from foldwright.base.types import FloatArray
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.resolve import fit
from foldwright.design.workshop import TemplateKind, Workshop
from foldwright.evaluate import evaluate
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.solid.check import faults
from foldwright.layout.as_cut import as_cut
from foldwright.make.blank_drawing import BlankDrawing, draw_blank
from foldwright.make.templates.areas import polygons
from foldwright.make.templates.group import Group, Groups, groups_of
from foldwright.make.templates.model import Guide, Plate
from foldwright.make.templates.plate import plate_of
from foldwright.make.templates.plate_letters import letters_area
from foldwright.make.templates.plate_solid import plate_solid
from foldwright.make.templates.use import traced_area, traced_lines
from tests import world

STARTERS = world.EXAMPLES.parent / "src" / "foldwright" / "design" / "data" / "starters"
LAYOUTS = ("marram", "teasel", "bracken", "samphire", "sedge", "thrift")
SAME = 0.03
"""mm; what differs by less a pencil cannot show."""

Lines = dict[tuple[str, str], list[FloatArray]]


@cache
def airframe(name: str, workshop: str = "home-knife") -> Airframe:
    """A design that comes with the tool, its marks placed."""
    stock = built_in_stock()
    design = load_design(_file(name), stock=stock).value
    assert design is not None
    found = evaluate(design, world.workshop(workshop), stock).results
    assert found is not None
    return found.airframe


@cache
def unmarked(name: str, workshop: Workshop) -> Airframe:
    """The same without the marks that need an evaluation, in any workshop."""
    stock = built_in_stock()
    design = load_design(_file(name), stock=stock).value
    assert design is not None
    fitted = fit(design, workshop, stock).value
    assert fitted is not None
    return build_airframe(design, fitted, workshop)


def _file(name: str) -> Path:
    return STARTERS / f"{name}.toml"


def grouped(name: str, workshop: str = "home-knife") -> Groups:
    return groups_of(blanks(name, workshop), world.workshop(workshop).cutter)


def blanks(name: str, workshop: str = "home-knife") -> list[Blank]:
    return [one.blank for one in airframe(name, workshop).placed]


def made(group: Group, kind: TemplateKind, workshop: Workshop) -> Plate:
    plate = plate_of(group, kind, workshop).plate
    assert plate is not None
    return plate


def drawn(blank: Blank, workshop: Workshop) -> BlankDrawing:
    return draw_blank(as_cut(blank), workshop.cutter)


def lines_of_blank(drawing: BlankDrawing) -> Lines:
    found: Lines = defaultdict(list)
    for line in drawing.lines:
        if line.role not in {"outline", "hole"}:
            points = np.vstack([line.points, line.points[:1]]) if line.closed else line.points
            found[line.pen, line.face].append(points)
    return found


def lines_of_guides(guides: tuple[Guide, ...]) -> Lines:
    found: Lines = defaultdict(list)
    for guide in guides:
        if guide.name not in {"outline", "hole"} or guide.pen != "cut":
            found[guide.pen, guide.face].append(guide.points)
    return found


def check_traced(plate: Plate, blank: Blank, workshop: Workshop) -> None:
    """All lines, and no others, come out on the blank: the same sets of points for each pen and face."""
    drawing = drawn(blank, workshop)
    wanted, got = lines_of_blank(drawing), lines_of_guides(traced_lines(plate, blank.name))
    step = np.zeros(2)
    if blank.name in plate.same:
        step = drawing.rings[0].min(axis=0) - np.asarray(plate.outline.bounds[:2])
    assert set(got) == set(wanted), blank.name
    for key, lines in wanted.items():
        one, other = united(lines), united([points + step for points in got[key]])
        assert one.difference(other.buffer(SAME)).length < SAME, (blank.name, key)
        assert other.difference(one.buffer(SAME)).length < SAME, (blank.name, key)
    outline = shapely.Polygon(drawing.rings[0], drawing.rings[1:])
    whole = shapely.transform(traced_area(plate, blank.name), lambda points: points + step)
    assert whole.symmetric_difference(outline).area < SAME * outline.length
    assert shapely.hausdorff_distance(whole.boundary, outline.boundary) < SAME


def united(lines: list[FloatArray]) -> BaseGeometry:
    """Lines as one set of points: what lies twice counts once."""
    return shapely.union_all([shapely.LineString(points) for points in lines])


def check_plate(plate: Plate, workshop: Workshop) -> None:
    """What a builder and a printer need of the plate itself."""
    template = workshop.template
    assert isinstance(plate.edge, shapely.Polygon)
    assert isinstance(plate.body, shapely.Polygon)
    assert plate.body.is_valid
    assert plate.edge.buffer(1e-6).covers(plate.body)
    assert isinstance(plate.outline, shapely.Polygon)
    # holes too small for the tool are closed and pricked
    filled, edge = shapely.Polygon(plate.outline.exterior), shapely.Polygon(plate.edge.exterior)
    assert filled.buffer(1e-4).covers(edge)
    # drawn in by the offset and no further, but for corners and gaps too narrow for the tool
    assert shapely.hausdorff_distance(edge, filled) < 6.0 * template.offset + 1e-3
    section, *crumbs = polygons(plate.body.difference(plate.through))
    assert sum(one.area for one in crumbs) < 0.01, plate.name
    # bars and bridges that hold the plate together are no thinner than two printed lines
    assert isinstance(section.buffer(-0.45), shapely.Polygon), plate.name
    check_ends(plate)
    check_letters(plate, section)
    solid = plate_solid(plate)
    assert faults(solid) == ()
    assert solid.size[2] == plate.thickness
    check_volume(plate, section)


def check_ends(plate: Plate) -> None:
    """Where a rule is laid along a line, something of the plate shows where: an opening on the line near each
    of its ends.
    """
    for guide in plate.guides:
        if guide.how in {"slot", "notch"} and len(guide.points) == 2:
            line = shapely.LineString(guide.points)
            shown = line.buffer(0.35).intersection(plate.through)
            reach = min(20.0, 0.75 * line.length)
            for end in guide.points:
                assert shown.distance(shapely.Point(end)) < reach, (plate.name, guide.name)


def check_letters(plate: Plate, section: shapely.Polygon) -> None:
    for under in (False, True):
        ink = [letters_area(one) for one in plate.letters if one.under is under]
        every = shapely.union_all(ink)
        assert section.buffer(-0.3).covers(every) or not ink, plate.name
        assert abs(every.area - sum(one.area for one in ink)) < 1e-6, f"{plate.name}: letters on letters"
        if not under:
            assert not every.intersects(plate.grooves), plate.name
    assert all(one.stem >= 0.8 for one in plate.letters)


def check_volume(plate: Plate, section: shapely.Polygon) -> None:
    """First principles: area times thickness less what is recessed on either side."""
    ink = {
        under: shapely.union_all([letters_area(one) for one in plate.letters if one.under is under])
        for under in (True, False)
    }
    upper = shapely.union_all([ink[False], plate.grooves]).intersection(section).area
    wanted = section.area * plate.thickness - plate.recess * (upper + ink[True].area)
    got = plate_solid(plate).volume
    assert abs(got - wanted) < 1e-5 * wanted
