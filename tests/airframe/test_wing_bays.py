"""Folded wings with bays: taper, sweep, dihedral, joints, washout, tips, horns; what cannot be folded.

Expected numbers: the design notes' fold geometry or first principles (plane geometry) as each line says.
"""

from __future__ import annotations

from math import asin, atan, cos, degrees, radians, sin, tan
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.bench import Bought
from foldwright.airframe.model import PartBuild, Placed
from foldwright.airframe.plan import stations
from foldwright.airframe.section import slice_contour
from foldwright.airframe.wing import build_wing
from foldwright.airframe.wing_bays import free_slope, solve_bays
from foldwright.base.messages import catalogue, words
from foldwright.design.wings import FoldedBay
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.flatcheck import flat_overlaps
from foldwright.geometry.fold.model import Blank, Fold
from foldwright.geometry.transform import apply
from tests.airframe.parts import board, wing
from tests.airframe.solids import overlaps
from tests.airframe.test_wing import corners

NONE: dict[str, Any] = {"control": ()}
TAPER: dict[str, Any] = {"bay": ({"chord_mm": 154.0, "spar_x_mm": 43.12},), "control": ()}
SWEPT: dict[str, Any] = {"bay": ({"chord_mm": 220.0, "aft_mm": 120.0},), "control": ()}
RISING: dict[str, Any] = {"bay": ({"chord_mm": 220.0, "dihedral_deg": 5.0},)}
POLY: dict[str, Any] = {
    "bay": (
        {"end_mm": 180.0, "chord_mm": 220.0, "dihedral_deg": 3.0},
        {"chord_mm": 180.0, "aft_mm": 15.0, "dihedral_deg": 9.0},
    ),
    "control": (),
}


def built(**changes: Any) -> PartBuild:
    made = build_wing(wing(**changes), board())
    assert made.blanks, [words(finding) for finding in made.findings]
    return made


def blank_of(build: PartBuild, name: str = "main") -> Blank:
    return next(blank for blank in build.blanks if blank.name == f"wing/{name}")


def fold_of(blank: Blank, name: str) -> Fold:
    return next(fold for fold in blank.folds if fold.name == name)


# --- stations -----------------------------------------------------------------------------------------------


def test_stations_rise_by_the_tangent_and_end_at_the_tip() -> None:
    bays = [
        FoldedBay(end_mm=200.0, chord_mm=180.0, aft_mm=10.0, dihedral_deg=3.0),
        FoldedBay(chord_mm=120.0, aft_mm=40.0, dihedral_deg=8.0, washout_deg=2.0),
    ]
    root, middle, tip = stations(1000.0, 200.0, bays)
    assert (root.y, root.rise, root.aft, root.chord) == (0.0, 0.0, 0.0, 200.0)
    assert (middle.y, middle.chord) == (200.0, 180.0)
    assert middle.rise == pytest.approx(200.0 * tan(radians(3.0)))
    assert (tip.y, tip.aft, tip.chord) == (500.0, 40.0, 120.0)
    assert tip.rise == pytest.approx(middle.rise + 300.0 * tan(radians(8.0)))
    assert tip.washout == pytest.approx(radians(2.0))
    assert len(stations(1000.0, 200.0, ())) == 2


# --- taper --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("nose", "height"), [("slit", 8.34), ("mitre", 5.30), ("two_fold", 8.40)])
def test_the_nose_forces_the_tip_spar(nose: str, height: float) -> None:
    """Design notes, fold geometry, Taper: root chord 220, spar at 28 %, 12 mm high, taper 0.7, t = 5."""
    part = wing(**TAPER | {"spar": {"x_mm": 0.28 * 220.0, "height_mm": 12.0}, "nose": {"method": nose}})
    (bay,) = solve_bays(part, 5.0)
    assert bay.outer.height == pytest.approx(height, abs=0.006)


