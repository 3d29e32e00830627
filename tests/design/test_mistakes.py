"""A file with many wrong values gets a finding for each, all in one run, in our own words."""

from __future__ import annotations

import re

import pytest

from foldwright.base.messages import catalogue
from foldwright.design.load import built_in_stock, load_design, load_stock, load_text
from foldwright.design.mistakes import CODES
from tests.design.samples import MARRAM, ROOT, SMALL, WORKSHOP, WORKSHOPS, changed, codes, spoken

TWENTY = (
    ('name = "Marram"', 'name = ""', "F18", "design.name"),
    ('revision = "A"', 'revision = "A/1"', "F14", "design.revision"),
    ('layout = "tailless pusher"', 'layout = "tailless tractor"', "F15", "design.layout"),
    ("cruise_speed_m_s = 12.0", "cruise_speed_m_s = nan", "F13", "targets.cruise_speed_m_s"),
    ("all_up_limit_g = 480.0", 'all_up_limit_g = "480"', "F11", "targets.all_up_limit_g"),
    ("span_mm = 660.0", "spam_mm = 660.0", "F09", "wing.spam_mm"),
    ("height_mm = 12.0", "height_mm = -12.0", "F12", "wing.spar.height_mm"),
    ('[part.ridge]\nmethod = "groove"', '[part.ridge]\nmethod = "grove"', "F15", "wing.ridge.method"),
    ("aft_mm = 132.0 ", "aft_mm = 60.0 ", "F29", "wing.spar.x_mm"),
    ("inner_mm = 40.0", "inner_mm = true", "F11", "wing.control.elevon.inner_mm"),
    ("up_deg = 15.0", "up_deg = 75.0", "F12", "wing.control.elevon.up_deg"),
    ("bottom_mm = -15.0", "bottom_mm = 31.0", "F29", "body.station.3.top_mm"),
    ("width_mm = 24.0", "width_mm = inf", "F13", "body.former.saddle-former.hole.1.width_mm"),
    ("to_mm = 145.0", "to_mm = 545.0", "F42", "body.deck.hatch.to_mm"),
    ("height_mm = 100.0", "", "F08", "fin.taper.height_mm"),
    ('parts = ["fin", "wing"]', 'parts = ["fim", "wing"]', "F21", "joint.fin-wing.parts.1"),
    ('stock = "motor-2204-2300"', 'stock = "motor-2240-2300"', "F22", "motor.stock"),
    ("tilt_deg = -2.9", "tilt_deg = -29", "F12", "motor.tilt_deg"),
    ('stock = "rx-6ch"', 'stock = "prop-5x3"', "F23", "equipment.receiver.stock"),
    ("glue_g_m = 6.0", "glue_g_m = 1e3", "F12", "build.glue_g_m"),
)


def test_twenty_wrong_values_get_twenty_findings_in_one_run() -> None:
    text = changed(MARRAM, *((old, new) for old, new, _, _ in TWENTY))
    loaded = load_design(text.encode(), "marram.toml", stock=built_in_stock())
    assert loaded.value is None
    assert sorted(codes(loaded.findings)) == sorted((code, where) for *_, code, where in TWENTY)
    assert len(loaded.findings) == 20


@pytest.mark.parametrize(("old", "new", "code", "where"), TWENTY)
def test_each_of_the_twenty_alone_gets_the_same_finding(old: str, new: str, code: str, where: str) -> None:
    loaded = load_design(changed(MARRAM, (old, new)).encode(), stock=built_in_stock())
    assert (code, where) in codes(loaded.findings)
    finding = next(f for f in loaded.findings if (f.code, f.where) == (code, where))
    said = spoken(finding)
    assert where.rsplit(".", 1)[-1] in said or finding.where in said
    assert all(part.strip() for part in said.split(" | "))


def test_the_examples_are_without_findings() -> None:
    stock = built_in_stock()
    assert load_text(MARRAM, "design", stock=stock).findings == ()
    assert load_text(SMALL, "design", stock=stock).findings == ()
    assert len(WORKSHOPS) == 3
    for path in WORKSHOPS:
        assert load_text(path.read_text(encoding="utf-8"), "workshop", stock=stock).findings == ()


