"""All printed work of a plan set read back: beds, fittings, mounts, dummies, templates."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from foldwright.design.workshop import Cutter
from foldwright.geometry.fold.model import Blank
from foldwright.make.readback_dummies import check_dummy, is_dummy
from foldwright.make.readback_mounts import carries_motor, check_mount
from foldwright.make.readback_plates import check_plates
from foldwright.make.readback_prints import check_fittings, damage, has_prints, read_prints
from foldwright.make.readback_rows import Table


def check_printed(
    table: Table,
    files: Mapping[str, bytes],
    airframe: Mapping[str, Any],
    blanks: Sequence[Blank],
    cutter: Cutter,
) -> None:
    """Rows for all printed work of a plan set; none where it holds none and was not meant to.

    airframe: what airframe.json says; blanks: as it has them.
    """
    if not has_prints(files) and not airframe.get("fittings"):
        return
    data, found = read_prints(table, files)
    if data is None:
        return
    with damage(table, "fittings"):
        check_fittings(table, airframe, found)
    for one in found:
        if carries_motor(one):
            with damage(table, one.what):
                check_mount(table, files, airframe, one)
        if is_dummy(one):
            with damage(table, one.what):
                check_dummy(table, airframe, one)
    clearance = 0.0 if data.printer is None else float(data.printer["clearance_mm"])
    check_plates(table, data.templates, found, blanks, cutter, clearance)
