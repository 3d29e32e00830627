"""Teasel with printed fittings, Marram with printed templates: evaluated once, and as files."""

from __future__ import annotations

import json
from functools import cache
from typing import Any

import numpy as np
from pydantic import TypeAdapter

from foldwright.base.types import FloatArray
from foldwright.design.fittings import Fitting
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.design.workshop import Workshop
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.geometry.solid.core import Mesh
from foldwright.make.airframe_json import airframe_json, read_blanks
from foldwright.make.formats.threemf import Object3mf, to_3mf
from foldwright.make.formats.threemf_read import read_3mf, read_about
from foldwright.make.print_files import print_files
from foldwright.make.print_set import PrintSet, print_set
from foldwright.make.readback_printed import check_printed
from foldwright.make.readback_rows import Row, Table
from foldwright.make.stock_toml import stock_toml, used_entries
from tests.world import EXAMPLES, workshop

TABLES: tuple[dict[str, Any], ...] = (
    {"kind": "motor_mount", "id": "mount"},
    {"kind": "horn", "id": "elevator-horn", "control": "tail.elevator", "servo": "elevator-servo"},
    {"kind": "hinge_strip", "id": "hinge", "control": "tail.elevator", "count": 2},
    {"kind": "landing_leg", "id": "main-leg", "leg": "main"},
    {"kind": "battery_stop", "id": "battery-stop"},
    {"kind": "skid", "id": "skid", "from_mm": 60.0, "to_mm": 140.0},
)
"""A mount, a horn, hinges that are alike, legs in two hands, and others."""

MOTOR_X_MM = -26.0
"""With room for a mount between the former and the motor."""


def fitted(**leg: Any) -> Design:
    """Teasel with the tables; keys for the landing leg's."""
    design = load_design(EXAMPLES / "teasel.toml", stock=built_in_stock()).value
    assert design is not None
    tables = [row | leg if row["id"] == "main-leg" else row for row in TABLES]
    made = tuple(TypeAdapter[Any](Fitting).validate_python(row) for row in tables)
    motor = design.motor.model_copy(update={"x_mm": MOTOR_X_MM})
    return design.model_copy(update={"fitting": made, "motor": motor})


@cache
def evaluated(name: str = "home-knife") -> Evaluation:
    return evaluate(fitted(), workshop(name), built_in_stock())


def in_workshop(bench: Workshop) -> Evaluation:
    return evaluate(fitted(), bench, built_in_stock())


def with_printer(**keys: Any) -> Workshop:
    """The home workshop with another printer."""
    bench = workshop("home-knife")
    assert bench.printer is not None
    return bench.model_copy(update={"printer": bench.printer.model_copy(update=keys)})


def results(evaluation: Evaluation) -> Results:
    assert evaluation.results is not None
    return evaluation.results


@cache
def fittings() -> PrintSet:
    """Only the fittings, in the home workshop."""
    return print_set(evaluated(), groups=("fittings",))


def _with_data(evaluation: Evaluation, prints: PrintSet, name: str) -> dict[str, bytes]:
    """Files of prints with the data files that their readback reads."""
    design, bench = evaluation.design, evaluation.workshop
    made = results(evaluation).airframe
    return {
        **print_files(prints, "sample"),
        "airframe.json": airframe_json(made, 0.0),
        "design.toml": (EXAMPLES / f"{name}.toml").read_bytes(),
        "workshop.toml": (EXAMPLES / "workshops" / "home-knife.toml").read_bytes(),
        "stock.toml": stock_toml(used_entries(design, bench, evaluation.stock)),
    }


@cache
def fitting_files() -> dict[str, bytes]:
    """Teasel's fittings as files."""
    return _with_data(evaluated(), fittings(), "teasel")


@cache
def dummy_files() -> dict[str, bytes]:
    """Marram's own fittings as files: a payload carrier and its dummy among them."""
    stock = built_in_stock()
    design = load_design(EXAMPLES / "marram.toml", stock=stock).value
    assert design is not None
    result = evaluate(design, workshop("home-knife"), stock)
    return _with_data(result, print_set(result, groups=("fittings",)), "marram")


@cache
def template_files() -> dict[str, bytes]:
    """Marram's templates as files, all of them printed."""
    stock = built_in_stock()
    design = load_design(EXAMPLES / "marram.toml", stock=stock).value
    assert design is not None
    bench = workshop("home-knife")
    template = bench.template.model_copy(update={"kind": "rim", "make": "always"})
    bare = design.model_copy(update={"fitting": ()})
    result = evaluate(bare, bench.model_copy(update={"template": template}), stock)
    return _with_data(result, print_set(result, groups=("templates",)), "marram")


def rows(files: dict[str, bytes]) -> list[Row]:
    """What the readback says of printed work."""
    airframe = json.loads(files["airframe.json"])
    blanks = [blank for blank, _ in read_blanks(airframe)]
    table = Table()
    check_printed(table, files, airframe, blanks, workshop("home-knife").cutter)
    return table.rows


def failing(files: dict[str, bytes]) -> set[str]:
    """Codes of the rows that fail."""
    return {row.code for row in rows(files) if not row.holds}


def remade(data: bytes, points: FloatArray | None = None, faces: slice | None = None, **words: str) -> bytes:
    """A 3MF of one object with other corners, some of its faces, or other metadata."""
    (one,) = read_3mf(data)
    mesh = Mesh(
        one.mesh.vertices if points is None else points,
        one.mesh.faces if faces is None else one.mesh.faces[faces],
    )
    made = Object3mf(one.name, mesh, (one.transform,), {**one.metadata, **words})
    return to_3mf([made], read_about(data))


def corners(data: bytes) -> FloatArray:
    """Corners of the one object of a 3MF."""
    (one,) = read_3mf(data)
    return np.array(one.mesh.vertices)


def flipped(data: bytes, axis: int) -> bytes:
    """The mirror image of a 3MF's one object, in its own box, closed as before."""
    (one,) = read_3mf(data)
    points = np.array(one.mesh.vertices)
    points[:, axis] = points[:, axis].min() + points[:, axis].max() - points[:, axis]
    made = Object3mf(one.name, Mesh(points, one.mesh.faces[:, ::-1]), (one.transform,), one.metadata)
    return to_3mf([made], read_about(data))
