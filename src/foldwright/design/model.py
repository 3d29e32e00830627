"""The design file: one aeroplane."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Label, Length, Model, Size3, form
from foldwright.design.equipment import (
    Battery,
    Grip,
    Item,
    Leg,
    Measured,
    Motor,
    PayloadBay,
    Propeller,
    Spread,
    Wire,
)
from foldwright.design.finish import Tell
from foldwright.design.fittings import Fitting
from foldwright.design.parts import Joint, Part

FORMAT = 1

Layout = Literal[
    "tailless pusher", "swept tailless", "tailed trainer", "flat profile", "v-tail", "canard", "other"
]
"""How an aeroplane is laid out; review/layouts.py says what is usual for each."""


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
    layout: Layout = Field(
        "tailless pusher", description="how the aeroplane is laid out; says which figures are usual"
    )
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
    reserve_pct: Annotated[float, Field(ge=0, le=90)] = Field(
        20.0, description="of the battery's charge that is left when it lands"
    )
    transport_mm: Size3 | None = Field(
        None, description="box that it goes into with everything off that comes off"
    )
    field_density_kg_m3: Annotated[float, Field(ge=0.6, le=1.5)] = Field(
        1.225, description="air density where it flies; 1.225 at sea level, 1.112 at 1000 m"
    )
    field_temperature_c: Annotated[float, Field(ge=-40, le=55)] = Field(
        15.0, description="air temperature where it flies; for the friction of the air"
    )
    roll_rate_deg_s: Annotated[float, Field(ge=10, le=720)] | None = Field(
        None,
        description="mean rate of roll to a bank of 45 degrees, full stick, cruise; low rates are for it; "
        "left out: 120 with ailerons or elevons, 60 where the rudder alone rolls it",
    )
    pitch_load_g: Annotated[float, Field(ge=1.1, le=12)] = Field(
        2.0, description="load factor of full stick back in cruise, level flight being 1; likewise"
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
    wire: Annotated[tuple[Wire, ...], Field(max_length=100)] = ()
    bay: Annotated[tuple[PayloadBay, ...], Field(max_length=20)] = ()
    grip: Grip | None = None
    leg: Annotated[tuple[Leg, ...], Field(max_length=10)] = ()
    measured: Measured | None = Field(None, description="a static test of the drive, in place of the model's")
    fitting: Annotated[tuple[Fitting, ...], Field(max_length=60)] = ()
    tell: Tell | None = Field(None, description="how top and underside are told apart at a distance")
    build: Build = Build()
    assumptions: Annotated[dict[str, Spread], Field(max_length=100)] = {}
    usual: Annotated[dict[str, tuple[float, float]], Field(max_length=100)] = Field(
        {}, description="least and most that this design holds to be usual, in place of its layout's"
    )


__all__ = [
    "FORMAT",
    "About",
    "Battery",
    "Build",
    "Design",
    "Item",
    "Layout",
    "Length",
    "Motor",
    "Propeller",
    "Spread",
    "Targets",
]
