"""The design file: one aeroplane."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Id, Label, Length, Mass, Model, Place, Size3, form
from foldwright.design.parts import Joint, Part

FORMAT = 1


class About(Model):
    """Who and what."""

    name: Label = Field(description="name of the aeroplane, as printed on the sheets")
    revision: Annotated[
        str,
        Field(
            pattern=r"^[A-Za-z0-9.]{1,12}$",
            json_schema_extra=form("a text of 1 to 12 letters, digits and dots"),
        ),
    ] = Field(description="printed on every part; raise it when parts change")
    author: Label = Field(description="whoever answers for the design")
    licence: Label = Field(description="licence of the plans, as the designer chooses it")
    layout: Literal["tailless pusher"] = Field("tailless pusher", description="how the aeroplane is laid out")
    flown: Literal["unflown", "flown by the designer"] = Field(
        "unflown", description="flown status, printed on every plan set"
    )
    note: Annotated[str, Field(max_length=2000)] = Field("", description="a few words for the builder")


class Targets(Model):
    """What the designer wants of the aeroplane."""

    static_margin_pct: Annotated[float, Field(ge=0, le=40)] = Field(
        8.0, description="balance point ahead of the neutral point, of the reference chord"
    )
    static_margin_least_pct: Annotated[float, Field(ge=-10, le=40)] = Field(
        5.0, description="least margin that is still flown, of the reference chord"
    )
    static_margin_most_pct: Annotated[float, Field(ge=0, le=60)] = Field(
        12.0, description="largest margin that is still flown, of the reference chord"
    )
    cruise_speed_m_s: Annotated[float, Field(ge=3, le=60)] = Field(
        description="level flight, through the air"
    )
    launch_speed_m_s: Annotated[float, Field(ge=3, le=30)] = Field(
        description="on leaving the hand, through the air"
    )
    all_up_limit_g: Annotated[float, Field(gt=0, le=5000)] = Field(
        description="heaviest all-up weight wanted"
    )
    field_density_kg_m3: Annotated[float, Field(ge=0.6, le=1.5)] = Field(
        1.225, description="air density where it flies; 1.225 at sea level, 1.112 at 1000 m"
    )


class Motor(Model):
    """The motor and its thrust line."""

    stock: Id = Field(description="motor from the stock")
    x_mm: Place = Field(description="propeller plane")
    y_mm: Place = Field(0.0, description="thrust line at the propeller plane, right positive")
    z_mm: Place = Field(description="thrust line at the propeller plane")
    tilt_deg: Annotated[float, Field(ge=-15, le=15)] = Field(
        0.0, description="positive: the thrust vector points nose-up; a rear propeller end higher is negative"
    )
    mount_mass_g: Mass = Field(6.0, description="printed mount and screws")


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


class Spread(Model):
    """A named judgement: centre and one standard deviation."""

    value: float = Field(description="centre, in the assumption's unit")
    sd: Annotated[float, Field(ge=0)] = Field(description="one standard deviation, in the same unit")
    source: Annotated[str, Field(min_length=1, max_length=300)] = Field(
        "set in the design file", description="where the numbers come from"
    )


class Build(Model):
    """Glue and tape in g per metre of joint."""

    glue_g_m: Annotated[float, Field(ge=0, le=100)] = Field(
        6.0, description="hot glue 5-10 g/m (common practice, no source)"
    )
    tape_g_m: Annotated[float, Field(ge=0, le=100)] = Field(
        2.0, description="50 mm tape about 2 g/m (common practice, no source)"
    )


class Design(Model):
    """One aeroplane, as written."""

    format: Literal[1] = Field(description="format of this file")
    design: About
    targets: Targets
    part: Annotated[tuple[Part, ...], Field(min_length=1, max_length=200)]
    joint: Annotated[tuple[Joint, ...], Field(max_length=200)] = ()
    motor: Motor
    propeller: Propeller
    battery: Battery
    equipment: Annotated[tuple[Item, ...], Field(max_length=200)] = ()
    build: Build = Build()
    assumptions: Annotated[dict[str, Spread], Field(max_length=100)] = {}


__all__ = [
    "FORMAT",
    "About",
    "Battery",
    "Build",
    "Design",
    "Item",
    "Length",
    "Motor",
    "Propeller",
    "Spread",
    "Targets",
]
