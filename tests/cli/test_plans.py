"""`foldwright plans` and `foldwright readback`: the plan set of the demo, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path
from shutil import copytree

import pytest

from foldwright.cli.plan_work import folder_problem
from foldwright.make.manifest import About, manifest
from tests.cli.commands import DESIGN, SCHOOL, Said, design_file, run

FILES = {
    "setup-card.pdf", "setup-card.json", "sheet-1.dxf", "sheet-1.svg", "sheet-1.pdf", "sheet-1-tiled.pdf",
    "views.pdf", "views/three-quarter.svg", "views/top.svg", "views/side.svg", "views/section.svg",
    "design.toml", "workshop.toml", "stock.toml", "airframe.json", "layout.toml", "manifest.json",
    "LICENSE-of-the-plans.txt", "CHANGES.md", "folding.txt", "charts.pdf", "charts.json", "charts/trim.svg",
}  # fmt: skip
KEYS = ("design", "revision", "workshop", "licence", "flown")


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Said, Path]:
    """The demo's plan set for the school, and what writing it said."""
    out = tmp_path_factory.mktemp("plans") / "deep" / "folder"
    return run("plans", DESIGN, "--workshop", SCHOOL, "--out", out, "--json"), out


def test_the_plan_set_is_whole(written: tuple[Said, Path]) -> None:
    said, out = written
    data = said.data
    assert (said.code, data["verdict"], data["written"]) == (0, "clear", True)
    folder = Path(data["folder"])
    names = {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}
    assert names >= FILES
    assert names == {*data["files"], "manifest.json"}
    assert data["readback"] == "files agree; flight not verified"
    assert data["sheets"]["boards"] >= 1
    assert sorted(path.name for path in out.iterdir()) == [folder.name, f"{folder.name}.zip"]
    assert (folder / "design.toml").read_bytes() == DESIGN.read_bytes()
    assert (folder / "workshop.toml").read_bytes() == SCHOOL.read_bytes()


def test_the_plan_set_is_enough_to_make_itself_again(written: tuple[Said, Path], tmp_path: Path) -> None:
    folder = Path(written[0].data["folder"])
    said = run(
        "plans", folder / "design.toml", "--workshop", folder / "workshop.toml",
        "--stock", folder / "stock.toml", "--out", tmp_path,
    )  # fmt: skip
    assert said.code == 0
    assert "files agree; flight not verified" in said.out
    again = tmp_path / f"{folder.name}.zip"
    assert again.read_bytes() == Path(written[0].data["zip"]).read_bytes()


def test_readback_of_folder_and_zip(written: tuple[Said, Path]) -> None:
    said = run("readback", written[0].data["zip"])
    assert said.code == 0
    assert said.out.endswith("files agree; flight not verified\n")
    assert "mass and balance" in said.out
    data = run("readback", written[0].data["folder"], "--json").data
    assert data["holds"] is True
    assert {"what", "expected", "got", "holds", "tolerance"} <= set(data["rows"][0])


