"""What an aeroplane is made of once its parts have been folded and put together.

Frame: x aft from the nose datum, y right, z up, mm; masses in g, moments in g·mm^k.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.mass import Material
from foldwright.geometry.fold.model import Blank

Group = Literal["board", "joint", "equipment", "fitting"]


@dataclass(frozen=True, slots=True)
class Board:
    """The builder's board and how they fold it.

    thickness: mean of the measured places, mm. sd_pct: one standard deviation of areal density, %.
    radius: outer radius of a crushed corner, mm. crush_width: of the pressing tool, mm. squeeze_share: of
    the wedge of a crushed fold that may be squeezed, 0-1.
    """

    thickness: float
    material: Material
    sd_pct: float
    radius: float
    crush_width: float
    squeeze_share: float


@dataclass(frozen=True, slots=True, eq=False)
class Control:
    """A hinged surface of one lifting surface, on both halves.

    fold_names: folds of the blank that are its hinges (right, left). chord: mm behind the hinge line.
    inner, outer: mm from the centre line. hinge: fractions of the local chord at inner and outer end.
    up, down: travel, rad, both positive.
    """

    id: str
    kind: str
    fold_names: tuple[str, ...]
    chord: float
    inner: float
    outer: float
    hinge: tuple[float, float]
    up: float
    down: float


@dataclass(frozen=True, slots=True, eq=False)
class LiftingSurface:
    """What the lattice sees, sliced from the folded panels.

    le (k, 3): leading edge from root to tip, right half, mm. chord (k,): mm. twist (k,): rad, nose-up.
    xi (m,): chord fractions 0-1. camber (k, m): ordinate / chord of the middle between upper and lower
    contour. thickness: greatest thickness / chord. step: height of the step on the underside, mm.
    trailing: thickness of the trailing edge, mm. symmetric: mirrored in y = 0. area: both halves, mm².
    """

    id: str
    le: FloatArray
    chord: FloatArray
    twist: FloatArray
    xi: FloatArray
    camber: FloatArray
    thickness: float
    step: float
    trailing: float
    symmetric: bool
    main: bool
    controls: tuple[Control, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """Outer cross-sections of a body, for its pitching moment: x (n,), width (n,), height (n,), mm."""

    id: str
    x: FloatArray
    width: FloatArray
    height: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class MassItem:
    """One thing that weighs: 4x4 moments about the aeroplane's datum (g, g·mm, g·mm²).

    size (3,): bounding box, mm, zeros for lines; cg is read off the moments. slide: least and greatest x
    of its centre where it may be moved, else None.
    """

    id: str
    group: Group
    moments: FloatArray
    size: tuple[float, float, float] = (0.0, 0.0, 0.0)
    slide: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Seam:
    """A line of glue or tape, (n, 3) points in the aeroplane, mm."""

    id: str
    kind: Literal["glue", "tape"]
    points: FloatArray


@dataclass(frozen=True, slots=True, eq=False)
class PartBuild:
    """What one part gives the aeroplane: `build(part, board)`."""

    id: str
    blanks: tuple[Blank, ...]
    surfaces: tuple[LiftingSurface, ...] = ()
    bodies: tuple[Body, ...] = ()
    seams: tuple[Seam, ...] = ()
    masses: tuple[MassItem, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Thrust:
    """Thrust line: propeller-plane point (mm) and tilt (rad, + = vector points nose-up); static N or None."""

    x: float
    y: float
    z: float
    tilt: float
    static_n: float | None
    disc_diameter_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A blank with the 4x4 of each of its panels, folded."""

    part: str
    blank: Blank
    transforms: dict[str, FloatArray]


@dataclass(frozen=True, slots=True, eq=False)
class Airframe:
    """The folded aeroplane. Everything derives from it."""

    board: Board
    placed: tuple[Placed, ...]
    surfaces: tuple[LiftingSurface, ...]
    bodies: tuple[Body, ...]
    masses: tuple[MassItem, ...]
    thrust: Thrust
    findings: tuple[Finding, ...]

    @property
    def wing(self) -> LiftingSurface:
        """The main lifting surface. Raises LookupError if the design has none."""
        for surface in self.surfaces:
            if surface.main:
                return surface
        raise LookupError("no main lifting surface")
