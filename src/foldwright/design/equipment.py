"""Equipment of a design: what stands where, how it is wired, reached, cooled and what it must not see.

Frame: x aft from the nose datum, y to the right, z up, mm. Places are centres.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Depth, Id, Label, Length, Mass, Model, Place, Point3, Size3

Way = Literal["+x", "-x", "+y", "-y", "+z", "-z"]


class Motor(Model):
    """The motor and its thrust line."""

    stock: Id = Field(description="motor from the stock")
    x_mm: Place = Field(description="propeller plane")
    y_mm: Place = Field(0.0, description="thrust line at the propeller plane, right positive")
    z_mm: Place = Field(description="thrust line at the propeller plane")
    tilt_deg: Annotated[float, Field(ge=-15, le=15)] = Field(
        0.0, description="positive: the thrust vector points nose-up; a rear propeller end higher is negative"
    )
    side_deg: Annotated[float, Field(ge=-10, le=10)] = Field(
        0.0, description="side thrust, positive: the thrust vector points to the right as it flies"
    )
    mirrored: bool = Field(False, description="a second motor at the other side, y_mm away from the middle")
    mount_mass_g: Mass = Field(
        6.0, description="mount and screws; a [[fitting]] of kind motor_mount is weighed instead"
    )
    lead_mm: Depth = Field(60.0, description="length of its own leads")


class Propeller(Model):
    """The propeller."""

    stock: Id = Field(description="propeller from the stock")


class Battery(Model):
    """The battery, its place and what it may be exchanged for. x is the battery's centre."""

    stock: Id = Field(description="battery from the stock")
    alternatives: Annotated[tuple[Id, ...], Field(max_length=20)] = Field(
        (), description="batteries from the stock that may take its place"
    )
    x_mm: Place | None = Field(None, description="centre; left out: where the balance wants it")
    y_mm: Place = Field(0.0, description="centre")
    z_mm: Place = Field(description="centre of this battery; another one stands on the same floor")
    slide_from_mm: Place = Field(description="foremost place of the battery's front face")
    slide_to_mm: Place = Field(description="aftmost place of the battery's rear face")
    lead_from: Literal["front", "rear"] = Field("rear", description="end that its lead comes out of")


class Antenna(Model):
    """An antenna wire or whip: from its foot straight to its tip."""

    foot_mm: Point3 = Field(description="where it leaves the item, in the aeroplane")
    tip_mm: Point3 = Field(description="its end, in the aeroplane")


class Look(Model):
    """What a camera sees: a pyramid from its lens."""

    lens_mm: Point3 = Field(description="the lens, in the aeroplane")
    wide_deg: Annotated[float, Field(gt=0, lt=175)] = Field(description="angle of view across")
    high_deg: Annotated[float, Field(gt=0, lt=175)] = Field(description="angle of view up and down")
    down_deg: Annotated[float, Field(ge=-90, le=90)] = Field(0.0, description="looks down by this much")
    side_deg: Annotated[float, Field(ge=-180, le=180)] = Field(
        0.0, description="looks to the right by this much; 180 looks aft"
    )


class Wire(Model):
    """One lead from one thing to another, as it is run."""

    id: Id
    ends: tuple[Id, Id] = Field(description='what it joins: "battery", "motor", or ids of equipment')
    via_mm: Annotated[tuple[Point3, ...], Field(max_length=20)] = Field(
        (), description="points that it is led past"
    )
    length_mm: Length | None = Field(None, description="length on hand; the items' own leads where left out")
    connector_mm: tuple[Length, Length] | None = Field(
        None, description="width and height of the plug that has to pass; the items' own where left out"
    )
    through: Annotated[tuple[str, ...], Field(max_length=10)] = Field(
        (), description='openings or formers it passes, such as "body.saddle-former" or "body.wire-slot"'
    )


class Item(Model):
    """One piece of equipment: from the stock, or with its own mass and size. Place is its centre."""

    id: Id
    stock: Id | None = Field(None, description="from the stock; left out: own mass and size")
    mass_g: Mass | None = Field(None, description="own mass, before the stock's")
    size_mm: Size3 | None = Field(
        None, description="own length (x), width (y), height (z), before the stock's"
    )
    x_mm: Place = Field(description="centre")
    y_mm: Place = Field(0.0, description="centre, right positive")
    z_mm: Place = Field(description="centre")
    mirrored: bool = Field(False, description="a second one at the other side")
    movable: bool = Field(False, description="may be moved along x to balance the aeroplane")
    slide_from_mm: Place | None = Field(None, description="movable only: foremost centre")
    slide_to_mm: Place | None = Field(None, description="movable only: aftmost centre")
    antenna: Annotated[tuple[Antenna, ...], Field(max_length=4)] = ()
    look: Look | None = Field(None, description="cameras: what it must see unhindered")
    keep_out_mm: Depth = Field(0.0, description="room all round that nothing else may take")
    access: Way | None = Field(None, description="where a tool or finger comes from")
    access_wide_mm: Length = Field(8.0, description="how wide that tool is")
    access_long_mm: Length = Field(60.0, description="how far it reaches out")
    heat_w: Annotated[float, Field(ge=0, le=200)] | None = Field(
        None, description="heat it must get rid of, before the stock's; more than 2 W wants air"
    )
    current_a: Annotated[float, Field(ge=0, le=50)] | None = Field(
        None, description="what it draws from the controller's regulator at most, before the stock's"
    )


class PayloadBay(Model):
    """Room that is promised to a payload: nothing else may stand in it."""

    id: Id
    x_mm: Place = Field(description="centre")
    y_mm: Place = Field(0.0, description="centre")
    z_mm: Place = Field(description="centre")
    size_mm: Size3
    holds: Annotated[tuple[Id, ...], Field(max_length=20)] = Field(
        (), description="equipment that goes in it"
    )


class Grip(Model):
    """Where the hand holds it for the throw."""

    x_mm: Place = Field(description="middle of the hand")
    width_mm: Length = Field(80.0, description="of a hand, along the body")


class Leg(Model):
    """A place for a landing leg."""

    id: Id
    x_mm: Place = Field(description="where it is fixed")
    y_mm: Place = Field(0.0, description="where it is fixed, right positive")
    z_mm: Place = Field(description="where it is fixed")
    long_mm: Length = Field(description="how far it reaches down")
    mass_g: Mass = Field(4.0, description="with what holds it")
    mirrored: bool = Field(False, description="a second one at the other side")


class Measured(Model):
    """What a static test of the drive read: full throttle, held fast, of one motor."""

    static_thrust_n: Annotated[float, Field(gt=0, le=200)] | None = Field(
        None, description="pull on a scale; 1 N is 102 g"
    )
    static_current_a: Annotated[float, Field(gt=0, le=500)] | None = Field(
        None, description="through the battery's lead"
    )
    static_volt_v: Annotated[float, Field(gt=1, le=60)] | None = Field(
        None, description="at the battery under that load; left out: a fresh battery is taken"
    )


class Spread(Model):
    """A named judgement: centre and one standard deviation."""

    value: float = Field(description="centre, in the assumption's unit")
    sd: Annotated[float, Field(ge=0)] = Field(description="one standard deviation, in the same unit")
    source: Annotated[str, Field(min_length=1, max_length=300)] = Field(
        "set in the design file", description="where the numbers come from"
    )


__all__ = [
    "Antenna",
    "Battery",
    "Grip",
    "Item",
    "Label",
    "Leg",
    "Look",
    "Motor",
    "PayloadBay",
    "Propeller",
    "Spread",
    "Way",
    "Wire",
]
