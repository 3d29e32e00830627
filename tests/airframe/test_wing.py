"""The folded wing: closed forms, faces, findings.

Expected numbers: first principles (plane geometry of boards of thickness t) unless a line says otherwise.
"""

from __future__ import annotations

import itertools
from math import atan, cos, degrees, radians, sin, tan
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.bench import Bought
from foldwright.airframe.wing import build_wing, placement
from foldwright.airframe.wing_section import (
    Section,
    greatest_height,
    least_setback,
    slope_for,
    solve,
)
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.design.parts import FoldedWing
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.model import Blank
from foldwright.geometry.fold.rings import solid_ring
from foldwright.geometry.transform import apply
from tests.airframe.parts import board, wing

NOSES = ("slit", "mitre", "two_fold")
TRAILING = ("level", "straight")
RIDGES = ("groove", "slit", "crush")
ELEVON: dict[str, Any] = {"id": "elevon", "chord_mm": 48.0, "inner_mm": 40.0, "outer_mm": 300.0}


def corners(blank: Blank, name: str, face: str) -> FloatArray:
    """Corners of one face of a folded panel in the aeroplane, (n, 3)."""
    ring = solid_ring(blank.panel(name), 1.0 if face == "a" else 0.0)
    w = np.full(len(ring), blank.thickness if face == "a" else 0.0)
    return apply(transforms(blank)[name], np.column_stack([ring, w]))


def flat_widths(section: Section, part: FoldedWing) -> dict[str, float]:
    """Flat width of every panel by the closed forms of the section, mm: an independent check of unfolding.

    e = t*tan((alpha + mu)/2) for a groove ridge, 0 for a slit one.
    """
    t, a, mu = section.t, section.alpha, section.mu
    e = 0.0 if part.ridge.method == "slit" else t * tan((a + mu) / 2.0)
    widths = {
        "strip": section.strip_aft + (part.strip.land_mm if part.strip.runs_on else 0.0) - section.start,
        "front": (section.spar_x - t * sin(a)) / cos(a) + e,
    }
    if section.nose == "two_fold":
        widths["nose"] = section.nose_height
    if part.trailing.kind == "level":
        widths["aft"] = e + (section.strip_aft - section.spar_x) / cos(mu)
        widths["trailing"] = section.chord - section.strip_aft
    else:
        widths["aft"] = e + (section.chord - t * sin(mu) - section.spar_x) / cos(mu)
    return widths


@pytest.mark.parametrize(("nose", "trailing", "ridge"), list(itertools.product(NOSES, TRAILING, RIDGES)))
def test_flat_widths_are_the_closed_forms(nose: str, trailing: str, ridge: str) -> None:
    part = wing(
        nose={"method": nose}, trailing={"kind": trailing}, ridge={"method": ridge}, incidence_deg=2.0
    )
    main = build_wing(part, board()).blanks[0]
    for name, width in flat_widths(solve(part, 5.0), part).items():
        assert np.ptp(main.panel(name).polygon[:, 0]) == pytest.approx(width, abs=1e-9), name


@pytest.mark.parametrize(("nose", "trailing", "ridge"), list(itertools.product(NOSES, TRAILING, RIDGES)))
def test_faces_end_up_where_a_builder_expects_them(nose: str, trailing: str, ridge: str) -> None:
    """Face A is outside: the strip's A is the underside at z_mm; the upper panels' A lie above their B."""
    part = wing(nose={"method": nose}, trailing={"kind": trailing}, ridge={"method": ridge})
    main = build_wing(part, board()).blanks[0]
    assert corners(main, "strip", "a")[:, 2] == pytest.approx(10.0, abs=1e-9)
    assert corners(main, "strip", "b")[:, 2] == pytest.approx(15.0, abs=1e-9)
    for name in ("front", "aft"):
        assert transforms(main)[name][2, 2] > 0.8
    if trailing == "level":
        # lies on the strip's inner plane: under face B at z_mm + t, upper face A at z_mm + 2 t
        assert corners(main, "trailing", "b")[:, 2] == pytest.approx(15.0, abs=1e-9)
        assert corners(main, "trailing", "a")[:, 2] == pytest.approx(20.0, abs=1e-9)


@pytest.mark.parametrize("nose", NOSES)
@pytest.mark.parametrize("t", [3.0, 5.0, 6.0])
def test_outer_dimensions_hold_when_thickness_changes(nose: str, t: float) -> None:
    main = build_wing(wing(nose={"method": nose}), board(t)).blanks[0]
    every = np.concatenate([corners(main, p.name, face) for p in main.panels for face in ("a", "b")])
    assert every[:, 0].min() == pytest.approx(150.0, abs=1e-9)
    assert every[:, 0].max() == pytest.approx(370.0, abs=1e-9)
    assert np.ptp(every[:, 1]) == pytest.approx(660.0, abs=1e-9)
    assert every[:, 2].min() == pytest.approx(10.0, abs=1e-9)


