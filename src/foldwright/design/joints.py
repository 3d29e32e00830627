"""The `[[joint]]` tables of a design: which parts meet, and how."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import Field

from foldwright.design.common import Id, Length, Mass, Model, Place, Sort

BOARD: tuple[Sort, ...] = ("surface", "body", "plate")
ANY: tuple[tuple[Sort, ...], tuple[Sort, ...]] = ((*BOARD, "stick"), (*BOARD, "stick"))


class JointModel(Model):
    """What every joint has: an id and the two parts it is cut into.

    takes: sorts of part that may come first and second. stock_key: key that names a spar of the stock.
    """

    takes: ClassVar[tuple[tuple[Sort, ...], tuple[Sort, ...]]] = ANY
    stock_key: ClassVar[str | None] = None

    id: Id
    parts: tuple[Id, Id] = Field(description="the part that goes in or on, the part that takes it")


class SlotTab(JointModel):
    """Tabs of the first part through slots in the second."""

    takes = (("plate",), BOARD)

    kind: Literal["slot_tab"]
    tabs: Annotated[int, Field(ge=1, le=8)] = Field(2, description="number of tabs")
    tab_length_mm: Length = Field(15.0, description="length of each tab along the root")
    from_mm: Place | None = Field(
        None, description="start of the run of tabs along the first part's root; its root where left out"
    )
    to_mm: Place | None = Field(None, description="end of the run of tabs; the root's end where left out")
    clearance_mm: Annotated[float, Field(ge=-0.5, le=2)] = Field(
        0.1, description="slot wider than the measured board by this much"
    )


class Saddle(JointModel):
    """The first part (a wing or tailplane) seated in a cut-out of the second (a body)."""

    takes = (("surface",), ("body",))

    kind: Literal["saddle"]
    clearance_mm: Annotated[float, Field(ge=0, le=3)] = Field(0.3, description="play round the section")
    glued: bool = Field(True, description="glued along the cut-out; not glued: it comes off for transport")
    notches: bool = Field(True, description="marks on both parts that square one to the other, at both edges")


class Through(JointModel):
    """The first part (a wing or tailplane) pushed through a closed slot in the second (sides, profile)."""

    takes = (("surface",), ("body",))

    kind: Literal["through"]
    clearance_mm: Annotated[float, Field(ge=0, le=3)] = Field(0.3, description="play round the section")
    glued: bool = True
    notches: bool = Field(True, description="marks on both parts that square one to the other, at both edges")


class BandOn(JointModel):
    """A wing held on a body by rubber bands over dowels through the body's sides; it comes off."""

    takes = (("surface",), ("body",))
    stock_key = "dowel"

    kind: Literal["band_on"]
    dowel: Id = Field(description="spar from the stock that the dowels are cut from")
    front_x_mm: Place = Field(description="middle of the front dowel")
    front_z_mm: Place
    rear_x_mm: Place = Field(description="middle of the rear dowel")
    rear_z_mm: Place
    overhang_mm: Length = Field(12.0, description="how far each dowel stands out of each side")
    bands: Annotated[int, Field(ge=2, le=20)] = Field(4, description="rubber bands")
    band_mass_g: Mass = Field(0.8, description="of one band (typical)")
    clearance_mm: Annotated[float, Field(ge=0, le=3)] = Field(0.3, description="seat: play round the section")
    notches: bool = Field(True, description="marks on both parts that square one to the other, at both edges")


class Patch(JointModel):
    """A flat plate (the first part) glued face to face on a panel of the second: a doubler."""

    takes = (("plate",), BOARD)

    kind: Literal["patch"]
    panel: str = Field(
        min_length=1, max_length=60, description='panel of the second part, such as "left" or "trailing"'
    )
    face: Literal["a", "b"] = Field("b", description="face of that panel")


class Clamp(JointModel):
    """The first part fixed on a stick: glued to a flat and bound, or by a printed clamp."""

    takes = (BOARD, ("stick",))

    kind: Literal["clamp"]
    mass_g: Mass = Field(2.0, description="clamp, thread and glue")
    glued: bool = Field(True, description="not glued: it comes off for transport")


__all__ = ["BandOn", "Clamp", "JointModel", "Patch", "Saddle", "SlotTab", "Through"]
