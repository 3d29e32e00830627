"""3MF files read: objects with their names, triangles, places and metadata; ValueError for all that is amiss.

What the core specification [1] allows beyond what `threemf.to_3mf` writes (components, other units, required
extensions) is refused with a sentence, never read in part.

1. 3MF Consortium, "3D Manufacturing Format, core specification", version 1.3.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import isfinite
from types import MappingProxyType
from xml.etree import ElementTree as ET

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.solid.check import closed
from foldwright.geometry.solid.core import IntArray, Mesh
from foldwright.make.formats.threemf import CORE, MODEL, RELS, STARTS, TYPES

_MOST_BYTES = 400_000_000
_REL = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"


@dataclass(frozen=True, slots=True, eq=False)
class ReadObject:
    """One build item: its object's name, triangles in its own frame, 4x4 place, our metadata by name."""

    name: str
    mesh: Mesh
    transform: FloatArray
    metadata: Mapping[str, str]


def read_3mf(data: bytes) -> tuple[ReadObject, ...]:
    """All build items in order. Raises ValueError, with a sentence, for anything malformed."""
    model = _model(data)
    objects = {}
    for one in model.iterfind(f"{_core('resources')}/{_core('object')}"):
        number = _attribute(one, "id")
        if number in objects:
            raise ValueError(f"two objects have the id {number}")
        objects[number] = _object(one)
    found = []
    for item in model.iterfind(f"{_core('build')}/{_core('item')}"):
        number = _attribute(item, "objectid")
        if number not in objects:
            raise ValueError(f"a build item names object {number}, which is not there")
        name, mesh, metadata = objects[number]
        found.append(ReadObject(name, mesh, _transform(item.get("transform")), metadata))
    if not found:
        raise ValueError("a 3MF file that builds nothing")
    return tuple(found)


def read_about(data: bytes) -> Mapping[str, str]:
    """Metadata of the file itself, by name, ours without their prefix. Raises ValueError as `read_3mf`."""
    return _metadata(_model(data))


