"""Parts folded, joined and put together: the one model everything else is read from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import radians

import numpy as np

from foldwright.airframe.bench import Bench, Bought
from foldwright.airframe.finish import finished
from foldwright.airframe.fitting_out import fitted_out
from foldwright.airframe.joined import Joined
from foldwright.airframe.joining import joiners
from foldwright.airframe.kinds import builders
from foldwright.airframe.model import (
    Airframe,
    Board,
    Group,
    JointShown,
    MassItem,
    Mount,
    PartBuild,
    Placed,
    Thrust,
)
from foldwright.airframe.section import placed as placed_blank
from foldwright.base.finding import Finding
from foldwright.design.model import Design
from foldwright.design.parts import Joint, Part
from foldwright.design.resolve import Resolved
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.checks import check_planes
from foldwright.geometry.fold.flat import PlanesDoNotMeetError
from foldwright.geometry.fold.mass import Material, board_moments, box_moments, line_moments


def board_of(workshop: Workshop) -> Board:
    """The workshop's board as geometry and masses want it: mean thickness, foam and paper densities."""
    sheet = workshop.board
    t, paper = sheet.thickness, sheet.paper_g_m2 * 1e-6
    foam = max(sheet.areal_density_g_m2 * 1e-6 - 2.0 * paper, 0.0) / t
    fold = workshop.fold
    return Board(
        t,
        Material(t, foam, paper),
        fold.outer_radius_mm,
        fold.crush_width_mm,
        fold.squeeze_share,
    )


def bench_of(fitted: Resolved, workshop: Workshop) -> Bench:
    """What every part is built with: the board, bought spars, the motor's tilt."""
    spars = tuple(
        (spar.part, Bought(spar.width_mm, spar.height_mm, spar.mass_g_m, spar.material, spar.form))
        for spar in sorted(fitted.spars, key=lambda spar: spar.part)
    )
    return Bench(board_of(workshop), spars, radians(fitted.motor.tilt_deg))


def build_airframe(design: Design, fitted: Resolved, workshop: Workshop) -> Airframe:
    """Fold every part, cut the joints, weigh what is there.

    The battery is not among the masses: balance finds its place. A part that cannot be folded is absent
    and its findings say why.
    """
    bench = bench_of(fitted, workshop)
    shape = folded(design.part, design.joint, bench)
    glue = (workshop.glue_g_m if workshop.glue_g_m is not None else design.build.glue_g_m) / 1000.0
    builds = shape.builds
    seams = _seam_masses(builds, glue, design.build.tape_g_m / 1000.0)
    bought = tuple(item for build in builds for item in build.masses)
    bare = Airframe(
        bench.board,
        shape.placed,
        tuple(surface for build in builds for surface in build.surfaces),
        tuple(body for build in builds for body in build.bodies),
        (*shape.masses, *seams, *bought, *_equipment(design, fitted, _mounts(builds))),
        _thrust(design, fitted),
        shape.findings,
        guides=tuple(guide for build in builds for guide in build.guides),
        floors=tuple(floor for build in builds for floor in build.floors),
        mounts=_mounts(builds),
        gaps=tuple(gap for build in builds for gap in build.gaps),
        bars=tuple(bar for build in builds for bar in build.bars),
        notes=tuple(note for build in builds for note in build.notes),
        titles={name: title for build in builds for name, title in build.titles.items()},
        loose=tuple(name for build in builds for name in build.loose),
        joints=shape.joints,
    )
    if any(finding.verdict == "no-go" for finding in shape.findings):
        return bare
    return fitted_out(bare, design, fitted, workshop)


def _mounts(builds: tuple[PartBuild, ...]) -> tuple[Mount, ...]:
    return tuple(mount for build in builds for mount in build.mounts)


@lru_cache(maxsize=64)
def _built(part: Part, bench: Bench) -> PartBuild:
    """One part, or the finding that says which of its planes do not meet.

    The last ones are remembered: a design changed in one part builds that part only, and what is worked out
    for a blank by identity (places, solids) stays at hand for the others.
    """
    try:
        return builders()[type(part)](part, bench)
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
    joints: tuple[JointShown, ...] = ()


@lru_cache(maxsize=8)
def folded(parts: tuple[Part, ...], joints: tuple[Joint, ...], bench: Bench) -> Shape:
    """Fold every part and cut the joints; the last few shapes are remembered."""
    built = {part.id: _built(part, bench) for part in parts}
    findings = [finding for build in built.values() for finding in build.findings]
    shown: list[JointShown] = []
    if all(finding.verdict != "no-go" for finding in findings):
        findings += _join({part.id: part for part in parts}, joints, built, bench, shown)
        findings += _finish(parts, built, bench)
    placed = tuple(placed_blank(build.id, blank) for build in built.values() for blank in build.blanks)
    masses = _board_masses(placed, bench.board)
    return Shape(tuple(built.values()), placed, masses, tuple(findings), tuple(shown))


def _finish(parts: tuple[Part, ...], built: dict[str, PartBuild], bench: Bench) -> list[Finding]:
    """Do the work on the faces of every part, in `built`."""
    findings: list[Finding] = []
    for part in parts:
        before = built[part.id]
        built[part.id] = _worked(before, part, bench.board)
        findings += built[part.id].findings[len(before.findings) :]
    return findings


