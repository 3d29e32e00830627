"""What `[[fitting]]` tables name, and what must be solid: each finding alone, and all in one run."""

from __future__ import annotations

import pytest

from foldwright.base.finding import Finding
from foldwright.design.fittings import FITTING_KINDS
from foldwright.design.load import built_in_stock, load_text
from foldwright.design.schema import Kind
from foldwright.design.sense_fittings import NAMES
from tests.design.samples import MARRAM, WORKSHOPS, changed, codes, spoken

LEG = '[[leg]]\nid = "main"\nx_mm = 200.0\ny_mm = 20.0\nz_mm = -25.0\nlong_mm = 60.0\n'
GOOD = """
[[fitting]]
kind = "motor_mount"
id = "mount"
former = "body.motor-former"
filament = "petg"

[[fitting]]
kind = "horn"
id = "horn"
control = "wing.elevon"
servo = "servo"

[[fitting]]
kind = "servo_frame"
id = "frame"
servo = "servo"

[[fitting]]
kind = "rod_guide"
id = "guide"
horn = "horn"

[[fitting]]
kind = "hinge_strip"
id = "hinges"
control = "wing.elevon"

[[fitting]]
kind = "battery_stop"
id = "stop"

[[fitting]]
kind = "hatch_catch"
id = "catch"
deck = "body.hatch"

[[fitting]]
kind = "payload_carrier"
id = "carrier"
holds = "camera"

[[fitting]]
kind = "equipment_tray"
id = "shelf"
holds = ["receiver", "controller"]

[[fitting]]
kind = "landing_leg"
id = "strip-leg"
leg = "main"
infill_pct = 100.0

[[fitting]]
kind = "skid"
id = "skid"
part = "body"
from_mm = 100.0
to_mm = 160.0
"""
WHOLE = MARRAM.replace("[motor]", LEG + GOOD + "\n[motor]", 1)

CASES = [
    (
        'former = "body.motor-former"',
        'former = "body.motr"',
        "F70",
        "fitting.mount.former",
        "body.motor-former",
    ),
    ('former = "body.motor-former"', 'former = "wing.elevon"', "F70", "fitting.mount.former", "former"),
    (
        'control = "wing.elevon"\nservo',
        'control = "wing.elevator"\nservo',
        "F70",
        "fitting.horn.control",
        "wing.elevon",
    ),
    ('elevon"\nservo = "servo"', 'elevon"\nservo = "servoo"', "F70", "fitting.horn.servo", 'Write "servo"'),
    (
        'elevon"\nservo = "servo"',
        'elevon"\nservo = "camera"',
        "F71",
        "fitting.horn.servo",
        "is a camera, not a servo",
    ),
    ('horn = "horn"', 'horn = "hron"', "F70", "fitting.guide.horn", 'Write "horn"'),
    ('horn = "horn"', 'horn = "stop"', "F71", "fitting.guide.horn", "is a battery_stop, not a horn"),
    ('deck = "body.hatch"', 'deck = "body.hatsh"', "F70", "fitting.catch.deck", "body.hatch"),
    ('deck = "body.hatch"', 'deck = "body.tray"', "F71", "fitting.catch.deck", "is a tray, not a hatch"),
    ('holds = "camera"', 'holds = "cam"', "F70", "fitting.carrier.holds", "camera"),
    ('["receiver", "controller"]', '["receiver", "controler"]', "F70", "fitting.shelf.holds.2", "controller"),
    ('leg = "main"', 'leg = "mian"', "F70", "fitting.strip-leg.leg", "main"),
    ('part = "body"\nfrom', 'part = "boby"\nfrom', "F70", "fitting.skid.part", "body"),
    ("infill_pct = 100.0", "infill_pct = 15.0", "F72", "fitting.strip-leg.infill_pct", "shatters"),
    (
        'id = "horn"\n',
        'id = "horn"\ninfill_pct = 99.0\n',
        "F72",
        "fitting.horn.infill_pct",
        "breaks at its hole",
    ),
    ('id = "mount"\n', 'id = "mount"\ninfill_pct = 0.0\n', "F72", "fitting.mount.infill_pct", "40 or more"),
    (
        "from_mm = 100.0\nto_mm = 160.0",
        "from_mm = 160.0\nto_mm = 100.0",
        "F29",
        "fitting.skid.from_mm",
        "100 mm",
    ),
    ('id = "hinges"', 'id = "horn"', "F19", "fitting.5.id", "horn"),
    ('filament = "petg"', 'filament = "petgg"', "F22", "fitting.mount.filament", "petg"),
    ('filament = "petg"', 'filament = "servo-9g"', "F23", "fitting.mount.filament", "filament"),
    (
        'id = "stop"\n',
        'id = "stop"\n[[fitting]]\nkind = "motor_mount"\nid = "second"\nformer = "body.motor-former"\n',
        "F73",
        "fitting.second",
        "fitting.mount both carry the motor",
    ),
]


def findings(text: str, kind: Kind = "design") -> tuple[Finding, ...]:
    """All findings of a text."""
    return load_text(text, kind, stock=built_in_stock()).findings


def test_all_kinds_are_told() -> None:
    """Every kind of fitting says what its keys name; a whole set of them has nothing against it."""
    assert set(NAMES) == set(FITTING_KINDS)
    assert [one for one in findings(WHOLE) if one.verdict == "no-go"] == []


