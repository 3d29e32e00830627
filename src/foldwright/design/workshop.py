"""The workshop file: one builder's board, cutter, printer, paper, glue and own equipment."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Id, Label, Length, Model, form
from foldwright.design.model import Item

Kerf = Annotated[float, Field(ge=0, le=5)]


class Sheet(Model):
    """A sheet size on hand."""

    length_mm: Length = Field(description="long side")
    width_mm: Length = Field(description="short side")
    count: Annotated[int, Field(ge=1, le=1000)] | None = Field(
        None, description="on hand; left out: as many as needed"
    )
    price: Annotated[float, Field(ge=0, le=1000)] | None = Field(None, description="of one sheet")


class Board(Model):
    """Measured, not nominal."""

    name: Label = "paper-faced foam board"
    thickness_mm: Annotated[
        tuple[Annotated[float, Field(ge=1, le=15)], ...],
        Field(
            min_length=1,
            max_length=50,
            description="measured at several places; the mean is used, the spread is judged",
        ),
    ]
    areal_density_g_m2: Annotated[float, Field(ge=50, le=3000)] = Field(
        description="a whole sheet weighed, divided by its area; usually 280-700"
    )
    areal_density_sd_pct: Annotated[float, Field(ge=0, le=30)] = Field(
        4.0, description="one standard deviation between sheets; batches differ by 5-10 %"
    )
    paper_g_m2: Annotated[float, Field(ge=0, le=500)] = Field(100.0, description="one paper face")
    grain: Literal["along", "across", "none"] = Field(
        "none", description="along or across the sheet's length"
    )
    show_face: Literal["a", "b", "both"] = Field("a", description="the better face of the board")
    border_mm: Annotated[float, Field(ge=0, le=100)] = Field(5.0, description="not used along each edge")
    sheet: Annotated[tuple[Sheet, ...], Field(min_length=1, max_length=50)]
    currency: Annotated[str, Field(max_length=8)] = Field("", description="of the prices")

    @property
    def thickness(self) -> float:
        """Mean measured thickness, mm."""
        return sum(self.thickness_mm) / len(self.thickness_mm)


class FoldTools(Model):
    """Outer radius left by a crushed fold, and what share of a wedge may be squeezed."""

    outer_radius_mm: Annotated[float, Field(ge=0, le=10)] = Field(
        0.0, description="of a crushed corner, from the coupon"
    )
    crush_width_mm: Length = Field(5.0, description="of the pressing tool")
    squeeze_share: Annotated[float, Field(ge=0, le=1)] = Field(
        0.5, description="of the wedge that may be squeezed [judgement]"
    )


class PenStyle(Model):
    """How one pen is drawn for this cutter."""

    colour: Annotated[
        str,
        Field(pattern=r"^#[0-9a-fA-F]{6}$", json_schema_extra=form('a colour such as "#1b6ca8"')),
    ]
    dash_mm: Annotated[tuple[Annotated[float, Field(gt=0, le=100)], ...], Field(max_length=12)] = Field(
        (), description="dash, gap, dash, gap …; empty: a whole line"
    )
    width_mm: Annotated[float, Field(gt=0, le=5)] = Field(0.25, description="drawn width")


class Cutter(Model):
    """Laser or knife."""

    kind: Literal["laser", "knife"] = Field(description="how the board is cut")
    kerf_mm: Kerf = Field(description="full width of the cut")
    bed_mm: tuple[Length, Length] | None = Field(None, description="left out: no limit (knife)")
    speed_mm_s: Annotated[float, Field(gt=0, le=1000)] = Field(20.0, description="along a through cut")
    engraves: bool = Field(True, description="can draw marks and letters")
    to_paper: bool = Field(True, description="can cut through one skin and the foam only")
    dxf: Literal["R2010", "R12"] = Field("R2010", description="R12 for front ends that cannot read R2010")
    pens: dict[Literal["cut", "to_paper", "crush", "mark", "letter", "sheet_edge"], PenStyle] = {}


class Printer(Model):
    """A small printer."""

    bed_mm: tuple[Length, Length, Length] = Field((200.0, 200.0, 180.0), description="length, width, height")
    material: Literal["pla", "petg", "tpu", "other"] = "petg"
    clearance_mm: Annotated[float, Field(ge=0, le=2)] = Field(0.3, description="of parts that slide")


class FitItem(Item):
    """An item of the workshop's own."""

    only_instead: bool = Field(
        False, description="fitted only in place of an item of the same id; a design without one gets none"
    )


class Fit(Model):
    """What this builder fits instead of the design's equipment."""

    motor: Id | None = Field(None, description="motor from the stock, in place of the design's")
    propeller: Id | None = Field(None, description="propeller from the stock, in place of the design's")
    battery: Id | None = Field(None, description="battery from the stock, in place of the design's")
    equipment: Annotated[tuple[FitItem, ...], Field(max_length=200)] = Field(
        (), description="replaces the design's item of the same id, or adds one"
    )


class Workshop(Model):
    """One builder's place of work."""

    format: Literal[1] = Field(description="format of this file")
    name: Label = Field(description="as printed on the plan set")
    id: Id
    board: Board
    fold: FoldTools = FoldTools()
    cutter: Cutter
    printer: Printer | None = None
    paper: Literal["A4", "A3", "Letter"] = Field("A4", description="of the builder's paper printer")
    spacing_mm: Annotated[float, Field(ge=0, le=50)] = Field(4.0, description="between parts on a sheet")
    glue_g_m: Annotated[float, Field(ge=0, le=100)] | None = Field(None, description="overrides the design's")
    fit: Fit = Fit()
