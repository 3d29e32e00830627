"""Views: what is drawn, at the scale that is stated, against the airframe and against other code."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
import shapely
from pypdf import PdfReader

from foldwright.airframe.model import Airframe
from foldwright.airframe.section import slice_contour
from foldwright.geometry.views import side, top
from foldwright.make.dimension import across, balance_sign, text_width, upright
from foldwright.make.drawing import Drawing, Fill, Path, Text
from foldwright.make.view_drawing import Plot, ratio_for
from foldwright.make.view_solids import board_solids, propeller_discs
from foldwright.make.views import (
    NAMES,
    Gear,
    Paper,
    Shown,
    ViewName,
    gear_of,
    outside_view,
    picture_svg,
    section_view,
    view,
    views_pdf,
)
from tests.make.evaluations import marram, results


def _airframe() -> Airframe:
    return results(marram()).airframe


def _ratio(drawing: Drawing) -> float:
    words = " ".join(item.text for item in drawing.items if isinstance(item, Text))
    match = re.search(r"scale 1 : ([\d.]+)", words)
    assert match is not None
    return float(match.group(1))


def _lines(drawing: Drawing, pen: str) -> list[tuple[float, float, float, float]]:
    return [
        (*item.points[0], *item.points[1])
        for item in drawing.items
        if isinstance(item, Path) and item.pen == pen and len(item.points) == 2
    ]


def test_every_panel_is_a_solid() -> None:
    airframe = _airframe()
    panels = [panel for one in airframe.placed for panel in one.blank.panels]
    assert len(board_solids(airframe)) == len(panels)


def test_the_top_view_is_as_wide_as_the_span_at_the_scale_it_states() -> None:
    airframe = _airframe()
    drawing = view(airframe, "top", 160.0)
    xs = [x for x0, _, x1, _ in _lines(drawing, "outline") for x in (x0, x1)]
    span = 2.0 * float(airframe.wing.le[:, 1].max())
    assert (max(xs) - min(xs)) * _ratio(drawing) == pytest.approx(span, abs=1e-3)  # first principles


def test_folds_are_thin_and_run_over_the_whole_span() -> None:
    """The ridge is a fold edge: 0.25 mm, from tip to tip (in pieces where something stands on it)."""
    airframe = _airframe()
    drawing = view(airframe, "top", 160.0)
    ratio, span = _ratio(drawing), 2.0 * float(airframe.wing.le[:, 1].max())
    level: dict[float, float] = {}
    for x0, y0, x1, y1 in _lines(drawing, "thin"):
        if abs(y1 - y0) < 1e-9:
            level[round(y0, 3)] = level.get(round(y0, 3), 0.0) + abs(x1 - x0) * ratio
    assert max(level.values()) > 0.85 * span


@pytest.mark.parametrize("name", NAMES)
def test_a_view_stays_on_its_page_and_within_the_width_wanted(name: ViewName) -> None:
    airframe = _airframe()
    shown = Shown(gear_of(airframe.masses), results(marram()).balance.cg, dimensioned=name in {"top", "side"})
    for width in (90.0, 160.0, 250.0):
        drawing = view(airframe, name, width, shown)
        assert drawing.width_mm <= width + 1e-6
        for item in drawing.items:
            points = (
                [point for ring in item.rings for point in ring]
                if isinstance(item, Fill)
                else list(item.points)
                if isinstance(item, Path)
                else [item.at]
            )
            for x, y in points:
                assert -1e-6 <= x <= drawing.width_mm + 1e-6, item
                assert -1e-6 <= y <= drawing.height_mm + 1e-6, item
            if isinstance(item, Text) and item.align == "left" and item.angle_deg == 0.0:
                # text_width errs on the wide side by some 10 %
                assert item.at[0] + 0.9 * text_width(item.text, item.height_mm) <= drawing.width_mm, item


def test_dimensions_state_the_airframes_own_figures() -> None:
    airframe, balance = _airframe(), results(marram()).balance
    shown = Shown(balance=balance.cg, dimensioned=True)
    wing = airframe.wing
    behind = f"{float(balance.cg[0]) - float(wing.le[0, 0]):.1f}"
    words = {item.text for item in view(airframe, "top", 180.0, shown).items if isinstance(item, Text)}
    assert {f"{2.0 * float(wing.le[:, 1].max()):.1f}", f"{float(wing.chord[0]):.1f}", behind} <= words
    words = {item.text for item in view(airframe, "side", 180.0, shown).items if isinstance(item, Text)}
    assert {f"{float(wing.chord[0]):.1f}", behind} <= words


def test_the_balance_sign_stands_at_its_place() -> None:
    """Distance from the leading edge on paper times the scale is the balance point."""
    airframe = _airframe()
    x = float(airframe.wing.le[0, 0]) + 50.0
    drawing = outside_view(airframe, top(), "top", 160.0, Shown(balance=np.array([x, 0.0, 30.0])))
    disc = next(item for item in drawing.items if isinstance(item, Path) and len(item.points) == 48)
    centre = np.array(disc.points).mean(axis=0)
    low = min(y for _, y0, _, y1 in _lines(drawing, "outline") for y in (y0, y1))
    # paper y runs forward; the trailing edge of the wing or what stands behind it is lowest
    solids = np.concatenate([solid.points for solid in board_solids(airframe)])
    motor = [item for item in gear_of(airframe.masses) if item.id == "motor"]
    aft = max(float(solids[:, 0].max()), *(float(gear.high[0]) + 1.0 for gear in motor), 0.0)
    assert (centre[1] - low) * _ratio(drawing) == pytest.approx(aft - x, abs=2.0)
    leading = float(solids[:, 0].min())
    high = max(y for _, y0, _, y1 in _lines(drawing, "outline") for y in (y0, y1))
    assert (high - centre[1]) * _ratio(drawing) == pytest.approx(x - leading, abs=1e-3)


@pytest.mark.parametrize("y", [0.0, 68.0, -200.0])
def test_a_section_has_the_area_of_the_slice(y: float) -> None:
    """Two ways to cut the same board: faceted solids here, the panels' rings in airframe.section."""
    airframe = _airframe()
    drawing = section_view(airframe, y + 1e-3, 160.0)
    area = sum(
        shapely.Polygon(item.rings[0], item.rings[1:]).area
        for item in drawing.items
        if isinstance(item, Fill)
    )
    expected = shapely.area(slice_contour(airframe.placed, y + 1e-3))
    assert area * _ratio(drawing) ** 2 == pytest.approx(float(np.sum(expected)), rel=1e-3)


