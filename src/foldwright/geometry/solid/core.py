"""A printed solid and what can be done with it. Lengths in mm, volumes in mm³, angles in rad.

Areas are shapely polygons in (x, y); a solid made of one stands on z = `z` and reaches up. manifold3d keeps
every result closed; what it is given in silence (a ring wound the wrong way gives nothing at all) is checked
here by area.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import degrees

import manifold3d
import numpy as np
import numpy.typing as npt
import shapely

from foldwright.base.types import FloatArray

Area = shapely.Polygon | shapely.MultiPolygon
Place = Sequence[float] | FloatArray
"""A point or direction (x, y, z), mm."""
IntArray = npt.NDArray[np.int64]

SIDES = 48
"""Sides of a whole circle: a hole of 3 mm is then at most 0.004 mm off round."""

_AREA = 1e-6
_NOTHING = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles: vertices (n, 3) mm, faces (m, 3) indices, counter-clockwise from outside."""

    vertices: FloatArray
    faces: IntArray


@dataclass(frozen=True, eq=False)
class Solid:
    """A closed solid, perhaps of several bodies; `+`, `-` and `&` as for sets of points.

    What is put together is reckoned when something is first asked of it; its figures are kept.
    """

    form: manifold3d.Manifold

    def __add__(self, other: Solid) -> Solid:
        return Solid(self.form + other.form)

    def __sub__(self, other: Solid) -> Solid:
        return Solid(self.form - other.form)

    def __and__(self, other: Solid) -> Solid:
        return Solid(self.form ^ other.form)

    @cached_property
    def volume(self) -> float:
        """mm³, never negative."""
        return float(self.form.volume())

    @cached_property
    def area(self) -> float:
        """Of the whole surface, mm²."""
        return float(self.form.surface_area())

    @cached_property
    def bounds(self) -> tuple[FloatArray, FloatArray]:
        """Least and greatest corner, (3,) each. Raises ValueError for an empty solid."""
        if self.form.is_empty():
            raise ValueError("an empty solid has no bounds")
        box = np.asarray(self.form.bounding_box(), dtype=np.float64)
        return box[:3], box[3:]

    @property
    def size(self) -> FloatArray:
        """Extent along x, y, z, (3,)."""
        low, high = self.bounds
        extent: FloatArray = high - low
        return extent

    def placed(self, matrix: FloatArray) -> Solid:
        """Moved and turned by a 4x4. Raises ValueError for one that mirrors or shears."""
        if abs(float(np.linalg.det(matrix[:3, :3])) - 1.0) > 1e-9:
            raise ValueError("a solid is turned and moved, never mirrored or scaled")
        return Solid(self.form.transform(matrix[:3, :4]))

    def moved(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Solid:
        """Moved."""
        return Solid(self.form.translate((x, y, z)))

    def turned(self, x: float = 0.0, y: float = 0.0, z: float = 0.0) -> Solid:
        """Turned about x, then y, then z, right-handed, rad."""
        return Solid(self.form.rotate((degrees(x), degrees(y), degrees(z))))

    def mirrored(self, axis: tuple[float, float, float]) -> Solid:
        """The mirror image in the plane through the origin square to `axis`: for the other hand of a part."""
        return Solid(self.form.mirror(axis))

    def bodies(self) -> tuple[Solid, ...]:
        """Each connected body."""
        return tuple(Solid(one) for one in self.form.decompose())

    def slice_at(self, z: float) -> Area:
        """Its section at a height."""
        return _as_area(self.form.slice(z))

    def shadow(self) -> Area:
        """What it covers of the plane z = 0, seen from above."""
        return _as_area(self.form.project())


def extrude(area: Area, height: float, z: float = 0.0) -> Solid:
    """An area raised by `height` from z. Raises ValueError for one without area or height."""
    if height <= 0.0:
        raise ValueError("a solid needs a height above zero")
    section = _section(area)
    return Solid(manifold3d.Manifold.extrude(section, height).translate((0.0, 0.0, z)))


def box(low: Place, high: Place) -> Solid:
    """A block between two corners."""
    size = np.asarray(high, dtype=np.float64) - np.asarray(low, dtype=np.float64)
    if np.any(size <= 0.0):
        raise ValueError("a block needs length, width and height above zero")
    return Solid(manifold3d.Manifold.cube(tuple(size.tolist())).translate(tuple(float(v) for v in low)))


def rod(start: Place, end: Place, diameter: float, sides: int = SIDES) -> Solid:
    """A round bar from one point to another; its corners lie on the circle. Raises ValueError without
    length or diameter.
    """
    p, q = np.asarray(start, dtype=np.float64), np.asarray(end, dtype=np.float64)
    along = q - p
    length = float(np.linalg.norm(along))
    if length <= 0.0 or diameter <= 0.0:
        raise ValueError("a bar needs a length and a diameter above zero")
    z = along / length
    side = np.array([1.0, 0.0, 0.0]) if abs(z[0]) < 0.9 else np.array([0.0, 1.0, 0.0])
    x = np.cross(side, z)
    x /= np.linalg.norm(x)
    matrix = np.eye(4)
    matrix[:3, 0], matrix[:3, 1], matrix[:3, 2], matrix[:3, 3] = x, np.cross(z, x), z, p
    bar = manifold3d.Manifold.cylinder(length, diameter / 2.0, diameter / 2.0, sides)
    return Solid(bar.transform(matrix[:3, :4]))


def union(solids: Iterable[Solid]) -> Solid:
    """All of them as one. Raises ValueError for none."""
    forms = [one.form for one in solids]
    if not forms:
        raise ValueError("nothing to put together")
    return Solid(manifold3d.Manifold.batch_boolean(forms, manifold3d.OpType.Add))


def without(solid: Solid, taken: Iterable[Solid]) -> Solid:
    """A solid less others."""
    forms = [one.form for one in taken]
    if not forms:
        return solid
    return Solid(manifold3d.Manifold.batch_boolean([solid.form, *forms], manifold3d.OpType.Subtract))


def hull(solids: Iterable[Solid]) -> Solid:
    """The least convex solid about others."""
    return Solid(manifold3d.Manifold.batch_hull([one.form for one in solids]))


def area_of(shape: shapely.Geometry, crumb: float = 1e-6) -> Area:
    """The polygons of any shape as an area, those of no more than `crumb` mm² left out.

    Raises ValueError where none is left.
    """
    parts = [
        part for part in shapely.get_parts(shape) if isinstance(part, shapely.Polygon) and part.area > crumb
    ]
    if not parts:
        raise ValueError("no area is left")
    return parts[0] if len(parts) == 1 else shapely.MultiPolygon(parts)


def _section(area: Area) -> manifold3d.CrossSection:
    """A shapely area as a section; even-odd, so that no way round gives an empty one. Raises ValueError."""
    rings = [
        np.asarray(ring.coords, dtype=np.float64)[:-1]
        for part in shapely.get_parts(area)
        if not part.is_empty
        for ring in (part.exterior, *part.interiors)
    ]
    section = manifold3d.CrossSection(rings, manifold3d.FillRule.EvenOdd)
    wanted = float(area.area)
    if wanted <= _NOTHING or abs(section.area() - wanted) > _AREA * max(1.0, wanted):
        raise ValueError(f"no section of {wanted:g} mm² but of {section.area():g}")
    return section


def _as_area(section: manifold3d.CrossSection) -> Area:
    """A section as an area: outer rings run counter-clockwise, holes clockwise."""
    parts = [shapely.Polygon(np.asarray(ring)) for ring in section.to_polygons() if len(ring) > 2]
    outer = shapely.union_all([part for part in parts if part.exterior.is_ccw])
    holes = shapely.union_all([part for part in parts if not part.exterior.is_ccw])
    found = outer.difference(holes)
    whole = [part for part in shapely.get_parts(found) if isinstance(part, shapely.Polygon)]
    return whole[0] if len(whole) == 1 else shapely.MultiPolygon(whole)