def test_spar_stands_between_the_skins() -> None:
    part = wing()
    built = build_wing(part, board())
    spar, section = built.blanks[1], solve(part, 5.0)
    low, high = corners(spar, "spar", "b"), corners(spar, "spar", "a")
    assert low[:, 0] == pytest.approx(150.0 + 62.0 + 2.5)  # face B behind
    assert high[:, 0] == pytest.approx(150.0 + 62.0 - 2.5)  # face A forward
    # its upper edges just reach the inner skins: h - (b/2) max(slope)
    slope = max(tan(section.alpha), tan(section.mu))
    assert sorted({round(z, 9) for z in low[:, 2]}) == pytest.approx([15.0, 15.0 + 12.0 - 2.5 * slope])


def test_left_and_right_elevon_are_named_by_their_side() -> None:
    main = build_wing(wing(), board()).blanks[0]
    assert corners(main, "elevon-right", "a")[:, 1].min() == pytest.approx(41.0)
    assert corners(main, "elevon-left", "a")[:, 1].max() == pytest.approx(-41.0)


@pytest.mark.parametrize("side", ["left", "right"])
def test_positive_hinge_deflection_moves_the_trailing_edge_down(side: str) -> None:
    """Hinge on face A (upper): the fold's `toward` is B, so a positive deflection closes the lower V."""
    main = build_wing(wing(), board()).blanks[0]
    name = f"elevon-{side}"
    moved = transforms(main, 1.0, {name: radians(10.0)})[name]
    rest = transforms(main)[name]
    edge = np.append(main.panel(name).polygon[np.argmax(main.panel(name).polygon[:, 0])], 5.0)
    assert apply(moved, edge)[2] - apply(rest, edge)[2] == pytest.approx(-48.0 * np.sin(radians(10.0)))


def test_hinge_bevel_is_on_the_face_opposite_the_hinge() -> None:
    main = build_wing(wing(), board()).blanks[0]
    cut = max(main.panel("elevon-right").cuts, key=lambda cut: cut.b)
    assert cut.b == pytest.approx(5.0 * tan(radians(30.0)))
    assert cut.a == 0.0


def test_incidence_turns_the_nose_up() -> None:
    part = wing(incidence_deg=3.0)
    place = placement(part, 5.0)
    nose, tail = apply(place, np.array([(0.0, 0.0, -5.0), (220.0, 0.0, -5.0)]))
    assert nose == pytest.approx([150.0, 0.0, 10.0])
    assert nose[2] - tail[2] == pytest.approx(220.0 * np.sin(radians(3.0)))
    assert build_wing(part, board()).surfaces[0].twist[0] > build_wing(wing(), board()).surfaces[0].twist[0]


def test_camber_as_the_design_notes_say() -> None:
    """Level trailing part: camber 2-4 % at 28 %; straight: 3-7 % near 60 % (design notes)."""
    level, straight = (build_wing(wing(trailing={"kind": kind}), board()).surfaces[0] for kind in TRAILING)
    assert 0.015 < np.interp(0.28, level.xi, level.camber[0]) < 0.04
    assert 0.03 < np.interp(0.60, straight.xi, straight.camber[0]) < 0.07
    assert level.trailing == pytest.approx(5.0)
    assert level.step == 5.0


@pytest.mark.parametrize("nose", NOSES)
def test_slope_height_and_setback_agree(nose: str) -> None:
    """The three closed forms of one nose are each other's inverse."""
    alpha, _ = slope_for(nose, 62.0, 12.0, 5.0, None)
    assert greatest_height(nose, 62.0, 5.0, None, alpha) == pytest.approx(12.0, abs=1e-9)
    assert least_setback(nose, 12.0, 5.0, None, alpha) == pytest.approx(62.0, abs=1e-9)


def test_thin_board_limit_is_plain_trigonometry() -> None:
    for nose in NOSES:
        alpha, _ = slope_for(nose, 60.0, 12.0, 1e-9, None)
        assert alpha == pytest.approx(atan(12.0 / 60.0), abs=1e-8)


