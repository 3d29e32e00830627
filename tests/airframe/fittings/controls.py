"""Aeroplanes with horns, frames, guides and hinges, for the tests of their fittings."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from foldwright.airframe.build import build_airframe
from foldwright.airframe.fitting import Site
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.horn_drive import Drive, drives
from foldwright.airframe.model import Airframe
from foldwright.base.finding import Finding
from foldwright.design.fittings import ControlHorn, FittingModel
from foldwright.design.load import built_in_stock, load_design
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved, fit
from tests.world import EXAMPLES, workshop

STARTERS = Path(__file__).resolve().parents[3] / "src" / "foldwright" / "design" / "data" / "starters"


@dataclass(frozen=True, slots=True, eq=False)
class World:
    """One aeroplane built."""

    design: Design
    fitted: Resolved
    airframe: Airframe
    site: Site

    def found(self, code: str) -> list[Finding]:
        """Its findings of a code."""
        return [one for one in self.airframe.findings if one.code == code]

    def fitting(self, name: str) -> Fitting:
        """One of its fittings."""
        return next(one for one in self.airframe.fittings if one.id == name)

    def drive(self, horn: ControlHorn, number: int = 0) -> Drive:
        """How a horn is driven."""
        return drives(self.site, horn)[number]


@cache
def _design(name: str) -> Design:
    folder = EXAMPLES if (EXAMPLES / f"{name}.toml").exists() else STARTERS
    value = load_design(folder / f"{name}.toml", stock=built_in_stock()).value
    if value is None:
        raise ValueError(f"{name} does not load")
    return value


def horn(control: str, servo: str, **keys: Any) -> ControlHorn:
    """A horn called "horn" unless told otherwise."""
    return ControlHorn.model_validate({"id": "horn", "control": control, "servo": servo} | keys)


def built(name: str, *fittings: FittingModel, shop: str = "school-laser", **servo: float) -> World:
    """A demo or starter with these fittings alone; servo: keys of all its servos changed."""
    design = _design(name)
    items = tuple(
        item.model_copy(update=servo) if servo and "servo" in item.id else item for item in design.equipment
    )
    design = design.model_copy(update={"fitting": fittings, "equipment": items})
    fitted = fit(design, workshop(shop), built_in_stock()).value
    if fitted is None:
        raise ValueError("not all of it is in the stock")
    airframe = build_airframe(design, fitted, workshop(shop))
    return World(design, fitted, airframe, Site(design, fitted, workshop(shop), airframe))


def mirrored(matrix: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """A placement reflected in y = 0, as the other hand of a shape that is its own mirror image lies."""
    flip = np.diag([1.0, -1.0, 1.0, 1.0])
    found: np.ndarray[Any, Any] = flip @ matrix @ flip
    return found
