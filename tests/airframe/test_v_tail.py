"""The V-tail: a part that is one module. Expected numbers: first principles unless a line says otherwise."""

from __future__ import annotations

from math import cos, radians, sin, tan
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings

from foldwright.airframe.build import folded
from foldwright.airframe.kinds import builders
from foldwright.airframe.kinds.v_tail import build
from foldwright.airframe.model import PartBuild
from foldwright.base.messages import words
from foldwright.design.load import built_in_stock, load_design, starter
from foldwright.design.parts import PART_KINDS
from foldwright.design.tails import VTail
from foldwright.evaluate import evaluate
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.solids import overlaps as fold_overlaps
from foldwright.make.bundle import Texts, make_bundle
from foldwright.make.plans import complete
from foldwright.make.readback import check_files
from foldwright.make.view_solids import board_solids
from tests.airframe.flats import (
    CLOSES,
    asymmetry,
    bench,
    corners,
    face,
    mass_error,
    random_v_tail,
    round_trip,
    v_tail,
)
from tests.airframe.solids import overlaps
from tests.examples import examples
from tests.strategies import seeds
from tests.world import EXAMPLES, workshop

RUDDERVATOR: dict[str, Any] = {
    "id": "ruddervator", "chord_mm": 35.0, "inner_mm": 15.0, "outer_mm": 180.0,
}  # fmt: skip


def built(**changes: Any) -> PartBuild:
    made = build(v_tail(**changes), bench())
    assert made.findings == (), [words(found).says for found in made.findings]
    return made


def test_it_is_found_by_its_module_and_its_table() -> None:
    assert PART_KINDS["v_tail"] is VTail
    assert builders()[VTail] is build
    shape = folded((v_tail(),), (), bench())
    assert [one.blank.name for one in shape.placed] == ["tail/main"]
    assert shape.masses[0].moments[3, 3] > 0.0


@pytest.mark.parametrize("joint", ["one", "two"])
@pytest.mark.parametrize("angle", [20.0, 35.0, 55.0])
def test_the_lower_faces_meet_at_the_apex(joint: str, angle: float) -> None:
    made = built(joint=joint, angle_deg=angle, control=())
    name = "plate-right" if joint == "one" else "plate"
    under = face(made.blanks[0], name, "b")
    root = under[under[:, 1].argmin()]
    assert root[1:] == pytest.approx([0.0, 30.0], abs=1e-9)
    tip = under[under[:, 1].argmax()]
    assert tip[1:] == pytest.approx(
        [180.0 * cos(radians(angle)), 30.0 + 180.0 * sin(radians(angle))], abs=1e-9
    )
    upper = face(made.blanks[0], name, "a")
    # upper faces meet on the centre line too: bevelled by t*tan(angle)
    assert upper[:, 1].min() == pytest.approx(0.0, abs=1e-9)
    assert upper[:, 2].min() == pytest.approx(30.0 + 5.0 / cos(radians(angle)))


def test_one_blank_is_folded_along_the_root_with_its_under_paper_whole() -> None:
    (blank,) = built().blanks
    fold = next(fold for fold in blank.folds if fold.method == "groove")
    assert (fold.hinge, fold.toward) == ("b", "a")
    assert fold.angle == pytest.approx(2.0 * radians(35.0))
    assert fold.length == pytest.approx(110.0)
    cut = blank.panel("plate-right").cuts
    assert max(one.a for one in cut) == pytest.approx(5.0 * tan(radians(35.0)))


def test_its_surface_rises_outward_and_carries_ruddervators() -> None:
    (surface,) = built().surfaces
    assert surface.role == "v_tail"
    assert surface.symmetric
    assert not surface.main
    rise = surface.le[-1] - surface.le[0]
    assert np.arctan2(rise[2], rise[1]) == pytest.approx(radians(35.0))
    assert surface.le[-1, 0] == pytest.approx(600.0 + 25.0)
    (control,) = surface.controls
    assert control.kind == "ruddervator"
    assert control.gains == (1.0, 0.0, 1.0)
    assert control.fold_names == ("ruddervator-right", "ruddervator-left")
    assert control.outer == pytest.approx(surface.arc[-1])
    assert control.hinge[1] == pytest.approx(1.0 - 35.0 / 80.0)


def test_both_trailing_edges_go_down_together() -> None:
    (blank,) = built().blanks
    live = {fold.name: radians(15.0) for fold in blank.folds if fold.method == "live"}
    rest, moved = corners(blank), corners(blank, 0.0, live)
    for name in live:
        aft = rest[name][:, 0].argmax()
        step = moved[name][aft] - rest[name][aft]
        assert step[2] < 0.0
        assert step[1] * rest[name][aft, 1] > 0.0  # down and outward, square to the panel


def test_incidence_lowers_the_root_trailing_edge() -> None:
    made = built(incidence_deg=-2.0, control=())
    under = face(made.blanks[0], "plate-right", "b")
    aft = under[(under[:, 1] < 1e-6) & (under[:, 0] > 650.0)][0]
    assert aft[2] == pytest.approx(30.0 + 110.0 * sin(radians(2.0)))


