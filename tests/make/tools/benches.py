"""Starters evaluated once, on benches with any printer, for the tests of the tools."""

from __future__ import annotations

from functools import cache

from foldwright.design.load import built_in_stock, load_design, starter
from foldwright.design.workshop import Printer
from foldwright.evaluate import Evaluation, Results, evaluate
from foldwright.make.tools import Tool, ToolBench
from tests.world import workshop

STARTERS = ("marram", "teasel", "bracken", "samphire", "sedge", "thrift")
SMALL = (120.0, 120.0, 120.0)


@cache
def evaluated(name: str) -> Evaluation:
    design = load_design(starter(name).encode(), stock=built_in_stock()).value
    assert design is not None
    return evaluate(design, workshop("home-knife"), built_in_stock(), None, "interactive")


def results(name: str) -> Results:
    found = evaluated(name).results
    assert found is not None
    return found


def bench(name: str, bed: tuple[float, float, float] = (200.0, 200.0, 180.0)) -> ToolBench:
    return ToolBench(evaluated(name), results(name), Printer(bed_mm=bed))


def named(tools: tuple[Tool, ...], name: str) -> Tool:
    return next(tool for tool in tools if tool.name == name)
