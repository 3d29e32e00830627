"""Free shapes and their drawings through a whole plan set: judged, drawn, read back, made again.

Regression: that a set is the one that it is compared with; all else follows from what was changed.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from ezdxf.layouts import Modelspace

from foldwright.airframe.bench import Bench
from foldwright.airframe.free_shape import build_free
from foldwright.base.messages import words
from foldwright.cli.inputs import read_inputs
from foldwright.design.load import Loaded, built_in_stock, load_design, load_workshop
from foldwright.design.model import Design
from foldwright.evaluate import Evaluation, evaluate
from foldwright.make.bundle import Bundle, Texts, make_bundle
from foldwright.make.plans import complete, write_plan_set
from foldwright.make.readback import check_files
from foldwright.make.readback_again import made_again
from foldwright.make.readback_rows import ReadbackReport
from tests.airframe.free_shapes import random_shape
from tests.design.drawings import PLATE, cover, dxf, line, load, outline, text, with_plate
from tests.make.plan_samples import ABOUT, bundle
from tests.make.sheet_samples import board, workshop
from tests.world import EXAMPLES

pytestmark = pytest.mark.slow

# A part that hangs in the air is a no-go: these stand on the starter's body or wing, within 1 mm.
ON_BODY = PLATE.replace("120.0", "53.0")
TURNED = PLATE.replace("120.0", "30.5") + "turn_deg = [10.0, -20.0, 30.0]\n"
ON_WING = PLATE.replace("120.0", "52.8").replace("x_mm = 20.0", "x_mm = 200.0")

WORKSHOP = EXAMPLES / "workshops" / "school-laser.toml"


def sample(space: Modelspace) -> None:
    outline(space)
    space.add_circle((30.0, 30.0), 8.0, dxfattribs={"layer": "cut"})
    line(space, "to_paper_b", (80.0, 60.0), (84.0, 0.0))
    text(space, "nose 35 b", (84.0, 30.0))
    line(space, "mark_a", (50.0, 10.0), (110.0, 10.0))


def judged(loaded: Loaded[Design]) -> Evaluation:
    assert loaded.value is not None, [words(f).says for f in loaded.findings]
    stock = built_in_stock()
    bench = load_workshop(WORKSHOP, stock=stock).value
    assert bench is not None
    return evaluate(loaded.value, bench, stock)


def bundled(loaded: Loaded[Design]) -> Bundle:
    assert loaded.source is not None
    bench = WORKSHOP.read_text(encoding="utf-8")
    return make_bundle(
        judged(loaded), Texts(loaded.source.text, bench, loaded.findings, loaded.source.drawings)
    )


def whole(loaded: Loaded[Design]) -> dict[str, bytes]:
    """A plan set whose files agree and that is made again as it is."""
    made = bundled(loaded)
    assert made.files, [words(f).says for f in made.evaluation.findings if f.verdict == "no-go"]
    files = complete(made.files, made.about)
    report = check_files(files)
    assert report.holds, [words(f).says for f in report.findings]
    again = ReadbackReport(made_again(files))
    assert again.holds, [words(f).says for f in again.findings]
    return files


@cache
def drawn() -> Bundle:
    return bundled(load(dxf(sample), plate=ON_BODY))


def changed(**files: bytes) -> dict[str, bytes]:
    """The set with files of its own put in the place of others, its manifest written anew."""
    return complete({**drawn().files, **files}, drawn().about)


@pytest.mark.parametrize(
    "plate",
    [
        TURNED,
        f"""{ON_WING}mirrored = true
