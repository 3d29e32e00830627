"""What an aeroplane is made of once its parts have been folded and put together.

Frame: x aft from the nose datum, y right, z up, mm; masses in g, moments in g·mm^k.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from foldwright.airframe.fitting_model import Fitting
from foldwright.base.finding import Finding
from foldwright.base.types import FloatArray
from foldwright.geometry.fold.mass import Material
from foldwright.geometry.fold.model import Blank, Face

Group = Literal["board", "joint", "equipment", "fitting", "finish"]
Direction = Literal["+x", "-x", "+y", "-y", "+z", "-z"]
Role = Literal["wing", "tailplane", "canard", "fin", "v_tail", "other"]
"""What a lifting surface is for."""
Gains = tuple[float, float, float]
"""Share of a control's travel that elevator stick, aileron stick and pedals give: pitch, roll, yaw."""


@dataclass(frozen=True, slots=True)
class Board:
    """The builder's board and how they fold it.

    thickness: mean of the measured places, mm. radius: outer radius of a crushed corner, mm. crush_width:
    of the pressing tool, mm. squeeze_share: of the wedge of a crushed fold that may be squeezed, 0-1.
    """

    thickness: float
    material: Material
    radius: float
    crush_width: float
    squeeze_share: float


@dataclass(frozen=True, slots=True, eq=False)
class Control:
    """A hinged or all-moving part of one lifting surface, on both halves where the surface is symmetric.

    kind: as in the design ("elevon", "aileron", "elevator", "flap", "flaperon", "rudder", "ruddervator").
    fold_names: folds of the blank that are its hinges (right, left); none for an all-moving surface.
    chord: mm behind the hinge or pivot line, at the inner end. inner, outer: mm along the surface from its
    root seen from ahead (`LiftingSurface.arc`), the centre line being the root of a wing. hinge: fractions of
    the local chord at inner and outer end. up, down: travel, rad, both positive (fins: up is trailing edge
    to the left). outer_chord: mm at the outer end. all_moving: the whole section turns about `hinge`.
    horn_area: of its balance horn, one side, mm².
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
    outer_chord: float | None = None
    all_moving: bool = False
    horn_area: float = 0.0

    @property
    def gains(self) -> Gains:
        """How the control answers pitch, roll and yaw, by its kind."""
        return GAINS[self.kind]


GAINS: Mapping[str, Gains] = {
    "elevon": (1.0, 1.0, 0.0),
    "aileron": (0.0, 1.0, 0.0),
    "elevator": (1.0, 0.0, 0.0),
    "flap": (0.0, 0.0, 0.0),
    "flaperon": (0.0, 1.0, 0.0),
    "rudder": (0.0, 0.0, 1.0),
    "ruddervator": (1.0, 0.0, 1.0),
}
"""Pitch: both trailing edges down alike; roll: right down, left up; yaw: trailing edge to the right on fins,
right one down and left one up on a V-tail. Flaps and flaperons as flaps move on their own switch. What a
control of a surface ahead of the wing (canard) needs the other way round is for flight to turn."""


@dataclass(frozen=True, slots=True, eq=False)
class LiftingSurface:
    """What the lattice sees, sliced from the folded panels.

    le (k, 3): leading edge from root to tip, right half, mm. chord (k,): mm. twist (k,): rad, nose-up, all
    of it: incidence, what folding gives (`folding_twist`) and what is warped in (minus `washout`).
    xi (m,): chord fractions 0-1. camber (k, m): ordinate / chord of the middle between upper and lower
    contour. thickness: greatest thickness / chord. step: height of the step on the underside, mm; step_x
    (k,): its place, x in the aeroplane, None without one; step_on_top: it is a doubler's, on the upper side.
    trailing: thickness of the trailing edge, mm. symmetric: mirrored in y = 0. role: what it is for. washout
    (k,), folding_twist (k,): rad, washout nose-down positive, folding twist nose-up positive against the
    root; None for none.
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
    role: Role = "wing"
    washout: FloatArray | None = None
    folding_twist: FloatArray | None = None
    step_x: FloatArray | None = None
    step_on_top: bool = False

    @property
    def arc(self) -> FloatArray:
        """(k,) distance of the stations from the root along the leading edge seen from ahead, mm."""
        steps = np.hypot(np.diff(self.le[:, 1]), np.diff(self.le[:, 2]))
        return np.concatenate(([0.0], np.cumsum(steps)))

    @property
    def upright(self) -> bool:
        """Whether it stands more than it lies: a fin."""
        rise = self.le[-1] - self.le[0]
        return bool(abs(rise[2]) > abs(rise[1]))


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


@dataclass(frozen=True, slots=True)
class MarkRequest:
    """A line wanted on a part: `direction` is the way the eye looks, from outside on to the face.

    part: id of a part, or of one of its blanks ("wing/main"); points: ends in the aeroplane, mm (their
    coordinate along `direction` does not matter). face: wanted face, None for the first one met. least:
    share of the line that must land somewhere, else it is a finding. needs: a blank without which the mark
    says nothing ("" for none); where a joint has taken it away the mark is not drawn.
    """

    name: str
    part: str
    direction: Direction
    points: tuple[tuple[float, float, float], ...]
    face: Face | None = None
    least: float = 0.9
    needs: str = ""


