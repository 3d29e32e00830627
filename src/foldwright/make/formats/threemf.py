"""Named objects in mm to 3MF and back.

3MF is an open standard [1]: a zip package with a content type list, a relationship to the model part, and the
model in XML. Only its core is written: objects with triangles, the metadata of each in a namespace of our
own, and build items that place them. Ids are 1, 2, 3 …; no date, no random number.

1. 3MF Consortium, "3D Manufacturing Format, core specification", version 1.3.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from xml.sax.saxutils import escape, quoteattr

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.geometry.lettering import one_line
from foldwright.geometry.solid.core import Mesh

CORE = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
OURS = "urn:foldwright:print:1"
"""Namespace of the metadata that the core specification does not know; its prefix is `fw`."""

WELL_KNOWN = (
    "Title", "Designer", "Description", "Copyright", "LicenseTerms", "Rating", "CreationDate",
    "ModificationDate", "Application",
)  # fmt: skip
"""Names of metadata that need no namespace [1, section 3.4.1]."""

MODEL = "3D/3dmodel.model"
RELS = "_rels/.rels"
TYPES = "[Content_Types].xml"
STARTS = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"

_EPOCH = (1980, 1, 1, 0, 0, 0)
_KEY = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
_XML = '<?xml version="1.0" encoding="UTF-8"?>\n'
_DIGITS = 9
# The usual 6 takes three times as long for a file 5 % smaller.
_SQUEEZE = 4
_VERTEX = '<vertex x="%s" y="%s" z="%s"/>\n'
_FACE = '<triangle v1="%d" v2="%d" v3="%d"/>\n'


@dataclass(frozen=True, slots=True, eq=False)
class Object3mf:
    """A named object of a file, and where it stands.

    places: 4x4 each, one a copy. metadata: by our own names ("layer_mm"), values as text.
    """

    name: str
    mesh: Mesh
    places: tuple[FloatArray, ...] = field(default_factory=lambda: (np.eye(4),))
    metadata: Mapping[str, str] = field(default_factory=dict)


def to_3mf(objects: Sequence[Object3mf], about: Mapping[str, str]) -> bytes:
    """Objects as a 3MF file, in the order given.

    about: metadata of the file; names that `WELL_KNOWN` holds are written as they are, others in our
    namespace.

    Raises:
        ValueError: no objects, two of one name, one without triangles or place, a place that mirrors, a
            metadata name that XML does not allow.
    """
    names = [one.name for one in objects]
    if not objects or len(set(names)) < len(names):
        raise ValueError("a 3MF file needs objects, each with a name of its own")
    rows = [
        _XML + f'<model xmlns="{CORE}" xmlns:fw="{OURS}" unit="millimeter" xml:lang="en-GB">\n',
        *(_metadata(key, about[key]) for key in sorted(about)),
        "<resources>\n",
        *(_object(number, one) for number, one in enumerate(objects, start=1)),
        "</resources>\n<build>\n",
        *(
            f'<item objectid="{number}" transform="{_transform(place)}"/>\n'
            for number, one in enumerate(objects, start=1)
            for place in one.places
        ),
        "</build>\n</model>\n",
    ]
    types = (
        '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
        '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
        "</Types>\n"
    )
    rels = (
        '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
        f'<Relationship Id="rel0" Type="{STARTS}" Target="/{MODEL}"/></Relationships>\n'
    )
    return _zip({TYPES: _XML + types, RELS: _XML + rels, MODEL: "".join(rows)})


def _zip(parts: Mapping[str, str]) -> bytes:
    """A zip file with the same bytes every time."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as package:
        for name, text in parts.items():
            info = zipfile.ZipInfo(name, _EPOCH)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.create_system = 3
            info.external_attr = 0o644 << 16
            package.writestr(info, text.encode(), compresslevel=_SQUEEZE)
    return out.getvalue()


def _object(number: int, one: Object3mf) -> str:
    if len(one.mesh.faces) == 0 or not one.places:
        raise ValueError(f"object {one.name!r} has no triangles or no place")
    group = "".join(_metadata(key, one.metadata[key], own=True) for key in sorted(one.metadata))
    return "".join([
        f'<object id="{number}" type="model" name={_quoted(one.name)}>\n',
        f"<metadatagroup>\n{group}</metadatagroup>\n" if group else "",
        "<mesh>\n<vertices>\n",
        _vertices(one.mesh),
        "</vertices>\n<triangles>\n",
        _FACE * len(one.mesh.faces) % tuple(one.mesh.faces.ravel().tolist()),
        "</triangles>\n</mesh>\n</object>\n",
    ])  # fmt: skip


def _vertices(mesh: Mesh) -> str:
    """Few heights and lengths repeat often, so each number is written out once."""
    values, where = np.unique(np.round(mesh.vertices, _DIGITS) + 0.0, return_inverse=True)
    words = [f"{value:.{_DIGITS}f}".rstrip("0").rstrip(".") for value in values.tolist()]
    return _VERTEX * len(mesh.vertices) % tuple([words[k] for k in where.ravel().tolist()])


def _metadata(key: str, value: str, *, own: bool = False) -> str:
    if not _KEY.fullmatch(key):
        raise ValueError(f"{key!r} is no name for metadata")
    name = key if key in WELL_KNOWN and not own else f"fw:{key}"
    return f'<metadata name="{name}">{escape(one_line(value))}</metadata>\n'


def _quoted(text: str) -> str:
    return quoteattr(one_line(text))


def _transform(place: FloatArray) -> str:
    """Rows of the transposed matrix: 3MF multiplies a row of coordinates from the left."""
    if not bool(np.isfinite(place).all()) or float(np.linalg.det(place[:3, :3])) <= 0.0:
        raise ValueError("an object is turned and moved, never mirrored")
    return " ".join(_number(value) for value in (np.round(place[:3, :4], _DIGITS) + 0.0).T.ravel().tolist())


def _number(value: float) -> str:
    return f"{value:.{_DIGITS}f}".rstrip("0").rstrip(".")
