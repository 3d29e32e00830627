"""`foldwright check`: figures, findings, cures, and one cure saved."""

from __future__ import annotations

from pathlib import Path

import pytest

from foldwright.cli import check as module
from foldwright.cure import Cure
from foldwright.evaluate import Evaluation
from tests.cli.commands import DESIGN, SCHOOL, WORKSHOPS, changed_text, design_file, design_text, run

TWENTY = {
    "design.name": "", "targets.cruise_speed_m_s": "fast", "targets.launch_speed_m_s": -9.0,
    "targets.all_up_limit_g": "light", "targets.static_margin_pct": 700.0, "wing.span_mm": -660.0,
    "wing.chord_mm": "wide", "wing.spar.height_mm": 0.0, "wing.spar.x_mm": "back", "wing.nose.method": "glue",
    "wing.ridge.method": "tape", "wing.strip.aft_mm": "far", "wing.control.elevon.chord_mm": -48.0,
    "wing.control.elevon.up_deg": 900.0, "fin.plane": "flat", "motor.tilt_deg": "up", "motor.x_mm": 1e9,
    "battery.z_mm": "low", "propeller.stock": "no-such-propeller", "build.glue_g_m": -6.0,
}  # fmt: skip


def test_the_demo_is_clear() -> None:
    said = run("check", DESIGN)
    assert said.code == 0
    assert "Verdict: clear" in said.out
    for figure in ("all-up weight", "balance point", "neutral point", "battery", "launch trim", "power"):
        assert figure in said.out


def test_json_holds_figures_with_bands_and_findings_with_their_words() -> None:
    said = run("check", DESIGN, "--workshop", SCHOOL, "--json")
    data = said.data
    assert (said.code, data["verdict"], data["format"], data["command"]) == (0, "clear", 1, "check")
    assert data["workshop"]["id"] == "school-laser"
    band = data["figures"]["launch_trim_mm_up"]
    assert band["low"] < band["value"] < band["high"]
    assert band["unit"] == "mm"
    for row in data["findings"]:
        assert {"code", "verdict", "where", "says", "expected", "got", "cure", "cures"} <= set(row)
    assert {row["name"] for row in data["assumptions"]} >= {"c_lmax", "cm0_shift"}
    assert data["applied"] is None


def test_all_shows_clear_findings_and_judgement_values() -> None:
    said = run("check", DESIGN, "--all")
    assert "clear  B" in said.out
    assert "flap_effectiveness" in said.out
    assert "clear  B" not in run("check", DESIGN).out


def test_twenty_mistakes_are_twenty_findings_in_one_run(tmp_path: Path) -> None:
    assert len(TWENTY) == 20
    file = tmp_path / "design.toml"
    file.write_text(changed_text(TWENTY), encoding="utf-8")
    said = run("check", file, "--json")
    rows = said.data["findings"]
    assert said.code == 2
    assert said.data["verdict"] == "unusable"
    assert set(TWENTY) <= {row["where"].removesuffix(".method") for row in rows} | {
        row["where"] for row in rows
    }
    assert len(rows) >= 20
    for row in rows:
        assert row["says"]
        assert row["cure"]
    words = run("check", file)
    assert words.code == 2
    assert all(key in words.out for key in TWENTY)


def test_mistakes_of_all_files_come_in_one_run(tmp_path: Path) -> None:
    design = design_file(tmp_path, targets__all_up_limit_g=-1.0)
    workshop = tmp_path / "workshop.toml"
    text = SCHOOL.read_text(encoding="utf-8").replace("kerf_mm = 0.3", "kerf_mm = 30.0")
    workshop.write_text(text, encoding="utf-8")
    stock = tmp_path / "stock.toml"
    stock.write_text("format = 7\n", encoding="utf-8")
    said = run("check", design, "--workshop", workshop, "--stock", stock)
    assert said.code == 2
    for word in (
        "design.toml: 1 finding",
        "workshop.toml: 1 finding",
        "targets.all_up_limit_g",
        "cutter.kerf_mm",
        "F24",
    ):
        assert word in said.out


@pytest.mark.parametrize(
    "text", ["[part\n", "= 3\n", "\x00\x01\x02", "[[[[[[[[[[[[[[[[[[[[", "\ufeff", "a=1\na=2"]
)
def test_what_is_no_design_file_is_a_finding(tmp_path: Path, text: str) -> None:
    file = tmp_path / "design.toml"
    file.write_text(text, encoding="utf-8")
    said = run("check", file, "--json")
    assert said.code == 2
    assert said.codes


def test_missing_file_and_folder() -> None:
    assert run("check", "no-such-file.toml", "--json").codes == {"F01"}
    said = run("check", WORKSHOPS, "--json")
    assert (said.code, said.codes) == (2, {"F02"})


def test_a_no_go_exits_with_1(tmp_path: Path) -> None:
    file = design_file(tmp_path, targets__all_up_limit_g=150.0)
    said = run("check", file, "--no-cures", "--json")
    assert (said.code, said.data["verdict"]) == (1, "no-go")


def test_a_watch_exits_with_0_and_shows_its_computed_cure(tmp_path: Path) -> None:
    file = design_file(tmp_path, motor__tilt_deg=6.0)
    said = run("check", file)
    assert said.code == 0
    assert "Verdict: watch" in said.out
    assert "cure, computed: motor." in said.out
    bare = run("check", file, "--no-cures")
    assert "computed" not in bare.out
    assert "cure: " in bare.out


def test_apply_saves_the_best_cure_and_keeps_the_comments(tmp_path: Path) -> None:
    file = design_file(tmp_path, motor__tilt_deg=6.0)
    before = file.read_text(encoding="utf-8").splitlines()
    said = run("check", file, "--apply", "T14", "--json")
    after = file.read_text(encoding="utf-8").splitlines()
    changed = [(old, new) for old, new in zip(before, after, strict=True) if old != new]
    assert len(changed) == 1
    old, new = changed[0]
    assert old.partition("#")[2] == new.partition("#")[2]
    assert said.data["applied"].startswith("motor.")
    assert "T14" not in {row["code"] for row in said.data["findings"] if row["verdict"] != "clear"}
    assert said.code == 0


def test_apply_of_a_code_without_a_cure_changes_nothing() -> None:
    said = run("check", DESIGN, "--apply", "T99", "--json")
    assert (said.code, said.codes) == (2, {"F52"})
    assert DESIGN.read_text(encoding="utf-8") == design_text()


def test_apply_refuses_a_file_that_was_changed_meanwhile(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = design_file(tmp_path, motor__tilt_deg=6.0)
    other = design_text()

    def meanwhile(evaluation: Evaluation, *_more: object) -> tuple[Cure, ...]:
        file.write_text(other, encoding="utf-8")
        assert evaluation.results is not None
        return (Cure("motor.tilt_deg", 6.0, -3.0, "deg", 1.0),)

    monkeypatch.setattr("foldwright.cure.find_cures", meanwhile)
    said = run("check", file, "--apply", "T14", "--json")
    assert (said.code, said.codes) == (2, {"F35"})
    assert file.read_text(encoding="utf-8") == other
    assert module.check.__doc__