def _model(data: bytes) -> ET.Element:
    """The model's root, its unit, extensions and place in the package checked."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            parts = {name: _part(package, name) for name in (TYPES, RELS, MODEL)}
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError) as error:
        raise ValueError(f"no 3MF file: the zip package cannot be read ({error})") from None
    _parsed(parts[TYPES], TYPES)
    rels = _parsed(parts[RELS], RELS)
    if not any(one.get("Type") == STARTS and one.get("Target") == f"/{MODEL}" for one in rels.iter(_REL)):
        raise ValueError(f"the package does not name /{MODEL} as its model")
    model = _parsed(parts[MODEL], MODEL)
    if model.tag != _core("model"):
        raise ValueError("the model part does not hold a 3MF model")
    if model.get("unit", "millimeter") != "millimeter":
        raise ValueError(f"the model is in {model.get('unit')}, millimeter was expected")
    if model.get("requiredextensions"):
        raise ValueError(f"the model needs extensions that are not read: {model.get('requiredextensions')}")
    return model


def _part(package: zipfile.ZipFile, name: str) -> bytes:
    if name not in package.namelist():
        raise ValueError(f"the package lacks {name}")
    if package.getinfo(name).file_size > _MOST_BYTES:
        raise ValueError(f"{name} would take more than {_MOST_BYTES // 1_000_000} MB")
    return package.read(name)


def _parsed(part: bytes, name: str) -> ET.Element:
    # Without a document type there are no entities to expand; the specification forbids one, too.
    if b"<!DOCTYPE" in part or b"\0" in part:
        raise ValueError(f"{name} has a document type or is not in UTF-8")
    try:
        return ET.fromstring(part)  # noqa: S314 (see above)
    except (ET.ParseError, ValueError, LookupError) as error:
        raise ValueError(f"{name} is not well-formed XML: {error}") from None


def _object(one: ET.Element) -> tuple[str, Mesh, Mapping[str, str]]:
    name = one.get("name", "")
    mesh = one.find(_core("mesh"))
    if mesh is None:
        raise ValueError(f"object {name!r} has no triangles of its own (components are not read)")
    rows = _rows(mesh, "vertices", "vertex", name)
    corners = _floats([row.get(axis) for row in rows for axis in ("x", "y", "z")], f"a corner of {name!r}")
    rows = _rows(mesh, "triangles", "triangle", name)
    faces = _indices([row.get(v) for row in rows for v in ("v1", "v2", "v3")], len(corners), name)
    read = Mesh(corners, faces)
    if not closed(read):
        raise ValueError(f"the triangles of {name!r} do not close")
    group = one.find(_core("metadatagroup"))
    return name, read, MappingProxyType({} if group is None else dict(_metadata(group)))


def _rows(mesh: ET.Element, table: str, row: str, name: str) -> Iterator[ET.Element]:
    found = mesh.find(_core(table))
    if found is None or len(found) == 0:
        raise ValueError(f"object {name!r} has no {table}")
    return found.iterfind(_core(row))


def _metadata(parent: ET.Element) -> Mapping[str, str]:
    """Metadata by name; ElementTree drops prefixes in values, so ours is taken by its fixed prefix."""
    found: dict[str, str] = {}
    for one in parent.iterfind(_core("metadata")):
        name = _attribute(one, "name").removeprefix("fw:")
        if name in found:
            raise ValueError(f"metadata {name} stands twice")
        found[name] = one.text or ""
    return MappingProxyType(found)


def _transform(text: str | None) -> FloatArray:
    matrix = np.eye(4)
    if text is None:
        return matrix
    values = [_float(word, "a place") for word in text.split()]
    if len(values) != 12:
        raise ValueError(f"a place has 12 numbers, not {len(values)}")
    matrix[:3, :4] = np.array(values).reshape(4, 3).T
    if float(np.linalg.det(matrix[:3, :3])) <= 0.0:
        raise ValueError("a place mirrors its object")
    return matrix


def _attribute(element: ET.Element, name: str) -> str:
    value = element.get(name)
    if not value:
        raise ValueError(f"<{element.tag.rpartition('}')[2]}> lacks {name}")
    return value


def _float(text: str | None, what: str) -> float:
    try:
        value = float(text or "")
    except ValueError:
        raise ValueError(f"{what} has {text!r} where a number was expected") from None
    if not isfinite(value):
        raise ValueError(f"{what} has {text!r} where a finite number was expected")
    return value


def _floats(texts: list[str | None], what: str) -> FloatArray:
    """Numbers in rows of three, all at once where they are right; the first that is not is told."""
    try:
        found = np.array(texts, dtype=np.float64).reshape(-1, 3)
    except ValueError:
        found = np.array([_float(text, what) for text in texts]).reshape(-1, 3)
    if not bool(np.isfinite(found).all()):
        found = np.array([_float(text, what) for text in texts]).reshape(-1, 3)
    return found


def _indices(texts: list[str | None], count: int, name: str) -> IntArray:
    """Numbers of corners in rows of three, all at once where they are as they should be."""
    words = [text for text in texts if text is not None and len(text) < 10]
    together = "".join(words)
    if len(words) == len(texts) and all(words) and together.isascii() and together.isdigit():
        found = np.array(words, dtype=np.int64).reshape(-1, 3)
        if int(found.max(initial=0)) < count:
            return found
    return np.array([_index(text, count, name) for text in texts], dtype=np.int64).reshape(-1, 3)


def _index(text: str | None, count: int, name: str) -> int:
    value = int(text) if text is not None and text.isascii() and text.isdigit() and len(text) < 10 else -1
    if not 0 <= value < count:
        raise ValueError(f"a triangle of {name!r} names corner {text}, there are {count}")
    return value


def _core(tag: str) -> str:
    return f"{{{CORE}}}{tag}"
