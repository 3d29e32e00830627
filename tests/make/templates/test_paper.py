"""Templates on paper: true size, both faces, every chosen blank; read back by other libraries."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from itertools import pairwise
from typing import Literal

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from pypdf import PdfReader

from foldwright.evaluate import Evaluation
from foldwright.geometry.fold.model import Blank
from foldwright.layout.as_cut import as_cut, contours
from foldwright.make.drawing import Drawing, Path, Text
from foldwright.make.formats.tiles import PAPERS
from foldwright.make.templates.paper import FILE, paper_files, paper_pages
from tests.make.templates.template_sets import evaluated

MM = 25.4 / 72.0


def _blanks(evaluation: Evaluation, *names: str) -> list[Blank]:
    assert evaluation.results is not None
    every = {one.blank.name: as_cut(one.blank) for one in evaluation.results.airframe.placed}
    return [every[name] for name in names]


def _paths(data: bytes, page: int) -> list[tuple[float, float]]:
    """Width and height of each path of a page, mm, up to a line width more."""
    with pypdfium2.PdfDocument(data) as document:
        found = document[page].get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH])
        bounds = [obj.get_bounds() for obj in found]
    return [((b[2] - b[0]) * MM, (b[3] - b[1]) * MM) for b in bounds]


def _level_lines(data: bytes, page: int) -> list[float]:
    """Lengths of the level lines of a page, pt, from the file itself."""
    content = PdfReader(io.BytesIO(data)).pages[page].get_contents()
    assert content is not None
    number = r"(-?[\d.]+)"
    found = re.findall(rf"{number} {number} m {number} {number} l", content.get_data().decode("latin1"))
    return [abs(float(x1) - float(x0)) for x0, y0, x1, y1 in found if y0 == y1]


def _words(page: Drawing) -> str:
    return " ".join(item.text for item in page.items if isinstance(item, Text))


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_pages_are_as_large_as_the_paper_and_the_bar_is_100_mm(paper: Literal["A4", "Letter", "A3"]) -> None:
    found = evaluated("marram", "home-knife")
    found = replace(found, workshop=found.workshop.model_copy(update={"paper": paper}))
    data = paper_files(_blanks(found, "body/tray", "body/hatch", "wing/main"), found)[FILE]
    with pypdfium2.PdfDocument(data) as document:
        sizes = [tuple(sorted(side * MM for side in page.get_size())) for page in document]
    assert all(size == pytest.approx(PAPERS[paper], abs=0.01) for size in sizes)
    for page in (0, 1):
        # first principles: 100 mm / 25.4 x 72 = 283.4646 pt
        assert any(abs(length - 283.4646) < 1e-3 for length in _level_lines(data, page))


def test_a_small_blank_is_drawn_at_true_size() -> None:
    found = evaluated("marram", "home-knife")
    (tray,) = _blanks(found, "body/tray")
    size = np.ptp(contours(tray)[0], axis=0)
    data = paper_files([tray], found)[FILE]
    width, height = sorted(size)
    near = [sorted(one) for one in _paths(data, 1)]
    assert any(0.0 <= a - width < 1.0 and 0.0 <= b - height < 1.0 for a, b in near)


def test_outlines_of_the_drawing_are_the_blanks_to_a_micrometre() -> None:
    found = evaluated("marram", "school-laser")
    (tray,) = _blanks(found, "body/tray")
    page = paper_pages([tray], found)[1]
    cut = next(item for item in page.items if isinstance(item, Path) and item.pen == "cut")
    drawn, true = np.array(cut.points), contours(tray)[0]
    # no kerf on paper, though this workshop's laser has one
    assert sorted(np.ptp(drawn, axis=0)) == pytest.approx(sorted(np.ptp(true, axis=0)), abs=1e-3)


def test_small_blanks_share_pages_and_are_named() -> None:
    found = evaluated("marram", "home-knife")
    names = ("body/nose-former", "body/saddle-former", "body/motor-former", "body/tray")
    pages = paper_pages(_blanks(found, *names), found)
    said = [_words(page) for page in pages]
    assert all(name in said[0] for name in names)
    assert all(any(name in words for words in said[1:]) for name in names)
    assert len([words for words in said[1:] if "face A up" in words]) == 1


def test_face_b_has_a_page_of_its_own_mirrored() -> None:
    found = evaluated("bracken", "home-knife")
    assert found.results is not None
    blank = next(as_cut(one.blank) for one in found.results.airframe.placed if one.blank.name == "wing/right")
    pages = paper_pages([blank], found)
    up = [page for page in pages if "face A up" in page.title]
    down = [page for page in pages if "face B up" in page.title]
    assert up
    assert down
    faces = {item.face for page in down for item in page.items if isinstance(item, Path)}
    assert faces <= {"", "b"}
    assert "b" in faces


def test_small_pages_of_both_faces_match_when_turned_over() -> None:
    found = evaluated("marram", "home-knife")
    assert found.results is not None
    some = [as_cut(one.blank) for one in found.results.airframe.placed]
    pages = paper_pages([one for one in some if one.name.startswith(("body/", "fin/"))], found)
    for up, down in pairwise(pages):
        if "turned over" not in down.title or "row" in down.title or "map" in down.title:
            continue
        cuts = [item for item in up.items if isinstance(item, Path) and item.pen == "cut"]
        rings = {round(min(x for x, _ in item.points), 3) for item in cuts}
        shadows = [item for item in down.items if isinstance(item, Path) and item.pen == "thin"]
        assert shadows
        assert {round(min(x for x, _ in item.points), 3) for item in shadows} <= rings


def test_a_large_blank_is_tiled_with_a_map() -> None:
    found = evaluated("marram", "home-knife")
    pages = paper_pages(_blanks(found, "wing/main"), found)
    assert any("map of the pages" in page.title for page in pages)
    assert any("row 1 / column 1" in page.title for page in pages)


def test_no_blanks_no_file() -> None:
    assert paper_files([], evaluated("marram", "home-knife")) == {}