SAID = [
    ("span_mm = 660.0", "span_mm = 66000", "from 60 to 3000 mm", "66000 mm"),
    ("span_mm = 660.0", 'span_mm = "wide"', "a number from 60 to 3000 mm", 'the text "wide"'),
    ("span_mm = 660.0", "span_mm = []", "a number", "an empty list"),
    ("span_mm = 660.0", "span_mm = 0x" + "f" * 5000, "from 60 to 3000 mm", "some 6021 digits"),
    ("span_mm = 660.0", "span_mm = 2026-01-01", "a number", "the date or time 2026-01-01"),
    ("span_mm = 660.0", "span_mm = nan", "a number", "nan mm"),
    ("tilt_deg = -2.9", "tilt_deg = -15.5", "from -15 to 15 degrees", "-15.5 degrees"),
    ("tabs = 2", "tabs = 2.5", "a whole number from 1 to 8", "2.5"),
    ("tabs = 2", "tabs = 9", "a whole number from 1 to 8", "9"),
    ("mirrored = true", 'mirrored = "yes"', "true or false", 'the text "yes"'),
    ('parts = ["fin", "wing"]', 'parts = ["fin"]', "a list of 2 texts", "1 value"),
    ('parts = ["fin", "wing"]', 'parts = ["fin", "wing", "body"]', "a list of 2 texts", "3 values"),
    ('parts = ["fin", "wing"]', "parts = 3", "a list of 2 texts", "3"),
    ("[part.trailing]\n", "[part.trailing]\nkimd = 1\n", "one of: kind", "kind comes nearest"),
    ("[part.trailing]\n", "[part.trailing]\nzzz = 1\n", "one of: kind", "zzz"),
    ('kind = "level" ', 'kind = "flat" ', 'one of: "level", "straight"', 'Write "'),
    ('kind = "box"', 'kind = "tube"', "one of: box, folded_wing, plate", 'the text "tube"'),
    ('kind = "box"', "kind = 4", "one of: box, folded_wing, plate", "4"),
    ('kind = "box"\n', "", "one of: box, folded_wing, plate", "missing"),
    ('id = "body"', 'id = "Body"', "lower-case letters", 'the text "Body"'),
    ('name = "Marram"', 'name = "' + "M" * 81 + '"', "1 to 80 characters", "81 characters"),
    ('revision = "A"', 'revision = "' + "A" * 13 + '"', "letters, digits and dots", "AAAA"),
    ("[propeller]\n", "[propeler]\n", "one of: format, design", "propeller comes nearest"),
    ("[part.strip]\n", "[part.strip]\nruns_on = true\n", "a number", "land_mm is missing"),
    ("[design]\n", "design = 3\n[design2]\n", "a table", "3"),
]


@pytest.mark.parametrize(("old", "new", "expected", "got"), SAID)
def test_expected_and_got_are_in_words(old: str, new: str, expected: str, got: str) -> None:
    loaded = load_text(changed(MARRAM, (old, new)), "design")
    assert loaded.value is None
    assert any(expected in spoken(f) and got in spoken(f) for f in loaded.findings), [
        spoken(f) for f in loaded.findings
    ]


def test_an_unprintable_key_is_printed_as_its_number() -> None:
    loaded = load_text(changed(MARRAM, ("[build]", '[build]\n"a\\u202eb\\n{x}" = 1')), "design")
    assert codes(loaded.findings) == [("F10", 'build."a\\u202eb\\u000a{x}"')]
    assert spoken(loaded.findings[0]).isprintable()


def test_a_mistyped_key_is_one_mistake() -> None:
    loaded = load_text(changed(MARRAM, ("[propeller]", "[propeler]")), "design")
    assert codes(loaded.findings) == [("F09", "propeler")]
    # Nothing like it is missing, or something unlike it is: both are said.
    loaded = load_text(changed(MARRAM, ("span_mm = 660.0", "span_m = 660.0\nzzz = 1")), "design")
    assert codes(loaded.findings) == [("F09", "wing.span_m"), ("F10", "wing.zzz")]
    loaded = load_text(changed(MARRAM, ("span_mm = 660.0", "zzz = 1")), "design")
    assert codes(loaded.findings) == [("F08", "wing.span_mm"), ("F10", "wing.zzz")]


