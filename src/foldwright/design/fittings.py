"""The `[[fitting]]` tables of a design: printed parts that stay in the aeroplane. A tagged union, one model a
kind.

Almost every number is left out in a file: it follows from the motor, the control, the servo, the former. What
a key says goes before what would follow. A new kind is its model, its name in the union, one module in
airframe/fittings (what it is, where, how heavy) and one in make/fittings (its solid).
"""

from __future__ import annotations

from typing import Annotated, Literal, get_args

from pydantic import Field

from foldwright.design.common import Depth, Id, Length, Mass, Model, Place

Turned = Annotated[float, Field(ge=-90, le=90, allow_inf_nan=False)]  # degrees
Share = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]  # per cent
Count = Annotated[int, Field(ge=1, le=20)]
Dotted = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,39}\.[a-z][a-z0-9-]{0,39}$")]
"""Something of a part: "wing.elevon", "body.motor-former"."""


class FittingModel(Model):
    """What all fittings have. filament: id of the stock, in place of what the kind wants of the printer's."""

    id: Id
    filament: Id | None = Field(None, description="filament from the stock, in place of the kind's usual one")
    infill_pct: Share | None = Field(None, description="in place of the kind's usual one; 100: solid")


class MotorMount(FittingModel):
    """Carries the motor on a former, with tilt and side thrust built in."""

    kind: Literal["motor_mount"] = "motor_mount"
    former: Dotted | None = Field(None, description="former it stands on; the nearest that takes a motor")
    plate_mm: Length = Field(4.0, description="thickness under the motor's screws")
    foot_mm: Length = Field(3.0, description="thickness of the foot on the former, at its thinnest")
    gap_mm: Depth = Field(0.5, description="air between its foot and the walls that the former stands in")
    exit: Literal["down", "up", "left", "right", "none"] = Field("down", description="way out for the leads")
    exit_mm: tuple[Length, Length] = Field((9.0, 6.0), description="width and depth of that way out")
    screws_g: Mass = Field(2.0, description="screws and nuts")


class ControlHorn(FittingModel):
    """A horn on a control, driven by a servo through a push rod; two, handed, where servo or surface is
    mirrored.
    """

    kind: Literal["horn"] = "horn"
    control: Dotted = Field(description='control it moves, such as "wing.elevon"')
    servo: Id = Field(description="equipment that drives it")
    at_mm: Depth | None = Field(
        None, description="distance along the surface from its root; the servo's where left out"
    )
    face: Literal["upper", "under"] = Field(
        "under", description="side of the surface it stands on; of fins and rudders upper is the right side"
    )
    height_mm: Length | None = Field(
        None, description="hole above the board's face; from throw and servo arm where left out"
    )
    arm_mm: Length | None = Field(None, description="hole of the servo's arm; the middle one where left out")
    neutral_mm: Place | None = Field(
        None,
        description="trailing edge up at the servo's middle (of fins to the left), as the card's neutral;"
        " where left out a reserve of travel is reckoned with",
    )
    rod_mm: Length = Field(1.2, description="diameter of the push rod's wire")
    thick_mm: Length = Field(2.4, description="thickness of the horn")
    screws_g: Mass = Field(0.0, description="screws where it is not glued")


class ServoFrame(FittingModel):
    """A frame about a servo's pocket that holds it in the board; one for each of a mirrored servo."""

    kind: Literal["servo_frame"] = "servo_frame"
    servo: Id = Field(description="equipment it holds")
    rim_mm: Length = Field(5.0, description="width of the rim that is glued to the board")
    thick_mm: Length = Field(1.6, description="thickness of the rim")


class RodGuide(FittingModel):
    """Guides that keep a push rod's tube straight between servo and horn."""

    kind: Literal["rod_guide"] = "rod_guide"
    horn: Id = Field(description="fitting whose push rod it guides")
    tube_mm: Length = Field(2.0, description="outer diameter of the tube, or of the wire where it runs bare")
    every_mm: Length = Field(90.0, description="greatest distance between two of them, or an end")


class HingeStrip(FittingModel):
    """Thin printed hinges let into both sides of a hinge line, in place of tape or beside it."""

    kind: Literal["hinge_strip"] = "hinge_strip"
    control: Dotted = Field(description='control whose hinge line it holds, such as "tail.elevator"')
    count: Count = Field(3, description="hinges along the line, on each half")
    long_mm: Length = Field(20.0, description="along the hinge line")
    wing_mm: Length = Field(10.0, description="reach to either side of it")
    thick_mm: Length = Field(1.0, description="of the leaves")
    web_mm: Length = Field(0.4, description="thickness where it bends")


