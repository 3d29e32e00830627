"""Checks between the keys of bodies, on raw data. Codes as in the catalogue of the file's own words."""

from __future__ import annotations

from typing import Any

from foldwright.base.finding import Finding
from foldwright.base.messages import words
from foldwright.design.raw import Raw
from foldwright.design.senses import senses

STATIONS = (
    {"x_mm": 0, "width_mm": 56, "bottom_mm": -30, "top_mm": 22},
    {"x_mm": 250, "width_mm": 56, "bottom_mm": -30, "top_mm": 22},
)
LID = {"id": "lid", "role": "hatch", "from_mm": 60, "to_mm": 150}
SLOT = {"id": "slot", "role": "inlet", "x_mm": 100, "length_mm": 20, "height_mm": 8}


def found(kind: str, table: dict[str, Any]) -> list[Finding]:
    row = {"kind": kind, "id": "body", **table}
    raw = Raw("design", "a.toml", {"part": (row,)})
    return list(senses()[kind](raw, ("part", 0)))


def box(**table: Any) -> list[Finding]:
    return found("box", {"station": STATIONS, **table})


def codes(findings: list[Finding]) -> list[tuple[str, str]]:
    for item in findings:
        assert words(item).cure
    return [(item.code, item.where) for item in findings]


def test_a_body_without_mistakes() -> None:
    arch = {"id": "arch", "role": "rolled", "from_mm": 160, "to_mm": 240, "rise_mm": 14, "facets": 6}
    cap = {"id": "cap", "role": "rolled_nose", "from_mm": -20, "to_mm": 0}
    assert not box(deck=(LID, arch, cap), opening=(SLOT, {**SLOT, "id": "two", "panel": "lid"}))


def test_keys_that_a_role_asks_for_or_leaves_idle() -> None:
    bare = {"id": "arch", "role": "rolled", "from_mm": 160, "to_mm": 240}
    assert codes(box(deck=(bare,))) == [("F30", "body.deck.arch.rise_mm")]
    assert codes(box(deck=({**LID, "rise_mm": 5, "facets": 6, "z_mm": 3},))) == [
        ("F32", "body.deck.lid.z_mm"), ("F32", "body.deck.lid.rise_mm"), ("F32", "body.deck.lid.facets")
    ]  # fmt: skip
    seated = {**bare, "rise_mm": 14, "seat": "on", "gap_mm": 0.2}
    assert codes(box(deck=(seated,))) == [
        ("F32", "body.deck.arch.seat"), ("F32", "body.deck.arch.gap_mm")
    ]  # fmt: skip


def test_the_mass_of_a_hold_that_is_none() -> None:
    assert codes(box(deck=({**LID, "role": "deck", "hold_mass_g": 2},))) == [
        ("F32", "body.deck.lid.hold_mass_g")
    ]  # fmt: skip
    assert codes(box(deck=({**LID, "hold": "glued", "hold_mass_g": 2},))) == [
        ("F32", "body.deck.lid.hold_mass_g")
    ]  # fmt: skip
    assert not box(deck=({**LID, "hold_mass_g": 2}, {**LID, "id": "two", "hold": "slid", "hold_mass_g": 1}))


def test_a_nose_may_stand_ahead_of_the_body_and_nothing_else() -> None:
    assert codes(box(deck=({**LID, "from_mm": -20},))) == [("F42", "body.deck.lid.from_mm")]
    late = {"id": "cap", "role": "rolled_nose", "from_mm": 10, "to_mm": 5}
    assert codes(box(deck=(late,))) == [("F29", "body.deck.cap.from_mm")]


def test_openings() -> None:
    tall = {key: value for key, value in SLOT.items() if key != "height_mm"}
    assert codes(box(opening=(tall,))) == [("F30", "body.opening.slot.height_mm")]
    assert codes(box(opening=({**SLOT, "shape": "round"},))) == [("F32", "body.opening.slot.height_mm")]
    lost = box(deck=(LID,), opening=({**SLOT, "panel": "lit"},))
    assert codes(lost) == [("F15", "body.opening.slot.panel")]
    assert words(lost[0]).cure.startswith('Write "lid"')
    assert codes(box(opening=({**SLOT, "y_mm": 4},))) == [("F32", "body.opening.slot.y_mm")]
    assert codes(box(opening=({**SLOT, "panel": "floor", "z_mm": 4},))) == [("F32", "body.opening.slot.z_mm")]
    assert codes(box(opening=({**SLOT, "x_mm": 300},))) == [("F42", "body.opening.slot.x_mm")]
    assert codes(box(opening=(SLOT, SLOT)))[0][0] == "F19"


def test_blanks_of_one_name() -> None:
    former = {"id": "lid", "x_mm": 100}
    assert codes(box(former=(former,), deck=(LID,))) == [("F19", "body.deck.lid.id")]
    assert codes(box(former=({**former, "id": "main"},))) == [("F19", "body.former.main.id")]


def test_a_profile_body() -> None:
    outline = {"polygon_mm": ((0, -20), (300, -20), (300, 20), (0, 20))}
    doubler = {"id": "fore", "from_mm": 0, "to_mm": 120}
    assert not found("profile_body", {**outline, "doubler": (doubler,), "opening": (SLOT,)})
    assert codes(found("profile_body", {**outline, "doubler": ({**doubler, "to_mm": 400},)})) == [
        ("F42", "body.doubler.fore.to_mm")
    ]
    assert codes(found("profile_body", {**outline, "opening": ({**SLOT, "shape": "round"},)})) == [
        ("F32", "body.opening.slot.height_mm")
    ]


def test_a_stick() -> None:
    stick = {"stock": "rod", "from_mm": 0, "to_mm": 400, "z_mm": 0, "y_mm": 0, "mirrored": True}
    assert codes(found("stick", stick)) == [("F39", "body")]
    assert codes(found("stick", {**stick, "y_mm": 80, "to_mm": -5})) == [("F29", "body.from_mm")]