def test_an_empty_file_asks_for_every_table() -> None:
    loaded = load_text("", "design")
    assert {f.code for f in loaded.findings} == {"F08"}
    assert [f.where for f in loaded.findings] == [
        "format", "design", "targets", "part", "motor", "propeller", "battery",
    ]  # fmt: skip


def test_a_design_without_parts() -> None:
    text = re.sub(r"(?s)\[\[part\]\].*(?=\[\[joint\]\]\nkind = \"slot)", "", MARRAM)
    loaded = load_text(changed(text, ("[design]", "part = []\n[design]")), "design")
    assert ("F17", "part") in codes(loaded.findings)


def test_wrong_parts_are_not_also_said_to_be_too_few() -> None:
    loaded = load_text('format = 1\npart = [1, "a"]', "design")
    assert ("F17", "part") not in codes(loaded.findings)
    assert {("F11", "part.1"), ("F11", "part.2")} <= set(codes(loaded.findings))


def test_pens_of_a_workshop() -> None:
    text = WORKSHOP + '[cutter.pens]\ncutt = { colour = "#000000" }\ncut = { colour = "blue" }\n'
    loaded = load_text(text, "workshop")
    assert codes(loaded.findings) == [("F09", "cutter.pens.cutt"), ("F14", "cutter.pens.cut.colour")]
    assert "#1b6ca8" in spoken(loaded.findings[1])


# Every type of error that pydantic's validators for our field types can give in strict mode: numbers,
# texts, choices, truth values, lists, tuples, tables, dictionaries, tagged unions.
RAISED = {
    "missing", "extra_forbidden", "greater_than", "greater_than_equal", "less_than", "less_than_equal",
    "finite_number", "string_pattern_mismatch", "literal_error", "union_tag_invalid", "union_tag_not_found",
    "too_short", "too_long", "string_too_short", "string_too_long",
}  # fmt: skip
WRONG_KIND = {
    "float_type", "int_type", "bool_type", "string_type", "tuple_type", "dict_type", "model_type",
    "model_attributes_type",
}  # fmt: skip


def _core_kinds(node: object) -> set[str]:
    """Kinds of validators in a model's core schema."""
    if isinstance(node, dict):
        own = {node["type"]} if isinstance(node.get("type"), str) else set()
        return own.union(*(_core_kinds(value) for value in node.values()))
    if isinstance(node, (list, tuple)):
        return set().union(*(_core_kinds(value) for value in node))
    return set()


def test_our_models_use_only_validators_whose_errors_are_mapped() -> None:
    from foldwright.design.model import Design
    from foldwright.design.stock import Stock
    from foldwright.design.workshop import Workshop

    kinds = set().union(*(_core_kinds(m.__pydantic_core_schema__) for m in (Design, Workshop, Stock)))
    validators = {
        "model", "model-fields", "model-field", "float", "int", "bool", "str", "literal", "tuple", "dict",
        "nullable", "default", "tagged-union", "definitions", "definition-ref", "function-after", "no-info",
        "with-info",
    }  # fmt: skip
    assert kinds <= validators
    assert set(CODES) == RAISED
    assert set(CODES.values()) <= set(catalogue())


@pytest.mark.parametrize("kind", sorted(RAISED | WRONG_KIND))
def test_each_error_type_becomes_a_finding_of_ours(kind: str) -> None:
    from pydantic_core import ErrorDetails

    from foldwright.design.mistakes import _translate

    error: ErrorDetails = {
        "type": kind,
        "loc": ("targets", "cruise_speed_m_s"),
        "msg": "SECRET",
        "input": "x",
    }
    finding = _translate(error, "design", "x.toml", {"targets": {"cruise_speed_m_s": "x"}})
    if kind == "literal_error":
        error = {**error, "loc": ("design", "layout")}
        finding = _translate(error, "design", "x.toml", {"design": {"layout": "x"}})
    if kind == "too_short":
        error = {**error, "loc": ("part",), "input": ()}
        finding = _translate(error, "design", "x.toml", {"part": ()})
    assert finding is not None
    assert finding.code == CODES.get(kind, "F11")
    assert "SECRET" not in spoken(finding)