def test_steep_spar_says_what_to_do() -> None:
    """Design notes: 30 mm only 34 mm behind the leading edge needs 44° (limit 40°)."""
    part = wing(spar={"x_mm": 34.0, "height_mm": 30.0}, strip={"aft_mm": 130.0})
    built = build_wing(part, board())
    assert built.blanks == ()
    finding = next(f for f in built.findings if f.code == "G20")
    assert finding.where == "wing.spar.height_mm"
    assert finding.value == pytest.approx(44.0, abs=0.6)
    said = words(finding).cure
    assert "25.8 mm" in said
    assert "5.0 mm aft" in said
    # and the cure cures
    lower = build_wing(wing(spar={"x_mm": 34.0, "height_mm": 25.8}), board())
    back = build_wing(wing(spar={"x_mm": 39.0, "height_mm": 30.0}), board())
    assert not any(f.code == "G20" for f in (*lower.findings, *back.findings))


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"spar": {"x_mm": 6.0, "height_mm": 8.0}}, "G21"),
        ({"spar": {"x_mm": 62.0, "height_mm": 5.1}}, "G23"),
        ({"strip": {"aft_mm": 64.0}}, "G24"),
        ({"strip": {"aft_mm": 78.0}}, "G25"),
        ({"strip": {"aft_mm": 218.0}, "control": ()}, "G26"),
        (
            {"trailing": {"kind": "straight"}, "strip": {"aft_mm": 130.0, "runs_on": True, "land_mm": 10.0}},
            "G27",
        ),
        ({"nose": {"method": "two_fold", "strip_height_mm": 6.0}}, "G28"),
        ({"strip": {"aft_mm": 170.0}}, "G29"),
        (
            {
                "control": (
                    {"id": "elevon", "chord_mm": 48.0, "inner_mm": 40.0, "outer_mm": 300.0, "down_deg": 31.0},
                )
            },
            "G30",
        ),
        ({"control": ({"id": "elevon", "chord_mm": 48.0, "inner_mm": 40.0, "outer_mm": 340.0},)}, "G31"),
        ({"control": ({"id": "elevon", "chord_mm": 7.0, "inner_mm": 40.0, "outer_mm": 300.0},)}, "G32"),
        ({"control": ({**ELEVON, "inner_mm": 290.0, "end_gap_mm": 20.0},)}, "G33"),
    ],
)
def test_what_cannot_be_folded_says_so(changes: dict[str, object], code: str) -> None:
    built = build_wing(wing(**changes), board())
    codes = {finding.code for finding in built.findings if finding.verdict == "no-go"}
    assert code in codes
    assert built.blanks == ()
    for finding in built.findings:
        said = words(finding)
        assert said.says
        assert said.cure


@pytest.mark.parametrize(
    ("changes", "code", "cured"),
    [
        ({"spar": {"x_mm": 62.0, "height_mm": 5.1}}, "G23", "spar/height_mm/need"),
        ({"strip": {"aft_mm": 64.0}}, "G24", "strip/aft_mm/need"),
        ({"strip": {"aft_mm": 78.0}}, "G25", "strip/aft_mm/need"),
        ({"strip": {"aft_mm": 78.0}}, "G25", "spar/height_mm/lower"),
        ({"nose": {"method": "two_fold", "strip_height_mm": 6.0}}, "G28", "nose/strip_height_mm/need"),
        ({"strip": {"aft_mm": 170.0}}, "G29", "control/chord_mm/need"),
        ({"control": ({**ELEVON, "outer_mm": 340.0},)}, "G31", "control/outer_mm/half"),
        ({"control": ({**ELEVON, "inner_mm": 290.0, "end_gap_mm": 20.0},)}, "G33", "control/outer_mm/need"),
        ({"control": ({**ELEVON, "inner_mm": 290.0, "end_gap_mm": 20.0},)}, "G33", "control/end_gap_mm/less"),
    ],
)
def test_a_cure_followed_cures(changes: dict[str, Any], code: str, cured: str) -> None:
    """The number in the cure's sentence, put into the file, and the finding is gone."""
    table, key, param = cured.split("/")
    finding = next(f for f in build_wing(wing(**changes), board()).findings if f.code == code)
    plain = {"spar": {"x_mm": 62.0, "height_mm": 12.0}, "strip": {"aft_mm": 130.0}, "control": (ELEVON,)}
    old: Any = changes.get(table, plain.get(table))
    number = {key: finding.params[param]}
    new = ({**old[0], **number},) if table == "control" else {**old, **number}
    healed = build_wing(wing(**{**changes, table: new}), board())
    assert code not in {f.code for f in healed.findings}, healed.findings


@pytest.mark.parametrize("gap", [0.0, 1.0])
def test_controls_may_meet_at_the_centre_line(gap: float) -> None:
    """Elevons from the centre line out: two panels, each folded at its own hinge, apart by both gaps."""
    built = build_wing(wing(control=({**ELEVON, "inner_mm": 0.0, "end_gap_mm": gap},)), board())
    assert built.findings == ()
    main = built.blanks[0]
    assert corners(main, "elevon-right", "a")[:, 1].min() == pytest.approx(gap)
    assert corners(main, "elevon-left", "a")[:, 1].max() == pytest.approx(-gap)
    assert {fold.name for fold in main.folds} >= {"elevon-left", "elevon-right"}
    assert not check_blank(main, FoldRules())


def test_mitre_bevel_is_wide() -> None:
    """Design notes: the mitred nose's bevel is 20-30 mm wide."""
    main = build_wing(wing(nose={"method": "mitre"}), board()).blanks[0]
    assert 20.0 < max(cut.b for cut in main.panel("front").cuts) < 30.0
    nose = next(fold for fold in main.folds if fold.name == "nose")
    assert degrees(nose.angle) == pytest.approx(
        180.0 - degrees(solve(wing(nose={"method": "mitre"}), 5.0).alpha)
    )


def test_a_bought_spar_weighs_what_its_metre_weighs() -> None:
    built = build_wing(wing(), board(), Bought(6.0, 6.0, 10.0, "carbon", "tube"))
    assert len(built.blanks) == 1
    assert built.masses[0].moments[3, 3] == pytest.approx(6.6)
    (bar,) = built.bars
    assert bar.ends[:, 1] == pytest.approx([-330.0, 330.0])
    assert bar.ends[:, 0] == pytest.approx(150.0 + 62.0)
