"""Tails that are neither tailplane nor fin: the V-tail.

Frame: x aft from the nose datum, y to the right, z up, mm.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from foldwright.design.common import Id, Length, PartModel, Place, Sort
from foldwright.design.finish import SurfaceWork
from foldwright.design.wings import Control


class Ruddervator(Control):
    """The hinged part of a V-tail: both down lift the tail, right down and left up turn the nose right."""

    kind: Literal["ruddervator"] = Field("ruddervator", description="what it is for")


class VTail(PartModel):
    """Two panels of single board that meet in a V and do the work of tailplane and fin."""

    sort: ClassVar[Sort] = "surface"

    kind: Literal["v_tail"]
    id: Id
    x_mm: Place = Field(description="leading edge at the root, aft of the nose datum")
    z_mm: Place = Field(description="where the two lower faces meet, at the root's leading edge")
    root_mm: Length = Field(description="chord at the root")
    tip_mm: Length = Field(description="chord at the tip")
    length_mm: Length = Field(description="of one panel along itself, root to tip")
    tip_aft_mm: Place = Field(0.0, description="tip leading edge aft of root leading edge")
    angle_deg: Annotated[float, Field(ge=20, le=55)] = Field(35.0, description="of each panel against level")
    incidence_deg: Annotated[float, Field(ge=-10, le=10)] = Field(
        0.0, description="of the root line, nose-up positive"
    )
    joint: Literal["one", "two"] = Field(
        "one", description="one blank folded along the root, or two that are bevelled to meet"
    )
    control: Annotated[tuple[Ruddervator, ...], Field(max_length=1)] = Field(
        (), description="ruddervators, alike on both panels; inner and outer from the root along the panel"
    )
    work: Annotated[tuple[SurfaceWork, ...], Field(max_length=50)] = Field(
        (), description="paper taken off, tape, paint: by panel and face"
    )
