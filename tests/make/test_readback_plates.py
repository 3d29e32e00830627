"""Templates that are right read back as their blanks; every fault put into them is found."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from typing import Any

import numpy as np
import pytest
import shapely

from foldwright.geometry.solid.check import mesh_of, solid_of
from foldwright.geometry.solid.core import Solid, box
from foldwright.geometry.transform import inverse
from foldwright.make.formats.threemf import Object3mf, to_3mf
from foldwright.make.formats.threemf_read import read_3mf
from foldwright.make.print_files import DATA
from foldwright.make.readback_plates import Joined, guide_off, mouth_mm, positions
from tests.make.print_samples import failing, rows, template_files


@cache
def data() -> Any:  # noqa: ANN401 - parsed JSON
    return json.loads(template_files()[DATA])


def plate(use: str) -> Any:  # noqa: ANN401 - parsed JSON
    """The first printed template of a use."""
    return next(row for row in data()["templates"] if row["use"] == use and row["pieces"])


def recut(names: list[str], change: Callable[[Solid], Solid]) -> dict[str, bytes]:
    """The files with some pieces changed in the frame of their blank, all else as before."""
    files = dict(template_files())
    for job in data()["jobs"]:
        homes = {row["name"]: np.array(row["place"]) for row in job["objects"] if row["name"] in names}
        if not homes:
            continue
        made = []
        for one in read_3mf(files[f"{job['file']}.3mf"]):
            mesh = one.mesh
            if one.name in homes:
                home = homes[one.name]
                mesh = mesh_of(change(solid_of(mesh).placed(home)).placed(inverse(home)))
            made.append(Object3mf(one.name, mesh, (one.transform,), one.metadata))
        files[f"{job['file']}.3mf"] = to_3mf(made, {})
    return files


def edited(change: Callable[[Any], None]) -> dict[str, bytes]:
    """The files with prints.json changed."""
    raw = json.loads(template_files()[DATA])
    change(raw)
    return {**template_files(), DATA: json.dumps(raw).encode()}


def test_templates_that_are_right_agree() -> None:
    found = rows(template_files())
    assert [row.what for row in found if not row.holds] == []
    assert sum(row.code == "R22" for row in found) > 10
    assert sum(row.code == "R23" for row in found) > 10
    # straight edges are not drawn in: they lie on the board's own edge
    worst = max(row.difference or 0.0 for row in found if "drawn in" in row.what)
    assert worst <= plate("whole")["offset_mm"] + 0.05


def test_lines_lie_within_a_tenth_of_their_openings() -> None:
    found = [row for row in rows(template_files()) if row.code == "R23"]
    assert max(row.difference or 0.0 for row in found) <= 0.1


def test_a_template_that_is_too_large() -> None:
    """A strip of 1 mm along one edge."""
    row = plate("whole")
    low, high = _box(row)
    strip = box((low[0] - 1.0, low[1], 0.0), (low[0] + 0.5, high[1], row["thickness_mm"]))
    assert "R22" in failing(recut(row["pieces"][:1], lambda solid: solid + strip))


def test_a_template_that_is_too_small() -> None:
    """1.5 mm off one edge: more than offset and clearance."""
    row = plate("whole")
    low, high = _box(row)
    cut = box((high[0] - 1.5, low[1] - 1.0, -1.0), (high[0] + 1.0, high[1] + 1.0, 9.0))
    assert "R22" in failing(recut(row["pieces"][:1], lambda solid: solid - cut))


def test_a_template_that_lies_elsewhere() -> None:
    def change(raw: Any) -> None:  # noqa: ANN401 - parsed JSON
        name = plate("whole")["pieces"][0]
        row = next(row for job in raw["jobs"] for row in job["objects"] if row["name"] == name)
        row["place"][0][3] += 0.6

    assert "R22" in failing(edited(change))


def test_a_piece_that_is_missing_or_of_another_plate() -> None:
    def lose(raw: Any) -> None:  # noqa: ANN401 - parsed JSON
        row = next(row for row in raw["templates"] if len(row["pieces"]) > 1)
        row["pieces"] = row["pieces"][:-1]

    assert "R22" in failing(edited(lose))

    def swap(raw: Any) -> None:  # noqa: ANN401 - parsed JSON
        one, other = [row for row in raw["templates"] if len(row["pieces"]) == 1][:2]
        one["pieces"], other["pieces"] = other["pieces"], one["pieces"]

    assert "R22" in failing(edited(swap))


def test_a_slot_that_is_filled() -> None:
    row = next(row for row in data()["templates"] if any(g["how"] == "slot" for g in row["guides"]))
    guide = next(each for each in row["guides"] if each["how"] == "slot")
    points = np.array(guide["points_mm"])
    low, high = points.min(axis=0) - 2.0, points.max(axis=0) + 2.0
    thick = row["thickness_mm"]
    fill = box((*low, 0.0), (*high, thick))
    files = recut(row["pieces"], lambda solid: solid + (fill & _hull(solid, thick)))
    assert "R23" in failing(files)


def _hull(solid: Solid, thick: float) -> Solid:
    low, high = solid.bounds
    return box((low[0], low[1], 0.0), (high[0], high[1], thick))


def test_a_blank_without_a_template() -> None:
    def change(raw: Any) -> None:  # noqa: ANN401 - parsed JSON
        raw["templates"] = raw["templates"][1:]

    assert "R19" in failing(edited(change))


def test_a_line_that_no_guide_is_for() -> None:
    def change(raw: Any) -> None:  # noqa: ANN401 - parsed JSON
        row = max(raw["templates"], key=lambda row: len(row["guides"]))
        row["guides"] = row["guides"][: len(row["guides"]) // 2]

    assert "R23" in failing(edited(change))


@pytest.mark.parametrize(
    ("row", "wanted"),
    [
        ({"use": "whole"}, [[3.0, 4.0]]),
        ({"use": "slide", "shift_mm": [10.0, 0.0]}, [[3.0, 4.0], [13.0, 4.0]]),
        # mirrored in the line x = 5
        ({"use": "turn over", "middle_mm": [[5.0, 0.0], [5.0, 9.0]]}, [[3.0, 4.0], [7.0, 4.0]]),
    ],
)
def test_how_a_template_is_laid(row: Any, wanted: list[list[float]]) -> None:  # noqa: ANN401 - parsed JSON
    found = [to(np.array([[3.0, 4.0]]))[0].tolist() for to in positions(row)]
    assert found == wanted


def _box(row: Any) -> tuple[Any, Any]:  # noqa: ANN401 - parsed JSON, corners
    """Corners of a plate of one piece, in the frame of its blank."""
    name = row["pieces"][0]
    place = next(
        np.array(one["place"]) for job in data()["jobs"] for one in job["objects"] if one["name"] == name
    )
    file = next(job["file"] for job in data()["jobs"] if any(o["name"] == name for o in job["objects"]))
    mesh = next(one.mesh for one in read_3mf(template_files()[f"{file}.3mf"]) if one.name == name)
    return solid_of(mesh).placed(place).bounds


def _guide(how: str, *points: tuple[float, float]) -> Any:  # noqa: ANN401 - parsed JSON
    return {"name": "line", "how": how, "points_mm": [list(at) for at in points]}


def _row(*guides: Any) -> Any:  # noqa: ANN401 - parsed JSON
    return {"slot_mm": 1.4, "offset_mm": 0.3, "middle_mm": None, "guides": list(guides)}


@pytest.mark.parametrize(
    ("ends", "wanted"),
    [
        # two lines far apart, each with a V: the least
        ([(0.0, 0.0), (20.0, 0.0)], 2.5),
        # three, 3 mm apart: 6 mm and what the tool keeps of either wall (a V's 1.1 at the most), 0.05 over
        ([(0.0, 0.0), (3.0, 0.0), (6.0, 0.0)], 3.0 + 1.1 + 0.05),
        # the same at an edge aslant, and in another order
        ([(6.0, 4.0), (0.0, 0.0), (3.0, 2.0)], 3.0 + 1.1 + 0.05),
    ],
)
def test_how_wide_a_notch_may_be(ends: list[tuple[float, float]], wanted: float) -> None:
    row = _row(*(_guide("notch", (x, y), (x, 100.0)) for x, y in ends))
    assert mouth_mm(row) == pytest.approx(wanted)
    # what runs along the edge, or is not shown, has no notch
    row["guides"] += [_guide("edge", (9.0, 0.0), (9.0, 100.0)), _guide("none", (-3.0, 0.0), (-3.0, 9.0))]
    assert mouth_mm(row) == pytest.approx(wanted)


def _plate(row: Any, opening: shapely.Geometry) -> Joined:  # noqa: ANN401 - parsed JSON
    whole = shapely.box(-20.0, -20.0, 20.0, 60.0)
    cut = whole.difference(opening)
    return Joined(row, cut, cut, whole, whole)


@pytest.mark.parametrize("gaps", [(3.0, 3.0), (2.0, 3.4), (0.9, 2.0)])
def test_three_lines_in_one_slot(gaps: tuple[float, float]) -> None:
    """Walls 0.3 mm outside the outer two; the middle one runs between them."""
    at = (0.0, gaps[0], gaps[0] + gaps[1])
    row = _row(*(_guide("slot", (x, 0.0), (x, 40.0)) for x in at))
    plate = _plate(row, shapely.box(at[0] - 0.3, 0.0, at[2] + 0.3, 40.0))
    offs = [guide_off(plate, guide) for guide in row["guides"]]
    assert offs == pytest.approx([0.0, 0.0, 0.0], abs=0.051)
    # slid to one side by 0.3 mm, or filled: both outer lines tell
    slid = _plate(row, shapely.box(at[0] - 0.6, 0.0, at[2], 40.0))
    assert [guide_off(slid, row["guides"][n]) for n in (0, 2)] != pytest.approx([0.0, 0.0], abs=0.1)
    filled = _plate(row, shapely.Polygon())
    assert [guide_off(filled, guide) for guide in row["guides"]] == [None, None, None]


def test_a_stub_between_two_lines_in_one_slot() -> None:
    row = _row(
        _guide("slot", (0.0, 0.0), (0.0, 24.0)),
        _guide("slot", (4.0, 6.0), (4.0, 17.0)),
        _guide("slot", (3.2, 17.3), (3.2, 17.8)),
    )
    walls = shapely.MultiLineString([[(-0.3, 0.0), (-0.3, 24.0)], [(4.3, 6.0), (4.3, 17.0)]])
    plate = _plate(row, shapely.convex_hull(walls))
    assert [guide_off(plate, guide) for guide in row["guides"]] == pytest.approx([0.0] * 3, abs=0.051)
    # alone in a window it is guided by nothing
    alone = _row(row["guides"][2])
    assert guide_off(_plate(alone, shapely.box(-10.0, 0.0, 12.0, 40.0)), alone["guides"][0]) is None


def test_two_lines_beside_each_other_are_held_against_their_walls() -> None:
    row = _row(*(_guide("slot", (x, 0.0), (x, 40.0)) for x in (0.0, 2.0)))
    right = _plate(row, shapely.box(-0.3, 0.0, 2.3, 40.0))
    assert [guide_off(right, guide) for guide in row["guides"]] == pytest.approx([0.0, 0.0], abs=0.051)
    wide = _plate(row, shapely.box(-0.5, 0.0, 2.5, 40.0))
    assert guide_off(wide, row["guides"][0]) == pytest.approx(0.2, abs=0.051)
    # 0.2 mm apart their slot is 1 mm wide, 0.4 mm to either side
    close = _row(*(_guide("slot", (x, 0.0), (x, 40.0)) for x in (0.0, 0.2)))
    plate = _plate(close, shapely.box(-0.4, 0.0, 0.6, 40.0))
    assert [guide_off(plate, guide) for guide in close["guides"]] == pytest.approx([0.0, 0.0], abs=0.051)