def test_equipment_is_cut_and_named_in_the_section() -> None:
    gear = (Gear("camera", np.array([20.0, 0.0, 0.0]), np.array([30.0, 20.0, 10.0])),)
    drawing = section_view(_airframe(), 0.0, 160.0, Shown(gear))
    assert "camera" in [item.text for item in drawing.items if isinstance(item, Text)]
    ring = next(
        item for item in drawing.items if isinstance(item, Path) and item.pen == "thin" and item.closed
    )
    assert shapely.Polygon(ring.points).area * _ratio(drawing) ** 2 == pytest.approx(300.0, rel=1e-6)


def test_labels_of_near_neighbours_stand_in_rows() -> None:
    gear = tuple(
        Gear(f"thing-number-{k}", np.array([60.0 + 9.0 * k, 0.0, 0.0]), np.array([8.0, 8.0, 8.0]))
        for k in range(6)
    )
    drawing = section_view(_airframe(), 0.0, 160.0, Shown(gear))
    places = [
        (item.at[1], item.at[0], item.at[0] + 0.8 * text_width(item.text, item.height_mm))
        for item in drawing.items
        if isinstance(item, Text) and item.text.startswith("thing")
    ]
    for level, start, stop in places:
        for other, first, last in places:
            assert (level, start) == (other, first) or level != other or stop <= first or last <= start


