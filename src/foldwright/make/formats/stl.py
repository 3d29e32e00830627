"""Triangles to binary STL and back. Lengths in mm; STL itself knows no unit.

Layout (public since 1989): 80 bytes of header, the number of triangles, and 50 bytes each: normal, three
corners (single precision, little-endian, counter-clockwise from outside) and two bytes of nothing.
"""

from __future__ import annotations

import numpy as np

from foldwright.geometry.solid.core import Mesh

_HEADER = 80
_COUNT = 4
_TRIANGLE = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("spare", "<u2")])
_DIGITS = 6


def to_stl(mesh: Mesh, name: str = "") -> bytes:
    """A closed surface as a binary STL file: the same bytes for the same triangles, no date.

    name: stands in the header, in ASCII, as far as it fits. Raises ValueError for no triangles.
    """
    if len(mesh.faces) == 0:
        raise ValueError("an STL file needs at least one triangle")
    corners = mesh.vertices[mesh.faces]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    length = np.linalg.norm(across, axis=1, keepdims=True)
    normal = np.divide(across, length, out=np.zeros_like(across), where=length > 0.0)
    rows = np.zeros(len(mesh.faces), dtype=_TRIANGLE)
    rows["normal"] = np.round(normal, _DIGITS) + 0.0
    rows["corners"] = corners
    # A header that began with "solid" would be taken for the text form.
    header = f"foldwright, mm: {name}".encode("ascii", "replace")[:_HEADER].ljust(_HEADER)
    return header + len(mesh.faces).to_bytes(_COUNT, "little") + rows.tobytes()


def read_stl(data: bytes) -> Mesh:
    """The triangles of a binary STL file, corners of equal coordinates merged.

    Raises ValueError, with a sentence, for the text form and for anything that is no binary STL.
    """
    if len(data) < _HEADER + _COUNT:
        raise ValueError(f"no binary STL: {len(data)} bytes, a header alone has {_HEADER + _COUNT}")
    count = int.from_bytes(data[_HEADER : _HEADER + _COUNT], "little")
    wanted = _HEADER + _COUNT + count * _TRIANGLE.itemsize
    if len(data) != wanted:
        form = "an STL in text form" if data.lstrip().startswith(b"solid") else "no binary STL"
        raise ValueError(f"{form}: {count} triangles would take {wanted} bytes, it has {len(data)}")
    if count == 0:
        raise ValueError("an STL file without triangles")
    corners = np.frombuffer(data, dtype=_TRIANGLE, offset=_HEADER + _COUNT)["corners"].reshape(-1, 3)
    if not bool(np.isfinite(corners).all()):
        raise ValueError("an STL file with a corner that is no finite number")
    vertices, where = np.unique(corners.astype(np.float64) + 0.0, axis=0, return_inverse=True)
    return Mesh(vertices, where.reshape(-1, 3).astype(np.int64))
