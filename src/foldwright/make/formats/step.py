"""Solids to STEP [1], for those who go on in a CAD program: boundary representation of flat faces, in mm.

Triangles that lie in one plane become one face, so a plate is a plate again; round holes stay the prisms they
are. Written as AP214 (its entities are those that every reader of part geometry knows), header without date.

1. ISO 10303-21, Clear text encoding of the exchange structure; ISO 10303-42, Geometric and topological
   representation; ISO 10303-214, schema AUTOMOTIVE_DESIGN.
"""

from __future__ import annotations

import numpy as np

from foldwright.geometry.lettering import one_line
from foldwright.geometry.solid.check import mesh_of, mesh_volume
from foldwright.geometry.solid.core import Mesh, Solid
from foldwright.geometry.solid.flat import FlatFace, flat_faces

_GRID = 1e-7
_DIGITS = 9
_UNCERTAINTY = "1.E-04"


def step_bytes(solid: Solid, name: str) -> bytes:
    """A solid, of one body or several, as a STEP file in mm: the same solid gives the same bytes.

    name: of the product. Raises ValueError for an empty or faulty solid, or one with a closed hollow.
    """
    writer = _Writer(name)
    breps = [writer.body(mesh_of(body, _GRID)) for body in solid.bodies()]
    if not breps:
        raise ValueError("an empty solid has no faces")
    return writer.file(breps)


