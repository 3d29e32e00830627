"""Work on the faces of parts: what it weighs, where, and what holds no more. Numbers: first principles."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from foldwright.airframe.bench import Bench
from foldwright.airframe.build import folded
from foldwright.airframe.finish import USUAL_G_M2, finished
from foldwright.airframe.model import PartBuild
from foldwright.airframe.plate import build_plate
from foldwright.airframe.wing import build_wing
from foldwright.base.messages import words
from foldwright.base.types import FloatArray
from foldwright.design.finish import SurfaceKind, SurfaceWork
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.mass import board_moments
from tests.airframe.parts import board, fin, wing

BOARD = board()
PAPER = BOARD.material.paper_g_mm2


def work(kind: str, **more: Any) -> SurfaceWork:
    return SurfaceWork.model_validate({"kind": kind} | more)


def mass(build: PartBuild) -> float:
    parts = [(blank, transforms(blank)) for blank in build.blanks]
    return float(board_moments(parts, BOARD.material)[3, 3])


def plain_fin(**changes: Any) -> tuple[PartBuild, float]:
    part = fin(**changes)
    build = build_plate(part, BOARD)
    return build, sum(_area(blank.panels[0].polygon) for blank in build.blanks)


def _area(ring: FloatArray) -> float:
    u, v = ring.T
    return abs(float(u @ np.roll(v, -1) - np.roll(u, -1) @ v)) / 2.0


@pytest.mark.parametrize("kind", ["tape", "paint", "waterproof"])
@pytest.mark.parametrize(("face", "faces"), [("a", 1), ("b", 1), ("both", 2)])
def test_what_is_put_on_weighs_its_area(kind: SurfaceKind, face: str, faces: int) -> None:
    build, area = plain_fin()
    done = finished(build, fin(work=(work(kind, face=face),)), BOARD)
    assert mass(done) - mass(build) == pytest.approx(faces * area * USUAL_G_M2[kind] * 1e-6, rel=1e-9)
    own = finished(build, fin(work=(work(kind, face=face, g_m2=80.0),)), BOARD)
    assert mass(own) - mass(build) == pytest.approx(faces * area * 80e-6, rel=1e-9)


def test_peeling_twice_takes_the_paper_once_and_tape_goes_on_bare_foam() -> None:
    build, area = plain_fin()
    bare = work("bare", face="b")
    once = finished(build, fin(work=(bare,)), BOARD)
    twice = finished(build, fin(work=(bare, bare)), BOARD)
    assert mass(build) - mass(once) == pytest.approx(area * PAPER, rel=1e-9)
    assert mass(twice) == pytest.approx(mass(once), rel=1e-12)
    taped = finished(build, fin(work=(bare, work("tape", face="b"))), BOARD)
    assert mass(taped) - mass(once) == pytest.approx(area * 40e-6, rel=1e-9)
    assert taped.blanks[0].panels[0].bare == (False, True)
    assert taped.blanks[0].panels[0].skin == pytest.approx((0.0, 40e-6 - PAPER))


def test_work_on_face_a_moves_the_centre_outward() -> None:
    build, _ = plain_fin(mirrored=False)
    painted = finished(build, fin(work=(work("paint", face="a", g_m2=200.0),)), BOARD)
    for one, sign in ((build, 0.0), (painted, 1.0)):
        moments = board_moments([(b, transforms(b)) for b in one.blanks], BOARD.material)
        middle = moments[1, 3] / moments[3, 3] - 312.0
        assert np.sign(round(middle, 9)) == sign


def test_one_panel_alone_or_one_blank_alone() -> None:
    build = build_wing(wing(), BOARD)
    done = finished(build, wing(work=(work("paint", face="b", panel="strip"),)), BOARD)
    changed = {p.name for blank in done.blanks for p in blank.panels if any(p.skin)}
    assert changed == {"strip"}
    pair = build_plate(fin(), BOARD)
    left = finished(pair, fin(work=(work("paint", panel="left"),)), BOARD)
    assert [bool(any(b.panels[0].skin)) for b in left.blanks] == [False, True]


def test_a_name_that_is_none_lists_those_there_are() -> None:
    build = build_wing(wing(), BOARD)
    done = finished(build, wing(work=(work("tape"), work("tape", panel="roof"))), BOARD)
    found = done.findings[-1]
    assert (found.code, found.where, found.verdict) == ("G180", "wing.work.2.panel", "no-go")
    assert "strip" in words(found).cure
    assert "front" in words(found).cure


def test_paper_that_hinges_hang_by_stays_on() -> None:
    build = build_wing(wing(), BOARD)
    done = finished(build, wing(work=(work("bare", face="a"),)), BOARD)
    codes = {finding.code: finding for finding in done.findings if finding.code.startswith("G18")}
    # the groove ridge and the live hinges hang by the outer paper, the slit nose by the inner
    assert set(codes) == {"G181", "G182"}
    assert all("Leave the paper on face A" in words(finding).cure for finding in codes.values())
    inner = finished(build, wing(work=(work("bare", face="b", panel="strip"),)), BOARD)
    nose = [finding for finding in inner.findings if finding.code == "G182"]
    assert {finding.params["face"] for finding in nose} == {"B"}
    trailing = finished(build, wing(work=(work("bare", face="b", panel="spar"),)), BOARD)
    assert "G182" not in {finding.code for finding in trailing.findings}


def test_the_aeroplane_weighs_the_work() -> None:
    part, bench = wing(), Bench(BOARD, (), 0.0)
    bare = folded((part,), (), bench)
    done = folded((wing(work=(work("paint", face="both"),)),), (), bench)
    grams = [sum(float(item.moments[3, 3]) for item in shape.masses) for shape in (bare, done)]
    assert grams[1] > grams[0] + 2.0 * 0.66 * 0.22 * 30.0 * 0.9
    assert {note.code for build in done.builds for note in build.notes} >= {"G195"}
    unknown = folded((wing(work=(work("paint", panel="roof"),)),), (), bench)
    assert [f.code for f in unknown.findings if f.verdict == "no-go"] == ["G180"]


def test_a_part_without_work_is_left_as_it_is() -> None:
    build, _ = plain_fin()
    assert finished(build, fin(), BOARD) is build
    assert finished(replace(build, blanks=()), fin(work=(work("tape"),)), BOARD).findings == build.findings