@pytest.mark.parametrize("name", ["sheet-1.dxf", "setup-card.json", "airframe.json", "workshop.toml"])
def test_readback_of_a_corrupted_plan_set_is_a_no_go(
    written: tuple[Said, Path], tmp_path: Path, name: str
) -> None:
    folder = copytree(written[0].data["folder"], tmp_path / "set")
    data = (folder / name).read_bytes()
    (folder / name).write_bytes(data[: len(data) // 2])
    said = run("readback", folder, "--json")
    assert (said.code, said.data["verdict"], said.data["holds"]) == (1, "no-go", False)
    assert name in {row["where"] for row in said.data["findings"]}
    if name == "workshop.toml":
        words = run("readback", folder, "--all")
        assert words.code == 1
        assert words.out.count("  holds  ") == sum(row["holds"] for row in said.data["rows"])
        assert "files do not agree" in words.out


def test_readback_finds_a_hole_moved_and_hidden_from_the_manifest(
    written: tuple[Said, Path], tmp_path: Path
) -> None:
    folder = copytree(written[0].data["folder"], tmp_path / "set")
    card = json.loads((folder / "setup-card.json").read_text(encoding="utf-8"))
    card["reference"]["balance_mm_behind_le"] += 1.0
    (folder / "setup-card.json").write_text(json.dumps(card), encoding="utf-8")
    said = run("readback", folder, "--json")
    assert said.code == 1
    assert "R07" in said.codes


def test_readback_holds_the_card_and_its_pages_against_the_design_file(
    written: tuple[Said, Path], tmp_path: Path
) -> None:
    """Changed over with a manifest that agrees: two files as one finding each, and a note as a watch."""
    folder = copytree(written[0].data["folder"], tmp_path / "set")
    card = json.loads((folder / "setup-card.json").read_text(encoding="utf-8"))
    card["weight"]["all_up_g"]["value"] += 1
    (folder / "setup-card.json").write_text(json.dumps(card), encoding="utf-8")
    (folder / "setup-card.pdf").write_bytes((folder / "views.pdf").read_bytes())
    table = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    files = {name: (folder / name).read_bytes() for name in table["files"]}
    about = About(*(table[name] for name in (*KEYS, "version", "libraries")))
    (folder / "manifest.json").write_bytes(manifest(files, about))
    (folder / "note.txt").write_text("mine", encoding="utf-8")
    said = run("readback", folder, "--json")
    assert said.code == 1
    found = [(row["code"], row["where"]) for row in said.data["findings"]]
    assert sorted(found) == [
        ("R14", "note.txt"),
        ("R15", "setup-card.json"),
        ("R16", "setup-card.pdf"),
    ]


def test_readback_of_a_zip_cut_short_is_a_no_go(written: tuple[Said, Path], tmp_path: Path) -> None:
    cut = tmp_path / "cut.zip"
    cut.write_bytes(Path(written[0].data["zip"]).read_bytes()[:20000])
    said = run("readback", cut, "--json")
    assert (said.code, said.codes) == (1, {"R02"})


def test_readback_of_what_is_no_plan_set(written: tuple[Said, Path], tmp_path: Path) -> None:
    for place in (tmp_path, tmp_path / "nothing", DESIGN):
        said = run("readback", place, "--json")
        assert (said.code, said.codes) == (2, {"F53"})
    above = run("readback", written[1])
    assert above.code == 2
    assert "marram-a-school-laser" in above.out


def test_a_no_go_writes_nothing(tmp_path: Path) -> None:
    file = design_file(tmp_path, targets__all_up_limit_g=150.0)
    out = tmp_path / "out"
    said = run("plans", file, "--workshop", SCHOOL, "--out", out)
    assert said.code == 1
    assert "no-go" in said.out
    assert "No plan set was written." in said.out
    assert not out.exists()
    data = run("plans", file, "--workshop", SCHOOL, "--out", out, "--json").data
    assert (data["written"], data["folder"], data["files"]) == (False, None, [])


def test_a_watch_is_written_and_stands_on_the_card(tmp_path: Path) -> None:
    file = design_file(tmp_path, motor__tilt_deg=6.0)
    said = run("plans", file, "--workshop", SCHOOL, "--out", tmp_path / "out", "--json")
    assert (said.code, said.data["verdict"], said.data["written"]) == (0, "watch", True)
    card = json.loads((Path(said.data["folder"]) / "setup-card.json").read_text(encoding="utf-8"))
    assert card["design"]["verdict"] == "watch"
    assert {row["code"] for row in card["findings"]} >= {"T14"}


def test_unusable_input_writes_nothing(tmp_path: Path) -> None:
    file = design_file(tmp_path, targets__all_up_limit_g=-1.0)
    said = run("plans", file, "--workshop", "no-such-workshop.toml", "--out", tmp_path / "out", "--json")
    assert said.code == 2
    assert said.codes == {"F01", "F12"}
    assert said.data["written"] is False
    assert not (tmp_path / "out").exists()


def test_a_folder_that_cannot_be_is_found_beforehand(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.touch()
    link = tmp_path / "link"
    link.symlink_to(tmp_path / "nowhere")
    for out in (file, file / "below", link):
        said = run("plans", DESIGN, "--workshop", SCHOOL, "--out", out, "--json")
        assert (said.code, said.codes) == (2, {"F51"})
    assert folder_problem(tmp_path / "a" / "b") is None


def test_a_disk_that_refuses_is_a_finding(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("foldwright.base.atomic.write_bytes", full)
    said = run("plans", DESIGN, "--workshop", SCHOOL, "--out", tmp_path / "out", "--json")
    assert said.code == 2
    assert "F51" in said.codes
    assert "No space left on device" in said.out


def test_workshop_and_folder_must_be_named() -> None:
    assert run("plans", DESIGN).code == 2
    assert run("plans", DESIGN, "--workshop", SCHOOL).code == 2
