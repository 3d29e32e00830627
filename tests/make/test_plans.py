"""The plan set on disk: whole or not at all, the same bytes every time, put right after a run cut short."""

from __future__ import annotations

import hashlib
import io
import json
import os
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

from foldwright.base import atomic
from foldwright.make import plans
from foldwright.make.plans import plan_set_name, repair, write_plan_set
from foldwright.make.readback import read_folder, readback
from tests.house.source import ROOT
from tests.make.plan_samples import ABOUT, sample

NAME = "marram-r1-school-laser"


def test_names_are_plain() -> None:
    assert plan_set_name("Marram", "A", "school-laser") == "marram-a-school-laser"
    assert plan_set_name("../Big Wing!", "r.1", "a/b") == "big-wing-r.1-a-b"
    # names that lose letters keep apart
    one, other = (plan_set_name(name, "a", "b") for name in ("Über", "Äber"))
    assert one != other
    assert one.startswith("ber-")


def test_zip_and_folder_hold_the_same_files(tmp_path: Path) -> None:
    written = write_plan_set(sample(), tmp_path / "out", NAME, ABOUT, "clear")
    assert written.findings == ()
    assert written.folder == tmp_path / "out" / NAME
    assert written.archive is not None
    assert read_folder(written.folder) == read_folder(written.archive) == sample()
    assert readback(written.folder).holds
    assert sorted(p.name for p in (tmp_path / "out").iterdir()) == [NAME, f"{NAME}.zip"]
    with ZipFile(written.archive) as archive:
        names = archive.namelist()
        assert names == sorted(names)
        assert all(name.startswith(f"{NAME}/") for name in names)
        assert {info.date_time for info in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_the_manifest_lists_size_and_hash_of_every_file() -> None:
    table = json.loads(sample()["manifest.json"])
    assert (table["design"], table["revision"], table["workshop"]) == ("Marram", "r1", "school-laser")
    assert table["licence"] == "CC BY 4.0"
    for name, data in sample().items():
        if name != "manifest.json":
            assert table["files"][name] == {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}


def test_a_no_go_is_not_written(tmp_path: Path) -> None:
    written = write_plan_set(sample(), tmp_path / "out", NAME, ABOUT, "no-go")
    assert [f.code for f in written.findings] == ["R11"]
    assert (written.folder, written.archive, written.readback) == (None, None, None)
    assert not (tmp_path / "out").exists()


def test_files_that_do_not_agree_are_not_written_and_the_old_set_stays(tmp_path: Path) -> None:
    write_plan_set(sample(), tmp_path, NAME, ABOUT, "watch")
    before = read_folder(tmp_path / NAME)
    card = json.loads(sample()["setup-card.json"])
    card["reference"]["board_mass_g"] += 1.0
    wrong = {**sample(), "setup-card.json": json.dumps(card).encode()}
    written = write_plan_set(wrong, tmp_path, NAME, ABOUT, "clear")
    assert [f.code for f in written.findings] == ["R11", "R07"]
    assert read_folder(tmp_path / NAME) == before == read_folder(tmp_path / f"{NAME}.zip")


@pytest.mark.parametrize("path", ["../x", "/x", "a//b", "a/../b", "c:x", "a\\b", ""])
def test_no_path_leads_out_of_the_plan_set(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="no path inside"):
        write_plan_set({**sample(), path: b"x"}, tmp_path / "out", NAME, ABOUT, "clear")


def test_a_new_set_replaces_the_old_one_whole(tmp_path: Path) -> None:
    write_plan_set({**sample(), "extra.txt": b"old"}, tmp_path, NAME, ABOUT, "clear")
    assert (tmp_path / NAME / "extra.txt").is_file()
    write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear")
    assert not (tmp_path / NAME / "extra.txt").exists()
    assert readback(tmp_path / NAME).holds


@pytest.mark.parametrize("cut_after", [0, 1, 5])
def test_a_run_cut_short_is_put_right(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, cut_after: int
) -> None:
    """The writer fails after some files: the zip is the old one or the new one, and the next run mends the
    folder.
    """
    write_plan_set({**sample(), "extra.txt": b"old"}, tmp_path, NAME, ABOUT, "clear")
    old = read_folder(tmp_path / NAME)
    real, count = atomic.write_bytes, 0

    def failing(path: Path, data: bytes) -> None:
        nonlocal count
        if count >= cut_after:
            raise OSError(28, "no space left on device")
        count += 1
        real(path, data)

    with monkeypatch.context() as patch:
        patch.setattr(atomic, "write_bytes", failing)
        with pytest.raises(OSError, match="no space"):
            write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear")
    assert read_folder(tmp_path / NAME) == old
    kept = read_folder(tmp_path / f"{NAME}.zip")
    assert kept == (old if cut_after == 0 else sample())
    assert repair(tmp_path, NAME) is (cut_after > 0)
    assert read_folder(tmp_path / NAME) == kept
    assert sorted(p.name for p in tmp_path.iterdir()) == [NAME, f"{NAME}.zip"]


def test_a_folder_lost_between_two_names_comes_back(tmp_path: Path) -> None:
    write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear")
    (tmp_path / NAME).rename(tmp_path / f".{NAME}.old")
    assert repair(tmp_path, NAME)
    assert read_folder(tmp_path / NAME) == sample()
    assert not (tmp_path / f".{NAME}.old").exists()


def test_a_zip_half_written_is_cleared_away(tmp_path: Path) -> None:
    """What a run that was killed while it wrote the zip leaves beside it."""
    write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear")
    (tmp_path / f".{NAME}.zip.4711.new").write_bytes(b"PK")
    assert repair(tmp_path, NAME)
    assert sorted(p.name for p in tmp_path.iterdir()) == [NAME, f"{NAME}.zip"]


def test_somebody_elses_folder_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / NAME).mkdir()
    (tmp_path / NAME / "mine.txt").write_bytes(b"x")
    assert not repair(tmp_path, NAME)
    assert (tmp_path / NAME / "mine.txt").is_file()


