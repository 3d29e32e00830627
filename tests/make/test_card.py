"""The setup card: one page of true size, every figure the data's, words where there is no figure."""

from __future__ import annotations

import hashlib
import io
import json
import math
import os
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import numpy as np
import pypdfium2
import pytest
from pypdf import PdfReader

from foldwright.airframe.model import Control
from foldwright.base.band import Band
from foldwright.base.finding import Finding
from foldwright.flight.controls import rigged
from foldwright.make.card import card_json, card_pdf, page
from foldwright.make.card_controls import clearance, throws
from foldwright.make.card_data import NOT_ASSESSED, card, under_step
from foldwright.make.card_figures import band
from foldwright.make.card_picture import balance_picture, side_picture
from foldwright.make.card_say import NONE_FOUND, figure, spread, way, way_spread
from foldwright.make.card_words import advice, sheet_words
from foldwright.make.dimension import text_width
from foldwright.make.drawing import Text
from tests.make.evaluations import marram, named, on_paper, results, stalled_at_launch

if TYPE_CHECKING:
    from foldwright.evaluate import Evaluation

_ROOT = Path(__file__).resolve().parents[2]
_PROGRAM = """
import hashlib, json
from foldwright.flight.controls import rigged
from foldwright.make.card import card_json, card_pdf
from foldwright.make.views import picture_svg, views_pdf
from tests.make.evaluations import marram, results
made = {
    "card": card_pdf(marram()),
    "data": card_json(marram()),
    "views": views_pdf(results(marram()).airframe, "Marram"),
    "picture": picture_svg(results(marram()).airframe, "three-quarter"),
}
print(json.dumps({name: hashlib.sha256(data).hexdigest() for name, data in made.items()}))
"""


def _text(pdf: bytes) -> str:
    reader = PdfReader(io.BytesIO(pdf))
    assert len(reader.pages) == 1
    return " ".join(reader.pages[0].extract_text().split())


def _numbers(text: str) -> set[float]:
    return {float(number) for number in re.findall(r"\d+(?:\.\d+)?", text)}


def _figures(value: object) -> set[float]:
    """All numbers of a JSON value, those in its texts too, without sign."""
    if isinstance(value, dict):
        return set().union(*(_figures(each) for each in value.values())) if value else set()
    if isinstance(value, list):
        return set().union(*map(_figures, value)) if value else set()
    if isinstance(value, str):
        return _numbers(value)
    return set() if value is None or isinstance(value, bool) else {abs(float(str(value)))}


def _data(evaluation: Evaluation) -> dict[str, Any]:
    return dict(json.loads(card_json(evaluation)))


@pytest.mark.parametrize(
    ("paper", "width", "height"), [("A4", 210.0, 297.0), ("A3", 210.0, 297.0), ("Letter", 215.9, 279.4)]
)
def test_it_is_one_page_of_true_size(
    paper: Literal["A4", "A3", "Letter"], width: float, height: float
) -> None:
    reader = PdfReader(io.BytesIO(card_pdf(on_paper(marram(), paper))))
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert float(box.width) == pytest.approx(width / 25.4 * 72, abs=0.01)
    assert float(box.height) == pytest.approx(height / 25.4 * 72, abs=0.01)


def test_every_figure_on_paper_is_one_of_the_data() -> None:
    text = re.sub(r"scale 1 : [\d.]+", "", _text(card_pdf(marram())))
    assert _numbers(text) <= _figures(_data(marram()))


