"""Pens: layers, looks and overrides."""

from __future__ import annotations

import itertools
from typing import get_args

import pytest

from foldwright.make.drawing import Drawing, Face, Path, Pen
from foldwright.make.formats.pens import (
    DEFAULT_STYLES,
    WRITING_ORDER,
    PenStyle,
    layer_name,
    layers,
    parse_layer,
    rounded,
)

PENS: tuple[Pen, ...] = get_args(Pen)
FACES: tuple[Face, ...] = get_args(Face)


@pytest.mark.parametrize(("pen", "face"), list(itertools.product(PENS, FACES)))
def test_a_layer_says_pen_and_face(pen: Pen, face: Face) -> None:
    assert parse_layer(layer_name(pen, face)) == (pen, face)


@pytest.mark.parametrize("name", ["0", "cut_c", "Cut", "", "to_paper_a_b"])
def test_other_layers_are_refused(name: str) -> None:
    with pytest.raises(ValueError, match="layer"):
        parse_layer(name)


def test_every_pen_has_a_place_in_the_file_and_what_is_cut_through_comes_last() -> None:
    assert sorted(WRITING_ORDER) == sorted(PENS)
    assert WRITING_ORDER[-1] == "cut"


def test_no_two_pens_share_a_colour_and_none_is_pure_red_blue_or_black() -> None:
    colours = [DEFAULT_STYLES.of(pen).colour for pen in PENS]
    assert len(set(colours)) == len(colours)
    assert not {"#FF0000", "#0000FF", "#000000"} & set(colours)


def test_dashes_tell_the_pens_of_a_sheet_apart_without_colour() -> None:
    sheet: tuple[Pen, ...] = ("cut", "to_paper", "crush", "mark", "sheet_edge")
    dashes = [DEFAULT_STYLES.of(pen).dash_mm for pen in sheet]
    assert len(set(dashes)) == len(dashes)


def test_a_workshop_overrides_a_pen_or_one_of_its_faces() -> None:
    own, back = PenStyle("#123456", 0.1), PenStyle("#654321", 0.2, (1.0, 1.0))
    styles = DEFAULT_STYLES.overridden({"cut": own, "cut_b": back})
    assert styles.of("cut") == styles.of("cut", "a") == own
    assert styles.of("cut", "b") == back
    assert styles.of("mark") == DEFAULT_STYLES.of("mark")
    with pytest.raises(ValueError, match="layer"):
        DEFAULT_STYLES.overridden({"knife": own})


@pytest.mark.parametrize(
    ("colour", "width", "dash"),
    [
        ("red", 0.1, ()),
        ("#12345", 0.1, ()),
        ("#12345G", 0.1, ()),
        ("#123456", 0.0, ()),
        ("#123456", float("nan"), ()),
        ("#123456", 0.1, (1.0,)),
        ("#123456", 0.1, (1.0, 0.0)),
    ],
)
def test_a_style_that_no_file_could_carry_is_refused(
    colour: str, width: float, dash: tuple[float, ...]
) -> None:
    with pytest.raises(ValueError, match="pen"):
        PenStyle(colour, width, dash)


def test_layers_keep_the_drawings_order_within_and_the_writing_order_between() -> None:
    first, second = Path("cut", "b", ((0.0, 0.0), (1.0, 0.0))), Path("cut", "b", ((0.0, 1.0), (1.0, 1.0)))
    front, mark = Path("cut", "a", ((0.0, 2.0), (1.0, 2.0))), Path("mark", "a", ((0.0, 3.0), (1.0, 3.0)))
    found = layers(Drawing("t", 10.0, 10.0, (first, front, mark, second)))
    assert list(found.items()) == [("mark_a", [mark]), ("cut_a", [front]), ("cut_b", [first, second])]


def test_rounding_leaves_no_negative_zero() -> None:
    assert str(rounded(-1e-9, 4)) == "0.0"