def test_a_builders_own_files_are_never_deleted(tmp_path: Path) -> None:
    """Notes put into the plan set's folder, a folder or a file of its name: nothing is written, all stays."""
    write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear")
    (tmp_path / NAME / "views").mkdir(exist_ok=True)
    (tmp_path / NAME / "views" / "notes.txt").write_bytes(b"x")
    (tmp_path / NAME / ".DS_Store").write_bytes(b"litter")
    before = read_folder(tmp_path / NAME)
    written = write_plan_set({**sample(), "extra.txt": b"new"}, tmp_path, NAME, ABOUT, "clear")
    assert written.folder is None
    assert [(f.code, f.params["others"]) for f in written.findings] == [("R13", "views/notes.txt")]
    assert read_folder(tmp_path / NAME) == before
    (tmp_path / NAME / "views" / "notes.txt").unlink()
    assert write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear").folder is not None


def test_a_file_or_folder_of_that_name_stays(tmp_path: Path) -> None:
    (tmp_path / NAME).write_bytes(b"mine")
    assert [f.code for f in write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear").findings] == ["R13"]
    assert [path.name for path in tmp_path.iterdir()] == [NAME]
    (tmp_path / NAME).unlink()
    (tmp_path / NAME).mkdir()
    (tmp_path / NAME / "mine.txt").write_bytes(b"x")
    assert [f.code for f in write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear").findings] == ["R13"]
    assert (tmp_path / NAME / "mine.txt").is_file()


def test_same_bytes_in_every_process() -> None:
    """Other hash seeds, another time zone, another moment."""
    code = (
        "import hashlib\nfrom foldwright.make.plans import pack\nfrom tests.make.plan_samples import sample\n"
        "print(hashlib.sha256(pack(sample(), 'x')).hexdigest())"
    )
    seen = set()
    for seed, zone in (("1", "UTC"), ("2", "Pacific/Auckland"), ("3", "UTC"), ("5", "UTC")):
        env = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "TZ": zone,
            "PYTHONPATH": f"{ROOT}{os.pathsep}{ROOT / 'src'}",
        }
        done = subprocess.run(
            [sys.executable, "-c", code], cwd=ROOT, env=env, capture_output=True, text=True, check=True
        )
        seen.add(done.stdout.strip())
    assert len(seen) == 1
    assert seen == {hashlib.sha256(plans.pack(sample(), "x")).hexdigest()}


def test_a_damaged_zip_is_not_unpacked(tmp_path: Path) -> None:
    write_plan_set(sample(), tmp_path, NAME, ABOUT, "clear")
    archive = tmp_path / f"{NAME}.zip"
    archive.write_bytes(io.BytesIO(archive.read_bytes()).getvalue()[:500])
    assert not repair(tmp_path, NAME)
    assert readback(tmp_path / NAME).holds