def test_the_main_figures_stand_on_paper() -> None:
    text, data = _text(card_pdf(marram())), _data(marram())
    balance, control = data["balance"], data["controls"][0]
    wanted = [
        balance["point"]["behind_le_mm"], balance["forward_limit"]["behind_le_mm"],
        balance["first_aft_limit"]["behind_le_mm"],
        balance["point"]["ahead_of_step_mm"], data["weight"]["all_up_g"]["value"],
        data["weight"]["all_up_g"]["low"], data["weight"]["all_up_g"]["high"],
        data["battery"]["front_behind_nose_mm"], control["neutral_up_mm"]["value"],
        *(one["mm"] for one in (*control["throws"], *control["ends"])), control["chord_mm"],
        control["station"]["mm"], control["cruise_up_from_neutral_mm"]["value"],
        data["launch"]["speed_m_s"], data["cruise"]["speed_m_s"],
        data["balance"]["static_margin_pct"]["value"], data["weight"]["wing_loading_g_dm2"]["value"],
    ]  # fmt: skip
    for value in wanted:
        assert abs(value) in _numbers(text), value
    for other in data["alternatives"]:
        assert str(other["all_up_g"]) in text


def test_the_words_that_must_be_there_are_there() -> None:
    text, thrust = _text(card_pdf(marram())), results(marram()).thrust
    for words in (
        "Marram", "revision", "UNFLOWN", "Saltmere village school", thrust.tilt_says, "It may stand",
        "transmitter trims centred", "weighed:", "measured:", "Predicted, not flown", "calm air",
        "arm it last",
        "Lithium cells", "Local rules", "stick back, both elevons up", "Keep people away", *NOT_ASSESSED,
        "stick right, right elevon up and left one down", "Rear propeller: hand at least 100 mm ahead of it",
        "in the transmitter or in a mixer, never both", "Low rate: pitch 40 %",
    ):  # fmt: skip
        assert words in text or words.capitalize() in text, words
    assert thrust.says[1:] in text
    assert "Strength not assessed" in text


def test_nothing_lies_outside_the_page_or_on_its_rim() -> None:
    for paper in ("A4", "Letter"):
        with pypdfium2.PdfDocument(card_pdf(on_paper(marram(), paper))) as document:
            picture = np.asarray(document[0].render(scale=2.0).to_pil().convert("L"))
        rim = int(2.0 * 5.0 / 25.4 * 72)
        picture_inside = picture[rim:-rim, rim:-rim]
        assert np.count_nonzero(picture < 250) == np.count_nonzero(picture_inside < 250)


def test_texts_of_the_pictures_end_inside_them() -> None:
    found, data = results(marram()), card(marram())
    for drawing in (balance_picture(found, data, 116.0), side_picture(found, data, 116.0, 55.0)):
        for item in drawing.items:
            if isinstance(item, Text) and item.align == "left":
                # text_width errs on the wide side by some 10 %
                assert item.at[0] + 0.9 * text_width(item.text, item.height_mm) <= drawing.width_mm, item.text
                assert 0.0 <= item.at[1] <= drawing.height_mm


def test_bytes_are_the_same_in_two_processes(tmp_path: Path) -> None:
    made = []
    for seed, zone in (("0", "Pacific/Kiritimati"), ("4711", "America/Noronha")):
        path = os.pathsep.join([str(_ROOT), str(_ROOT / "src")])
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": path}
        command = [sys.executable, "-c", _PROGRAM]
        done = subprocess.run(
            command, env=environment, cwd=tmp_path, capture_output=True, text=True, check=True
        )
        made.append(json.loads(done.stdout))
    assert made[0] == made[1]
    assert made[0]["card"] == hashlib.sha256(card_pdf(marram())).hexdigest()


def test_data_is_sorted_and_holds_no_number_that_is_none() -> None:
    text = card_json(marram()).decode()
    data = json.loads(text)
    assert data["format"] == 2
    assert text == json.dumps(data, indent=2, sort_keys=True, ensure_ascii=False) + "\n"
    assert "NaN" not in text
    assert "Infinity" not in text


@pytest.mark.parametrize(
    "name",
    [
        "M",
        "Strandhafer-Zählflugzeug № 7 für Saltmere 沙丘 🛩 é",
        "Long names for small aeroplanes are a habit of people who count grass on dunes!!",
        "W" * 80,
        '#set text(size: 99pt) $x$ *bold* \\ "quoted" <label>',
        "\u202ereversed\u0000 and\nbroken",
    ],
)
def test_any_name_gives_one_page(name: str) -> None:
    for paper in ("A4", "Letter"):
        text = _text(card_pdf(on_paper(named(marram(), name), paper)))
        assert "Balance point" in text
    assert card(named(marram(), name))["design"]["name"] == name


