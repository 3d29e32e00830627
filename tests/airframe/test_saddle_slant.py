"""The wing's cut-out in sides that do not lie square to the file's axes: no slits, no spikes."""

from __future__ import annotations

import pytest
import shapely

from tests.world import judge, marram, with_values


@pytest.mark.parametrize("bottom", [-22.0, -24.0, -25.0, -25.5, -26.0, -26.092, -27.0, -30.0])
def test_the_cut_out_has_the_same_corners_however_the_floor_slants(bottom: float) -> None:
    """First principles: a floor that slants by a few millimetres adds no corner to the sides."""
    box = next(part for part in marram().part if part.kind == "box")
    stations = tuple(
        station.model_copy(update={"bottom_mm": bottom}) if index == 0 else station
        for index, station in enumerate(box.station)
    )
    changed = box.model_copy(update={"station": stations})
    design = with_values().model_copy(
        update={"part": tuple(changed if part is box else part for part in marram().part)}
    )
    result = judge(design)
    assert result.results is not None
    sides = [
        panel
        for one in result.results.airframe.placed
        if one.blank.name == "body/main"
        for panel in one.blank.panels
        if panel.name in {"left", "right"}
    ]
    assert [len(panel.polygon) for panel in sides] == [10, 10]
    for panel in sides:
        shape = shapely.Polygon(panel.polygon)
        assert shape.is_valid
        opened = shape.buffer(-0.01, join_style="mitre").buffer(0.01, join_style="mitre")
        assert abs(opened.area - shape.area) < 0.01
        assert not any(g.code in {"G05", "G08"} and g.verdict != "clear" for g in result.findings)
