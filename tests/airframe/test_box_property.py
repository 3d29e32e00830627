"""Bodies at random: what is folded folds back, nothing stands in anything, marks return, masses are right.

Limits: the fold geometry's own statement (round trip 1e-9 mm, overlap 1e-3 mm³), first principles.
"""

from __future__ import annotations

import numpy as np
import pytest
import trimesh
from hypothesis import given, settings

from foldwright.airframe.box import build_box
from foldwright.airframe.model import PartBuild
from foldwright.geometry.fold.checks import FoldRules, check_blank
from foldwright.geometry.fold.flat import transforms
from foldwright.geometry.fold.flatcheck import flat_overlaps
from foldwright.geometry.fold.marks import MarkMiss, land_line, station_of
from foldwright.geometry.fold.mass import Material, panels_moments
from foldwright.geometry.transform import apply
from tests.airframe.boxes import any_box
from tests.airframe.solids import mesh, overlaps
from tests.examples import examples
from tests.strategies import seeds

FAR = 2000.0


@pytest.mark.slow
@pytest.mark.untraced
@settings(max_examples=examples(2000))
@given(seeds())
def test_what_holds_of_every_body(rng: np.random.Generator) -> None:
    """One body of any run of widths and floors, drawn and folded, then asked all that is promised."""
    part, plate, tilt = any_box(rng)
    build = build_box(part, plate, tilt)
    assert build.blanks or any(item.verdict == "no-go" for item in build.findings)
    _folds_back(build)
    _stands_clear(build)
    _guides_return(build)
    _weighs_what_a_mesh_does(build, plate.thickness)


def _stands_clear(build: PartBuild) -> None:
    """Nothing stands in anything, flat or folded."""
    for blank in build.blanks:
        assert not flat_overlaps(blank, 1e-3), blank.name
    assert not overlaps(build)
    assert build.titles.keys() >= {blank.name for blank in build.blanks}
    for gap in build.gaps:
        assert np.linalg.norm(gap.normal) == pytest.approx(1.0)


def _folds_back(build: PartBuild) -> None:
    """Both panels of a fold have its line in one place, and stand as far apart as their planes say."""
    for blank in build.blanks:
        placed = transforms(blank)
        for fold in blank.folds:
            w = blank.thickness if fold.hinge == "a" else 0.0
            line = np.array([[*fold.p, w], [*fold.q, w]])
            # a rounded corner saves `gain`: each panel's edge lies half of it from the fold line
            along = (fold.q - fold.p) / fold.length
            left = np.array([-along[1], along[0], 0.0]) * fold.gain / 2.0
            apart = apply(placed[fold.parent], line + left) - apply(placed[fold.child], line - left)
            assert np.abs(apart).max() < 1e-9


def _guides_return(build: PartBuild) -> None:
    """Guides land on inner faces, and where they land leads back to where they were asked."""
    main = next((blank for blank in build.blanks if blank.name == "body/main"), None)
    ways = {"-z": (0.0, 0.0, -1.0), "+y": (0.0, 1.0, 0.0), "-y": (0.0, -1.0, 0.0)}
    for guide in build.guides:
        assert main is not None
        way = np.array(ways[guide.direction])
        line = np.array(guide.points)
        start = line - way * (line @ way + FAR)[:, None]
        for mark in land_line(main, start, way, guide.name, guide.face):
            if isinstance(mark, MarkMiss):
                continue
            assert mark.face == "b"
            assert mark.panel.startswith("floor")
            back = station_of(main, mark)
            off = np.cross(back - start[0], start[1] - start[0])
            off -= np.outer(back @ way + FAR, np.cross(way, start[1] - start[0]))
            assert np.abs(off).max() / np.linalg.norm(start[1] - start[0]) < 1e-9


def _weighs_what_a_mesh_does(build: PartBuild, thickness: float) -> None:
    """Foam only: mass is density times volume; pressed foam keeps its mass and is left out here."""
    foam = Material(thickness, 2.0e-5, 0.0)
    for blank in build.blanks:
        if any(fold.method == "crush" for fold in blank.folds):
            continue
        moments = panels_moments(blank.panels, foam)
        for panel, own in zip(blank.panels, moments, strict=True):
            points, triangles = mesh(panel, blank.thickness, np.eye(4))
            solid = trimesh.Trimesh(points, triangles, process=False)
            assert own[3, 3] == pytest.approx(2.0e-5 * solid.volume, rel=1e-9)
            assert own[:3, 3] / own[3, 3] == pytest.approx(solid.center_mass, abs=1e-6)


@settings(max_examples=examples(40))
@given(seeds())
def test_every_blank_can_be_folded(rng: np.random.Generator) -> None:
    """No finding of flat blanks, folds and fold paths; a floor that would bite is a piece of its own."""
    part, plate, tilt = any_box(rng)
    for blank in build_box(part, plate, tilt).blanks:
        assert not [item for item in check_blank(blank, FoldRules()) if item.verdict == "no-go"]