class BatteryStop(FittingModel):
    """Keeps the battery where the balance wants it; glued at the mark."""

    kind: Literal["battery_stop"] = "battery_stop"
    end: Literal["front", "rear"] = Field(
        "front", description="end of the battery that it stands against; a throw and a landing push it there"
    )
    high_mm: Length | None = Field(None, description="two thirds of the battery's height where left out")
    thick_mm: Length = Field(2.4, description="of its walls")
    foot_mm: Length = Field(14.0, description="length of its foot on the floor")


class HatchCatch(FittingModel):
    """Glued under a hatch's rear edge; its tongue slides under the wing's leading edge."""

    kind: Literal["hatch_catch"] = "hatch_catch"
    deck: Dotted = Field(description='hatch it holds, such as "body.hatch"')
    wide_mm: Length = Field(20.0, description="across")
    tongue_mm: Length = Field(12.0, description="how far the tongue reaches under the wing")
    thick_mm: Length = Field(1.6, description="of the tongue")


class PayloadCarrier(FittingModel):
    """A carrier that slides in a tray and is locked by a pin; with a dummy of the same mass."""

    kind: Literal["payload_carrier"] = "payload_carrier"
    holds: Id = Field(description="equipment or payload bay it carries")
    most_g: Mass = Field(120.0, description="heaviest load it is meant for")
    floor_mm: Length = Field(1.6, description="thickness of floor and walls")
    wall_mm: Length = Field(10.0, description="height of its walls")
    pin_mm: Length = Field(3.0, description="diameter of the locking pin")
    dummy: bool = Field(True, description="print a block of the same mass and centre for the first flights")
    nut_g: Annotated[float, Field(gt=0, le=100)] = Field(
        1.2, description="mass of one ballast nut; steel M5 about 1.2 g (ISO 4032 sizes)"
    )
    nut_mm: tuple[Length, Length] = Field(
        (8.0, 4.7), description="width across flats and height of that nut; M5 (ISO 4032)"
    )


class EquipmentTray(FittingModel):
    """A tray with pegs and wire channels for boards with a hole pattern, or rims for boxes without one."""

    kind: Literal["equipment_tray"] = "equipment_tray"
    holds: Annotated[tuple[Id, ...], Field(min_length=1, max_length=6)] = Field(
        description="equipment that stands on it, in the aeroplane's places"
    )
    floor_mm: Length = Field(1.6, description="thickness")
    rim_mm: Depth = Field(3.0, description="how far it reaches past what stands on it")
    peg_mm: Length = Field(2.6, description="diameter of pegs in holes whose own size is not stated")
    channel_mm: Length = Field(4.0, description="width of the channels for wires")


class LandingLeg(FittingModel):
    """A curved strip in place of a `[[leg]]`'s wire; solid, printed on its side."""

    kind: Literal["landing_leg"] = "landing_leg"
    leg: Id = Field(description="id of the [[leg]] it is")
    wide_mm: Length = Field(12.0, description="across the bend; its height on the printer's bed")
    thick_mm: Length = Field(2.8, description="of the strip")
    spread_mm: Depth = Field(25.0, description="its foot stands this far outboard of where it is fixed")
    foot_mm: Length = Field(18.0, description="length of the pad on the body")


class Skid(FittingModel):
    """A runner under the body that takes the rub of landing."""

    kind: Literal["skid"] = "skid"
    part: Id | None = Field(None, description="body it is glued under; the first one where left out")
    from_mm: Place = Field(description="its front end")
    to_mm: Place = Field(description="its rear end")
    y_mm: Place = Field(0.0, description="right positive")
    high_mm: Length = Field(6.0, description="below the board")
    thick_mm: Length = Field(2.4, description="of its blade")
    foot_mm: Length = Field(10.0, description="width of its foot")


Fitting = Annotated[
    MotorMount
    | ControlHorn
    | ServoFrame
    | RodGuide
    | HingeStrip
    | BatteryStop
    | HatchCatch
    | PayloadCarrier
    | EquipmentTray
    | LandingLeg
    | Skid,
    Field(discriminator="kind"),
]


def _models() -> dict[str, type[FittingModel]]:
    kinds = get_args(get_args(Fitting)[0])
    return {get_args(kind.model_fields["kind"].annotation)[0]: kind for kind in kinds}


FITTING_KINDS: dict[str, type[FittingModel]] = _models()
"""Models of the fittings by their kind."""

__all__ = [
    "FITTING_KINDS",
    "BatteryStop",
    "ControlHorn",
    "EquipmentTray",
    "Fitting",
    "FittingModel",
    "HatchCatch",
    "HingeStrip",
    "LandingLeg",
    "MotorMount",
    "PayloadCarrier",
    "RodGuide",
    "ServoFrame",
    "Skid",
    "Turned",
]
