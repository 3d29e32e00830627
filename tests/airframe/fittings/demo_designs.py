"""The demo designs with fittings put in, whatever their files say of fittings and of the places concerned."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from foldwright.airframe.build import build_airframe
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.model import Airframe
from foldwright.design.fittings import FittingModel
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved, fit
from foldwright.design.workshop import Workshop
from foldwright.make.fittings import makers
from foldwright.make.printing import Made
from tests.world import EXAMPLES, workshop

ROOM: dict[str, dict[str, Any]] = {
    "marram": {"motor": {"x_mm": 421.5}, "camera": {"x_mm": 27.0, "z_mm": 4.0}, "tray": {"from_mm": 66.0}},
    "teasel": {"motor": {"x_mm": -25.5}},
    "bracken": {"motor": {"x_mm": 396.5}, "camera": {"x_mm": 27.0, "z_mm": 4.0}, "tray": {"from_mm": 66.0}},
}
"""Changes that give the fittings room."""


@dataclass(frozen=True, slots=True, eq=False)
class Built:
    """A design with fittings, folded."""

    design: Design
    fitted: Resolved
    workshop: Workshop
    airframe: Airframe

    @property
    def codes(self) -> list[str]:
        """Codes of the findings of fittings."""
        return [one.code for one in self.airframe.findings if one.code.startswith("P")]

    def named(self, name: str) -> Fitting:
        """A fitting by its id."""
        return {one.id: one for one in self.airframe.fittings}[name]

    def made(self, name: str) -> Made:
        """Its solid."""
        shape = self.named(name).shape
        return makers()[type(shape)](shape, self.workshop.printer or Workshop.model_fields["printer"].default)


@cache
def plain(name: str) -> Design:
    """A demo design without fittings, with room for them."""
    design = load_design(EXAMPLES / f"{name}.toml", stock=built_in_stock()).value
    if design is None:
        raise ValueError(f"{name} does not load")
    room = ROOM[name]
    design = design.model_copy(update={"fitting": ()})
    design = with_motor(design, **room["motor"])
    if name == "marram":
        # close behind the hatch, where it stands in a catch's way
        design = with_row(design, "body", "former", "saddle-former", x_mm=172.0)
    if "camera" in room:
        design = with_item(design, "camera", **room["camera"])
        design = with_row(design, "body", "deck", "tray", **room["tray"])
        slide = {"slide_from_mm": room["tray"]["from_mm"] + 1.0}
        design = design.model_copy(update={"battery": design.battery.model_copy(update=slide)})
    return design


def with_motor(design: Design, **changes: Any) -> Design:
    """Keys of its motor changed."""
    return design.model_copy(update={"motor": design.motor.model_copy(update=changes)})


def with_item(design: Design, name: str, **changes: Any) -> Design:
    """Keys of a piece of equipment changed."""
    items = tuple(item.model_copy(update=changes) if item.id == name else item for item in design.equipment)
    return design.model_copy(update={"equipment": items})


def with_row(design: Design, part: str, table: str, name: str, **changes: Any) -> Design:
    """Keys of a former or deck of a part changed."""
    parts = []
    for own in design.part:
        one = own
        if one.id == part:
            rows = tuple(
                row.model_copy(update=changes) if row.id == name else row for row in getattr(one, table)
            )
            one = one.model_copy(update={table: rows})
        parts.append(one)
    return design.model_copy(update={"part": tuple(parts)})


def with_board(base: Workshop, thickness: float) -> Workshop:
    """A workshop with board of another thickness."""
    return base.model_copy(update={"board": base.board.model_copy(update={"thickness_mm": (thickness,)})})


def built(design: Design, *fittings: FittingModel, shop: Workshop | str = "school-laser") -> Built:
    """Folded with fittings."""
    bench = workshop(shop) if isinstance(shop, str) else shop
    # the workshops' own places of the camera stand in the way of the design's here
    own = bench.fit.model_copy(update={"equipment": ()})
    bench = bench.model_copy(update={"fit": own})
    whole = design.model_copy(update={"fitting": fittings})
    fitted = fit(whole, bench, built_in_stock()).value
    if fitted is None:
        raise ValueError("the stock lacks something")
    return Built(whole, fitted, bench, build_airframe(whole, fitted, bench))
