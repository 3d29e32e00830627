"""The `[[part]]` and `[[joint]]` tables of a design: tagged unions, one model a kind.

A new kind of part is one line here, its model beside it and one module in airframe/kinds.
"""

from __future__ import annotations

from typing import Annotated, get_args

from pydantic import Field

from foldwright.design.bodies import (
    MOST_CORNERS,
    Box,
    Deck,
    Former,
    Hole,
    Opening,
    ProfileBody,
    SideDoubler,
    Station,
    Stick,
)
from foldwright.design.common import PartModel
from foldwright.design.finish import SurfaceWork, Tell
from foldwright.design.joints import BandOn, Clamp, JointModel, Patch, Saddle, SlotTab, Through
from foldwright.design.plates import Cutout, DrawnMark, FoldLine, Plate, TaperForm
from foldwright.design.tails import VTail
from foldwright.design.wings import (
    BalanceHorn,
    Bay,
    CamberFold,
    Control,
    ControlKind,
    Doubler,
    FlatSpar,
    FoldedBay,
    FoldedWing,
    Nose,
    Pivot,
    PlateWing,
    Ridge,
    Spar,
    Strip,
    Trailing,
    WingPlan,
)

Part = Annotated[
    FoldedWing | PlateWing | Box | ProfileBody | Stick | Plate | VTail,
    Field(discriminator="kind"),
]

Joint = Annotated[
    SlotTab | Saddle | Through | BandOn | Patch | Clamp,
    Field(discriminator="kind"),
]


def _models(union: object) -> dict[str, type]:
    kinds = get_args(get_args(union)[0])
    return {get_args(kind.model_fields["kind"].annotation)[0]: kind for kind in kinds}


PART_KINDS: dict[str, type[PartModel]] = _models(Part)
"""Models of the parts by their kind."""
JOINT_KINDS: dict[str, type[JointModel]] = _models(Joint)
"""Models of the joints by their kind."""

__all__ = [
    "JOINT_KINDS",
    "MOST_CORNERS",
    "PART_KINDS",
    "BalanceHorn",
    "BandOn",
    "Bay",
    "Box",
    "CamberFold",
    "Clamp",
    "Control",
    "ControlKind",
    "Cutout",
    "Deck",
    "Doubler",
    "DrawnMark",
    "FlatSpar",
    "FoldLine",
    "FoldedBay",
    "FoldedWing",
    "Former",
    "Hole",
    "Joint",
    "JointModel",
    "Nose",
    "Opening",
    "Part",
    "PartModel",
    "Patch",
    "Pivot",
    "Plate",
    "PlateWing",
    "ProfileBody",
    "Ridge",
    "Saddle",
    "SideDoubler",
    "SlotTab",
    "Spar",
    "Station",
    "Stick",
    "Strip",
    "SurfaceWork",
    "TaperForm",
    "Tell",
    "Through",
    "Trailing",
    "WingPlan",
]  # fmt: skip
