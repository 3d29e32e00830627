"""Texts of files that the tests of this room change and read back."""

from __future__ import annotations

from pathlib import Path

from foldwright.base.finding import Finding
from foldwright.base.messages import words

ROOT = Path(__file__).resolve().parents[2]
WORKSHOPS = sorted((ROOT / "examples" / "workshops").glob("*.toml"))

# A whole design, kept as it was when these tests were written: the starter itself may be tuned.
MARRAM = (ROOT / "tests" / "design" / "sample_design.toml").read_text(encoding="utf-8")


def changed(text: str, *pairs: tuple[str, str]) -> str:
    """The text with each first string replaced by the second, once; both must be there to find."""
    for old, new in pairs:
        if old not in text:
            raise ValueError(f"{old!r} is not in the text")
        text = text.replace(old, new, 1)
    return text


def codes(findings: tuple[Finding, ...]) -> list[tuple[str, str]]:
    """Code and key path of each finding."""
    return [(f.code, f.where) for f in findings]


def spoken(finding: Finding) -> str:
    """All sentences of a finding in one."""
    w = words(finding)
    return f"{w.title} | {w.says} | {w.expected} | {w.got} | {w.cure}"


# A design of few lines, written for these tests; the figures mean nothing.
SMALL = """
format = 1

[design]
name = "Small"
revision = "A"
author = "Saltmere"
licence = "CC-BY-4.0"

[targets]
cruise_speed_m_s = 12.0
launch_speed_m_s = 9.0
all_up_limit_g = 480.0

[[part]]
kind = "folded_wing"
id = "wing"
x_mm = 150.0
z_mm = 25.0
span_mm = 660.0
chord_mm = 220.0
spar = { x_mm = 62.0, height_mm = 12.0 }  # board
strip = { aft_mm = 132.0 }

[[part.control]]
id = "elevon"
chord_mm = 48.0
inner_mm = 40.0
outer_mm = 300.0

[[part]]
kind = "box"
id = "body"

[[part.station]]
x_mm = 0.0
width_mm = 56.0
bottom_mm = -25.0
top_mm = 30.0

[[part.station]]
x_mm = 370.0
width_mm = 44.0
bottom_mm = -15.0
top_mm = 30.0

[[part.former]]
id = "middle"
x_mm = 150.0

[[part.deck]]
id = "hatch"
from_mm = 30.0
to_mm = 145.0

[[part]]
kind = "plate"
id = "fin"
x_mm = 250.0
y_mm = 312.0
z_mm = 30.0
mirrored = true
polygon_mm = [[0, 0], [100, 0], [100, 80], [30, 80]]

[[joint]]
kind = "slot_tab"
id = "fin-wing"
parts = ["fin", "wing"]

[[joint]]
kind = "saddle"
id = "wing-body"
parts = ["wing", "body"]

[motor]
stock = "motor-2204-2300"
x_mm = 385.0
z_mm = 12.0

[propeller]
stock = "prop-5x45"

[battery]
stock = "lipo-3s-1300"
z_mm = 2.0
slide_from_mm = 12.0
slide_to_mm = 146.0

[[equipment]]
id = "camera"
stock = "cam-38mm"
x_mm = 24.0
z_mm = 4.0
"""

WORKSHOP = """
format = 1
name = "Kitchen table"
id = "kitchen"

[board]
thickness_mm = [5.0]
areal_density_g_m2 = 480.0

[[board.sheet]]
length_mm = 700.0
width_mm = 500.0

[cutter]
kind = "knife"
kerf_mm = 0.0
"""
