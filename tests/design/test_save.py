"""One value changed in a text: nothing else moves; and the one atomic writer."""

from __future__ import annotations

import os
import stat
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from foldwright.base.atomic import write_bytes, write_text
from foldwright.base.finding import Finding
from foldwright.design.keypath import locate, render
from foldwright.design.load import load_design, load_text
from foldwright.design.save import Value, changed_since, set_value
from tests.design.samples import MARRAM, SMALL, WORKSHOP, changed, spoken

IN_PLACE: list[tuple[str, Value, str, str]] = [
    ("wing.spar.height_mm", 13, "height_mm = 12.0  # between", "height_mm = 13.0  # between"),
    ("motor.tilt_deg", -3.1, "tilt_deg = -2.9 ", "tilt_deg = -3.1 "),
    ("equipment.camera.x_mm", 30.5, "x_mm = 24.0\nz_mm = 4.0", "x_mm = 30.5\nz_mm = 4.0"),
    ("body.station.2.width_mm", 57, "x_mm = 290.0\nwidth_mm = 56.0", "x_mm = 290.0\nwidth_mm = 57.0"),
    ("body.former.saddle-former.hole.1.width_mm", 25.0, "width_mm = 24.0", "width_mm = 25.0"),
    ("battery.alternatives.2", "lipo-3s-850", '"lipo-3s-1500"', '"lipo-3s-850"'),
    ("joint.fin-wing.tabs", 3, "tabs = 2", "tabs = 3"),
    ("joint.fin-wing.parts.1", "body", '["fin", "wing"]  ', '["body", "wing"]  '),
    ("fin.mirrored", False, "z_mm = 30.0\nmirrored = true", "z_mm = 30.0\nmirrored = false"),
    ("part.1.span_mm", 650.0, "span_mm = 660.0", "span_mm = 650.0"),
    ("design.name", 'Marram "2"', 'name = "Marram"', 'name = "Marram \\"2\\""'),
    ("targets.all_up_limit_g", 1 / 3, "all_up_limit_g = 480.0", "all_up_limit_g = 0.3333333333"),
]


@pytest.mark.parametrize(("key", "value", "old", "new"), IN_PLACE)
def test_a_value_is_changed_and_nothing_else(key: str, value: Value, old: str, new: str) -> None:
    assert set_value(MARRAM, key, value) == changed(MARRAM, (old, new))


ADDED: list[tuple[str, Value, str, str]] = [
    ("wing.incidence_deg", 1.5, "chord_mm = 220.0\n", "incidence_deg = 1.5\n"),
    ("equipment.camera.y_mm", 3.0, "x_mm = 24.0\nz_mm = 4.0\n", "y_mm = 3.0\n"),
    ("wing.nose.slope_limit_deg", 35.0, "folded over it\n", "slope_limit_deg = 35.0\n"),
    ("body.former.nose-former.tilt_deg", 2.0, 'role = "nose"\n', "tilt_deg = 2.0\n"),
    ("wing.control.elevon.end_gap_mm", 2.0, "down_deg = 15.0\n", "end_gap_mm = 2.0\n"),
]


@pytest.mark.parametrize(("key", "value", "behind", "line"), ADDED)
def test_a_new_key_stands_behind_the_last_of_its_table(
    key: str, value: Value, behind: str, line: str
) -> None:
    assert set_value(MARRAM, key, value) == changed(MARRAM, (behind, behind + line))


def test_a_new_key_after_a_comment_and_before_the_next_heading() -> None:
    result = set_value(MARRAM, "battery.x_mm", 80.0)
    assert isinstance(result, str)
    before, _, after = result.partition("x_mm = 80.0\n")
    assert before.endswith("rear face\n")
    assert before + after == MARRAM


def test_new_tables() -> None:
    result = set_value(MARRAM, "assumptions.cm0_shift.sd", 0.01)
    assert result == MARRAM + "\n[assumptions.cm0_shift]\nsd = 0.01\n"
    assert set_value(result, "assumptions.cm0_shift.value", 0.002) == result + "value = 0.002\n"
    inside = set_value(SMALL, "wing.ridge.method", "slit")
    line = "chord_mm = 220.0\n"
    assert inside == changed(SMALL, (line, line + 'ridge = { method = "slit" }\n'))
    more = set_value(str(inside), "wing.ridge.tool_width_mm", 4.0)
    assert '{ method = "slit", tool_width_mm = 4.0 }' in str(more)


def test_inline_tables_and_the_workshop() -> None:
    assert set_value(SMALL, "wing.spar.x_mm", 60) == changed(SMALL, ("x_mm = 62.0", "x_mm = 60.0"))
    wide = set_value(SMALL, "wing.spar.width_mm", 6.0)
    assert wide == changed(
        SMALL, ("height_mm = 12.0 }  # board", "height_mm = 12.0, width_mm = 6.0 }  # board")
    )
    assert set_value(WORKSHOP, "board.thickness_mm", [4.9, 5.1], "workshop") == changed(
        WORKSHOP, ("[5.0]", "[4.9, 5.1]")
    )
    assert set_value(WORKSHOP, "fit.motor", "motor-2204-2300", "workshop") == WORKSHOP + (
        '\n[fit]\nmotor = "motor-2204-2300"\n'
    )
    assert set_value(WORKSHOP.rstrip(), "glue_g_m", 7, "workshop") == changed(
        WORKSHOP.rstrip(), ('id = "kitchen"\n', 'id = "kitchen"\nglue_g_m = 7\n')
    )