@pytest.mark.parametrize(
    ("changes", "code", "cured"),
    [
        ({"control": (RUDDERVATOR | {"inner_mm": 0.0},)}, "G135",
         {"control": (RUDDERVATOR | {"inner_mm": 9.9},)}),
        ({"control": (RUDDERVATOR | {"outer_mm": 190.0},)}, "G120", {}),
        ({"control": (RUDDERVATOR | {"chord_mm": 78.0},)}, "G121",
         {"control": (RUDDERVATOR | {"chord_mm": 75.0},)}),
        ({"control": (RUDDERVATOR | {"up_deg": 20.0, "down_deg": 32.0},)}, "G123", {}),
        ({"length_mm": 8.0, "control": ()}, "G134", {"length_mm": 8.6, "control": ()}),
    ],
)  # fmt: skip
def test_what_cannot_be_built_says_so_and_its_cure_clears(
    changes: dict[str, Any], code: str, cured: dict[str, Any]
) -> None:
    made = build(v_tail(**changes), bench())
    assert code in {found.code for found in made.findings} <= {code, "G135"}
    assert bool(made.blanks) == (code == "G135")  # a watch: it can be built, and jams
    assert words(made.findings[0]).cure
    again = {found.code for found in build(v_tail(**cured), bench()).findings}
    assert code not in again


def test_controls_that_clear_the_finding_clear_each_other() -> None:
    """Both ruddervators full up: no overlap from the inner end that the finding asks for, some before it."""
    near = build(v_tail(control=(RUDDERVATOR | {"inner_mm": 0.0},)), bench())
    (found,) = near.findings
    inner = float(found.params["inner"])
    far = build(v_tail(control=(RUDDERVATOR | {"inner_mm": inner},)), bench())
    assert far.findings == ()
    shared = []
    for made in (near, far):
        (blank,) = made.blanks
        up = {fold.name: -radians(15.0) for fold in blank.folds if fold.method == "live"}
        shared.append(fold_overlaps([(blank, transforms(blank, deflection=up))]))
    assert shared[0] != ()
    assert shared[1] == ()


def test_it_reaches_mass_lattice_sheets_readback_and_picture() -> None:
    """The V-tail of a starter, the whole way: no module but its own knows its kind."""
    text = starter("samphire")
    design = load_design(text.encode(), stock=built_in_stock()).value
    assert design is not None
    name = next(part.id for part in design.part if isinstance(part, VTail))
    with_tail = evaluate(design, workshop(), built_in_stock(), None, "interactive")
    results = with_tail.results
    assert results is not None
    masses = {item.id: item.moments[3, 3] for item in results.airframe.masses}
    assert sum(mass for item, mass in masses.items() if item.startswith(f"{name}/")) > 5.0
    assert name in {surface.id for surface in results.airframe.surfaces}
    assert "ruddervator" in {one.id for one in results.lift.controls}
    assert [each.surface for each in results.tail.lying] == [name]
    assert results.tail.lying[0].neutral_shift > 0.0
    assert any(solid.name.startswith(f"{name}/") for solid in board_solids(results.airframe))
    bundle = make_bundle(with_tail, Texts(text, (EXAMPLES / "workshops" / "school-laser.toml").read_text()))
    files = complete(bundle.files, bundle.about)
    assert check_files(files).holds


@settings(max_examples=examples(150))
@given(seeds())
def test_random_v_tails(rng: np.random.Generator) -> None:
    """Round trip, mirror image, mass against a mesh library, no overlap, every check of a blank."""
    used = bench(float(rng.uniform(3.0, 6.0)))
    made = build(random_v_tail(rng), used)
    if made.blanks:
        assert asymmetry(made) <= CLOSES
        assert overlaps(made) == []
    for blank in made.blanks:
        assert round_trip(blank) <= CLOSES
        assert mass_error(blank, used.board.material) <= 1e-9
        assert check_blank(blank, FoldRules(), path=False) == ()


@pytest.mark.parametrize(("key", "value"), [("outer_mm", 190.0), ("inner_mm", 170.0), ("chord_mm", 120.0)])
def test_keys_that_do_not_go_together(key: str, value: float) -> None:
    control = {"chord_mm": 35.0, "inner_mm": 15.0, "outer_mm": 160.0} | {key: value}
    rows = ", ".join(f"{name} = {number}" for name, number in control.items())
    part = (
        '[[part]]\nkind = "v_tail"\nid = "vee"\nx_mm = 500.0\nz_mm = 60.0\nroot_mm = 110.0\ntip_mm = 80.0\n'
        f'length_mm = 180.0\ncontrol = [{{id = "r", {rows}}}]\n'
    )
    loaded = load_design(f"{starter()}\n{part}".encode(), stock=built_in_stock())
    assert "F29" in {found.code for found in loaded.findings if found.where.startswith("vee.control.r")}
