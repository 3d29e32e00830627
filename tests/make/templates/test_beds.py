"""Pieces on beds: inside the bed, apart from each other, small ones in the windows of large ones."""

from __future__ import annotations

from math import ceil

import numpy as np
import pytest
import shapely

from foldwright.design.resolve import FittedFilament
from foldwright.geometry.solid.core import Area
from foldwright.make.print_job import Job
from foldwright.make.templates.beds import SPACING_MM, beds, print_of
from foldwright.make.templates.pieces import split
from tests.make.templates.piece_samples import plate_of, printer, template
from tests.make.templates.template_sets import evaluated


def _filament() -> FittedFilament:
    results = evaluated("marram", "home-knife").results
    assert results is not None
    return results.fitted.filaments["petg"]


def _laid(*rings: tuple[Area, str], side: float = 200.0) -> tuple[Job, ...]:
    """Rims of rings, each with its name, on beds."""
    prints, bodies = [], {}
    for ring, name in rings:
        for piece in split(plate_of(ring, name=name), printer(side), template()).pieces:
            prints.append(print_of(piece, name, printer(side), _filament()))
            bodies[piece.name] = piece.body
    return beds(prints, bodies, printer(side))


def _inside(jobs: tuple[Job, ...], side: float = 200.0, margin: float = 4.0) -> None:
    for job in jobs:
        areas = []
        for lying in job.lying:
            placed = lying.made.body.placed(lying.at)
            low, high = placed.bounds
            assert np.all(low[:2] >= margin - 1e-6)
            assert np.all(high[:2] <= side - margin + 1e-6)
            areas.append(placed.slice_at(1.0))
        for k, one in enumerate(areas):
            assert all(one.distance(other) >= SPACING_MM - 0.1 for other in areas[:k])


def test_a_small_plate_lies_in_the_window_of_a_large_one() -> None:
    jobs = _laid((shapely.box(0, 0, 190, 190), "rim"), (shapely.box(0, 0, 140, 60), "small"))
    assert len(jobs) == 1
    _inside(jobs)


def test_two_large_plates_take_two_beds() -> None:
    jobs = _laid((shapely.box(0, 0, 190, 190), "one"), (shapely.box(0, 0, 190, 190), "other"))
    assert [job.path for job in jobs] == ["templates/templates-bed-1", "templates/templates-bed-2"]
    assert [job.title for job in jobs] == ["templates, bed 1 of 2", "templates, bed 2 of 2"]
    _inside(jobs)


def test_a_plate_as_large_as_the_bed_fits_to_a_hair() -> None:
    # 192.6 less 0.3 all round for the pencil: 192 mm, all that the bed has within its margins
    jobs = _laid((shapely.box(0, 0, 192.6, 192.6), "whole"))
    _inside(jobs)
    assert jobs[0].lying[0].made.body.size[:2] == pytest.approx([192.0, 192.0], abs=1e-6)


def test_askew_pieces_lie_on_the_bed() -> None:
    jobs = _laid((shapely.box(0, 0, 450, 11.5), "strip"))
    _inside(jobs)
    assert sum(len(job.lying) for job in jobs) == 2


def test_minutes_and_grams_of_a_bed() -> None:
    # t = 5 min + 15 layers of 2 s + V / 6 mm³/s, first principles over the workshop's rates
    (job,) = _laid((shapely.box(0, 0, 100, 60), "one"), (shapely.box(0, 0, 80, 50), "other"))
    filled = sum(one.filled for one in job.prints)
    assert job.minutes == pytest.approx(5.0 + (ceil(3.0 / 0.2) * 2.0 + filled / 6.0) / 60.0)
    assert job.grams == pytest.approx(filled * _filament().density_g_cm3 / 1000.0)


def test_what_is_larger_than_the_bed_is_refused() -> None:
    piece = split(plate_of(shapely.box(0, 0, 150, 100)), printer(), template()).pieces[0]
    made = print_of(piece, "x", printer(), _filament())
    with pytest.raises(ValueError, match="larger than the bed"):
        beds([made], {piece.name: piece.body}, printer(120.0))


def test_nothing_to_print_takes_no_bed() -> None:
    assert beds([], {}, printer()) == ()
