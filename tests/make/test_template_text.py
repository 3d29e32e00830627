"""What prints.txt says of templates: A and B, labels, numbers, joints, the board's edge, halves."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from foldwright.make.print_files import TEXT, print_files
from foldwright.make.print_set import PrintSet, print_set
from foldwright.make.template_names import only_findings
from foldwright.make.template_text import edge_words, half_words, use_lines, way_words
from foldwright.make.templates.model import Letters
from foldwright.make.templates.use_words import side_of
from tests.make.templates.template_sets import evaluated, with_template


@cache
def made() -> PrintSet:
    return print_set(evaluated("marram", "home-knife"), groups=("templates",))


def row(blank: str) -> dict[str, object]:
    return dict(next(one for one in made().plates if one["blank"] == blank))


@cache
def text() -> str:
    return " ".join(print_files(made(), "Marram A, kitchen")[TEXT].decode().split())


def test_a_and_b_labels_numbers_and_joints_are_explained() -> None:
    assert '"A" before a name: a line on face A' in text()
    assert '"B": turn the blank over, and the plate with it' in text()
    assert "L1, L2 and so on" in text()
    assert "no 6: body/motor-former" in text()
    assert "against a rule" in text()
    assert "tape them across or glue them before tracing" in text()


def test_notes_of_joints_name_their_plate() -> None:
    for job in made().jobs:
        for one in job.prints:
            for note in one.notes:
                assert f"{one.of}, piece {one.figures['piece']:.0f}: {note}" in text()


def test_the_border_is_cut_off_first() -> None:
    border = evaluated("marram", "home-knife").workshop.board.border_mm
    assert f"First cut a straight edge along the board, {border:g} mm inside its own edge" in text()
    assert "0 mm" not in edge_words(0.0)


def test_a_slid_half_has_its_figures() -> None:
    # half of 660 mm of span: the spar is 660 mm long, and slides by half its length
    words = half_words(row("wing/spar"), made().prints)
    assert "Slide the plate 330.0 mm along the board's edge" in words
    assert "along its end on piece 1" in words
    first = next(one for one in made().prints if one.name == "wing-spar-1")
    assert first.place is not None
    # the middle line of the spar is at u = 0, the outer end at 330
    assert float(first.place[0, 3]) == pytest.approx(0.0, abs=1.0)


def test_a_turned_half_names_its_middle_line() -> None:
    one = row("body/main")
    p, q = np.array(one["middle_mm"], dtype=np.float64)
    words = half_words(one, made().prints)
    assert f"{np.hypot(*(q - p)):.1f} mm apart" in words
    assert "Turn the plate over" in words
    assert half_words(row("body/tray"), made().prints) == ""


def test_which_side_is_up_follows_the_letters() -> None:
    up = np.array([0.0, 1.0])
    read = Letters("no 6", (0.0, 0.0), 6.0, 0.8)
    assert side_of(read, up) == "top"
    # letters turned by a quarter to the left: what is up on the plate is at their right
    for angle, side in ((np.pi / 2, "right"), (np.pi, "bottom"), (-np.pi / 2, "left")):
        assert side_of(Letters("no 6", (0.0, 0.0), 6.0, 0.8, angle), up) == side


def test_small_formers_say_which_edge_is_up() -> None:
    small = {"blank": "body/a", "number": 6, "unsaid": ["up"],
             "way": {"word": "up", "side": "right", "reads": "no 6"}}  # fmt: skip
    assert 'with "no 6" upright before you, "up" is at the right' in way_words(small)
    assert way_words({**small, "unsaid": []}) == ""
    assert way_words({**small, "way": None}) == ""


def test_nothing_is_said_of_plates_that_are_not_printed() -> None:
    assert use_lines([{**row("wing/main"), "pieces": []}], (), 5.0) == ()


def test_a_name_that_no_blank_has_is_told_with_the_nearest() -> None:
    (one,) = only_findings({"wing/mian": "paper"}, made().plates)
    assert (one.code, one.verdict, one.where) == ("P01", "watch", 'template.only."wing/mian"')
    assert one.params["first"] == "wing/main"
    assert only_findings({"wing/main": "paper"}, made().plates) == ()


def test_the_other_of_a_pair_says_which_plate_is_meant() -> None:
    (one,) = only_findings({"fin/left": "full"}, made().plates)
    assert (one.code, one.verdict, one.params["blank"]) == ("P02", "clear", "fin/right")
    assert one.params["turned"] == ", turned over"
    (other,) = only_findings({"fin/left": "full", "fin/right": "rim"}, made().plates)
    assert (other.verdict, other.where) == ("watch", 'template.only."fin/left"')


def test_the_print_set_tells_names_in_the_workshop_file() -> None:
    changed = with_template(evaluated("marram", "home-knife"), only={"wing/mian": "paper"}, kind="paper")
    codes = [one.code for one in print_set(changed, groups=("templates",)).findings]
    assert codes.count("P01") == 1