def _join(
    parts: Mapping[str, Part],
    joints: tuple[Joint, ...],
    built: dict[str, PartBuild],
    bench: Bench,
    shown: list[JointShown],
) -> list[Finding]:
    """Cut every joint into both parts, in the order of their kinds, into `built`."""
    findings: list[Finding] = []
    kinds = joiners()
    for joint in sorted(joints, key=lambda joint: kinds[type(joint)].order):
        first, second = joint.parts
        done = _joined(joint, (parts[first], parts[second]), (built[first], built[second]), bench)
        built.update(done.changed)
        findings += done.findings
        if done.shown is not None:
            shown.append(done.shown)
    return findings


@lru_cache(maxsize=64)
def _joined(
    joint: Joint, parts: tuple[Part, Part], builds: tuple[PartBuild, PartBuild], bench: Bench
) -> Joined:
    """One joint cut into the two parts it names.

    The last ones are remembered (builds by identity): a design changed in one part cuts only the joints that
    this part, or one changed by it, has a share in.
    """
    join = joiners()[type(joint)].join
    names = joint.parts
    return join(dict(zip(names, parts, strict=True)), dict(zip(names, builds, strict=True)), joint, bench)


@lru_cache(maxsize=64)
def _worked(build: PartBuild, part: Part, board: Board) -> PartBuild:
    """A part with the work on its faces done; the last ones are remembered (builds by identity)."""
    return finished(build, part, board)


def _board_masses(placed: tuple[Placed, ...], board: Board) -> tuple[MassItem, ...]:
    """One item a blank."""
    return tuple(_board_mass(one, board.material) for one in placed)


@lru_cache(maxsize=128)
def _board_mass(one: Placed, material: Material) -> MassItem:
    """The board of one blank; the last ones are remembered (by identity)."""
    return MassItem(one.blank.name, "board", board_moments(((one.blank, one.transforms),), material))


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


def _equipment(design: Design, fitted: Resolved, mounts: tuple[Mount, ...]) -> tuple[MassItem, ...]:
    """Motors, mounts, propellers, legs and the items of the file."""
    motor = fitted.motor
    sides = (("/right", 1.0), ("/left", -1.0)) if design.motor.mirrored else (("", 1.0),)
    ahead = motor_ahead(mounts, motor.place_mm[0], design)
    items = [item for tail, sign in sides for item in _drive(fitted, ahead, tail, sign)]
    for item in fitted.items:
        moments = box_moments(np.array(item.place_mm), np.array(item.size_mm), item.mass_g)
        items.append(MassItem(item.id, "equipment", moments, item.size_mm, item.slide_mm))
    for leg in design.leg:
        for tail, sign in (("/right", 1.0), ("/left", -1.0)) if leg.mirrored else (("", 1.0),):
            ends = np.array([(leg.x_mm, sign * leg.y_mm, z) for z in (leg.z_mm, leg.z_mm - leg.long_mm)])
            items.append(MassItem(leg.id + tail, "fitting", line_moments(ends, leg.mass_g / leg.long_mm)))
    return tuple(item for item in items if item.moments[3, 3] > 0.0)


def _drive(fitted: Resolved, ahead: float, tail: str, sign: float) -> tuple[MassItem, ...]:
    """One motor with its mount and propeller; ahead: see `motor_ahead`; sign: of y."""
    motor, propeller = fitted.motor, fitted.propeller
    x, y, z = motor.place_mm
    body, mount, y = x - ahead * motor.length_mm / 2.0, x - ahead * motor.length_mm, sign * y
    wide = motor.diameter_mm
    return (
        _item(f"motor{tail}", "equipment", (body, y, z), (motor.length_mm, wide, wide), motor.mass_g),
        _item(f"motor-mount{tail}", "fitting", (mount, y, z), (10.0, wide, wide), motor.mount_mass_g),
        _item(
            f"propeller{tail}",
            "equipment",
            (x, y, z),
            (8.0, propeller.diameter_mm, 10.0),
            propeller.mass_g,
        ),
    )


def motor_ahead(mounts: tuple[Mount, ...], plane_x: float, design: Design) -> float:
    """+1 where the propeller plane lies behind the motor's body (pusher), -1 where ahead of it (tractor).

    The nearest board that a motor stands on tells; without one, whether the plane lies ahead of the middle
    of what the battery may slide in.
    """
    if mounts:
        middle = min(((m.fore + m.aft) / 2.0 for m in mounts), key=lambda x: abs(x - plane_x))
    else:
        middle = (design.battery.slide_from_mm + design.battery.slide_to_mm) / 2.0
    return 1.0 if plane_x >= middle else -1.0


def _thrust(design: Design, fitted: Resolved) -> Thrust:
    motor = fitted.motor
    x, y, z = motor.place_mm
    tilt, disc = radians(motor.tilt_deg), fitted.propeller.diameter_mm
    side = radians(design.motor.side_deg)
    measured = design.measured.static_thrust_n if design.measured is not None else None
    newton = motor.static_thrust_n if measured is None else measured
    return Thrust(x, y, z, tilt, newton, disc, design.motor.mirrored, side, measured is not None)
