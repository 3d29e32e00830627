"""The outermost edge: streams as they come, readers that leave, Ctrl-C; each in a process of its own."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from foldwright.cli import progress as telling
from foldwright.cli.streams import paragraph, plain_text, styled
from tests.cli.commands import DESIGN, SCHOOL, design_file, program, start


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_an_old_encoding_gets_plain_characters(tmp_path: Path) -> None:
    file = design_file(tmp_path, motor__tilt_deg=6.0)
    said = start("check", file, PYTHONIOENCODING="ascii")
    assert said.code == 0
    assert "->" in said.out
    assert "propeller end 6 deg lower" in said.out
    assert said.out.isascii()
    assert said.err.isascii()
    data = json.loads(start("check", file, "--json", PYTHONIOENCODING="ascii").out)
    assert any("→" in cure["says"] for row in data["findings"] for cure in row["cures"])


def test_a_plain_locale_does() -> None:
    said = start("check", DESIGN, LC_ALL="C", LANG="C", PYTHONUTF8="0", PYTHONCOERCECLOCALE="0")
    assert said.code == 0
    assert "Traceback" not in said.err


def test_plain_text_spells_out() -> None:
    assert plain_text("46 → 52 mm, 2.9°, Möwe, g/dm²") == "46 -> 52 mm, 2.9 deg, Mowe, g/dm2"
    assert plain_text("\udcff") == "\\udcff"
    assert plain_text("蘆") == "?"


@pytest.mark.skipif(os.name == "nt", reason="pipes end otherwise there")
def test_a_reader_that_leaves_changes_nothing() -> None:
    with subprocess.Popen(
        program("stock", "--json"), stdout=subprocess.PIPE, stderr=subprocess.PIPE
    ) as child:
        assert child.stdout is not None
        assert child.stderr is not None
        child.stdout.read(1)
        child.stdout.close()
        said = child.stderr.read()
        assert child.wait() == 0
    assert said == b""


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is full")
def test_a_full_disk_behind_standard_output_is_one_sentence() -> None:
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(program("schema"), stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1


@pytest.mark.skipif(os.name == "nt", reason="no such closing there")
def test_closed_streams_leave_the_exit_code() -> None:
    code = "import os, sys; os.close(1); os.close(2); os.execv(sys.argv[1], sys.argv[1:])"
    done = subprocess.run([sys.executable, "-c", code, *program("check", DESIGN, "--no-cures")], check=False)
    assert done.returncode == 0


@pytest.mark.skipif(os.name == "nt", reason="signals differ there")
def test_an_interruption_leaves_130_one_line_and_nothing_half_done(tmp_path: Path) -> None:
    out = tmp_path / "out"
    command = program("plans", DESIGN, "--workshop", SCHOOL, "--out", out)
    # what was started in the background ignores interruptions, and so does all that it starts
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as child:
        signal.signal(signal.SIGINT, before)
        assert child.stderr is not None
        first = child.stderr.readline()
        child.send_signal(signal.SIGINT)
        rest = child.stderr.read()
        assert child.wait() == 130
    assert first.endswith("…\n")
    assert rest.endswith("Stopped. Files are written whole or not at all; nothing is half done.\n")
    assert "Traceback" not in rest
    assert not out.exists() or not [
        path for path in out.iterdir() if path.suffix != ".zip" and path.is_file()
    ]


def test_completion_completes_commands_and_kinds() -> None:
    code = "from foldwright.cli.app import app; app(prog_name='foldwright')"
    for words, at, wanted in (("foldwright ch", "1", "check"), ("foldwright stock mo", "2", "motor")):
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True,
            env={
                **os.environ, "_FOLDWRIGHT_COMPLETE": "complete_bash", "COMP_WORDS": words, "COMP_CWORD": at,
            },
        )  # fmt: skip
        assert done.stdout.split() == [wanted]


def test_long_work_tells_its_steps_and_short_work_none(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(telling, "PATIENCE_S", 0.02)
    with telling.progress("kit: ") as say:
        say("first")
        time.sleep(0.1)
        say("second")
    assert capsys.readouterr().err.splitlines() == ["kit: first …", "kit: second …"]
    monkeypatch.setattr(telling, "PATIENCE_S", 60.0)
    with telling.progress() as say:
        say("first")
    assert capsys.readouterr().err == ""


def test_a_terminal_gets_one_line_that_goes_away(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(telling, "PATIENCE_S", 0.02)
    monkeypatch.setattr(sys, "stderr", terminal)
    monkeypatch.setenv("TERM", "xterm")
    with telling.progress() as say:
        say("folding")
        time.sleep(0.1)
        say("balancing")
    assert terminal.getvalue() == "\rfolding …\x1b[K\rbalancing …\x1b[K\r\x1b[K"


def test_colours_only_where_they_are_wanted(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("TERM", "xterm")
    assert styled("watch", "watch") == "watch"
    monkeypatch.setattr(sys, "stdout", Terminal())
    assert styled("watch", "watch") == "\x1b[1;36mwatch\x1b[0m"
    monkeypatch.setenv("NO_COLOR", "1")
    assert styled("watch", "watch") == "watch"
    monkeypatch.delenv("NO_COLOR")
    monkeypatch.setenv("TERM", "dumb")
    assert styled("watch", "watch") == "watch"


def test_a_narrow_terminal_gets_short_lines(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stdout", terminal)
    monkeypatch.setenv("COLUMNS", "40")
    paragraph("the battery stands with its front face 74 mm behind the nose", "  battery", 12)
    lines = terminal.getvalue().splitlines()
    assert len(lines) > 1
    assert all(len(line) < 40 for line in lines)
    assert lines[0].startswith("  battery   the")
    assert lines[1].startswith(" " * 12)