def test_the_strip_follows_the_ridge() -> None:
    """First principles: the aft panel is flat, so (strip - spar) goes with the spar's height."""
    (bay,) = solve_bays(wing(**TAPER), 5.0)
    rest = (bay.outer.strip - bay.outer.spar) / (bay.inner.strip - bay.inner.spar)
    assert rest == pytest.approx(bay.outer.height / bay.inner.height)
    parallel = solve_bays(wing(bay=({"chord_mm": 160.0},)), 5.0)[0]
    assert (parallel.outer.height, parallel.outer.strip) == pytest.approx((12.0, 130.0))


def test_a_free_tip_height_with_two_folds() -> None:
    """Design notes: tan a = (h_r - h_t)/(d_r - d_t), s = h_r + t - d_r tan a + t/cos a."""
    alpha, s = free_slope((62.0, 12.0), (45.0, 9.0), 5.0)
    assert alpha == pytest.approx(atan(3.0 / 17.0))
    assert s == pytest.approx(12.0 + 5.0 - 62.0 * 3.0 / 17.0 + 5.0 / cos(atan(3.0 / 17.0)))
    bay = {"chord_mm": 160.0, "spar_x_mm": 45.0, "spar_height_mm": 9.0}
    main = blank_of(built(nose={"method": "two_fold"}, control=(), bay=(bay,)))
    assert np.ptp(main.panel("nose").polygon[:, 0]) == pytest.approx(s, abs=1e-9)
    # as folded: the inner skins of front and strip stand 9 mm apart over the spar at the tip
    front = transforms(main)["front"]
    normal, foot = front[:3, 2], front[:3, 3]
    height = foot[2] - (normal[0] * (150.0 + 45.0 - foot[0]) + normal[1] * (330.0 - foot[1])) / normal[2]
    assert height == pytest.approx(10.0 + 5.0 + 9.0, abs=1e-9)


@pytest.mark.parametrize("trailing", ["level", "straight"])
def test_leading_and_trailing_edges_lie_where_the_file_says(trailing: str) -> None:
    made = built(trailing={"kind": trailing}, bay=({"chord_mm": 170.0, "aft_mm": 20.0},), control=())
    main = blank_of(made)
    every = np.concatenate([corners(main, panel.name, face) for panel in main.panels for face in "ab"])
    root, tip = every[np.abs(every[:, 1]) < 0.5], every[every[:, 1] > 329.0]
    assert every[:, 1].max() == pytest.approx(330.0, abs=1e-9)
    # the cut edges keep a few hundredths from the centre, so that the joined blank lies flat
    assert root[:, 0].min() == pytest.approx(150.0, abs=0.02)
    assert root[:, 0].max() == pytest.approx(370.0, abs=0.02)
    assert tip[:, 0].min() == pytest.approx(170.0, abs=0.1)
    assert tip[:, 0].max() == pytest.approx(340.0, abs=0.1)


# --- joints -------------------------------------------------------------------------------------------------


def test_swept_fronts_turn_by_the_closed_form() -> None:
    """Design notes, Centre: ridge turn 2*asin(sin(alpha)*sin(sweep)), hinge on the outer skin."""
    made = built(**SWEPT)
    (bay,) = solve_bays(wing(**SWEPT), 5.0)
    fold = fold_of(blank_of(made), "centre")
    assert {fold.parent, fold.child} == {"front-right", "front-left"}
    assert fold.angle == pytest.approx(2.0 * asin(sin(bay.alpha) * sin(bay.sweep)), abs=1e-9)
    assert (fold.hinge, fold.toward) == ("a", "b")
    assert degrees(bay.sweep) == pytest.approx(degrees(atan(120.0 / 330.0)))