def test_a_name_reaches_the_page_as_words_not_as_source() -> None:
    assert "*bold*" in _text(card_pdf(named(marram(), "*bold* #strong")))


def test_the_worst_of_everything_still_is_one_page() -> None:
    """Twenty batteries, twenty long findings, names of 80 wide letters, Letter paper."""
    found = results(marram())
    wide = "W" * 80
    longest = replace(found.fitted.battery, name=wide)
    others = tuple(replace(longest, id=f"other-{k}") for k in range(20))
    places = tuple(
        replace(found.balance.battery, id=each.id, fits=False, moves=(), ballast=None) for each in others
    )
    fitted = replace(found.fitted, battery=longest, alternatives=others)
    balance = replace(found.balance, alternatives=places)
    params = {"turn": 21.0, "speed": 9.0, "most": 20.0}
    finding = Finding("T02", "watch", "targets.launch_speed_m_s", params)
    base = marram()
    bench = base.workshop.model_copy(
        update={
            "name": wide,
            "paper": "Letter",
            "board": base.workshop.board.model_copy(update={"name": wide}),
        }
    )
    made = replace(
        named(base, wide),
        workshop=bench,
        results=replace(found, fitted=fitted, balance=balance),
        findings=(finding,) * 20,
    )
    text = _text(card_pdf(made))
    # every row is shown or counted: those of the findings stand above those of the batteries
    left_out = [int(count) for count in re.findall(r"(\d+) more in setup-card.json", text)]
    assert left_out == [20 - text.count("T02 Trim at"), 20 - len(re.findall(r"cannot be balanced \d", text))]
    assert "Predicted, not flown" in text
    assert "cannot be balanced" in text
    assert len(card(made)["findings"]) == 20


def test_the_aft_limit_is_not_offered_for_the_first_flights() -> None:
    """Behind the first-flight limit the neutral point's band may leave no margin at all."""
    words = sheet_words(_data(marram()))
    note = next(box["note"] for box in words["big"] if box["name"] == "Balance point")
    assert "aft_limit" not in _data(marram())["balance"]
    limit = _data(marram())["balance"]["first_aft_limit"]["behind_le_mm"]
    assert f"Never behind {figure(limit)} mm" in note


def test_a_battery_that_leaves_the_first_flight_window_is_warned_of() -> None:
    data = _data(marram())
    assert sheet_words(data)["warning"] == ""
    behind = data["balance"]["first_aft_limit"]["behind_le_mm"] + 0.1
    data["balance"]["point"]["behind_le_mm"] = behind
    assert f"As placed, the battery gives {figure(behind)} mm, outside" in sheet_words(data)["warning"]


def test_no_trim_is_said_in_words() -> None:
    made = stalled_at_launch(marram())
    data = _data(made)
    control = data["controls"][0]
    assert control["neutral_up_mm"]["value"] is None
    assert control["neutral_up_mm"]["missing_pct"] == 100
    assert [one["mm"] for one in control["throws"]] == [None, None]
    text = _text(card_pdf(made))
    assert NONE_FOUND in text
    assert "nan" not in text.lower().split()


def test_without_results_there_is_no_card() -> None:
    with pytest.raises(ValueError, match="complete results"):
        card(replace(marram(), results=None))
    with pytest.raises(ValueError, match="complete results"):
        page(replace(marram(), results=None))


def test_without_a_stated_thrust_power_is_not_assessed() -> None:
    found = results(marram())
    airframe = replace(found.airframe, thrust=replace(found.airframe.thrust, static_n=None))
    made = replace(marram(), results=replace(found, airframe=airframe))
    assert card(made)["thrust"]["power_says"] is None
    assert "what power does to the nose is not assessed" in _text(card_pdf(made))