def test_the_propeller_disc_is_round_and_square_to_the_thrust() -> None:
    thrust = _airframe().thrust
    (rim,) = propeller_discs(thrust)
    centre = np.array([thrust.x, thrust.y, thrust.z])
    np.testing.assert_allclose(np.linalg.norm(rim - centre, axis=1), thrust.disc_diameter_mm / 2.0)
    vector = np.array([-np.cos(thrust.tilt), 0.0, np.sin(thrust.tilt)])
    np.testing.assert_allclose((rim - centre) @ vector, 0.0, atol=1e-9)


def test_svg_states_its_size_and_pdf_its_page() -> None:
    airframe = _airframe()
    drawing = view(airframe, "three-quarter", 140.0)
    head = picture_svg(airframe, "three-quarter", 140.0).decode().split("\n")[1]
    assert f'width="{drawing.width_mm:g}mm"' in head
    sizes: tuple[tuple[Paper, tuple[float, float]], ...] = (
        ("A4", (210.0, 297.0)),
        ("Letter", (215.9, 279.4)),
    )
    for paper, size in sizes:
        reader = PdfReader(io.BytesIO(views_pdf(airframe, "Märram", paper=paper)))
        assert len(reader.pages) == 1
        box = reader.pages[0].mediabox
        assert (float(box.width) / 72 * 25.4, float(box.height) / 72 * 25.4) == pytest.approx(size, abs=0.01)
        text = reader.pages[0].extract_text()
        for name in ("Three-quarter", "Top", "Side", "Section"):
            assert name in text


def test_the_least_round_ratio_that_fits_is_taken() -> None:
    assert ratio_for((0.0, 0.0, 660.0, 100.0), 170.0) == 4.0
    assert ratio_for((0.0, 0.0, 660.0, 100.0), 660.0) == 1.0
    assert ratio_for((0.0, 0.0, 100.0, 660.0), 400.0, 100.0) == 7.0
    with pytest.raises(ValueError, match="does not fit"):
        ratio_for((0.0, 0.0, 1e5, 1.0), 100.0)


def test_a_dimension_reaches_from_end_to_end() -> None:
    items = across((10.0, 0.0), (60.0, 5.0), -8.0, "50.0")
    line = next(item for item in items if isinstance(item, Path) and item.points[0][1] == item.points[1][1])
    assert (line.points[0], line.points[1]) == ((10.0, -8.0), (60.0, -8.0))
    text = next(item for item in items if isinstance(item, Text))
    assert text.align == "centre"
    assert text.at[0] == pytest.approx(35.0)
    assert text.at[1] > -8.0


@pytest.mark.parametrize(("start", "end"), [(10.0, 13.0), (10.0, 20.0)])
def test_a_figure_too_long_for_its_line_stands_beyond_it(start: float, end: float) -> None:
    text = next(i for i in across((start, 0.0), (end, 0.0), -8.0, "a long one") if isinstance(i, Text))
    assert text.align == "left"
    assert text.at[0] > end


def test_an_upright_dimension_reads_from_the_right() -> None:
    for ends in (((0.0, 0.0), (0.0, 60.0)), ((0.0, 60.0), (0.0, 0.0))):
        text = next(item for item in upright(*ends, -6.0, "60.0") if isinstance(item, Text))
        assert text.angle_deg == pytest.approx(90.0)
        assert text.at[0] < -6.0


def test_the_balance_sign_has_two_dark_quarters() -> None:
    """Dark area is half the disc's: π r²/2 (first principles; 48 sides take 0.3 % off)."""
    dark = [item for item in balance_sign((0.0, 0.0), 2.0) if isinstance(item, Fill) and item.shade < 0.5]
    assert len(dark) == 2
    assert sum(shapely.Polygon(item.rings[0]).area for item in dark) == pytest.approx(2.0 * np.pi, rel=0.005)


def test_a_plot_keeps_the_frame_upright() -> None:
    assert Plot(2.0, (5.0, 1.0)).at(10.0, 4.0) == (10.0, 3.0)
    assert side().project(np.array([1.0, 0.0, 2.0]))[:2] == pytest.approx([1.0, 2.0])