def test_dihedral_turns_the_strip_by_twice_its_angle() -> None:
    """Design notes, Centre: joined along the strip only, turn 2*dihedral, hinge under, tips up."""
    made = built(**RISING)
    main = blank_of(made)
    fold = fold_of(main, "centre")
    assert {fold.parent, fold.child} == {"strip-right", "strip-left"}
    assert fold.angle == pytest.approx(radians(10.0))
    assert (fold.hinge, fold.toward) == ("a", "b")
    under = corners(main, "strip-right", "a")
    tip = under[under[:, 1] > 300.0]
    assert tip[:, 1] == pytest.approx(330.0)
    assert tip[:, 2] == pytest.approx(10.0 + 330.0 * tan(radians(5.0)))
    root = under[under[:, 1] < 1.0]
    assert root[:, 2] == pytest.approx(10.0)


@pytest.mark.parametrize("layout", [TAPER, SWEPT, RISING, POLY])
def test_outside_is_outside(layout: dict[str, Any]) -> None:
    """Face A of the strip looks down, face A of the upper panels up, on both halves."""
    made = built(**layout)
    for blank in made.blanks:
        for name, matrix in transforms(blank).items():
            if name.startswith("strip"):
                assert matrix[2, 2] < -0.9, name
            elif name.startswith(("front", "aft", "trailing")):
                assert matrix[2, 2] > 0.8, name


@pytest.mark.parametrize("layout", [TAPER, SWEPT, RISING, POLY])
def test_the_halves_are_mirror_images(layout: dict[str, Any]) -> None:
    made = built(**layout)
    main = blank_of(made)
    for panel in main.panels:
        if panel.name.endswith("-left") or "-left-" in panel.name:
            twin = panel.name.replace("-left", "-right")
            left, right = corners(main, panel.name, "a"), corners(main, twin, "a") * (1.0, -1.0, 1.0)
            gap = np.abs(left[:, None] - right[None]).max(axis=-1).min(axis=1)
            assert gap.max() < 1e-9, panel.name


@pytest.mark.parametrize(
    ("layout", "names"),
    [
        (NONE, {"wing/main", "wing/spar"}),
        (NONE | {"centre": "two"}, {"wing/right", "wing/left", "wing/spar"}),
        (SWEPT, {"wing/main", "wing/spar-right", "wing/spar-left"}),
        ({"bay": ({"chord_mm": 200.0, "aft_mm": -40.0},), "control": ()},
         {"wing/right", "wing/left", "wing/spar-right", "wing/spar-left"}),
        (POLY | {"bay": (POLY["bay"][0], {**POLY["bay"][1], "joint": "apart"})},
         {"wing/main", "wing/right-2", "wing/left-2", "wing/spar-right", "wing/spar-left",
          "wing/spar-right-2", "wing/spar-left-2"}),
        (NONE | {"tip": "cap"}, {"wing/main", "wing/spar", "wing/cap-right", "wing/cap-left"}),
    ],
)  # fmt: skip
def test_names_of_blanks(layout: dict[str, Any], names: set[str]) -> None:
    made = built(**layout)
    assert {blank.name for blank in made.blanks} == names
    assert set(made.titles) == names
    for blank in made.blanks:
        if "/left" in blank.name or blank.name.endswith("-left"):
            assert blank.mirror_of == blank.name.replace("left", "right")
            assert not any("right" in panel.name for panel in blank.panels if blank.name != "wing/main")


@pytest.mark.parametrize("layout", [TAPER, SWEPT, RISING, POLY, NONE | {"centre": "strip"}])
@pytest.mark.parametrize("trailing", ["level", "straight"])
def test_every_layout_folds(layout: dict[str, Any], trailing: str) -> None:
    """Fold limits, cuts, flat overlaps, the way from flat to folded, and no two panels in one place."""
    made = built(**layout | {"trailing": {"kind": trailing}, "control": ()})
    assert overlaps(made) == []
    for blank in made.blanks:
        assert check_blank(blank, FoldRules()) == ()