class _Writer:
    """Entities in the order they are put, numbered from 1; directions are shared."""

    def __init__(self, name: str) -> None:
        self._rows: list[str] = []
        self._directions: dict[str, int] = {}
        self._name = _string(name)

    def put(self, text: str) -> int:
        """One entity; its number."""
        self._rows.append(text)
        return len(self._rows)

    def point(self, at: list[float]) -> int:
        return self.put(f"CARTESIAN_POINT('',{_reals(at)})")

    def direction(self, along: list[float]) -> int:
        words = _reals(along)
        if words not in self._directions:
            self._directions[words] = self.put(f"DIRECTION('',{words})")
        return self._directions[words]

    def placement(self, at: int, z: list[float], x: list[float]) -> int:
        return self.put(f"AXIS2_PLACEMENT_3D('',#{at},#{self.direction(z)},#{self.direction(x)})")

    def body(self, mesh: Mesh) -> int:
        """One closed shell and the solid in it."""
        if mesh_volume(mesh) <= 0.0:
            raise ValueError("a closed hollow inside a solid is not written to STEP")
        points = [self.point(row) for row in mesh.vertices.tolist()]
        corners = [self.put(f"VERTEX_POINT('',#{point})") for point in points]
        edges: dict[tuple[int, int], int] = {}
        faces = [self._face(mesh, face, points, corners, edges) for face in flat_faces(mesh)]
        shell = self.put(f"CLOSED_SHELL('',{_numbers(faces)})")
        return self.put(f"MANIFOLD_SOLID_BREP({self._name},#{shell})")

    def _face(
        self,
        mesh: Mesh,
        face: FlatFace,
        points: list[int],
        corners: list[int],
        edges: dict[tuple[int, int], int],
    ) -> int:
        bounds = []
        for k, loop in enumerate(face.loops):
            run = [
                self._edge(mesh, a, b, points, corners, edges)
                for a, b in zip(loop, loop[1:] + loop[:1], strict=True)
            ]
            ring = self.put(f"EDGE_LOOP('',{_numbers(run)})")
            kind = "FACE_BOUND" if k else "FACE_OUTER_BOUND"
            bounds.append(self.put(f"{kind}('',#{ring},.T.)"))
        first, second = face.loops[0][:2]
        along = mesh.vertices[second] - mesh.vertices[first]
        x = along / np.linalg.norm(along)
        plane = self.put(f"PLANE('',#{self.placement(points[first], face.normal.tolist(), x.tolist())})")
        return self.put(f"ADVANCED_FACE('',{_numbers(bounds)},#{plane},.T.)")

    def _edge(
        self,
        mesh: Mesh,
        a: int,
        b: int,
        points: list[int],
        corners: list[int],
        edges: dict[tuple[int, int], int],
    ) -> int:
        """The edge from a to b, made once for the two faces that it joins."""
        key = (min(a, b), max(a, b))
        if key not in edges:
            p, q = key
            along = mesh.vertices[q] - mesh.vertices[p]
            length = float(np.linalg.norm(along))
            vector = self.put(f"VECTOR('',#{self.direction((along / length).tolist())},{_real(length)})")
            line = self.put(f"LINE('',#{points[p]},#{vector})")
            edges[key] = self.put(f"EDGE_CURVE('',#{corners[p]},#{corners[q]},#{line},.T.)")
        return self.put(f"ORIENTED_EDGE('',*,*,#{edges[key]},{'.T.' if a < b else '.F.'})")

    def file(self, breps: list[int]) -> bytes:
        """The whole file: product, units and shape about the bodies."""
        name, put = self._name, self.put
        home = self.placement(self.point([0.0, 0.0, 0.0]), [0.0, 0.0, 1.0], [1.0, 0.0, 0.0])
        length = put("(LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.))")
        angle = put("(NAMED_UNIT(*) PLANE_ANGLE_UNIT() SI_UNIT($,.RADIAN.))")
        solid_angle = put("(NAMED_UNIT(*) SI_UNIT($,.STERADIAN.) SOLID_ANGLE_UNIT())")
        exact = put(
            f"UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE({_UNCERTAINTY}),#{length},"
            "'distance_accuracy_value','')"
        )
        context = put(
            f"(GEOMETRIC_REPRESENTATION_CONTEXT(3) GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{exact})) "
            f"GLOBAL_UNIT_ASSIGNED_CONTEXT({_numbers([length, angle, solid_angle])}) "
            "REPRESENTATION_CONTEXT('',''))"
        )
        shape = put(f"ADVANCED_BREP_SHAPE_REPRESENTATION({name},{_numbers([home, *breps])},#{context})")
        application = put("APPLICATION_CONTEXT('core data for automotive mechanical design processes')")
        standard = "'international standard','automotive_design',2000"
        put(f"APPLICATION_PROTOCOL_DEFINITION({standard},#{application})")
        mechanical = put(f"PRODUCT_CONTEXT('',#{application},'mechanical')")
        product = put(f"PRODUCT({name},{name},'',(#{mechanical}))")
        put(f"PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{product}))")
        formation = put(f"PRODUCT_DEFINITION_FORMATION('','',#{product})")
        part = put(f"PRODUCT_DEFINITION_CONTEXT('part definition',#{application},'design')")
        definition = put(f"PRODUCT_DEFINITION('design','',#{formation},#{part})")
        defined = put(f"PRODUCT_DEFINITION_SHAPE('','',#{definition})")
        put(f"SHAPE_DEFINITION_REPRESENTATION(#{defined},#{shape})")
        rows = [f"#{number}={row};" for number, row in enumerate(self._rows, start=1)]
        head = [
            "ISO-10303-21;",
            "HEADER;",
            "FILE_DESCRIPTION((''),'2;1');",
            f"FILE_NAME({name},'1970-01-01T00:00:00',(''),(''),'foldwright','foldwright','');",
            "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));",
            "ENDSEC;",
            "DATA;",
        ]
        return ("\n".join([*head, *rows, "ENDSEC;", "END-ISO-10303-21;"]) + "\n").encode("ascii")


def _real(value: float) -> str:
    """A number as part 21 writes it: always with a point."""
    return f"{round(value, _DIGITS) + 0.0:.{_DIGITS}f}".rstrip("0")


def _reals(values: list[float]) -> str:
    return f"({','.join(map(_real, values))})"


def _numbers(entities: list[int]) -> str:
    return f"({','.join(f'#{number}' for number in entities)})"


def _string(text: str) -> str:
    """Apostrophes and backslashes doubled, other than ASCII as UTF-16 in hexadecimal (part 21, 6.4.3.4)."""
    words = [
        char * 2
        if char in {"'", "\\"}
        else char
        if " " <= char <= "~"
        else f"\\X2\\{char.encode('utf-16-be').hex().upper()}\\X0\\"
        if ord(char) < 0x10000
        else f"\\X4\\{ord(char):08X}\\X0\\"
        for char in one_line(text)
    ]
    return f"'{''.join(words)}'"
