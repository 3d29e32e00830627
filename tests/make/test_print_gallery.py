"""The gallery of prints: what it says and that all stays on its page; pictures were looked at."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pypdf
import pytest
from svgelements import SVG, SVGText

from foldwright.design.resolve import FittedFilament
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import mesh_of
from foldwright.geometry.solid.core import Solid, box, rod
from foldwright.geometry.solid.letters import letters
from foldwright.geometry.solid.shape import recess
from foldwright.make.drawing import Fill, Text
from foldwright.make.print_gallery import (
    PAPERS,
    gallery_cells,
    gallery_files,
    gallery_pages,
    gallery_pdf,
    gallery_svg,
)
from foldwright.make.printing import Made, Print, Settings, laid

PLA = FittedFilament("pla", "PLA", "common", 1.24, 55.0, False)
SETTINGS = Settings(PLA, 0.2, 0.45, 3, 0.2)
PRINTER = Printer()


def a_print(name: str, solid: Solid, copies: int = 1, orientation: str = "flat side down") -> Print:
    body, _ = laid(solid, np.eye(4))
    return Print(name, f"{name} for Marram", "fittings", body, SETTINGS, orientation, copies=copies)


def prints(count: int) -> list[Print]:
    plate = recess(box((-5, -5, 0), (185, 55, 2.4)), letters("THIS SIDE UP wing", 7, 0.9), 0.6)
    made = [plate, box((0, 0, 0), (20, 30, 10)), rod((0, 0, 0), (0, 0, 40), 8), plate.turned(z=np.pi / 2)]
    return [a_print(f"part-{k}", made[k % 4], 1 + k % 3) for k in range(count)]


def points(drawing_items: object) -> np.ndarray:
    assert isinstance(drawing_items, tuple)
    found: list[tuple[float, float]] = []
    for item in drawing_items:
        if isinstance(item, Text):
            found.append(item.at)
        elif isinstance(item, Fill):
            found += [p for ring in item.rings for p in ring]
        else:
            found += item.points
    return np.array(found)


@pytest.mark.parametrize("paper", ["A4", "A3", "Letter"])
@pytest.mark.parametrize("count", [1, 5, 25])
def test_everything_is_drawn_once_and_on_the_page(paper: str, count: int) -> None:
    pages = gallery_pages(prints(count), PRINTER, "Marram 1", paper)
    said = [item.text for page in pages for item in page.items if isinstance(item, Text)]
    assert [text for text in said if text.startswith("part-")] == [
        f"part-{k} for Marram" for k in range(count)
    ]
    for page in pages:
        assert (page.width_mm, page.height_mm) == PAPERS[paper]
        place = points(page.items)
        assert place.min() >= 8.0
        assert (place.max(axis=0) <= np.array(PAPERS[paper]) - 8.0).all()
    assert len({page.title for page in pages}) == len(pages)


def test_the_words_say_size_grams_minutes_filament_and_copies() -> None:
    block = a_print("block", box((0, 0, 0), (20, 30, 10.25)), copies=2, orientation="as drawn " * 30)
    (cell,) = gallery_cells([block], PRINTER)
    assert cell.lines[0] == "block for Marram"
    assert cell.lines[1] == "20 × 30 × 10.2 mm, twice"
    assert cell.lines[2].startswith(f"{block.grams:.1f} g, ")
    assert "each, PLA" in cell.lines[2]
    assert len(cell.lines) <= 7
    assert cell.lines[-1].endswith("...")
    (big,) = gallery_cells([a_print("big", box((0, 0, 0), (200, 100, 50)))], PRINTER)
    assert " h " in big.lines[2]
    assert "each" not in big.lines[2]
    (held,) = gallery_cells(
        [Print("a", "a", "tools", block.body, SETTINGS, "flat", "under the arm")], PRINTER
    )
    assert held.lines[-1] == "support: under the arm"
    (long,) = gallery_cells([a_print("x" * 80, box((0, 0, 0), (5, 5, 5)), 4)], PRINTER)
    assert long.names == 2
    assert long.lines[0].endswith("...")
    assert long.lines[2].endswith("4 times")


def test_a_piece_of_a_template_has_its_number_first_and_a_long_name_wraps() -> None:
    solid = box((0, 0, 0), (170, 11, 3))
    title = "template: wing/spar-right + wing/spar-left + wing/spar-middle"
    made = [
        replace(
            a_print(f"wing-spar-{k}", solid),
            title=f"{title}, piece {k} of 2",
            group="templates",
            figures={"piece": float(k), "pieces": 2.0},
        )
        for k in (1, 2)
    ]
    cells = gallery_cells(made, PRINTER)
    heads = [" ".join(cell.lines[: cell.names]) for cell in cells]
    assert heads == [f"piece {k} of 2, {title}" for k in (1, 2)]
    assert all(cell.names > 1 and len(cell.lines) <= 7 for cell in cells)
    page = gallery_pages(made, PRINTER, "Marram 1")[0]
    high = {item.text: item.height_mm for item in page.items if isinstance(item, Text)}
    assert {high[line] for cell in cells for line in cell.lines[: cell.names]} == {2.4}


def test_small_prints_are_not_blown_up_and_large_ones_fit() -> None:
    (small,) = gallery_cells([a_print("small", box((0, 0, 0), (4, 3, 2)))], PRINTER)
    assert small.picture.width < 3 * 5.0
    (large,) = gallery_cells([a_print("large", box((0, 0, 0), (190, 150, 3)))], PRINTER)
    assert large.picture.width <= 54.0 + 1e-6
    assert large.picture.height <= 36.0 + 1e-6


def test_files_are_read_by_others_and_the_same_every_time() -> None:
    files = gallery_files(prints(20), PRINTER, "Marram 1")
    assert files == gallery_files(prints(20), PRINTER, "Marram 1")
    assert files["prints.pdf"] == gallery_pdf(prints(20), PRINTER, "Marram 1")
    assert files["gallery.svg"] == gallery_svg(prints(20), PRINTER, "Marram 1")
    read = pypdf.PdfReader(io.BytesIO(files["prints.pdf"]))
    assert len(read.pages) == 2
    assert "part-3 for Marram" in read.pages[0].extract_text()
    drawing = SVG.parse(io.BytesIO(files["gallery.svg"]))
    words = [item.text for item in drawing.elements(lambda item: isinstance(item, SVGText))]
    assert sum(str(text).startswith("part-") for text in words) == 20


def test_nothing_and_unknown_paper_are_refused() -> None:
    with pytest.raises(ValueError, match="something printed"):
        gallery_pdf([], PRINTER, "Marram 1")
    with pytest.raises(ValueError, match="no paper"):
        gallery_pages(prints(1), PRINTER, "Marram 1", "B5")


def test_a_print_reckons_its_mesh_and_a_solid_its_lying_once() -> None:
    one = a_print("block", box((0, 0, 0), (20, 30, 10)))
    assert one.mesh is one.mesh
    assert np.array_equal(one.mesh.vertices, mesh_of(one.body).vertices)
    turned = np.array([[1.0, 0, 0, 0], [0, 0, -1, 0], [0, 1, 0, 0], [0, 0, 0, 1]])
    made = Made(box((0, 0, 0), (20, 30, 10)), turned)
    assert made.laid is made.laid
    assert made.laid[0].size == pytest.approx([20.0, 10.0, 30.0])
    assert replace(made, lay=np.eye(4)).laid[0].size == pytest.approx([20.0, 30.0, 10.0])
    again = replace(one, body=box((0, 0, 0), (5, 5, 5)))
    assert again.mesh.vertices.max() == pytest.approx(5.0)
