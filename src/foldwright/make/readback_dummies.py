"""A printed dummy weighed from its mesh, ballast nuts in: mass and centre against its payload's.

It is weighed as it lies on the bed, z up, mm, its pockets open upward; the centre is then put into the
aeroplane by the place that prints.json gives it, and held against the payload's own there.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.check import mesh_volume, solid_of
from foldwright.geometry.solid.core import Mesh
from foldwright.geometry.solid.fill import filled_mm3
from foldwright.geometry.transform import apply
from foldwright.make.mesh_faces import Flat, flats
from foldwright.make.readback_prints import ReadPrint
from foldwright.make.readback_rows import Table

Json = Mapping[str, Any]

DUMMY_G, DUMMY_MM = 1.0, 1.0
_AREA_SHARE = 0.25
_UP = 0.999


def is_dummy(one: ReadPrint) -> bool:
    """Whether a print's figures say that it stands for a payload."""
    return {"nuts", "payload_g", "mass_g"} <= set(one.row["figures"])


def check_dummy(table: Table, airframe: Json, one: ReadPrint) -> None:
    """Mass within 1 g and centre within 1 mm of the payload's (R26); a payload that no block of its size can
    weigh is a note.
    """
    told = {str(row["id"]): row["figures"] for row in airframe.get("fittings", ())}[str(one.row["of"])]
    figures = one.row["figures"]
    nuts, nut = int(figures["nuts"]), float(told["nut_g"])
    said = one.metadata
    shell = float(said["walls"]) * float(said["line_mm"])
    filled = filled_mm3(one.solid.volume, one.solid.area, shell, float(said["infill_pct"]) / 100.0)
    plastic = filled * float(one.row["settings"]["density_g_cm3"]) / 1000.0
    mass, wanted = plastic + nuts * nut, float(told["payload_g"])
    what = f"{one.name}: with {nuts} nuts"
    if abs(float(figures["lack_g"])) > DUMMY_G:
        table.note("R26", what, f"{wanted:.1f} g", f"{mass:.1f} g, as near as a block of its size comes")
        table.near("R26", f"{what}, mass said", float(figures["mass_g"]), mass, DUMMY_G, "g", 2)
    else:
        table.near("R26", f"{what}, mass", wanted, mass, DUMMY_G, "g", 2)
    size = [float(told[f"payload_{way}_mm"]) for way in ("long", "wide", "high")]
    low, high = one.mesh.vertices.min(axis=0), one.mesh.vertices.max(axis=0)
    off = float(np.abs(np.sort(high - low) - np.sort(size)).max())
    table.off("R26", f"{one.name}: size of the payload", off, DUMMY_MM)
    tall = float(told["nut_high_mm"])
    stacks = pockets(one.mesh, float(told["nut_across_mm"]))
    if nuts and (not stacks or nuts % len(stacks)):
        table.wrong(
            "R26", f"{one.name}: pockets for {nuts} nuts", "the same number in each", str(len(stacks))
        )
        return
    moment = plastic * centroid(one.mesh)
    for stack in stacks if nuts else ():
        each = nuts // len(stacks)
        moment = moment + each * nut * (stack.middle + np.array([0.0, 0.0, each * tall / 2.0]))
    place = np.array(one.row["place"], dtype=np.float64).reshape(4, 4)
    _check_centre(table, what, told, apply(place, np.stack([moment / mass, (low + high) / 2.0])))


def _check_centre(table: Table, what: str, told: Json, got: FloatArray) -> None:
    """Centre of mass (first row of `got`) and middle of the block (second) in the aeroplane, against the
    payload's; a bay that holds its load off its middle is a note, and its block stands in the middle.
    """
    wanted = np.array([float(told[f"payload_{axis}_mm"]) for axis in "xyz"])
    far = float(told["payload_off_mm"])
    if far > DUMMY_MM:
        off = float(np.linalg.norm(got[0] - wanted))
        table.note("R26", what, f"{far:.2f} mm from the bay's middle", f"{off:.2f} mm from the load's centre")
        table.near("R26", f"{what}, distance of its middle", far, float(np.linalg.norm(got[1] - wanted)),
                   DUMMY_MM, "mm", 2)  # fmt: skip
        return
    for axis, want, at in zip("xyz", wanted.tolist(), got[0].tolist(), strict=True):
        table.near("R26", f"{what}, centre {axis} in the aeroplane", want, at, DUMMY_MM, "mm", 2)


def pockets(mesh: Mesh, across: float) -> list[Flat]:
    """Grounds of the pockets: flat faces that look up, below the top, of a nut's size across flats."""
    hexagon = 3.0**0.5 / 2.0 * across**2
    top = float(mesh.vertices[:, 2].max())
    return [
        flat
        for flat in _apart(flats(mesh, 0.8 * hexagon), mesh, hexagon)
        if flat.normal[2] > _UP and flat.middle[2] < top - 0.5
    ]


def _apart(found: list[Flat], mesh: Mesh, hexagon: float) -> list[Flat]:
    """Flat faces of one plane that lie apart, each by itself."""
    section = solid_of(mesh)
    single: list[Flat] = []
    for flat in found:
        count = round(flat.area / hexagon)
        if flat.normal[2] <= _UP or count <= 1:
            single.append(flat)
            continue
        # just above the ground, the section of the solid has a hole for each pocket
        cut = section.slice_at(float(flat.middle[2]) + 0.05)
        rings = [ring for part in getattr(cut, "geoms", [cut]) for ring in part.interiors]
        for ring in rings:
            points = np.asarray(ring.coords)[:-1]
            middle = np.array([*points.mean(axis=0), float(flat.middle[2])])
            single.append(Flat(flat.normal, flat.offset, flat.area / len(rings), middle))
    return single


def centroid(mesh: Mesh) -> FloatArray:
    """Middle (3,) of what a mesh encloses, of one density, mm.

    Sum over tetrahedra from the origin: V c = Σ (a · b × c)/6 · (a + b + c)/4 (divergence theorem).
    """
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    sixth = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6.0
    moment: FloatArray = (sixth[:, None] * (a + b + c) / 4.0).sum(axis=0)
    return moment / mesh_volume(mesh)
