"""Plates: fins, and free shapes with folds of their own, from corners in the file or from a drawing.

Frame: x aft from the nose datum, y to the right, z up, mm.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from foldwright.design.bodies import MOST_CORNERS
from foldwright.design.common import Face, Id, Label, Length, Model, PartModel, Place, Point2, form
from foldwright.design.finish import SurfaceWork
from foldwright.design.outline import counter_clockwise, opened
from foldwright.design.wings import Control, Pivot


class TaperForm(Model):
    """A four-cornered outline."""

    root_mm: Length = Field(description="chord at the root")
    tip_mm: Length = Field(description="chord at the tip")
    height_mm: Length = Field(description="root to tip")
    tip_aft_mm: Place = Field(0.0, description="tip leading edge aft of root leading edge")


class FoldLine(Model):
    """A fold across a free shape: the panel at its origin (else the largest) stays, the others turn."""

    id: Id
    from_mm: Point2 = Field(description="one end on the outline, in the shape's own axes")
    to_mm: Point2 = Field(description="the other end on the outline")
    angle_deg: Annotated[float, Field(gt=0, lt=180)] = Field(description="turn from flat")
    toward: Face = Field("b", description="face that the hanging part turns to")
    method: Literal["groove", "crush", "rebate", "slit"] = Field("groove", description="how it is folded")
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")
    order: Annotated[int, Field(ge=0, le=99)] = Field(0, description="folds are made smallest first")


class DrawnMark(Model):
    """A line to draw on a free shape."""

    id: Id
    face: Face = "a"
    points_mm: Annotated[tuple[Point2, ...], Field(min_length=1, max_length=MOST_CORNERS)]


class Cutout(Model):
    """A hole through a free shape."""

    id: Id
    polygon_mm: Annotated[tuple[Point2, ...], Field(min_length=3, max_length=MOST_CORNERS)]


class Plate(PartModel):
    """A single flat board or a free folded shape: a fin, a rib, a cover, a landing-gear plate."""

    kind: Literal["plate"]
    id: Id
    role: Literal["fin", "plate"] = "fin"
    plane: Literal["upright", "level", "across"] = Field(
        "upright", description="upright: x-z plane; level: x-y plane; across: y-z plane"
    )
    x_mm: Place = Field(description="the form's origin, aft of the nose datum")
    y_mm: Place = Field(0.0, description="middle of the board (upright) or the form's origin")
    z_mm: Place = Field(description="the form's origin (upright, across) or under face (level)")
    lean_deg: Annotated[float, Field(ge=-80, le=80)] = Field(
        0.0, description="upright only: top leans outward (to the right on the centre line)"
    )
    turn_deg: tuple[Place, Place, Place] = Field(
        (0.0, 0.0, 0.0),
        description="further turn about x, then y, then z through the origin, right-handed",
    )
    mirrored: bool = Field(False, description="a second one at the other side")
    taper: TaperForm | None = None
    polygon_mm: Annotated[tuple[Point2, ...], Field(min_length=3, max_length=MOST_CORNERS)] | None = Field(
        None,
        description="outline, first axis aft (across: right), second up (upright, across) or right (level)",
    )
    drawing: (
        Annotated[
            str,
            Field(
                max_length=200,
                pattern=r"^[^/\\:]+\.(dxf|DXF)$",
                json_schema_extra=form("the name of a DXF file beside the design file"),
            ),
        ]
        | None
    ) = Field(
        None, description="a DXF beside the design file: layers cut, to_paper, crush, mark with face a or b"
    )
    fold: Annotated[tuple[FoldLine, ...], Field(max_length=50)] = Field(
        (), description="folds; with a drawing they name the angle of a drawn line by its id"
    )
    mark: Annotated[tuple[DrawnMark, ...], Field(max_length=200)] = ()
    cutout: Annotated[tuple[Cutout, ...], Field(max_length=100)] = ()
    control: Annotated[tuple[Control, ...], Field(max_length=4)] = Field(
        (), description="upright tapered forms: a rudder; inner and outer from the root"
    )
    pivot: Pivot | None = Field(None, description="all-moving: turns as a whole")
    lifting: bool = Field(True, description="carries air loads and counts in the lattice")
    work: Annotated[tuple[SurfaceWork, ...], Field(max_length=50)] = ()
    note: Label | None = Field(None, description="a few words for the builder")

    @field_validator("polygon_mm", mode="after")
    @classmethod
    def _counter_clockwise(cls, polygon: tuple[Point2, ...] | None) -> tuple[Point2, ...] | None:
        """Put the outline counter-clockwise, without a last corner that repeats the first."""
        return None if polygon is None else counter_clockwise(opened(polygon))
