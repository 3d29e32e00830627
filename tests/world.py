"""The demo design and its workshops, read once, for tests of the rooms above the design."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from foldwright.cure import changed
from foldwright.design.load import built_in_stock, load_design, load_workshop
from foldwright.design.model import Design
from foldwright.design.workshop import Workshop
from foldwright.evaluate import Evaluation, evaluate
from foldwright.flight.planform import Detail

EXAMPLES = Path(__file__).resolve().parents[1] / "examples"
WORKSHOPS = ("school-laser", "home-knife", "club-sheets")


@cache
def marram() -> Design:
    """The demo aeroplane."""
    value = load_design(EXAMPLES / "marram.toml", stock=built_in_stock()).value
    if value is None:
        raise ValueError("the demo design does not load")
    return value


@cache
def workshop(name: str = "school-laser") -> Workshop:
    """One of the demo workshops."""
    value = load_workshop(EXAMPLES / "workshops" / f"{name}.toml", stock=built_in_stock()).value
    if value is None:
        raise ValueError(f"workshop {name} does not load")
    return value


@cache
def plain() -> Design:
    """The demo aeroplane without its printed fittings: what one number does to it shows there alone, and a
    fitting that no longer finds its place has no say in it. The mount's stated mass counts.
    """
    return marram().model_copy(update={"fitting": ()})


def without_fittings(text: str) -> str:
    """The text of a design file without its `[[fitting]]` tables."""
    return re.sub(r"(?ms)^\[\[fitting\]\]$.*?(?=^\[(?!\[fitting\]\])|\Z)", "", text)


def with_values(**changes: float) -> Design:
    """The plain demo aeroplane with numbers changed; keys with dots written as double underscores."""
    design = plain()
    for key, value in changes.items():
        new = changed(design, key.replace("__", ".").replace("_Z_", "-"), value)
        if new is None:
            raise ValueError(f"{key} = {value} is refused on reading")
        design = new
    return design


@cache
def evaluated(name: str = "school-laser", detail: Detail = "final") -> Evaluation:
    """The demo aeroplane built in one of the workshops."""
    return evaluate(marram(), workshop(name), built_in_stock(), None, detail)


def judge(design: Design, name: str = "school-laser", detail: Detail = "interactive") -> Evaluation:
    """Another design in one of the workshops."""
    return evaluate(design, workshop(name), built_in_stock(), None, detail)