@dataclass(frozen=True, slots=True)
class Floor:
    """Where something may stand: a blank's face that looks up, from one x to another, mm.

    first: asked before others (a tray before the floor under it). face: of the blank.
    """

    blank: str
    face: Face
    fore: float
    aft: float
    first: bool = False


@dataclass(frozen=True, slots=True)
class Mount:
    """A board that a motor stands on. blank: its name; fore, aft: x of its two faces at the middle, mm."""

    blank: str
    fore: float
    aft: float


@dataclass(frozen=True, slots=True, eq=False)
class Gap:
    """A hole that something passes: air, a lead, an antenna, a camera's look, a tool.

    id: "body.wire-slot"; role: as in the design, "lead" for a former's hole. centre (3,), normal (3,):
    in the aeroplane, mm, normal outward. size: clear width and height, mm. area: mm².
    """

    id: str
    role: str
    centre: FloatArray
    normal: FloatArray
    size: tuple[float, float]
    area: float


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """A bought spar, stick or dowel as it lies: ends (2, 3) mm, outer width and height, material, form."""

    id: str
    ends: FloatArray
    width: float
    height: float
    material: str
    form: str


@dataclass(frozen=True, slots=True)
class Note:
    """Something the builder has to know or do: a message code of the catalogue and its figures.

    about: blank or part it belongs to.
    """

    code: str
    about: str
    params: Mapping[str, float | int | str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class JointShown:
    """What a joint shows in both of its parts, for the book.

    id, kind: of the joint. parts: the two ids. first, second: what is cut or marked in each, as names of
    blanks and panels ("fin/right plate: 2 tabs"). glued: stays together; else it comes off for transport.
    figures: what was reckoned, mm and degrees, keys with their unit.
    """

    id: str
    kind: str
    parts: tuple[str, str]
    first: tuple[str, ...]
    second: tuple[str, ...]
    glued: bool
    figures: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Aids:
    """What others ask of a part, or of the whole aeroplane, besides its board.

    guides: marks that help to put it together; floors, mounts, gaps, bars: where things stand, are screwed
    on, pass, or are bought; notes: for the builder; titles: what each blank is, in the trade's words, by the
    blank's name; loose: blanks that come off by hand (hatches).
    """

    guides: tuple[MarkRequest, ...] = ()
    floors: tuple[Floor, ...] = ()
    mounts: tuple[Mount, ...] = ()
    gaps: tuple[Gap, ...] = ()
    bars: tuple[Bar, ...] = ()
    notes: tuple[Note, ...] = ()
    titles: Mapping[str, str] = field(default_factory=dict)
    loose: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, eq=False)
class PartBuild(Aids):
    """What one part gives the aeroplane: `build(part, bench)`."""

    id: str
    blanks: tuple[Blank, ...]
    surfaces: tuple[LiftingSurface, ...] = ()
    bodies: tuple[Body, ...] = ()
    seams: tuple[Seam, ...] = ()
    masses: tuple[MassItem, ...] = ()
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True, slots=True)
class Thrust:
    """Thrust line: propeller-plane point (mm) and tilt (rad, + = vector points nose-up); static N or None.

    static_n: of one motor; tested: it was measured on this drive. mirrored: a second motor stands at -y; then
    the two together count. side: rad, positive where the vector points to the right (the left motor of two
    points as far to the left).
    """

    x: float
    y: float
    z: float
    tilt: float
    static_n: float | None
    disc_diameter_mm: float
    mirrored: bool = False
    side: float = 0.0
    tested: bool = False

    @property
    def count(self) -> int:
        """Motors."""
        return 2 if self.mirrored else 1

    @property
    def total_n(self) -> float | None:
        """Static thrust of all motors, N."""
        return None if self.static_n is None else self.static_n * self.count


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A blank with the 4x4 of each of its panels, folded."""

    part: str
    blank: Blank
    transforms: dict[str, FloatArray]


@dataclass(frozen=True, slots=True, eq=False)
class Airframe(Aids):
    """The folded aeroplane. Everything derives from it."""

    board: Board
    placed: tuple[Placed, ...]
    surfaces: tuple[LiftingSurface, ...]
    bodies: tuple[Body, ...]
    masses: tuple[MassItem, ...]
    thrust: Thrust
    findings: tuple[Finding, ...]
    joints: tuple[JointShown, ...] = ()
    fittings: tuple[Fitting, ...] = ()

    @property
    def wing(self) -> LiftingSurface:
        """The main lifting surface. Raises LookupError if the design has none."""
        for surface in self.surfaces:
            if surface.main:
                return surface
        raise LookupError("no main lifting surface")
