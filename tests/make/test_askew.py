"""Sheets and readback of blanks whose folds lie askew, near together or in fans, for every cutter."""

from __future__ import annotations

from dataclasses import replace

import pytest

from foldwright.geometry.fold.mass import Material, panels_moments
from foldwright.geometry.fold.model import Blank, Method, Panel
from foldwright.make.plans import complete
from foldwright.make.readback import check_files
from tests.make.blank_samples import askew, rolled, vee
from tests.make.plan_samples import ABOUT, bundle
from tests.make.sheet_samples import workshop


@pytest.mark.parametrize("method", ["groove", "crush", "slit", "rebate"])
@pytest.mark.parametrize("kind", ["laser", "knife"])
@pytest.mark.parametrize("to_paper", ["to paper", "marks only"])
def test_skew_folds_fans_and_vees_read_back(method: Method, kind: str, to_paper: str) -> None:
    shop = workshop(cutter__kind=kind, cutter__to_paper=to_paper == "to paper", cutter__kerf_mm=0.2)
    report = check_files(complete(bundle(askew(method), shop), ABOUT))
    assert report.holds, report.findings


@pytest.mark.parametrize("facets", [3, 8, 16])
def test_a_rolled_deck_reads_back_however_many_facets(facets: int) -> None:
    """Sixteen facets on 38 mm: lines 7.4 mm apart."""
    report = check_files(complete(bundle((rolled("crush", facets),), workshop()), ABOUT))
    assert report.holds, report.findings
    assert sum(" fold bend-" in row.what and row.what.endswith("face b") for row in report.rows) == facets - 1


def _peeled(blank: Blank, material: Material) -> Blank:
    """Paper off face b of every panel, some paint on face a."""
    skin = (2.5e-5, -material.paper_g_mm2)
    panels = tuple(Panel(p.name, p.polygon, p.cuts, p.holes, skin, (False, True)) for p in blank.panels)
    return replace(blank, panels=panels)


def test_peeled_paper_and_paint_are_weighed_again() -> None:
    """Mass of the peeled blank: paint for the paper, face by face (first principles); the files agree."""
    material = Material(5.0, 5.6e-5, 1.0e-4)
    plain = vee()
    peeled = _peeled(plain, material)
    before, after = (float(panels_moments(one.panels, material)[:, 3, 3].sum()) for one in (plain, peeled))
    assert after < before
    report = check_files(complete(bundle((peeled,), workshop()), ABOUT))
    assert report.holds, report.findings
    row = next(row for row in report.rows if row.what == "vee/main: mass")
    assert float(row.expected) == pytest.approx(after, abs=1e-3)
