"""The stock: generic, sourced entries of what a builder can buy; extended by the user's own file."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Depth, Id, Label, Length, Mass, Model, Size3


class Sourced(Model):
    """An entry: every entry says where its numbers come from, or "typical"."""

    id: Id
    name: Label
    source: Annotated[str, Field(min_length=3, max_length=300)]


class StockMotor(Sourced):
    """A brushless motor."""

    kind: Literal["motor"]
    mass_g: Mass = Field(description="with leads")
    diameter_mm: Length
    length_mm: Length = Field(description="mounting face to the end of the bell")
    kv_rpm_v: Annotated[float, Field(gt=0, le=20000)] = Field(description="speed for each volt, unloaded")
    max_current_a: Annotated[float, Field(gt=0, le=500)] = Field(description="for half a minute")
    static_thrust_n: Annotated[float, Field(gt=0, le=200)] = Field(
        description="with the propeller and cells named"
    )
    static_propeller: Id = Field(description="propeller that the thrust was stated with")
    static_cells: Annotated[int, Field(ge=1, le=12)] = Field(
        description="cells that the thrust was stated with"
    )
    resistance_ohm: Annotated[float, Field(gt=0, le=20)] | None = Field(
        None, description="between two leads; left out: estimated from mass and speed"
    )
    idle_a: Annotated[float, Field(ge=0, le=20)] | None = Field(
        None, description="current without a propeller; left out: a twentieth of the greatest"
    )
    bolts_mm: Annotated[
        tuple[tuple[Length, float], ...],
        Field(
            max_length=12,
            description="screw circle's diameter; degrees from up, clockwise seen from the propeller",
        ),
    ] = ()
    bolt_mm: Length = Field(3.0, description="diameter of the screws' thread")
    shaft_mm: Length = Field(8.0, description="diameter of what stands out behind: shaft, clip, bearing")


class StockPropeller(Sourced):
    """A propeller."""

    kind: Literal["propeller"]
    mass_g: Mass
    diameter_mm: Length
    pitch_mm: Length
    blades: Annotated[int, Field(ge=2, le=6)] = 2


class StockBattery(Sourced):
    """A lithium-polymer battery, cells in series."""

    kind: Literal["battery"]
    mass_g: Mass = Field(description="with lead and plug")
    size_mm: Size3
    cells: Annotated[int, Field(ge=1, le=12)]
    capacity_mah: Annotated[float, Field(gt=0, le=100000)]
    resistance_ohm: Annotated[float, Field(gt=0, le=2)] | None = Field(
        None, description="of the whole battery with lead and plug; left out: estimated from its capacity"
    )
    lead_mm: Depth = Field(80.0, description="length of its lead to the plug")
    connector_mm: tuple[Length, Length] = Field((16.0, 8.0), description="width and height of its plug")


class StockItem(Sourced):
    """Servo, receiver, controller, camera and whatever else has a mass and a size."""

    kind: Literal["servo", "receiver", "controller", "camera", "video_transmitter", "item"]
    mass_g: Mass
    size_mm: Size3
    lead_mm: Depth = Field(0.0, description="length of its own lead; 0: none")
    connector_mm: tuple[Length, Length] | None = Field(None, description="width and height of its plug")
    heat_w: Annotated[float, Field(ge=0, le=200)] = Field(0.0, description="heat it must get rid of")
    current_a: Annotated[float, Field(ge=0, le=50)] = Field(
        0.0, description="what it draws from the controller's regulator at most"
    )
    regulator_a: Annotated[float, Field(ge=0, le=50)] = Field(
        0.0, description="controllers: what its regulator gives without a break"
    )
    max_current_a: Annotated[float, Field(ge=0, le=500)] = Field(
        0.0, description="controllers: what it takes to the motor; 0: not stated"
    )
    resistance_ohm: Annotated[float, Field(ge=0, le=1)] = Field(
        0.008, description="controllers: what the current to the motor meets in it"
    )
    torque_n_cm: Annotated[float, Field(ge=0, le=1000)] = Field(
        0.0, description="servos: where it stalls at 4.8 V; 0: not stated"
    )
    turn_s: Annotated[float, Field(ge=0, le=5)] = Field(
        0.0, description="servos: time for 60 degrees; 0: not stated"
    )
    arm_mm: Annotated[tuple[Length, ...], Field(max_length=12)] = Field(
        (), description="servos: holes of the arm, from the shaft"
    )
    travel_deg: Annotated[float, Field(gt=0, le=170)] = Field(
        45.0, description="servos: turn to either side of the middle"
    )
    lugs_mm: tuple[Length, Length, Length] | None = Field(
        None,
        description="servos: length over the lugs, their thickness, their underside above the bottom",
    )
    shaft_from_end_mm: Length | None = Field(
        None, description="servos: the shaft from the nearer end of the case"
    )
    screw_mm: Length | None = Field(None, description="servos: diameter of the lugs' screws")
    holes_mm: tuple[Length, Length] | None = Field(
        None, description="boards: distance of the mounting holes along x and y"
    )
    hole_mm: Length | None = Field(None, description="boards: diameter of the mounting holes")


class StockFilament(Sourced):
    """A filament."""

    kind: Literal["filament"]
    density_g_cm3: Annotated[float, Field(gt=0.3, le=10)]
    softens_c: Annotated[float, Field(gt=20, le=400)] = Field(
        description="loses its stiffness from here on: glass transition, or melting of soft ones"
    )
    bends: bool = Field(False, description="soft or tough enough for a hinge that is bent for ever")
    price_kg: Annotated[float, Field(ge=0, le=1000)] | None = None


class StockSpar(Sourced):
    """A spar that is bought, not cut from board."""

    kind: Literal["spar"]
    width_mm: Length
    height_mm: Length
    mass_g_m: Annotated[float, Field(gt=0, le=1000)]
    material: Literal["carbon", "wood", "glass", "aluminium"] = Field(
        "wood", description="carbon and aluminium keep radio waves away"
    )
    form: Literal["strip", "rod", "tube", "square"] = "strip"


Entry = Annotated[
    StockMotor | StockPropeller | StockBattery | StockItem | StockSpar | StockFilament,
    Field(discriminator="kind"),
]


class Stock(Model):
    """All entries of one file."""

    format: Literal[1] = Field(description="format of this file")
    entry: Annotated[tuple[Entry, ...], Field(max_length=2000)] = ()

    @cached_property
    def by_id(self) -> Mapping[str, Entry]:
        """Entries by id."""
        return MappingProxyType({entry.id: entry for entry in self.entry})

    def merged(self, other: Stock) -> Stock:
        """Entries of both, sorted by id; an entry of `other` replaces one of the same id."""
        both = {**self.by_id, **other.by_id}
        return Stock(format=self.format, entry=tuple(both[key] for key in sorted(both)))
