"""The legend of a sheet without room for its square: whole, in a free rectangle or a border, or elsewhere."""

from __future__ import annotations

import shapely

from foldwright.make.drawing import Text
from foldwright.make.free_space import FreeSpace
from foldwright.make.legend_room import ELSEWHERE, along_the_right
from foldwright.make.sheet_marks import Ask, Titles, furnish
from tests.make.sheet_samples import workshop

MEANINGS = ("full line: cut through", "long dashes: cut to the far paper", "dots: draw only")
TITLES = Titles("Marram", "A", "Saltmere")


def furnished(*grounds: shapely.Polygon) -> list[Text]:
    ask = Ask("sheet-1", 1, 1, 600.0, 400.0, 1, 0.0, 0.0, True, False, MEANINGS, ())
    made = furnish(ask, grounds, workshop(), TITLES, None)
    return [item for item in made.up if isinstance(item, Text)]


def test_a_narrow_free_column_takes_the_whole_list_upright() -> None:
    """30 mm are left at the right: no square, but three lines read upward, clear of the part."""
    texts = [text for text in furnished(shapely.box(0.0, 0.0, 565.0, 400.0)) if text.text in MEANINGS]
    assert [text.text for text in texts] == list(MEANINGS)
    assert all(text.angle_deg == 90.0 and text.at[0] - text.height_mm > 565.0 for text in texts)


def test_a_full_sheet_says_it_along_the_right_border_or_points_to_the_text() -> None:
    words = [text.text for text in furnished(shapely.box(0.0, 0.0, 600.0, 400.0))]
    assert "; ".join(MEANINGS) in words or any(ELSEWHERE in line for line in words)
    assert along_the_right(600.0, 60.0, 6.0, MEANINGS) == []
    assert len(along_the_right(600.0, 400.0, 6.0, MEANINGS)) == 1


def test_no_list_is_begun_without_its_end() -> None:
    for right in (600.0, 590.0, 580.0, 560.0, 520.0):
        said = "; ".join(text.text for text in furnished(shapely.box(0.0, 0.0, right, 400.0)))
        assert sum(line in said for line in MEANINGS) in (0, len(MEANINGS))
    assert FreeSpace(100.0, 100.0, 0.0, [], 2.0).find(90.0, 90.0, (0.0, 0.0)) is not None
