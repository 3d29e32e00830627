"""What is printed: every fitting once, laid on the bed, in the place the aeroplane has it, as the files say.

Numbers come from first principles unless a test says otherwise.
"""

from __future__ import annotations

import io
import json
from dataclasses import replace
from math import sqrt
from typing import Any

import numpy as np
import pytest
import trimesh

from foldwright.airframe.fitting_model import PrintedIn
from foldwright.design.load import built_in_stock
from foldwright.design.workshop import Printer
from foldwright.evaluate import evaluate
from foldwright.geometry.solid.check import faults
from foldwright.geometry.solid.core import Solid, box
from foldwright.make.fitting_prints import common_name, filling_walls, fitting_prints, table_of
from foldwright.make.fittings import makers
from foldwright.make.formats.threemf_read import read_3mf
from foldwright.make.print_bed import footprint, room_of, seated, seating
from foldwright.make.print_files import DATA, PICTURES, TEXT, print_files
from foldwright.make.print_job import Job
from foldwright.make.print_set import print_set
from foldwright.make.print_text import hours
from tests.make.print_samples import evaluated, fitted, fittings, in_workshop, results, with_printer
from tests.world import workshop


def job(name: str) -> Job:
    return next(one for one in fittings().jobs if one.name == name)


def volume_apart(one: Solid, other: Solid) -> float:
    return (one - other).volume + (other - one).volume


def test_every_fitting_is_printed_once_in_its_place() -> None:
    wanted = {one.id: one for one in results(evaluated()).airframe.fittings}
    printed = {name: (one, place) for job in fittings().jobs for one in job.prints
               for lying in job.lying for name, place in lying.belongs}  # fmt: skip
    assert sorted(printed) == sorted(wanted)
    assert sum(job.copies for job in fittings().jobs) == len(wanted)
    printer = workshop("home-knife").printer
    assert printer is not None
    for name, (one, place) in printed.items():
        there = makers()[type(wanted[name].shape)](wanted[name].shape, printer).body
        away = volume_apart(one.body.placed(place), there.placed(wanted[name].placement))
        assert away < 1e-3 * one.body.volume, name


def test_alike_ones_are_copies_and_hands_stay_apart() -> None:
    assert job("hinge").copies == 4  # two on each half of the tail
    assert {"main-leg-right", "main-leg-left"} <= {one.name for one in fittings().jobs}
    assert job("main-leg-left").prints[0].mirror_of == "main-leg-right"


def test_everything_is_sound_and_on_the_bed() -> None:
    printer = workshop("home-knife").printer
    assert printer is not None
    room = np.array(room_of(printer))
    for one in print_set(evaluated(), groups=("fittings", "tools", "coupons")).prints:
        assert faults(one.body, one.bodies) == ()
        low, high = one.body.bounds
        assert np.abs(low).max() < 1e-6
        assert bool((high <= room + 1e-6).all()), one.name


def test_plastic_is_what_the_balance_reckons_with() -> None:
    reckoned = {one.id: one.plastic_g for one in results(evaluated()).airframe.fittings}
    for one in fittings().jobs:
        for name, _ in one.lying[0].belongs:
            assert one.prints[0].grams == pytest.approx(reckoned[name], abs=max(0.5, 0.1 * reckoned[name]))


def test_a_mass_that_the_balance_does_not_reckon_with_is_a_no_go() -> None:
    found = results(evaluated())
    leg = next(one for one in found.airframe.fittings if one.id == "main-leg/right")
    printed = PrintedIn(leg.printed.filament, 0.5, 0.01)
    thin = replace(leg, printed=printed)
    airframe = replace(found.airframe, fittings=(thin,))
    told = fitting_prints(replace(found, airframe=airframe), Printer()).findings
    assert [(one.code, one.verdict, one.where) for one in told] == [("P07", "no-go", "fitting.main-leg")]


def test_a_leg_is_filled_by_its_walls() -> None:
    leg = job("main-leg-right").prints[0]
    assert leg.settings.infill == 1.0
    thick = next(one for one in fitted().fitting if one.id == "main-leg").model_dump()["thick_mm"]
    assert 2 * leg.settings.walls * leg.settings.line_mm >= thick


def test_walls_that_fill_a_bar() -> None:
    # 2.8 mm: three lines of 0.45 from each side make 2.7, four 3.6
    assert filling_walls(box((0, 0, 0), (60, 2.8, 12)), 0.45) == 4
    assert filling_walls(box((0, 0, 0), (60, 2.6, 12)), 0.45) == 3
    assert filling_walls(box((0, 0, 0), (60, 60, 12)), 0.45) == 12  # filled by infill instead


@pytest.mark.parametrize(
    ("size", "bed", "angle"),
    [
        ((100.0, 20.0), (150.0, 150.0), 0.0),
        ((180.0, 20.0), (150.0, 190.0), 90.0),
        ((190.0, 10.0), (150.0, 150.0), 45.0),  # (190 + 10)/√2 = 141.4
        ((210.0, 10.0), (150.0, 150.0), None),  # 155.6
    ],
)
def test_seats(size: tuple[float, float], bed: tuple[float, float], angle: float | None) -> None:
    corners = np.array([[0.0, 0.0], [size[0], 0.0], size, [0.0, size[1]]])
    found = seating(corners, *bed)
    if angle is None:
        assert found is None
    elif angle in {0.0, 90.0}:
        assert found is not None
        assert np.degrees(found) == pytest.approx(angle)
    else:
        assert found is not None
        extent = (size[0] + size[1]) / sqrt(2.0)
        assert extent <= bed[0]
        assert 0.0 < np.degrees(found) < 90.0