y_mm = 130.0
work = [{{kind = "bare", panel = "flap-nose", face = "b"}}, {{kind = "paint"}}]
""",
    ],
)
def test_a_set_with_a_drawing_reads_back_and_is_made_again(plate: str) -> None:
    loaded = load(dxf(sample), plate=plate)
    files = whole(loaded)
    assert files["cover.dxf"] == dict(loaded.source.drawings)["cover.dxf"] if loaded.source else False


def test_every_plane() -> None:
    upright, across = (
        PLATE.replace('"level"', f'"{plane}"').replace("120.0", height).replace("x_mm = 20.0", f"x_mm = {x}")
        for plane, x, height in (("upright", 20.0, "31.8"), ("across", 155.0, "30.8"))
    )
    files = whole(load(dxf(sample), upright, across.replace('id = "cover"', 'id = "shield"')))
    blanks = {row["name"]: row for row in json.loads(files["airframe.json"])["blanks"]}
    for name, outward in (("cover/main", 1), ("shield/main", 0)):
        normal = np.array(blanks[name]["placement"])[:3, 2]
        # face A looks out to the right on an upright board (y), forward on one across (-x)
        expected = np.zeros(3)
        expected[outward] = 1.0 if outward == 1 else -1.0
        assert normal == pytest.approx(expected, abs=1e-9)
        assert blanks[name]["mass_g"] > 0.5


def test_shapes_of_the_file_with_every_method() -> None:
    """No drawing: a chain of strips, each fold by another method, a notch, a hole, marks over the folds."""
    plate = PLATE.replace('drawing = "cover.dxf"\n', "").replace("120.0", "180.0") + (
        "polygon_mm = [[0.0, 0.0], [300.0, 0.0], [300.0, 60.0], [160.0, 60.0], [150.0, 30.0], [140.0, 60.0], "
        "[0.0, 60.0]]\n"
    )
    rows = [
        (50.0, "groove", 40.0, "b", ""), (110.0, "slit", 30.0, "a", ""), (200.0, "rebate", 90.0, "b", ""),
        (250.0, "crush", 20.0, "a", "tool_width_mm = 5.0\n"),
    ]  # fmt: skip
    for x, method, angle, toward, tool in rows:
        plate += (
            f'[[part.fold]]\nid = "{method}"\nfrom_mm = [{x}, 0.0]\nto_mm = [{x}, 60.0]\n'
            f'angle_deg = {angle}\ntoward = "{toward}"\nmethod = "{method}"\n{tool}'
        )
    plate += '[[part.cutout]]\nid = "w"\npolygon_mm = [[70.0, 20.0], [90.0, 20.0], [80.0, 40.0]]\n'
    plate += '[[part.mark]]\nid = "datum"\nface = "a"\npoints_mm = [[10.0, 10.0], [95.0, 10.0]]\n'
    loaded = load({}, plate=plate)
    assert len(cover(loaded).fold) == 4
    whole(loaded)


@pytest.mark.parametrize("seed", range(3))
def test_random_shapes_are_folded_again_from_their_sheets(seed: int) -> None:
    build = build_free(random_shape(np.random.default_rng(seed)), Bench(board(), (), 0.0))
    report = check_files(complete(bundle(build.blanks, workshop()), ABOUT))
    assert report.holds, [words(f).says for f in report.findings]


def test_a_lifting_shape_of_a_drawing_counts_in_the_lattice() -> None:
    pair = "mirrored = true\ny_mm = 130.0\n"
    without, lifting = (
        judged(load(dxf(sample), pair, PLATE.replace("false", flag))) for flag in ("false", "true")
    )
    assert without.results is not None
    assert lifting.results is not None
    ids = [
        [surface.id for surface in one.results.airframe.surfaces] for one in (without, lifting) if one.results
    ]
    assert "cover" not in ids[0]
    assert "cover" in ids[1]
    assert lifting.results.lift.neutral_lattice != pytest.approx(
        without.results.lift.neutral_lattice, abs=0.1
    )


def test_a_drawing_changed_in_the_set_is_found() -> None:
    def other(space: Modelspace) -> None:
        sample(space)
        space.add_circle((60.0, 40.0), 5.0, dxfattribs={"layer": "cut"})

    report = ReadbackReport(made_again(changed(**{"cover.dxf": dxf(other)})))
    assert not report.holds
    assert {finding.code for finding in report.findings} >= {"R15", "R16"}


def test_a_drawing_missing_from_the_set_is_found() -> None:
    files = complete({n: d for n, d in drawn().files.items() if n != "cover.dxf"}, drawn().about)
    report = ReadbackReport(made_again(files))
    assert not report.holds
    assert "F60" in " ".join(words(finding).got for finding in report.findings)
    damaged = ReadbackReport(made_again(changed(**{"cover.dxf": b"nothing"})))
    assert not damaged.holds


def test_a_drawing_may_not_bear_a_sheets_name() -> None:
    plate = ON_BODY.replace("cover.dxf", "Sheet-1.dxf")
    made = bundled(load({"Sheet-1.dxf": dxf(sample)}, plate=plate))
    assert made.files == {}
    assert [f.code for f in made.evaluation.findings if f.verdict == "no-go"] == ["F68"]


def test_the_set_on_the_disk_is_a_design_with_its_drawing(tmp_path: Path) -> None:
    made = drawn()
    written = write_plan_set(made.files, tmp_path, made.name, made.about, made.verdict)
    assert written.folder is not None
    again = load_design(written.folder / "design.toml", stock=built_in_stock())
    assert cover(again) == cover(load(dxf(sample), plate=ON_BODY))


def test_the_command_line_hands_the_drawings_on(tmp_path: Path) -> None:
    (tmp_path / "design.toml").write_text(with_plate(), encoding="utf-8")
    data = dxf(sample)
    (tmp_path / "cover.dxf").write_bytes(data)
    inputs = read_inputs(tmp_path / "design.toml", WORKSHOP, None)
    assert inputs.drawings == (("cover.dxf", data),)
