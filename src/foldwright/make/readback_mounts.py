"""What a printed mount promises, measured on its mesh in the aeroplane: thrust axis and the motor's holes.

Found by figures that fittings carry, not by their kind. Frame: x aft, y right, z up, mm.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from math import acos, cos, degrees, radians, sin
from typing import Any

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.make.mesh_faces import Flat, flats, holes, moved_mesh, section_frame
from foldwright.make.readback_prints import ReadPrint
from foldwright.make.readback_rows import Row, Table

Json = Mapping[str, Any]

AXIS_DEG = 0.05
HOLE_MM = 0.01
_LEAST_FACE = 40.0
"""mm²; a motor's face is larger than this even with holes and arrow in it."""
_NEAR = cos(radians(60.0))
_UNDER_MM = 1.5
"""The section that holes are read in lies so far under the motor's face: below arrow and letters."""


def check_mount(table: Table, files: Mapping[str, bytes], airframe: Json, one: ReadPrint) -> None:
    """Thrust axis (R24) and motor holes (R25) of every place of a print that carries a motor."""
    bolts = motor_bolts(files)
    for each in one.row["belongs"]:
        name = str(each["id"])
        thrust = thrust_line(airframe["thrust"], name)
        mesh = moved_mesh(one.mesh, np.array(each["place"], dtype=np.float64).reshape(4, 4))
        way = motor_way(thrust, mesh.vertices.mean(axis=0))
        face = motor_face(flats(mesh, _LEAST_FACE), way)
        if face is None:
            table.wrong("R24", f"{name}: face for the motor", "flat, toward the propeller", "none")
            continue
        axis = thrust[1] if float(thrust[1] @ way) > 0.0 else -thrust[1]
        turned = degrees(acos(min(1.0, float(face.normal @ axis))))
        table.rows.append(_axis_row(name, face, axis, turned))
        along = thrust[0] + axis * float((face.middle - thrust[0]) @ face.normal) / float(axis @ face.normal)
        section = section_frame(along - _UNDER_MM * axis, axis, np.array([0.0, 0.0, 1.0]))
        found = np.array([[hole.x, hole.y] for hole in holes(mesh, section)]).reshape(-1, 2)
        for k, (across, angle) in enumerate(bolts, start=1):
            # seen from the propeller, clockwise from up: r (sin a, cos a), x to the right
            spot = across / 2.0 * np.array([sin(radians(angle)), cos(radians(angle))])
            off = float(np.linalg.norm(found - spot, axis=1).min()) if len(found) else float("inf")
            table.off("R25", f"{name}: hole {k} for the motor", min(off, 999.0), HOLE_MM)


def _axis_row(name: str, face: Flat, axis: FloatArray, turned: float) -> Row:
    """A row with tilt and side of both axes in words."""
    holds = turned <= AXIS_DEG
    what = f"{name}: thrust axis"
    want, got = axis_words(axis), axis_words(face.normal)
    return Row(what, want, got, round(turned, 6), AXIS_DEG, "°", holds, "R24")


def axis_words(axis: FloatArray) -> str:
    """Such as "2.90° up, 1.00° right" of a thrust vector, which points forward."""
    forward = -axis if axis[0] > 0.0 else axis
    tilt = degrees(np.arctan2(forward[2], -forward[0]))
    side = degrees(np.arcsin(np.clip(forward[1], -1.0, 1.0)))
    return f"{round(float(tilt), 2) + 0.0:.2f}° nose-up, {round(float(side), 2) + 0.0:.2f}° right"


def thrust_line(thrust: Json, name: str) -> tuple[FloatArray, FloatArray]:
    """Point (3,) and unit vector (3,) of the thrust that a mount carries, pointing forward.

    The left mount of a pair has the mirrored line. e = (-cos τ cos σ, sin σ, sin τ cos σ) for a tilt τ
    nose-up and a side σ to the right.
    """
    point = np.array(thrust["point_mm"], dtype=np.float64)
    tilt, side = radians(float(thrust["tilt_deg"])), radians(float(thrust["side_deg"]))
    vector = np.array([-cos(tilt) * cos(side), sin(side), sin(tilt) * cos(side)])
    if name.endswith("/left") and bool(thrust["mirrored"]):
        flip = np.array([1.0, -1.0, 1.0])
        return point * flip, vector * flip
    return point, vector


def motor_way(thrust: tuple[FloatArray, FloatArray], middle: FloatArray) -> FloatArray:
    """Unit vector from a mount toward the propeller, along the thrust line."""
    point, vector = thrust
    sign = 1.0 if float((point - middle) @ vector) > 0.0 else -1.0
    way: FloatArray = sign * vector
    return way


def motor_face(found: Sequence[Flat], way: FloatArray) -> Flat | None:
    """The flat face farthest out toward the propeller among those that look there."""
    there = [flat for flat in found if float(flat.normal @ way) > _NEAR]
    return max(there, key=lambda flat: round(float(flat.middle @ way), 6), default=None)


def motor_bolts(files: Mapping[str, bytes]) -> tuple[tuple[float, float], ...]:
    """The motor's holes as the plan set's own stock has them: diameter of the circle in mm, angle from up in
    degrees; the workshop's motor before the design's. None where the stock says none.
    """
    design, workshop, stock = (
        tomllib.loads(files[name].decode("utf-8")) if name in files else {}
        for name in ("design.toml", "workshop.toml", "stock.toml")
    )
    motor = workshop.get("fit", {}).get("motor") or design.get("motor", {}).get("stock")
    for entry in stock.get("entry", []):
        if entry.get("id") == motor:
            return tuple((float(across), float(angle)) for across, angle in entry.get("bolts_mm", []))
    return ()


def carries_motor(one: ReadPrint) -> bool:
    """Whether a print's figures say that a motor is screwed to it."""
    return {"tilt_deg", "side_deg", "circle_mm"} <= set(one.row["figures"]) and bool(one.row["belongs"])