def test_a_bar_is_turned_and_its_place_leads_back() -> None:
    bar = box((0, 0, 0), (190, 10, 5))
    printer = Printer(bed_mm=(158.0, 158.0, 100.0), margin_mm=4.0)
    seat = seated(bar, printer)
    assert seat is not None
    body, back = seat
    assert bool((footprint(body).max(axis=0) <= 150.0 + 1e-6).all())
    assert volume_apart(body.placed(back), bar) < 1e-3
    assert seated(box((0, 0, 0), (5, 5, 101)), printer) is None


def test_a_bed_that_is_too_small_is_named_with_its_cure() -> None:
    told = print_set(in_workshop(with_printer(bed_mm=(60.0, 60.0, 60.0))), groups=("fittings",)).findings
    over = {one.where: one for one in told if one.code == "P06"}
    assert {one.verdict for one in over.values()} == {"no-go"}
    assert "fitting.main-leg" in over
    assert str(over["fitting.main-leg"].params["room"]) == "52 x 52 x 60"


def test_tools_that_do_not_print_keep_nobody_from_building() -> None:
    made = print_set(in_workshop(with_printer(bed_mm=(60.0, 60.0, 60.0))), groups=("tools", "coupons"))
    assert made.verdict != "no-go"


def test_without_a_printer_fittings_are_there_and_tools_are_not() -> None:
    bench = workshop("home-knife").model_copy(update={"printer": None})
    made = print_set(in_workshop(bench), groups=("fittings", "tools", "coupons"))
    assert made.printer is None
    assert {one.group for one in made.jobs} == {"fittings"}
    assert [one.verdict for one in made.findings if one.code == "P04"] == ["watch"]


def test_a_design_without_fittings_has_none() -> None:
    bare = fitted().model_copy(update={"fitting": ()})
    result = evaluate(bare, workshop("home-knife"), built_in_stock())
    assert print_set(result, groups=("fittings",)).jobs == ()


def test_files_are_the_same_every_time() -> None:
    once, again = (print_files(fittings(), "Teasel") for _ in range(2))
    assert once == again
    assert print_files(print_set(evaluated(), groups=("fittings",)), "Teasel") == once
    assert {DATA, TEXT, PICTURES} <= set(once)


def test_another_library_finds_them_closed() -> None:
    """trimesh: watertight, the volume of the solid, in millimetres."""
    files = print_files(fittings(), "Teasel")
    for one in fittings().jobs:
        (named,) = read_3mf(files[f"{one.path}.3mf"])
        stl: Any = trimesh.load(io.BytesIO(files[f"{one.path}.stl"]), file_type="stl")
        own = trimesh.Trimesh(named.mesh.vertices, named.mesh.faces, process=False)
        assert named.name == one.name
        for read in (own, stl):
            assert read.is_watertight
            # corners are written on a grid of 1e-4 mm, in STL in single precision
            assert float(read.volume) == pytest.approx(one.prints[0].body.volume, rel=1e-6, abs=0.05)


def test_data_say_what_is_printed() -> None:
    data = json.loads(print_files(fittings(), "Teasel")[DATA])
    assert data["beds"] == sum(one.copies for one in fittings().jobs)
    assert data["grams"] == pytest.approx(sum(one.grams for one in fittings().jobs))
    assert data["printer"]["bed_mm"] == [200.0, 200.0, 180.0]
    leg = next(row for row in data["jobs"] if row["file"] == "fittings/main-leg-left")
    assert leg["objects"][0]["settings"]["infill_pct"] == 100.0
    assert leg["objects"][0]["mirror_of"] == "main-leg-right"


def test_the_list_can_be_worked_down() -> None:
    text = print_files(fittings(), "Teasel A, kitchen")[TEXT].decode()
    assert text.startswith("What to print for Teasel A, kitchen\n")
    assert "fittings/hinge.3mf, .stl: 4 times" in text
    assert "solid" in text
    assert "All together:" in text
    assert max(len(line) for line in text.splitlines()) <= 100


def test_minutes_of_copies_heat_up_once() -> None:
    hinge = job("hinge")
    one = replace(hinge.prints[0], copies=1)
    printer = workshop("home-knife").printer
    assert printer is not None
    once = printer.start_min + (hinge.minutes - printer.start_min) / 4.0
    layers = round(float(one.body.size[2]) / printer.layer_mm)
    by_hand = printer.start_min + (layers * printer.layer_s + one.filled / printer.flow_mm3_s) / 60.0
    assert once == pytest.approx(by_hand, rel=1e-6)


def test_words() -> None:
    assert hours(0.2) == "1 min"
    assert hours(59.6) == "1 h 00 min"
    assert hours(125.0) == "2 h 05 min"
    assert common_name(["hinge-1/right", "hinge-2/right"]) == "hinge"
    assert common_name(["horn/left"]) == "horn-left"
    assert common_name(["a", "b"]) == "a"
    assert table_of("hinge-1/right", ("hinge", "hin")) == "hinge"
    assert table_of("leg/left", ()) == "leg"