def test_a_drooping_outer_bay_is_cut_apart_and_says_so() -> None:
    bays = (
        {"end_mm": 180.0, "chord_mm": 220.0, "dihedral_deg": 6.0},
        {"chord_mm": 180.0, "dihedral_deg": 1.0},
    )
    made = built(bay=bays, control=())
    assert blank_of(made, "right-2").panels
    # told apart, how the halves are joined, how the bay is: 150 mm / cos 1 deg * sin 5 deg = 13.08 down
    assert [note.code for note in made.notes] == ["G115", "G198", "G36"]
    assert made.notes[-1].params["block"] == 13.0


# --- controls, tips, spars ----------------------------------------------------------------------------------


def test_a_control_of_each_bay_tapers_and_carries_its_horn() -> None:
    horn = {"length_mm": 25.0, "ahead_mm": 12.0}
    made = built(
        **POLY | {"control": (
            {"id": "flap", "kind": "flap", "chord_mm": 48.0, "inner_mm": 30.0, "outer_mm": 180.0},
            {"id": "aileron", "kind": "aileron", "chord_mm": 40.0, "outer_chord_mm": 30.0, "inner_mm": 180.0,
             "outer_mm": 320.0, "horn": horn},
        )}
    )  # fmt: skip
    flap, aileron = made.surfaces[0].controls
    assert (flap.gains, aileron.gains) == ((0.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    assert aileron.horn_area == 25.0 * 12.0
    assert aileron.outer_chord == 30.0
    arc = made.surfaces[0].arc
    assert flap.outer == pytest.approx(arc[1], abs=1e-9)
    assert aileron.hinge[0] == pytest.approx(1.0 - 40.0 / 220.0)
    main = blank_of(made)
    assert {"flap-right", "flap-left", "aileron-right", "aileron-left"} <= {p.name for p in main.panels}
    # the horn reaches ahead of the hinge at the outer end only
    ring = main.panel("aileron-right").polygon
    assert len(ring) == 6
    fold = fold_of(main, "aileron-right")
    assert fold.length == pytest.approx((140.0 - 25.0) / cos(radians(9.0)), abs=4.0)
    assert overlaps(made) == []


@pytest.mark.parametrize("side", ["left", "right"])
def test_positive_deflection_is_down_on_a_swept_wing(side: str) -> None:
    made = built(
        **SWEPT | {"control": ({"id": "elevon", "chord_mm": 40.0, "inner_mm": 60.0, "outer_mm": 300.0},)}
    )
    main = blank_of(made)
    name = f"elevon-{side}"
    moved, rest = transforms(main, 1.0, {name: radians(10.0)})[name], transforms(main)[name]
    flat = np.column_stack([main.panel(name).polygon, np.full(4, 5.0)])
    drop = (apply(moved, flat) - apply(rest, flat))[:, 2]
    assert sorted(drop)[:2] == pytest.approx([-40.0 * cos(atan(120.0 / 330.0)) * sin(radians(10.0))] * 2)
    assert sorted(drop)[2:] == pytest.approx([0.0, 0.0], abs=1e-9)


def test_a_tip_cap_has_the_sections_outline_and_keeps_the_span() -> None:
    made = built(tip="cap", control=())
    cap = blank_of(made, "cap-right")
    places = transforms(cap)["cap"]
    flat = cap.panels[0].polygon
    outer = apply(places, np.column_stack([flat, np.full(len(flat), 5.0)]))
    assert outer[:, 1] == pytest.approx(330.0)
    assert (outer[:, 0].min(), outer[:, 0].max()) == pytest.approx((150.0, 370.0), abs=1e-3)
    whole = slice_contour((Placed("wing", blank_of(made), transforms(blank_of(made))),), 324.0)
    least = outer[:, 2].min(), outer[:, 2].max()
    assert least == pytest.approx((whole.bounds[1], whole.bounds[3]), abs=2e-3)
    assert transforms(cap)["cap"][1, 2] == pytest.approx(1.0)  # face A looks outward
    assert overlaps(made) == []


def test_a_bought_spar_lies_along_the_ridge_of_each_bay() -> None:
    bought = Bought(4.0, 4.0, 8.0, "carbon", "rod")
    made = build_wing(wing(**RISING), board(), bought)
    assert [bar.id for bar in made.bars] == ["wing/spar-right", "wing/spar-left"]
    right, left = (bar.ends for bar in made.bars)
    assert left == pytest.approx(right * (1.0, -1.0, 1.0))
    rise = (right[1, 2] - right[0, 2]) / (right[1, 1] - right[0, 1])
    assert rise == pytest.approx(tan(radians(5.0)))
    length = 2.0 * 330.0 / cos(radians(5.0))
    assert sum(item.moments[3, 3] for item in made.masses) == pytest.approx(length * 8.0 / 1000.0)


def test_a_spar_that_does_not_reach_the_tip() -> None:
    made = built(spar={"x_mm": 62.0, "height_mm": 12.0, "reach_mm": 200.0})
    assert np.ptp(blank_of(made, "spar").panels[0].polygon[:, 0]) == pytest.approx(400.0)
    spar = [guide for guide in made.guides if guide.name == "spar"]
    assert [point[1] for point in spar[0].points] == pytest.approx([-200.0, 200.0])


# --- twist --------------------------------------------------------------------------------------------------


def test_washout_and_folding_twist_stand_apart_and_both_in_twist() -> None:
    bay = {"chord_mm": 154.0, "spar_x_mm": 43.12}
    plain = built(bay=(bay,), control=()).surfaces[0]
    turned = built(bay=({**bay, "washout_deg": 3.0},), control=(), incidence_deg=2.0)
    surface = turned.surfaces[0]
    assert plain.washout is not None
    assert surface.washout is not None
    assert surface.folding_twist is not None
    assert surface.washout == pytest.approx([0.0, radians(3.0)])
    # design notes: tapered wings twist by 0.2-1 degree in this construction
    assert 0.1 < abs(degrees(surface.folding_twist[1])) < 1.0
    assert plain.folding_twist == pytest.approx(surface.folding_twist, abs=1e-9)
    lost = surface.twist[1] - surface.twist[0]
    assert lost == pytest.approx(surface.folding_twist[1] - radians(3.0))
    assert surface.twist - plain.twist == pytest.approx([radians(2.0), radians(2.0 - 3.0)])


def test_washout_leaves_the_flat_parts_alone_and_asks_for_a_block() -> None:
    bay = {"chord_mm": 154.0, "spar_x_mm": 43.12}
    plain, turned = built(bay=(bay,), control=()), built(bay=({**bay, "washout_deg": 3.0},), control=())
    for one, other in zip(plain.blanks, turned.blanks, strict=True):
        for panel, twin in zip(one.panels, other.panels, strict=True):
            assert np.array_equal(panel.polygon, twin.polygon)
    (note,) = turned.notes
    assert note.code == "G113"
    # first principles: the level trailing part lies a board (5 mm) over the strip's under face
    assert note.params["step"] == pytest.approx(5.0)
    block = 154.0 * sin(radians(3.0)) + 5.0 * cos(radians(3.0))
    assert note.params["block"] == pytest.approx(block, abs=0.05)
    assert note.params["edge"] == "trailing"


def test_stations_of_the_lifting_surface_follow_the_bays() -> None:
    surface = built(**POLY).surfaces[0]
    assert surface.chord == pytest.approx([220.0, 220.0, 180.0])
    assert surface.le[:, 1] == pytest.approx([0.0, 180.0, 330.0], abs=1e-9)
    assert surface.arc[-1] == pytest.approx(180.0 / cos(radians(3.0)) + 150.0 / cos(radians(9.0)), abs=0.5)
    assert surface.step_x == pytest.approx([150.0 + 130.0, 150.0 + 130.0, 150.0 + 15.0 + 130.0])
    rise = surface.le[:, 2] - surface.le[0, 2]
    want = 180.0 * tan(radians(3.0)), 180.0 * tan(radians(3.0)) + 150.0 * tan(radians(9.0))
    assert rise[1:] == pytest.approx(want, abs=0.2)


def test_the_section_of_a_dihedral_wing_is_that_of_a_level_one() -> None:
    """Sections are cut square to the span line, so dihedral changes none of them (to 1e-9)."""
    level, rising = built().surfaces[0], built(**RISING).surfaces[0]
    assert rising.camber[0] == pytest.approx(level.camber[0], abs=1e-9)
    assert rising.thickness == pytest.approx(level.thickness, abs=1e-9)


# --- what has no solution -----------------------------------------------------------------------------------

CAP_CONTROL = {"id": "elevon", "chord_mm": 48.0, "inner_mm": 40.0, "outer_mm": 326.0}
HORN = {"id": "elevon", "chord_mm": 48.0, "inner_mm": 40.0, "outer_mm": 300.0}
TWO = {"nose": {"method": "two_fold"}, "control": ()}


@pytest.mark.parametrize(
    ("changes", "code", "where", "says"),
    [
        (TAPER | {"bay": ({**TAPER["bay"][0], "spar_height_mm": 12.0},)}, "G100", "bay.1.spar_height_mm",
         "forces a spar of 8.3 mm at the outer end, 12.0 mm asked"),
        (TAPER | {"bay": ({**TAPER["bay"][0], "strip_aft_mm": 110.0},)}, "G101", "bay.1.strip_aft_mm",
         "110.0 mm"),
        ({"bay": ({"chord_mm": 160.0, "spar_x_mm": 25.0},), "control": ()}, "G102", "bay.1.spar_x_mm",
         "least 5.0 mm"),
        ({"bay": ({"chord_mm": 120.0},), "control": ()}, "G103", "bay.1.chord_mm",
         "130.0 mm of a chord of 120.0"),
        ({"bay": ({"chord_mm": 220.0, "aft_mm": 400.0},), "control": (),
          "spar": {"x_mm": 30.0, "height_mm": 18.0}, "nose": {"method": "mitre"}}, "G104", "spar.height_mm",
         "slope"),
        (TWO | {"bay": ({"chord_mm": 200.0, "spar_height_mm": 9.0},)}, "G105", "bay.1.spar_height_mm",
         "as high"),
        (TWO | {"bay": ({"chord_mm": 200.0, "spar_x_mm": 50.0, "spar_height_mm": 8.0},)}, "G106",
         "bay.1.spar_height_mm", "two mitres"),
        ({"bay": ({"chord_mm": 220.0, "aft_mm": 240.0},), "control": (), "strip": {"aft_mm": 86.0}}, "G107",
         "strip.aft_mm", "comes down"),
        (SWEPT | {"centre": "one"}, "G108", "centre", "swept by 20.0°"),
        (RISING | {"centre": "front"}, "G108", "centre", "5.0° of dihedral"),
        ({"bay": ({"chord_mm": 200.0, "aft_mm": -40.0},), "control": (), "centre": "front"}, "G108", "centre",
         "forward"),
        (POLY | {"control": ({"id": "flap", "chord_mm": 40.0, "inner_mm": 30.0, "outer_mm": 250.0},)}, "G110",
         "control.flap.outer_mm", "180.0 mm"),
        ({"bay": ({"chord_mm": 170.0},)}, "G111", "control.elevon.chord_mm", "outer end"),
        ({"control": ({**HORN, "horn": {"length_mm": 30.0, "ahead_mm": 60.0}},)}, "G112",
         "control.elevon.horn.ahead_mm", "60.0 mm ahead"),
        ({"control": ({**HORN, "horn": {"length_mm": 280.0, "ahead_mm": 10.0}},)}, "G112",
         "control.elevon.horn.length_mm", "280.0 mm long"),
        ({"spar": {"x_mm": 62.0, "height_mm": 12.0, "reach_mm": 400.0}}, "G117", "spar.reach_mm", "400.0 mm"),
        ({"tip": "cap", "control": (CAP_CONTROL,)}, "G118", "control.elevon.outer_mm", "326.0 mm"),
        ({"control": ({**HORN, "outer_chord_mm": 6.0},)}, "G119", "control.elevon.outer_chord_mm", "bevel"),
    ],
)  # fmt: skip
def test_what_cannot_be_built_says_so(changes: dict[str, Any], code: str, where: str, says: str) -> None:
    made = build_wing(wing(**changes), board())
    found = [finding for finding in made.findings if finding.code == code]
    assert found, [finding.code for finding in made.findings]
    assert made.blanks == ()
    assert found[0].where == f"wing.{where}"
    said = words(found[0])
    assert says in said.says
    assert said.cure


@pytest.mark.parametrize(
    ("changes", "code", "key", "param"),
    [
        (TAPER | {"bay": ({**TAPER["bay"][0], "spar_height_mm": 12.0},)}, "G100", "spar_height_mm", "forced"),
        (TAPER | {"bay": ({**TAPER["bay"][0], "strip_aft_mm": 110.0},)}, "G101", "strip_aft_mm", "forced"),
        ({"bay": ({"chord_mm": 160.0, "spar_x_mm": 25.0},), "control": ()}, "G102", "spar_x_mm", "move"),
        ({"bay": ({"chord_mm": 120.0},), "control": ()}, "G103", "chord_mm", "need"),
        (TWO | {"bay": ({"chord_mm": 200.0, "spar_x_mm": 50.0, "spar_height_mm": 8.0},)}, "G106",
         "spar_height_mm", "need"),
    ],
)  # fmt: skip
def test_a_bays_cure_followed_cures(changes: dict[str, Any], code: str, key: str, param: str) -> None:
    finding = next(f for f in build_wing(wing(**changes), board()).findings if f.code == code)
    healed = {**changes["bay"][0], key: finding.params[param]}
    again = build_wing(wing(**{**changes, "bay": (healed,)}), board())
    assert code not in {f.code for f in again.findings}, again.findings
    assert again.blanks


def test_notes_have_words() -> None:
    for code in ("G113", "G114", "G115"):
        assert catalogue()[code].says


@pytest.mark.parametrize("layout", [TAPER, SWEPT, RISING, POLY])
def test_rounded_corners_reach_every_layout(layout: dict[str, Any]) -> None:
    """Crushed folds with an outer radius: shorter flat parts, closed caps, nothing on itself."""
    crushed = {"nose": {"method": "two_fold", "fold": "crush"}, "ridge": {"method": "crush"}, "tip": "cap"}
    made = build_wing(wing(**layout | {"control": ()} | crushed), board(radius=2.0))
    assert made.blanks
    sharp = build_wing(wing(**layout | {"control": ()} | crushed), board())
    wide = [np.ptp(blank_of(one).panels[0].polygon[:, 0]) for one in (made, sharp)]
    assert wide[0] < wide[1]
    for blank in made.blanks:
        assert np.isfinite(np.concatenate([panel.polygon for panel in blank.panels])).all()
        assert flat_overlaps(blank) == ()


STEEP: dict[str, Any] = {
    "bay": ({"chord_mm": 220.0, "aft_mm": 320.0},), "control": (), "strip": {"aft_mm": 100.0}
}  # fmt: skip


def test_auto_takes_the_next_joint_where_the_first_lies_on_itself() -> None:
    """A steep aft panel on a strongly swept wing: joined in front the aft panels overlap flat."""
    made = built(**STEEP)
    note, halves = made.notes
    assert (note.code, note.params["refused"], note.params["centre"]) == ("G114", "front", "strip")
    assert halves.code == "G199"
    asked = build_wing(wing(**STEEP | {"centre": "front"}), board())
    assert [(f.code, f.where) for f in asked.findings] == [("G109", "wing.centre")]
    assert asked.blanks == ()
    assert words(asked.findings[0]).cure
