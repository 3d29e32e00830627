"""A print set as files: 3MF and STL of every bed, pictures, a text to read, data for book and readback."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from foldwright import __version__
from foldwright.base.types import FloatArray
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.core import Mesh
from foldwright.geometry.transform import apply
from foldwright.make.formats.step import step_bytes
from foldwright.make.formats.stl import to_stl
from foldwright.make.formats.threemf import Object3mf, to_3mf
from foldwright.make.print_gallery import gallery_pdf, gallery_svg
from foldwright.make.print_job import Job, Lying
from foldwright.make.print_set import PrintSet
from foldwright.make.print_text import prints_text, settings_words
from foldwright.make.printing import Print

Say = Callable[[str], None]
Json = dict[str, Any]

FORMAT = 1
DATA, TEXT, PICTURES = "prints.json", "prints.txt", "prints.pdf"


def print_files(
    prints: PrintSet, title: str, say: Say = lambda _text: None, paper: str = "A4"
) -> dict[str, bytes]:
    """Every file of a print set by its path in the plan set.

    title: design, revision and workshop, for headings. say: told which file is being written. paper: of the
    pages with pictures.
    """
    files: dict[str, bytes] = dict(prints.drawings)
    for job in prints.jobs:
        say(f"writing {job.path}")
        files |= job_files(job, title)
    files[TEXT] = prints_text(
        title,
        prints.printer,
        prints.jobs,
        prints.said,
        tuple(prints.drawings),
        prints.plates,
        prints.border_mm,
    )
    files[DATA] = prints_json(prints)
    if prints.jobs:
        say("drawing what is printed")
        files[PICTURES] = gallery(prints, title, paper=paper)
    return files


def step_files(prints: PrintSet, say: Say = lambda _text: None) -> dict[str, bytes]:
    """STEP of everything printed, in the frame of its bed."""
    files: dict[str, bytes] = {}
    for job in prints.jobs:
        for one in job.lying:
            say(f"writing {job.path} as STEP")
            end = "" if len(job.lying) == 1 else f"-{one.made.name}"
            files[f"{job.path}{end}.step"] = step_bytes(one.made.body.placed(one.at), one.made.name)
    return files


def gallery(prints: PrintSet, title: str, ending: str = ".pdf", paper: str = "A4") -> bytes:
    """Pictures of all that is printed, as PDF or, for ".svg", in one drawing. Raises ValueError for no prints
    or an unknown paper.
    """
    printer, heading = prints.printer or Printer(), f"{title}: printed work"
    if ending.lower() == ".svg":
        return gallery_svg(prints.prints, printer, heading)
    return gallery_pdf(prints.prints, printer, heading, paper)


def job_files(job: Job, title: str) -> dict[str, bytes]:
    """3MF and STL of one bed."""
    meshes = [one.made.mesh for one in job.lying]
    objects = [
        Object3mf(one.made.name, mesh, (one.at,), metadata(one.made, job))
        for one, mesh in zip(job.lying, meshes, strict=True)
    ]
    about = {
        "Title": f"{title}: {job.title}",
        "Application": f"foldwright {__version__}",
        "group": job.group,
        "copies": str(job.copies),
        "minutes": f"{job.minutes:.1f}",
        "grams": f"{job.grams:.2f}",
    }
    flat = together(meshes, [one.at for one in job.lying])
    return {f"{job.path}.3mf": to_3mf(objects, about), f"{job.path}.stl": to_stl(flat, job.name)}


def together(meshes: list[Mesh], places: list[FloatArray]) -> Mesh:
    """Meshes in their places as one."""
    counts = np.cumsum([0, *(len(mesh.vertices) for mesh in meshes)])
    return Mesh(
        np.vstack([apply(place, mesh.vertices) for mesh, place in zip(meshes, places, strict=True)]),
        np.vstack([mesh.faces + start for mesh, start in zip(meshes, counts[:-1], strict=True)]),
    )


def metadata(one: Print, job: Job) -> dict[str, str]:
    """How a thing is printed, by our own names, as text."""
    settings = one.settings
    return {
        "title": one.title,
        "of": one.of,
        "orientation": one.orientation,
        "support": one.support or "none",
        "settings": settings_words(settings),
        "filament": settings.filament.id,
        "layer_mm": f"{settings.layer_mm:g}",
        "line_mm": f"{settings.line_mm:g}",
        "walls": str(settings.walls),
        "infill_pct": f"{100.0 * settings.infill:g}",
        "brim": "yes" if settings.brim else "no",
        "grams": f"{one.grams:.2f}",
        "copies": str(job.copies),
    }


def prints_json(prints: PrintSet) -> bytes:
    """The file's bytes; lengths rounded to 1e-6 mm, matrices to 1e-12, masses to 1e-6 g."""
    data = {
        "format": FORMAT,
        "printer": None if prints.printer is None else _printer(prints.printer),
        "jobs": [_job(job) for job in prints.jobs],
        "templates": [dict(plate) for plate in prints.plates],
        "beds": sum(job.copies for job in prints.jobs),
        "minutes": _number(sum(job.minutes for job in prints.jobs)),
        "grams": _number(sum(job.grams for job in prints.jobs)),
    }
    return (json.dumps(data, indent=1, sort_keys=True, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _number(value: float) -> float:
    return round(float(value), 6) + 0.0


def matrix_rows(matrix: FloatArray) -> list[list[float]]:
    """A 4x4 for JSON."""
    return [[round(float(value), 12) + 0.0 for value in row] for row in matrix]


def _printer(printer: Printer) -> Json:
    return {
        "bed_mm": list(printer.bed_mm),
        "margin_mm": printer.margin_mm,
        "clearance_mm": printer.clearance_mm,
        "layer_mm": printer.layer_mm,
        "line_mm": printer.line_mm,
    }


def _job(job: Job) -> Json:
    return {
        "file": job.path,
        "title": job.title,
        "group": job.group,
        "copies": job.copies,
        "minutes": _number(job.minutes),
        "grams": _number(job.grams),
        "objects": [_object(one) for one in job.lying],
    }


def _object(lying: Lying) -> Json:
    one, settings = lying.made, lying.made.settings
    return {
        "name": one.name,
        "title": one.title,
        "of": one.of,
        "mirror_of": one.mirror_of,
        "bodies": one.bodies,
        "at": matrix_rows(lying.at),
        "place": None if one.place is None else matrix_rows(one.place),
        "belongs": [{"id": name, "place": matrix_rows(place)} for name, place in lying.belongs],
        "size_mm": [_number(value) for value in one.body.size.tolist()],
        "volume_mm3": _number(one.body.volume),
        "area_mm2": _number(one.body.area),
        "grams": _number(one.grams),
        "settings": {
            "filament": settings.filament.id,
            "filament_name": settings.filament.name,
            "density_g_cm3": settings.filament.density_g_cm3,
            "layer_mm": settings.layer_mm,
            "line_mm": settings.line_mm,
            "walls": settings.walls,
            "infill_pct": _number(100.0 * settings.infill),
            "brim": settings.brim,
        },
        "orientation": one.orientation,
        "support": one.support,
        "notes": list(one.notes),
        "figures": {name: _number(one.figures[name]) for name in sorted(one.figures)},
    }


def figures_of(rows: Mapping[str, Any]) -> dict[str, float]:
    """The figures of an object as they were written."""
    return {str(name): float(value) for name, value in rows["figures"].items()}