def test_the_formats() -> None:
    from foldwright.design.formats import bring_forward

    newer = load_text(changed(MARRAM, ("format = 1", "format = 7\nunknown = 3")), "design")
    assert codes(newer.findings) == [("F24", "format")]
    assert "up to 1" in spoken(newer.findings[0])
    older = load_text(changed(MARRAM, ("format = 1", "format = 0")), "design")
    assert codes(older.findings) == [("F25", "format")]
    for wrong in ('"1"', "1.5", "1.0", "true", "[]"):
        loaded = load_text(changed(MARRAM, ("format = 1", f"format = {wrong}")), "design")
        assert [f.where for f in loaded.findings] == ["format"]
        assert loaded.findings[0].code == "F11"
    # The steps of a history that never was: 1 → 2 renames a key, 2 → 3 drops one.
    steps = {
        1: lambda t: {**{k: v for k, v in t.items() if k != "a"}, "b": t["a"]},
        2: lambda t: {k: v for k, v in t.items() if k != "c"},
    }
    assert bring_forward({"format": 1, "a": 5, "c": 6}, "x", 3, steps) == {"format": 3, "b": 5}
    assert bring_forward({"format": 3, "b": 5}, "x", 3, steps) == {"format": 3, "b": 5}


OWN = """
format = 1

[[entry]]
kind = "battery"
id = "lipo-3s-1300"
name = "our own"
mass_g = 121.5
size_mm = [73.0, 36.0, 24.0]
cells = 3
capacity_mah = 1300.0
source = "weighed"
"""


def test_a_stock_of_ones_own_goes_over_ours() -> None:
    loaded = load_stock(OWN.encode(), "own.toml")
    assert loaded.findings == ()
    assert loaded.value is not None
    assert loaded.value.by_id["lipo-3s-1300"].mass_g == 121.5  # type: ignore[union-attr]
    assert len(loaded.value.entry) == len(built_in_stock().entry)
    ids = [entry.id for entry in loaded.value.entry]
    assert ids == sorted(ids)


def test_the_same_id_twice_in_a_stock_file() -> None:
    loaded = load_stock((OWN + OWN.replace("format = 1", "")).encode(), "own.toml")
    assert loaded.value is None
    assert codes(loaded.findings) == [("F19", "entry.2.id")]


def test_the_built_in_stock_is_sourced_and_large_enough() -> None:
    entries = built_in_stock().entry
    kinds = [entry.kind for entry in entries]
    assert kinds.count("motor") >= 6
    assert kinds.count("propeller") >= 8
    assert kinds.count("battery") >= 10
    assert all(len(entry.source) > 10 for entry in entries)
    propellers = {entry.id for entry in entries if entry.kind == "propeller"}
    assert {e.static_propeller for e in entries if e.kind == "motor"} <= propellers
    # Common practice, no source: lithium polymer with leads holds 80 to 180 Wh/kg.
    for entry in entries:
        if entry.kind == "battery":
            energy_wh = entry.cells * 3.7 * entry.capacity_mah / 1000.0
            assert 80.0 <= energy_wh / (entry.mass_g / 1000.0) <= 180.0, entry.id


def test_every_code_given_by_this_room_has_its_sentences_and_none_is_idle() -> None:
    room = ROOT / "src" / "foldwright" / "design"
    given = {
        code for path in room.rglob("*.py") for code in re.findall(r'"(F\d\d)"', path.read_text("utf-8"))
    }
    files, drawings, fittings = ("F01", "F49"), ("F60", "F69"), ("F70", "F79")  # F68 is the plan set's
    ours = {
        code for code in catalogue() if any(low <= code <= high for low, high in (files, drawings, fittings))
    }
    ours.remove("F68")
    assert given == ours
