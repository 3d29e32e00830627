"""Bodies: a folded box, a flat sheet in profile, a bought stick.

Frame: x aft from the nose datum, y to the right, z up, mm. Outer dimensions hold when the board thickness
changes.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field, field_validator

from foldwright.design.common import FoldMethod, Id, Length, Mass, Model, PartModel, Place, Point2, Sort
from foldwright.design.finish import SurfaceWork
from foldwright.design.outline import counter_clockwise, opened

MOST_CORNERS = 500


class Station(Model):
    """A cross-section of a box body: outer dimensions at one x."""

    x_mm: Place = Field(description="aft of the nose datum")
    width_mm: Length = Field(description="outside")
    bottom_mm: Place = Field(description="z of the outer face of the floor")
    top_mm: Place = Field(description="z of the upper edge of the sides")


class Hole(Model):
    """A hole through a former."""

    shape: Literal["round", "rectangle"] = "round"
    y_mm: Place = Field(0.0, description="centre")
    z_mm: Place = Field(0.0, description="centre")
    width_mm: Length = Field(description="width, or diameter of a round hole")
    height_mm: Length | None = Field(None, description="rectangle only")


class Opening(Model):
    """A hole through floor, side, deck or profile that something passes: air, a lead, an antenna, a look."""

    id: Id
    role: Literal["inlet", "outlet", "antenna", "lead", "camera", "access"] = Field(
        description="what passes: cooling air in or out, antenna, lead, the camera's look, a hand or tool"
    )
    panel: str = Field(
        "both",
        pattern=r"^[a-z][a-z0-9-]{0,39}$",
        description='"floor", "left", "right", "both" sides, or the id of a deck',
    )
    shape: Literal["round", "rectangle"] = "rectangle"
    x_mm: Place = Field(description="centre")
    y_mm: Place = Field(0.0, description="centre, in floor and decks")
    z_mm: Place = Field(0.0, description="centre, in sides")
    length_mm: Length = Field(description="along x, or diameter of a round one")
    height_mm: Length | None = Field(None, description="across it (z in sides, y in floor and decks)")


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
    """A plate closing the body between two x: deck, hatch or tray; or board rolled over it or its nose."""

    id: Id
    role: Literal["deck", "hatch", "tray", "rolled", "rolled_nose"] = Field(
        "deck",
        description="rolled: arched from side to side; rolled_nose: bent round the front from floor to top",
    )
    from_mm: Place = Field(description="x of its front edge")
    to_mm: Place = Field(description="x of its rear edge")
    z_mm: Place | None = Field(
        None, description="tray only: upper face; decks and hatches sit on or between the sides"
    )
    seat: Literal["on", "between"] = Field("between", description="on the sides' edges, or between the sides")
    gap_mm: Annotated[float, Field(ge=0, le=5)] = Field(0.3, description="play towards each side")
    rise_mm: Length | None = Field(None, description="rolled only: height of the arch over the sides")
    facets: Annotated[int, Field(ge=3, le=16)] = Field(
        8, description="rolled and rolled_nose: flat strips across the bend, with a scored line between"
    )
    hold: Literal["glued", "slid", "hinged", "magnets"] | None = Field(
        None, description="how it is held; left out: hatches come off and add no mass, all else is glued"
    )
    hold_mass_g: Mass | None = Field(None, description="magnets, latch or rails; the usual figure without")


class Box(PartModel):
    """A box fuselage: floor and two sides in one blank; formers, decks, hatch and tray are blanks too."""

    sort: ClassVar[Sort] = "body"

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
    opening: Annotated[tuple[Opening, ...], Field(max_length=50)] = ()
    least_inside_mm: Length = Field(10.0, description="least clear width between the sides")
    work: Annotated[tuple[SurfaceWork, ...], Field(max_length=50)] = ()


class SideDoubler(Model):
    """A piece of the profile's own outline glued on both of its sides."""

    id: Id
    from_mm: Place = Field(description="x of its front edge")
    to_mm: Place = Field(description="x of its rear edge")


class ProfileBody(PartModel):
    """A body cut from flat sheet, seen from the side; doublers thicken it where motor and wing sit."""

    sort: ClassVar[Sort] = "body"

    kind: Literal["profile_body"]
    id: Id
    polygon_mm: Annotated[tuple[Point2, ...], Field(min_length=3, max_length=MOST_CORNERS)] = Field(
        description="outline seen from the right: x aft of the nose datum, z up"
    )
    doubler: Annotated[tuple[SideDoubler, ...], Field(max_length=10)] = ()
    opening: Annotated[tuple[Opening, ...], Field(max_length=50)] = ()
    work: Annotated[tuple[SurfaceWork, ...], Field(max_length=50)] = ()

    @field_validator("polygon_mm", mode="after")
    @classmethod
    def _counter_clockwise(cls, polygon: tuple[Point2, ...]) -> tuple[Point2, ...]:
        """Put the outline counter-clockwise, without a last corner that repeats the first."""
        return counter_clockwise(opened(polygon))


class Stick(PartModel):
    """A bought stick or tube, wood or carbon, along x, that carries wing, tail or motor."""

    sort: ClassVar[Sort] = "stick"

    kind: Literal["stick"]
    id: Id
    stock: Id = Field(description="spar from the stock")
    from_mm: Place = Field(description="x of its front end")
    to_mm: Place = Field(description="x of its rear end")
    y_mm: Place = Field(0.0, description="middle, right positive")
    z_mm: Place = Field(description="middle at its front end")
    rear_z_mm: Place | None = Field(None, description="middle at its rear end; as in front where left out")
    mirrored: bool = Field(False, description="a second one at the other side (twin booms)")

    @classmethod
    def stock_keys(cls) -> tuple[tuple[str, ...], ...]:
        """The stick itself."""
        return (("stock",),)
