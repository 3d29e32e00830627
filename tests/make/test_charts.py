"""Charts: the same figures as drawings, words and data; read back and held against the evaluation."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
from pypdf import PdfReader

from foldwright.design.load import built_in_stock, load_design
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.flight.envelope import along
from foldwright.make.chart_frame import NAME, Frame, Named, axes, axis, between, curve, names, runs, uprights
from foldwright.make.chart_model import HEIGHT_MM, WIDTH_MM, Chart, spread
from foldwright.make.charts import chart_files, charts, charts_json
from foldwright.make.dimension import text_width
from foldwright.make.drawing import Fill, Path, Text
from foldwright.make.views import PAPERS
from tests.world import EXAMPLES, workshop

DESIGNS = ["marram", "teasel", "bracken"]
NAMES = ["balance", "trim", "power", "current", "drag", "launch", "load", "steps", "contributors"]


@cache
def judged(name: str) -> Evaluation:
    design = load_design(EXAMPLES / f"{name}.toml", stock=built_in_stock()).value
    assert design is not None
    return evaluate(design, workshop(), built_in_stock())


def found(name: str) -> Results:
    results = judged(name).results
    assert results is not None
    return results


@cache
def drawn(name: str) -> dict[str, Chart]:
    return {each.name: each for each in charts(judged(name))}


@pytest.mark.parametrize("name", DESIGNS)
def test_all_charts_are_drawn_within_their_paper(name: str) -> None:
    assert list(drawn(name)) == NAMES
    for each in drawn(name).values():
        assert (each.drawing.width_mm, each.drawing.height_mm) == (WIDTH_MM, HEIGHT_MM)
        assert each.about
        assert each.drawing.about == each.about
        paper = shapely.box(-0.01, -0.01, WIDTH_MM + 0.01, HEIGHT_MM + 0.01)
        for item in each.drawing.items:
            if isinstance(item, Text):
                wide = 0.8 * text_width(item.text, item.height_mm)
                left = {"left": 0.0, "centre": 0.5, "right": 1.0}[item.align] * wide
                if item.angle_deg == 0.0:
                    assert item.at[0] - left >= -0.01
                    assert item.at[0] - left + wide <= WIDTH_MM + 0.01
                assert paper.contains(shapely.Point(item.at))
            else:
                rings = item.rings if isinstance(item, Fill) else (item.points,)
                assert all(paper.contains(shapely.MultiPoint(list(ring))) for ring in rings)


@pytest.mark.parametrize("name", DESIGNS)
def test_no_two_level_words_lie_on_each_other(name: str) -> None:
    """Real widths are at most 0.8 of what is reckoned for a line of text (measured on the typeface)."""
    for each in drawn(name).values():
        rooms = []
        for item in each.drawing.items:
            if not isinstance(item, Text) or item.angle_deg:
                continue
            wide = 0.62 * text_width(item.text, item.height_mm)
            left = item.at[0] - {"left": 0.0, "centre": 0.5, "right": 1.0}[item.align] * wide
            rooms.append(
                (item.text, shapely.box(left, item.at[1], left + wide, item.at[1] + 0.8 * item.height_mm))
            )
        for k, (text, room) in enumerate(rooms):
            assert [other for other, taken in rooms[k + 1 :] if taken.intersects(room)] == [], text


@pytest.mark.parametrize("name", DESIGNS)
def test_the_same_evaluation_gives_the_same_bytes(name: str) -> None:
    assert chart_files(judged(name), "A4") == chart_files(judged(name), "A4")


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_one_document_with_all_charts_and_their_words(paper: str) -> None:
    which = "A4" if paper == "A4" else "Letter"
    files = chart_files(judged("marram"), "A4" if paper == "A4" else "Letter")
    reader = PdfReader(io.BytesIO(files["charts.pdf"]))
    width, height = PAPERS["A4" if which == "A4" else "Letter"]
    assert len(reader.pages) == 3
    for page in reader.pages:
        assert float(page.mediabox.width) == pytest.approx(width / 25.4 * 72.0, abs=0.1)
        assert float(page.mediabox.height) == pytest.approx(height / 25.4 * 72.0, abs=0.1)
    text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
    for each in drawn("marram").values():
        assert each.title in text
        assert " ".join(each.about.split()[:6]) in text
        # whole to its end
        assert " ".join(each.about.split()[-3:]) in text


def test_pictures_carry_their_words_for_those_who_cannot_see_them() -> None:
    files = chart_files(judged("marram"), "A4")
    pictures = sorted(name for name in files if name.endswith(".svg"))
    assert pictures == sorted(f"charts/{name}.svg" for name in NAMES)
    for name in NAMES:
        text = files[f"charts/{name}.svg"].decode()
        assert f"<title>{drawn('marram')[name].title}</title>" in text
        assert "<desc>" in text


def test_no_colour_tells_lines_apart() -> None:
    """Every stroke is a grey: red, green and blue alike."""
    for name, data in chart_files(judged("marram"), "A4").items():
        if not name.endswith(".svg"):
            continue
        for part in data.decode().split('stroke="#')[1:]:
            colour = part[:6]
            assert colour[:2] == colour[2:4] == colour[4:6]


def test_data_is_json_with_figures_of_the_evaluation() -> None:
    results, flown = found("marram"), found("marram").flown.envelope
    data = {each["name"]: each for each in json.loads(charts_json(charts(judged("marram"))))["charts"]}
    assert list(data) == NAMES
    trim = data["trim"]["data"]
    assert trim["marked_m_s"]["stall"] == pytest.approx(flown.stall.value, abs=0.01)
    # the glide's trim at launch speed is the launch trim of the card
    speeds = np.array(trim["speed_m_s"], dtype=float)
    glide = np.array([np.nan if each is None else each for each in trim["glide_mm_up"]["value"]])
    there = np.isfinite(glide)
    at = np.interp(results.trims.launch.condition.speed, speeds[there], glide[there])
    assert at == pytest.approx(results.trims.launch.up.value, abs=0.15)
    drag = data["drag"]["data"]
    assert sum(each["drag_n"] for each in drag["items"]) == pytest.approx(drag["whole_n"], abs=1e-3)
    whole = along(flown.level.force, flown.level.speeds, drag["speed_m_s"])[0]
    assert drag["whole_n"] == pytest.approx(float(whole), abs=1e-3)
    load = data["load"]["data"]
    assert load["load_at_cruise_g"]["value"] == pytest.approx(flown.load.value, abs=0.01)
    throw = results.flown.throw
    assert throw is not None
    launch = data["launch"]["data"]
    assert launch["good_pct"] == round(100.0 * throw.good)
    assert launch["paths"][0]["height_m"][0] == pytest.approx(1.8)


def test_power_needed_and_available_meet_at_the_top_speed() -> None:
    data = drawn("marram")["power"].data
    speeds = np.array(data["speed_m_s"], dtype=float)
    needed, given = (
        np.array([np.nan if each is None else each for each in data[key]["value"]])
        for key in ("needed_w", "available_w")
    )
    spare = given - needed
    there = np.isfinite(spare)
    crossing = [
        a + (b - a) * s / (s - t)
        for (a, s), (b, t) in pairwise(zip(speeds[there], spare[there], strict=True))
        if s > 0.0 >= t
    ]
    assert crossing[-1] == pytest.approx(found("marram").flown.envelope.top.value, abs=0.3)


def test_batteries_of_the_balance_chart_stand_in_their_slides() -> None:
    for row in drawn("marram")["balance"].data["batteries"]:
        low, high = row["slide_mm"]
        assert low <= row["balances_mm"] <= high  # it may stand at an end


def test_a_quick_evaluation_has_neither_throw_nor_contributors() -> None:
    done = judged("marram")
    quick = evaluate(done.design, done.workshop, done.stock, None, "interactive")
    assert [each.name for each in charts(quick)] == [
        name for name in NAMES if name not in {"launch", "contributors"}
    ]


def test_no_charts_without_results() -> None:
    with pytest.raises(ValueError, match="complete results"):
        charts(replace(judged("marram"), results=None))


def test_a_slow_cruise_below_the_stall_still_draws() -> None:
    """At 5 m/s nothing flies level: figures become null, words say none."""
    done = judged("marram")
    targets = done.design.targets.model_copy(update={"cruise_speed_m_s": 5.0})
    slow = evaluate(
        done.design.model_copy(update={"targets": targets}), done.workshop, done.stock, None, "interactive"
    )
    shown = {each.name: each for each in charts(slow)}
    assert charts_json(tuple(shown.values()))
    assert "not reached" in shown["current"].about


def _frame(low: float = 0.0, high: float = 10.0) -> Frame:
    return Frame(10.0, 10.0, 100.0, 50.0, axis("x", 0.0, 10.0), axis("y", low, high))


def test_axes_have_round_figures_and_reach_both_ends() -> None:
    one = axis("mm", -3.4, 17.2, 7)
    assert (one.low, one.high, one.step) == (-5.0, 20.0, 5.0)
    assert one.ticks == (-5.0, 0.0, 5.0, 10.0, 15.0, 20.0)
    assert one.says(-0.0) == "0"
    assert axis("m", 0.0, 0.31, 5).digits == 1
    flat = axis("m", 2.0, 2.0)
    assert flat.high > flat.low
    words = [item.text for item in axes(_frame()) if isinstance(item, Text)]
    assert {"x", "y", "0", "10"} <= set(words)


def test_lines_break_where_there_is_no_value_and_stay_in_the_frame() -> None:
    x = np.arange(11.0)
    y = np.where(x == 5.0, np.nan, 3.0 * x - 8.0)
    assert [(each.start, each.stop) for each in runs(x, y)] == [(0, 5), (6, 11)]
    lines = [item for item in curve(_frame(), x, y, "outline") if isinstance(item, Path)]
    for line in lines:
        for px, py in line.points:
            assert 10.0 <= px <= 110.0
            assert 10.0 <= py <= 60.0
    band = between(_frame(), x, y - 1.0, y + 1.0, 0.9)
    assert band
    assert all(isinstance(item, Fill) for item in band)
    assert curve(_frame(), x, np.full(11, np.nan), "outline") == []


def test_names_keep_off_lines_and_each_other() -> None:
    x = np.linspace(0.0, 10.0, 41)
    lines = [Named(x, 0.5 * x + 2.0, "upper", "above"), Named(x, 0.5 * x + 1.8, "lower", "below")]
    texts = [item for item in names(_frame(), lines) if isinstance(item, Text)]
    assert [each.text for each in texts] == ["upper", "lower"]
    for each, line, higher in zip(texts, lines, (True, False), strict=True):
        at_x = (each.at[0] - 10.0) / 10.0
        on_line = 10.0 + 5.0 * float(np.interp(at_x, line.x, line.y))
        assert (each.at[1] > on_line) if higher else (each.at[1] + NAME < on_line)


def test_upright_lines_outside_the_frame_and_without_value_are_left_out() -> None:
    texts = [item.text for item in uprights(_frame(), [(5.0, "in"), (11.0, "out"), (float("nan"), "none")])
             if isinstance(item, Text)]  # fmt: skip
    assert texts == ["in"]


def test_a_band_needs_half_of_the_samples() -> None:
    values = np.array([[1.0, 2.0, 3.0, 4.0], [1.0, np.nan, np.nan, np.nan]])
    found_ = spread(values)
    assert found_.value.tolist() == [1.0, 1.0]
    assert np.isfinite(found_.low[0])
    assert np.isnan(found_.low[1])


def test_a_launch_below_the_stall_is_drawn_as_what_it_is() -> None:
    """At 4 m/s nothing climbs away: the trims tried lie about neutral, and the words say so."""
    done = judged("marram")
    targets = done.design.targets.model_copy(update={"launch_speed_m_s": 4.0})
    slow = evaluate(done.design.model_copy(update={"targets": targets}), done.workshop, done.stock)
    shown = {each.name: each for each in charts(slow)}
    assert shown["launch"].data["throttle_pct"] is None
    assert "No throttle and trim" in shown["launch"].about
    assert "no trim found" in shown["trim"].about
    predictions_told = {row["name"] for row in shown["contributors"].data["predictions"]}
    assert "launch_trim" not in predictions_told
    assert "stall" in predictions_told