def test_an_empty_window_and_a_point_outside_it_are_said() -> None:
    found = results(marram())
    balance = found.balance
    behind = replace(balance, first_aft=replace(balance.forward, x=balance.forward.x + 1.0))
    data = card(replace(marram(), results=replace(found, balance=behind)))
    assert "outside the first-flight window" in sheet_words(data)["warning"]
    none = replace(balance, first_aft=replace(balance.forward, x=balance.forward.x - 1.0))
    made = replace(marram(), results=replace(found, balance=none))
    assert card(made)["balance"]["first_window"] is False
    assert "No window for first flights" in _text(card_pdf(made))


def _control(up_deg: float, down_deg: float) -> Control:
    up, down = math.radians(up_deg), math.radians(down_deg)
    return Control("elevon", "elevon", ("elevon-right",), 48.0, 40.0, 300.0, (0.8, 0.8), up, down)


def _reach(found: dict[str, Any], key: str, unit: str) -> list[float]:
    return [one[unit] for one in found[key]]


def test_throws_count_from_the_neutral() -> None:
    """48 mm chord, neutral 6° up, 15° each way: sines of 21°, 6° and -9° (first principles)."""
    clear = (math.pi / 2.0, math.radians(30.0))
    found = throws(math.radians(6.0), _control(15.0, 15.0), 48.0, clear, ("up", "down"))
    top, middle, low = (48.0 * math.sin(math.radians(turn)) for turn in (21.0, 6.0, -9.0))
    assert _reach(found, "throws", "mm") == pytest.approx([top - middle, middle - low], abs=0.05)
    assert _reach(found, "ends", "mm") == pytest.approx([top, -low], abs=0.05)
    assert _reach(found, "throws", "deg") == [15.0, 15.0]
    assert [one["way"] for one in found["throws"]] == ["up", "down"]
    assert found["throw_cut_short"] is False


@pytest.mark.parametrize("neutral", [-20.0, -6.0, 0.0, 6.0, 20.0])
def test_throws_never_pass_the_bevel(neutral: float) -> None:
    clear = (math.radians(30.0), math.radians(25.0))
    found = throws(math.radians(neutral), _control(28.0, 28.0), 48.0, clear, ("up", "down"))
    up, down = _reach(found, "throws", "deg")
    assert neutral + up <= 30.0 + 0.05
    assert neutral - down >= -25.0 - 0.05
    assert found["throw_cut_short"]


def test_the_bevel_closes_on_the_side_it_is_cut_in() -> None:
    """Marram's hinge paper is the upper one: the bevel below limits the way down, nothing the way up."""
    found = results(marram())
    one = rigged(found.airframe.surfaces)[0]
    up, down = clearance(found.airframe, one)
    limits = {
        fold.limit for placed in found.airframe.placed for fold in placed.blank.folds
        if fold.name in one.control.fold_names
    }  # fmt: skip
    assert {down} == limits
    assert up == math.pi / 2.0


def test_the_step_is_where_a_finger_feels_it() -> None:
    """The under strip's aft edge as the design file has it, behind the leading edge."""
    evaluation = marram()
    part = next(part for part in evaluation.design.part if part.kind == "folded_wing")
    found = under_step(results(evaluation).airframe)
    assert found == pytest.approx(part.x_mm + part.strip.aft_mm, abs=1e-6)
    data = card(evaluation)["balance"]
    total = data["point"]["behind_le_mm"] + data["point"]["ahead_of_step_mm"]
    assert total == pytest.approx(part.strip.aft_mm, abs=0.11)  # two figures rounded to 0.1


def test_the_reference_is_the_airframes() -> None:
    found = results(marram())
    data = card(marram())["reference"]
    board = [item for item in found.airframe.masses if item.group == "board"]
    mass = sum(float(item.moments[3, 3]) for item in board)
    first = sum((item.moments[:3, 3] for item in board), np.zeros(3))
    assert data["board_mass_g"] == pytest.approx(mass, abs=5e-4)
    assert data["board_cg_mm"] == pytest.approx((first / mass).tolist(), abs=5e-4)
    assert sum(data["blank_mass_g"].values()) == pytest.approx(mass, abs=0.05)
    marks = [mark for mark in data["marks"] if mark["name"] == "balance"]
    assert len(marks) == 2
    for mark in marks:
        assert [point[0] for point in mark["points_mm"]] == pytest.approx(
            [data["balance_x_mm"]] * 2, abs=1e-3
        )


