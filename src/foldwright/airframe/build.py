"""Parts folded, joined and put together: the one model everything else is read from."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache
from math import radians
from typing import Any

import numpy as np

from foldwright.airframe.box import build_box
from foldwright.airframe.model import Airframe, Board, Group, MassItem, PartBuild, Placed, Thrust
from foldwright.airframe.plate import build_plate
from foldwright.airframe.saddle import seat
from foldwright.airframe.slot_tab import join_slot_tab
from foldwright.airframe.wing import build_wing
from foldwright.base.finding import Finding
from foldwright.design.model import Design
from foldwright.design.parts import Box, FoldedWing, Joint, Part, Plate, Saddle, SlotTab
from foldwright.design.resolve import Resolved
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.checks import check_planes
from foldwright.geometry.fold.flat import PlanesDoNotMeetError, transforms
from foldwright.geometry.fold.mass import Material, board_moments, box_moments, line_moments


@dataclass(frozen=True, slots=True)
class Bench:
    """What a part needs to know besides itself: the board, bought spars by part id, the motor's tilt."""

    board: Board
    spar_g_m: Mapping[str, float]
    motor_tilt: float


def _wing(part: FoldedWing, bench: Bench) -> PartBuild:
    return build_wing(part, bench.board, bench.spar_g_m.get(part.id))


def _box(part: Box, bench: Bench) -> PartBuild:
    return build_box(part, bench.board, bench.motor_tilt)


def _plate(part: Plate, bench: Bench) -> PartBuild:
    return build_plate(part, bench.board)


# A new kind of part is a model in design.parts, a module here and one line in this table.
BUILDERS: Mapping[type, Callable[[Any, Bench], PartBuild]] = {FoldedWing: _wing, Box: _box, Plate: _plate}


def board_of(workshop: Workshop) -> Board:
    """The workshop's board as geometry and masses want it: mean thickness, foam and paper densities."""
    sheet = workshop.board
    t, paper = sheet.thickness, sheet.paper_g_m2 * 1e-6
    foam = max(sheet.areal_density_g_m2 * 1e-6 - 2.0 * paper, 0.0) / t
    fold = workshop.fold
    return Board(
        t,
        Material(t, foam, paper),
        sheet.areal_density_sd_pct,
        fold.outer_radius_mm,
        fold.crush_width_mm,
        fold.squeeze_share,
    )


def build_airframe(design: Design, fitted: Resolved, workshop: Workshop) -> Airframe:
    """Fold every part, cut the joints, weigh what is there.

    The battery is not among the masses: balance finds its place. A part that cannot be folded is absent
    and its findings say why.
    """
    board = board_of(workshop)
    spars = tuple(sorted((spar.part, spar.mass_g_m) for spar in fitted.spars))
    shape = folded(design.part, design.joint, board, spars, radians(fitted.motor.tilt_deg))
    glue = (workshop.glue_g_m if workshop.glue_g_m is not None else design.build.glue_g_m) / 1000.0
    seams = _seam_masses(shape.builds, glue, design.build.tape_g_m / 1000.0)
    bought = tuple(item for build in shape.builds for item in build.masses)
    return Airframe(
        board,
        shape.placed,
        tuple(surface for build in shape.builds for surface in build.surfaces),
        tuple(body for build in shape.builds for body in build.bodies),
        (*shape.masses, *seams, *bought, *_equipment(design, fitted)),
        _thrust(fitted),
        shape.findings,
    )


def _built(part: Part, bench: Bench) -> PartBuild:
    """One part, or the finding that says which of its planes do not meet."""
    try:
        return BUILDERS[type(part)](part, bench)
    except PlanesDoNotMeetError as error:
        return PartBuild(
            part.id, (), findings=check_planes(error.blank, error.thickness, error.panels, error.folds)
        )


@dataclass(frozen=True, slots=True, eq=False)
class Shape:
    """Parts folded and joined, before anything is put in: what only the parts and the board decide."""

    builds: tuple[PartBuild, ...]
    placed: tuple[Placed, ...]
    masses: tuple[MassItem, ...]
    findings: tuple[Finding, ...]


@lru_cache(maxsize=8)
def folded(
    parts: tuple[Part, ...],
    joints: tuple[Joint, ...],
    board: Board,
    spars: tuple[tuple[str, float], ...],
    motor_tilt: float,
) -> Shape:
    """Fold every part and cut the joints; the last few shapes are remembered.

    spars: part id and g/m of every bought spar. motor_tilt: rad, thrust vector nose-up positive.
    """
    bench = Bench(board, dict(spars), motor_tilt)
    built = {part.id: _built(part, bench) for part in parts}
    findings = [finding for build in built.values() for finding in build.findings]
    if all(build.blanks for build in built.values()):
        findings += _join(parts, joints, built, board)
    placed = tuple(
        Placed(build.id, blank, transforms(blank)) for build in built.values() for blank in build.blanks
    )
    return Shape(tuple(built.values()), placed, _board_masses(placed, board), tuple(findings))