@pytest.mark.parametrize(("old", "new", "code", "where", "says"), CASES)
def test_each_alone(old: str, new: str, code: str, where: str, says: str) -> None:
    """One slip, one finding, with its place and what to do."""
    found = [one for one in findings(changed(WHOLE, (old, new))) if one.verdict == "no-go"]
    assert (code, where) in codes(tuple(found))
    said = next(one for one in found if (one.code, one.where) == (code, where))
    assert says in spoken(said)


def test_all_in_one_run() -> None:
    """Five slips in one file, five findings."""
    pairs = [
        ('holds = "camera"', 'holds = "cam"'),
        ("infill_pct = 100.0", "infill_pct = 15.0"),
        ('leg = "main"', 'leg = "mian"'),
        ('filament = "petg"', 'filament = "petgg"'),
    ]
    found = codes(findings(changed(WHOLE, *pairs)))
    for wanted in (
        ("F70", "fitting.carrier.holds"),
        ("F72", "fitting.strip-leg.infill_pct"),
        ("F70", "fitting.strip-leg.leg"),
        ("F22", "fitting.mount.filament"),
    ):
        assert wanted in found


def test_nothing_of_that_sort() -> None:
    """Where the file has none at all, the cure is to add one."""
    text = WHOLE.replace(LEG, "")
    said = next(one for one in findings(text) if one.where == "fitting.strip-leg.leg")
    assert "Add a leg first" in spoken(said)


def test_mistakes_of_another_sort_stay_theirs() -> None:
    """A number or a table where a name belongs, or an unknown kind, is the model's to tell: no exception."""
    for old, new in (
        ('leg = "main"', "leg = 3"),
        ('holds = "camera"', "holds = [1, 2]"),
        ('deck = "body.hatch"', "deck = {}"),
        ('kind = "skid"', 'kind = "sleigh"'),
        ('["receiver", "controller"]', '"receiver"'),
    ):
        assert any(one.verdict == "no-go" for one in findings(changed(WHOLE, (old, new))))


def test_material_of_the_printer() -> None:
    """The workshop's filament is looked for in the stock, as the design's are."""
    text = WORKSHOPS[0].read_text(encoding="utf-8")
    assert 'material = "petg"' in text
    found = findings(changed(text, ('material = "petg"', 'material = "pettg"')), "workshop")
    assert ("F22", "printer.material") in codes(found)
    found = findings(changed(text, ('material = "petg"', 'material = "servo-9g"')), "workshop")
    assert ("F23", "printer.material") in codes(found)


BAD = [
    ("mount", "exit", '"sideways"', "F15", "down"),
    ("mount", "plate_mm", "-4.0", "F12", "0"),
    ("horn", "face", '"below"', "F15", "under"),
    ("horn", "height_mm", '"high"', "F11", "a number"),
    ("horn", "neutral_mm", '"up"', "F11", "a number"),
    ("frame", "rim_mm", "-5.0", "F12", "0"),
    ("guide", "tube_mm", "true", "F11", "a number"),
    ("guide", "every_mm", "-1.0", "F12", "0"),
    ("hinges", "count", "2.5", "F11", "a whole number"),
    ("hinges", "count", "0", "F12", "1"),
    ("stop", "end", '"middle"', "F15", "front"),
    ("stop", "high_mm", "[1, 2]", "F11", "a number"),
    ("catch", "tongue_mm", "-2.0", "F12", "0"),
    ("carrier", "dummy", '"yes"', "F11", "true or false"),
    ("carrier", "most_g", "-1.0", "F12", "0"),
    ("shelf", "floor_mm", '"thin"', "F11", "a number"),
    ("strip-leg", "spread_mm", "-3.0", "F12", "0"),
    ("strip-leg", "wide_mm", "{}", "F11", "a number"),
    ("skid", "high_mm", "-6.0", "F12", "0"),
    ("skid", "thick_mm", '"two"', "F11", "a number"),
    ("skid", "colour", '"red"', "F10", "colour"),
]


@pytest.mark.parametrize(("name", "key", "value", "code", "says"), BAD)
def test_bad_values_are_told_where_they_stand(name: str, key: str, value: str, code: str, says: str) -> None:
    """No such word, a number out of range, another type, an unknown key: the key's own path and cure."""
    text = changed(WHOLE, (f'id = "{name}"\n', f'id = "{name}"\n{key} = {value}\n'))
    found = [one for one in findings(text) if one.where.startswith("fitting.")]
    assert codes(tuple(found)) == [(code, f"fitting.{name}.{key}")]
    assert says in spoken(found[0])
    assert "Write a table" not in spoken(found[0])


def test_every_kind_has_a_bad_value() -> None:
    """The list above has them all."""
    ids = {"horn": "horn", "servo_frame": "frame", "rod_guide": "guide", "hinge_strip": "hinges"}
    ids |= {"motor_mount": "mount", "battery_stop": "stop", "hatch_catch": "catch", "skid": "skid"}
    ids |= {"payload_carrier": "carrier", "equipment_tray": "shelf", "landing_leg": "strip-leg"}
    assert set(ids) == set(FITTING_KINDS)
    assert {row[0] for row in BAD} == set(ids.values())


def test_filaments_that_are_near_to_nothing() -> None:
    """F22 offers one word only where a slip of the pen explains it, else what there is."""
    near = findings(changed(WHOLE, ('filament = "petg"', 'filament = "pettg"')))
    assert "Write petg, or" in spoken(next(one for one in near if one.code == "F22"))
    far = findings(changed(WHOLE, ('filament = "petg"', 'filament = "unobtainium"')))
    said = spoken(next(one for one in far if one.code == "F22"))
    assert "Write one of " in said
    assert all(name in said for name in ("petg", "asa"))
