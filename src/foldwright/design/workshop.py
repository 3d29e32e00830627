"""The workshop file: one builder's board, cutter, printer, paper, glue and own equipment."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Depth, Id, Label, Length, Model, form
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
    """A small printer: what it can hold, and what it makes of a volume of plastic."""

    bed_mm: tuple[Length, Length, Length] = Field((200.0, 200.0, 180.0), description="length, width, height")
    margin_mm: Depth = Field(4.0, description="left free along the edges of the bed, for a brim")
    material: Id = Field("petg", description="filament from the stock that is in it as a rule")
    clearance_mm: Annotated[float, Field(ge=0, le=2)] = Field(
        0.3, description="of parts that slide, all round, from the clearance gauge"
    )
    layer_mm: Annotated[float, Field(ge=0.05, le=0.6)] = Field(0.2, description="height of a layer")
    line_mm: Annotated[float, Field(ge=0.2, le=1.2)] = Field(0.45, description="width of a printed line")
    walls: Annotated[int, Field(ge=1, le=20)] = Field(3, description="lines round every outline")
    infill_pct: Annotated[float, Field(ge=0, le=100)] = Field(15.0, description="of what need not be solid")
    flow_mm3_s: Annotated[float, Field(gt=0, le=60)] = Field(
        6.0, description="plastic laid down, averaged over a print with its moves [judgement]"
    )
    layer_s: Annotated[float, Field(ge=0, le=60)] = Field(2.0, description="lost at each layer [judgement]")
    start_min: Annotated[float, Field(ge=0, le=60)] = Field(
        5.0, description="heating up and clearing the bed, for each bed [judgement]"
    )


TemplateKind = Literal["paper", "rim", "full"]


class Template(Model):
    """How blanks are traced in this workshop: printed plates or paper."""

    make: Literal["auto", "always", "never"] = Field(
        "auto", description="auto: for a knife, not for a laser, which needs none"
    )
    kind: Literal["auto", "paper", "rim", "full"] = Field(
        "auto", description="auto: by print time, grams and size, for each blank"
    )
    only: Annotated[dict[str, TemplateKind], Field(max_length=200)] = Field(
        {}, description='kind for single blanks, such as "wing/main" = "paper"'
    )
    tool: Literal["pencil", "blade"] = Field("pencil", description="what goes round its edge")
    offset_mm: Annotated[float, Field(ge=0, le=3)] | None = Field(
        None, description="outline drawn in by this; pencil 0.3, blade 0.1 where left out [judgement]"
    )
    plate_mm: Annotated[float, Field(ge=0.4, le=10)] = Field(
        3.0, description="thickness of a plate; a blade wants 3 mm at least"
    )
    recess_mm: Annotated[float, Field(ge=0.2, le=3)] = Field(0.6, description="depth of letters and grooves")
    rim_mm: Annotated[float, Field(ge=6, le=60)] = Field(13.0, description="width of a rim and its bars")
    slot_mm: Annotated[float, Field(ge=0.6, le=5)] = Field(1.4, description="width of a slot for the tool")
    letter_mm: Annotated[float, Field(ge=3, le=30)] = Field(6.0, description="height of letters wished for")
    stem_mm: Annotated[float, Field(ge=0.8, le=3)] = Field(0.8, description="thickness of a letter's strokes")
    small_mm: Length = Field(45.0, description="a part no longer than this is traced with a pencil only")
    most_hours: Annotated[float, Field(gt=0, le=200)] = Field(
        10.0, description="of printing, for all templates; past it large blanks go on paper"
    )
    most_g: Annotated[float, Field(gt=0, le=5000)] = Field(
        250.0, description="of filament, for all templates; past it large blanks go on paper"
    )

    @property
    def offset(self) -> float:
        """How far the plate's outline lies inside the blank's, mm."""
        if self.offset_mm is not None:
            return self.offset_mm
        return 0.3 if self.tool == "pencil" else 0.1


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
    printer: Printer | None = Field(None, description="left out: fittings are printed elsewhere")
    template: Template = Template()
    paper: Literal["A4", "A3", "Letter"] = Field("A4", description="of the builder's paper printer")
    spacing_mm: Annotated[float, Field(ge=0, le=50)] = Field(4.0, description="between parts on a sheet")
    glue_g_m: Annotated[float, Field(ge=0, le=100)] | None = Field(None, description="overrides the design's")
    fit: Fit = Fit()