def test_a_table_with_comments_only() -> None:
    text = WORKSHOP + "\n[fold] # nothing yet\n# crush_width_mm = 4.0\n"
    result = set_value(text, "fold.crush_width_mm", 6.0, "workshop")
    assert isinstance(result, str)
    assert "# nothing yet" in result
    assert "# crush_width_mm = 4.0" in result
    assert tomllib.loads(result)["fold"] == {"crush_width_mm": 6.0}


@pytest.mark.parametrize(
    "key",
    [
        "",
        ".",
        "wing",
        "wing.",
        "wing.spar",
        "part",
        "equipment",
        "wing.foo",
        "wing.foo.bar",
        "body.station.9.x_mm",
        "body.station.0.x_mm",
        "wing.spar.height_mm.x",
        "tail.span_mm",
        "joint.fin-wing.parts.3",
        'a"b',
        "assumptions",
    ],
)
def test_places_where_nothing_can_be_put(key: str) -> None:
    result = set_value(MARRAM, key, 1)
    assert isinstance(result, Finding)
    assert result.code == "F36"
    assert spoken(result)


def test_a_text_that_is_no_toml() -> None:
    result = set_value("a = ", "design.name", "x")
    assert isinstance(result, Finding)
    assert result.code == "F06"


def test_line_ends_and_the_last_line_without_one() -> None:
    windows = MARRAM.replace("\n", "\r\n")
    for key in ("battery.x_mm", "wing.spar.height_mm", "assumptions.c_lmax.sd"):
        result = set_value(windows, key, 0.1)
        assert isinstance(result, str)
        assert result.count("\n") == result.count("\r\n")
        assert result == str(set_value(MARRAM, key, 0.1)).replace("\n", "\r\n")
    bare = MARRAM[: MARRAM.index("tape_g_m")].rstrip()
    result = set_value(bare.rsplit("#", 1)[0].rstrip(), "build.tape_g_m", 3.0)
    assert str(result).endswith("glue_g_m = 6.0\ntape_g_m = 3.0\n")


@given(
    st.floats(0.1, 3000.0), st.sampled_from(["wing.span_mm", "fin.x_mm", "motor.x_mm", "fin.taper.root_mm"])
)
def test_what_is_saved_reads_back(value: float, key: str) -> None:
    result = set_value(MARRAM, key, value)
    assert isinstance(result, str)
    path = locate(key, tomllib.loads(result))
    assert path is not None
    here = tomllib.loads(result)
    assert render(path, here) == key
    for step in path:
        here = here[step]  # type: ignore[index]
    assert here == pytest.approx(value, rel=1e-9)


def test_a_file_changed_meanwhile(tmp_path: Path) -> None:
    path = tmp_path / "marram.toml"
    write_text(path, MARRAM)
    loaded = load_design(path)
    assert loaded.source is not None
    assert changed_since(path, loaded.source.sha256) is None
    write_text(path, MARRAM + "# more\n")
    finding = changed_since(path, loaded.source.sha256)
    assert finding is not None
    assert finding.code == "F35"
    assert "nothing has been written" in spoken(finding)
    path.unlink()
    gone = changed_since(path, loaded.source.sha256)
    assert gone is not None
    assert gone.code == "F01"


def test_the_writer_keeps_line_ends_permissions_and_links(tmp_path: Path) -> None:
    path = tmp_path / "a.toml"
    write_text(path, "a = 1\r\nb = 'ü'\n")
    assert path.read_bytes() == b"a = 1\r\nb = '\xc3\xbc'\n"
    path.chmod(0o640)
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    write_bytes(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.toml", "link.toml"]


def test_a_failed_write_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.toml"
    write_bytes(path, b"old")

    def full(_: int) -> None:
        raise OSError("disk full")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="disk full"):
        write_bytes(path, b"new")
    assert path.read_bytes() == b"old"
    assert [p.name for p in tmp_path.iterdir()] == ["a.toml"]
    with pytest.raises(FileNotFoundError):
        write_bytes(tmp_path / "none" / "a.toml", b"new")


def test_a_saved_design_reads_as_before() -> None:
    result = set_value(MARRAM, "wing.spar.height_mm", 12.5)
    value = load_text(str(result), "design").value
    old = load_text(MARRAM, "design").value
    assert value is not None
    assert old is not None
    changed_wing = value.model_dump()["part"][0]
    assert changed_wing["spar"]["height_mm"] == 12.5
    assert changed_wing | {"spar": 0} == old.model_dump()["part"][0] | {"spar": 0}
