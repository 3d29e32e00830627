"""The `[[part]]` and `[[joint]]` tables of a design: a tagged union, one model a kind.

Frame: x aft from the nose datum, y to the right, z up, mm. Outer dimensions hold when the board
thickness changes.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from foldwright.design.common import FoldMethod, Id, Label, Length, Model, Place, Point2
from foldwright.design.outline import counter_clockwise, opened

MOST_CORNERS = 500


class Nose(Model):
    """How the leading edge is folded."""

    method: Literal["slit", "mitre", "two_fold"] = Field(
        "slit",
        description="slit: one fold on the inner paper; mitre: on the outer; two_fold: a narrow nose strip",
    )
    strip_height_mm: Length | None = Field(None, description="two_fold only: height of the narrow nose strip")
    slope_limit_deg: Annotated[float, Field(gt=0, le=80)] = Field(
        40.0, description="steepest front slope that is accepted"
    )
    fold: Literal["groove", "crush"] = Field(
        "groove", description="mitre and two_fold: how the folds are made"
    )
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")


class Spar(Model):
    """The board or bought spar under the ridge."""

    x_mm: Length = Field(description="ridge behind the leading edge, root")
    height_mm: Length = Field(description="between the inner skins at the ridge")
    width_mm: Length | None = Field(None, description="flat top width; board thickness where left out")
    stock: Id | None = Field(None, description="spar from the stock; cut from board where left out")


class Ridge(Model):
    """The fold in the upper skin over the spar (and, with a level trailing part, at the strip's aft edge)."""

    method: Literal["groove", "crush", "slit"] = Field("groove", description="how the ridge is folded")
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")


class Strip(Model):
    """The under strip."""

    aft_mm: Length = Field(description="its aft edge behind the leading edge, root")
    runs_on: bool = Field(False, description="runs on under a level trailing part as a glue land")
    land_mm: Annotated[float, Field(ge=0, le=500)] = Field(0.0, description="length of that glue land")


class Trailing(Model):
    """The part of the upper skin behind the strip."""

    kind: Literal["level", "straight"] = Field(
        "level",
        description="level: parallel to the strip; straight: the aft panel runs on to the trailing edge",
    )


class Control(Model):
    """A hinged control surface cut from the trailing part, on both halves unless one side is named."""

    id: Id
    kind: Literal["elevon"] = "elevon"
    chord_mm: Length = Field(description="hinge line to trailing edge")
    inner_mm: Annotated[float, Field(ge=0, le=3000)] = Field(description="inner end from the centre line")
    outer_mm: Length = Field(description="outer end from the centre line")
    up_deg: Annotated[float, Field(gt=0, le=60)] = Field(15.0, description="travel, trailing edge up")
    down_deg: Annotated[float, Field(gt=0, le=60)] = Field(15.0, description="travel, trailing edge down")
    bevel_limit_deg: Annotated[float, Field(gt=0, le=60)] = Field(
        30.0, description="what the hinge bevel clears"
    )
    end_gap_mm: Annotated[float, Field(ge=0, le=20)] = Field(
        1.0, description="free gap at each end of the control"
    )
    hinge_face: Literal["a", "b"] = Field("a", description="face whose paper is the hinge (a: upper)")


class FoldedWing(Model):
    """A wing folded from one blank: strip, nose, front, ridge, aft, trailing part, controls."""

    kind: Literal["folded_wing"]
    id: Id
    x_mm: Place = Field(description="leading edge at the root, aft of the nose datum")
    z_mm: Place = Field(description="under face of the under strip at the root")
    incidence_deg: Annotated[float, Field(ge=-10, le=10)] = Field(
        0.0, description="of the under strip, nose-up positive"
    )
    span_mm: Annotated[float, Field(ge=100, le=3000)] = Field(description="tip to tip")
    chord_mm: Annotated[float, Field(ge=40, le=1000)] = Field(
        description="leading edge to trailing edge, square to the span"
    )
    nose: Nose = Nose()
    spar: Spar
    ridge: Ridge = Ridge()
    strip: Strip
    trailing: Trailing = Trailing()
    control: Annotated[tuple[Control, ...], Field(max_length=20)] = ()


class Station(Model):
    """A cross-section of a box body: outer dimensions at one x."""

    x_mm: Place = Field(description="aft of the nose datum")
    width_mm: Length = Field(description="outside")
    bottom_mm: Place = Field(description="z of the outer face of the floor")
    top_mm: Place = Field(description="z of the upper edge of the sides")


class Hole(Model):
    """A hole through a former or a side."""

    shape: Literal["round", "rectangle"] = "round"
    y_mm: Place = Field(0.0, description="centre")
    z_mm: Place = Field(0.0, description="centre")
    width_mm: Length = Field(description="width, or diameter of a round hole")
    height_mm: Length | None = Field(None, description="rectangle only")


class Former(Model):
    """A plate across the body (former / bulkhead) between the sides."""

    id: Id
    x_mm: Place = Field(description="forward face")
    role: Literal["nose", "former", "motor", "tail"] = Field("former", description="what it is for")
    tilt_deg: Annotated[float, Field(ge=-15, le=15)] = Field(
        0.0, description="role motor: taken from the motor's tilt where left 0"
    )
    hole: Annotated[tuple[Hole, ...], Field(max_length=20)] = ()


class Deck(Model):
    """A plate closing the top of the body between two x."""

    id: Id
    role: Literal["deck", "hatch", "tray"] = "deck"
    from_mm: Place = Field(description="x of its front edge")
    to_mm: Place = Field(description="x of its rear edge")
    z_mm: Place | None = Field(
        None, description="tray only: upper face; decks and hatches sit on or between the sides"
    )
    seat: Literal["on", "between"] = Field("between", description="on the sides' edges, or between the sides")
    gap_mm: Annotated[float, Field(ge=0, le=5)] = Field(0.3, description="play towards each side")


class Box(Model):
    """A box fuselage: floor and two sides in one blank; formers, decks, hatch and tray are blanks too."""

    kind: Literal["box"]
    id: Id
    corner: FoldMethod = Field("groove", description="how the two long corners are folded")
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")
    bend: Literal["groove", "slit", "crush"] = Field(
        "groove", description="how the sides bend where the width changes"
    )
    station: Annotated[tuple[Station, ...], Field(min_length=2, max_length=50)]
    former: Annotated[tuple[Former, ...], Field(max_length=50)] = ()
    deck: Annotated[tuple[Deck, ...], Field(max_length=50)] = ()
    least_inside_mm: Length = Field(10.0, description="least clear width between the sides")


class TaperForm(Model):
    """A four-cornered outline."""

    root_mm: Length = Field(description="chord at the root")
    tip_mm: Length = Field(description="chord at the tip")
    height_mm: Length = Field(description="root to tip")
    tip_aft_mm: Place = Field(0.0, description="tip leading edge aft of root leading edge")


class Plate(Model):
    """A single flat board: a fin, or any free shape."""

    kind: Literal["plate"]
    id: Id
    role: Literal["fin", "plate"] = "fin"
    plane: Literal["upright", "level"] = Field("upright", description="upright: x-z plane; level: x-y plane")
    x_mm: Place = Field(description="the form's origin, aft of the nose datum")
    y_mm: Place = Field(0.0, description="middle of the board (upright) or the form's origin (level)")
    z_mm: Place = Field(description="the form's origin (upright) or under face (level)")
    mirrored: bool = Field(False, description="a second one at the other side")
    taper: TaperForm | None = None
    polygon_mm: Annotated[tuple[Point2, ...], Field(min_length=3, max_length=MOST_CORNERS)] | None = Field(
        None, description="outline, first axis aft, second up (upright) or right (level)"
    )
    lifting: bool = Field(True, description="carries air loads and counts in the lattice")

    @field_validator("polygon_mm", mode="after")
    @classmethod
    def _counter_clockwise(cls, polygon: tuple[Point2, ...] | None) -> tuple[Point2, ...] | None:
        """Put the outline counter-clockwise, without a last corner that repeats the first."""
        return None if polygon is None else counter_clockwise(opened(polygon))


Part = Annotated[FoldedWing | Box | Plate, Field(discriminator="kind")]


class SlotTab(Model):
    """Tabs of the first part through slots in the second."""

    kind: Literal["slot_tab"]
    id: Id
    parts: tuple[Id, Id] = Field(description="the part with the tabs, the part with the slots")
    tabs: Annotated[int, Field(ge=1, le=8)] = Field(2, description="number of tabs")
    tab_length_mm: Length = Field(15.0, description="length of each tab along the root")
    from_mm: Place | None = Field(
        None, description="start of the run of tabs along the first part's root; its root where left out"
    )
    to_mm: Place | None = Field(None, description="end of the run of tabs; the root's end where left out")
    clearance_mm: Annotated[float, Field(ge=-0.5, le=2)] = Field(
        0.1, description="slot wider than the measured board by this much"
    )


class Saddle(Model):
    """The first part (a wing) seated in a cut-out of the second (a body)."""

    kind: Literal["saddle"]
    id: Id
    parts: tuple[Id, Id] = Field(description="the wing, the body")
    clearance_mm: Annotated[float, Field(ge=0, le=3)] = Field(0.3, description="play round the section")
    glued: bool = Field(True, description="glued along the cut-out")


Joint = Annotated[SlotTab | Saddle, Field(discriminator="kind")]

__all__ = [
    "Box",
    "Control",
    "Deck",
    "FoldedWing",
    "Former",
    "Hole",
    "Joint",
    "Label",
    "Nose",
    "Part",
    "Plate",
    "Ridge",
    "Saddle",
    "SlotTab",
    "Spar",
    "Station",
    "Strip",
    "TaperForm",
    "Trailing",
]  # fmt: skip