def _join(
    all_parts: tuple[Part, ...], joints: tuple[Joint, ...], built: dict[str, PartBuild], board: Board
) -> list[Finding]:
    """Cut every joint into both parts; slots before saddles, so that a saddle sees the finished wing."""
    parts: dict[str, Part] = {part.id: part for part in all_parts}
    findings: list[Finding] = []
    for joint in sorted(joints, key=lambda joint: isinstance(joint, Saddle)):
        first, second = joint.parts
        if isinstance(joint, SlotTab):
            plate = parts[first]
            if not isinstance(plate, Plate):
                findings.append(Finding("G64", "no-go", joint.id, {"part": first}))
                continue
            built[first], built[second], found = join_slot_tab(
                built[first], built[second], plate, joint, board
            )
        else:
            built[second], found, seams = seat(built[first], built[second], joint, board)
            built[second] = replace(built[second], seams=built[second].seams + seams)
        findings += found
    return findings


def _board_masses(placed: tuple[Placed, ...], board: Board) -> tuple[MassItem, ...]:
    """One item a blank."""
    return tuple(
        MassItem(one.blank.name, "board", board_moments(((one.blank, one.transforms),), board.material))
        for one in placed
    )


def _seam_masses(builds: tuple[PartBuild, ...], glue: float, tape: float) -> tuple[MassItem, ...]:
    """Glue and tape as line masses, one item a part and kind; glue, tape: g/mm."""
    items = []
    for build in builds:
        for kind, weight in (("glue", glue), ("tape", tape)):
            lines = [line_moments(seam.points, weight) for seam in build.seams if seam.kind == kind]
            if lines and weight > 0.0:
                items.append(MassItem(f"{build.id}/{kind}", "joint", np.sum(lines, axis=0)))
    return tuple(items)


def _item(
    name: str, group: Group, centre: tuple[float, ...], size: tuple[float, float, float], mass: float
) -> MassItem:
    return MassItem(name, group, box_moments(np.array(centre), np.array(size), mass), size)


def _equipment(design: Design, fitted: Resolved) -> tuple[MassItem, ...]:
    """Motor, mount, propeller and the items of the file.

    The motor's body lies ahead of the propeller plane of a pusher and behind that of a tractor; which it
    is shows from the motor former: the plane lies behind it or ahead of it.
    """
    motor, propeller = fitted.motor, fitted.propeller
    x, y, z = motor.place_mm
    ahead = motor_ahead(design, x)
    body = x - ahead * motor.length_mm / 2.0
    mount = x - ahead * motor.length_mm
    across = (motor.length_mm, motor.diameter_mm, motor.diameter_mm)
    items = [
        _item("motor", "equipment", (body, y, z), across, motor.mass_g),
        _item(
            "motor-mount",
            "fitting",
            (mount, y, z),
            (10.0, motor.diameter_mm, motor.diameter_mm),
            motor.mount_mass_g,
        ),
        _item("propeller", "equipment", (x, y, z), (8.0, propeller.diameter_mm, 10.0), propeller.mass_g),
    ]
    for item in fitted.items:
        moments = box_moments(np.array(item.place_mm), np.array(item.size_mm), item.mass_g)
        items.append(MassItem(item.id, "equipment", moments, item.size_mm, item.slide_mm))
    return tuple(item for item in items if item.moments[3, 3] > 0.0)


def motor_ahead(design: Design, plane_x: float) -> float:
    """+1 where the propeller plane lies behind the motor's body (pusher), -1 where ahead of it (tractor)."""
    formers = [
        former.x_mm
        for part in design.part
        if isinstance(part, Box)
        for former in part.former
        if former.role == "motor"
    ]
    stations = [station.x_mm for part in design.part if isinstance(part, Box) for station in part.station]
    known = formers or ([(min(stations) + max(stations)) / 2.0] if stations else [0.0])
    nearest = min(known, key=lambda former: abs(former - plane_x))
    return 1.0 if plane_x >= nearest else -1.0


def _thrust(fitted: Resolved) -> Thrust:
    motor = fitted.motor
    x, y, z = motor.place_mm
    return Thrust(x, y, z, radians(motor.tilt_deg), motor.static_thrust_n, fitted.propeller.diameter_mm)