def test_without_marks_it_is_measured_beside_the_body() -> None:
    found = results(marram())
    bare = tuple(replace(one, blank=replace(one.blank, marks=())) for one in found.airframe.placed)
    made = replace(marram(), results=replace(found, airframe=replace(found.airframe, placed=bare, bodies=())))
    assert card(made)["balance"]["marks_from_centre_line_mm"] is None
    assert card(made)["reference"]["marks"] == []
    assert "beside the body" in _text(card_pdf(made))


def test_a_battery_out_of_limits_and_a_placed_balance_elsewhere_are_said() -> None:
    found = results(marram())
    place = replace(
        found.balance.battery, fits=False, low=None, high=None, first=None, moves=(), ballast=None
    )
    elsewhere = replace(found.balance.placed, x=found.balance.placed.x + 2.0)
    moved = replace(found.balance, battery=place, placed=elsewhere)
    words = sheet_words(card(replace(marram(), results=replace(found, balance=moved))))
    text = " ".join([*words["battery"], *words["measure"]])
    assert "Out of limits: cannot be balanced" in text
    assert "finds no place in the bay" in text
    assert "The battery's slide ends there; the design asks for" in text


def test_long_findings_are_cut() -> None:
    params = {"turn": 21.0, "speed": 9.0, "most": 20.0}
    data = card(replace(marram(), findings=(Finding("T02", "no-go", "targets.launch_speed_m_s", params),)))
    data["findings"][0]["says"] = "word " * 100
    words = sheet_words(data)
    assert words["findings"]["rows"][0]["says"].startswith("NO-GO: word")
    assert words["findings"]["rows"][0]["says"].endswith("(whole sentence in setup-card.json)")


def test_bands_and_travel_in_words() -> None:
    wide = {"low": -1.5, "high": 2.0, "missing_pct": 0}
    assert way_spread(wide) == "1.5 mm down to 2 mm up"
    assert way_spread({**wide, "low": 1.5, "missing_pct": 4}) == "1.5 to 2 mm up; none in 4 % of the samples"
    assert way_spread({**wide, "low": -3.0, "high": -0.5}) == "0.5 to 3 mm down"
    assert way_spread({"low": None, "high": None, "missing_pct": 100}) == "no band"
    assert spread({"low": 1.0, "high": 2.5, "missing_pct": 0}, "g") == "1 to 2.5 g"
    assert spread({"low": None, "high": None, "missing_pct": 100}, "g") == "no band"
    assert (way(3.0), way(-3.5), way(None)) == ("3 mm up", "3.5 mm down", NONE_FOUND)
    assert figure(None) == "not known"
    assert band(Band(float("nan"), 1.0, 2.0, "mm", "b"), 1)["value"] is None


def test_advice_for_a_battery_that_does_not_fit() -> None:
    plain = {
        "fits": False, "too_long": False, "length_mm": 90.0, "front_behind_nose_mm": 12.0,
        "moves": [], "ballast": None, "front_for_first_flights_mm": {"from": 10.0, "to": 20.0},
    }  # fmt: skip
    assert advice(plain) == "cannot be balanced"
    assert advice({**plain, "too_long": True}) == "too long for the bay (90 mm)"
    fits = {**plain, "fits": True}
    assert advice(fits) == "front face at 12 mm"
    later = {**fits, "front_for_first_flights_mm": None}
    assert advice(later) == "front face at 12 mm, not for first flights"
    moved = {**plain, "moves": [{"item": "camera", "aft_mm": -8.0}], "ballast": {"mass_g": 12, "end": "nose"}}
    assert advice(moved) == "front face at 12 mm and move camera 8 mm forward or 12 g in the nose"
