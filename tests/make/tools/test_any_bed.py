"""Setup tools on beds of any size from 120 to 350 mm: sound, on the bed, or told with a cure."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from foldwright.base.messages import words
from foldwright.design.workshop import Printer
from foldwright.geometry.solid.check import faults
from foldwright.make.tools import ToolBench, balance_stand, seat_jig, throw_gauge, tip_blocks
from foldwright.make.tools.flat_plates import fits
from tests.examples import examples
from tests.make.tools.benches import STARTERS, evaluated, results

SIDES = st.floats(120.0, 350.0)


@settings(max_examples=examples(12))
@given(st.sampled_from(STARTERS), st.tuples(SIDES, SIDES, SIDES), st.floats(0.0, 0.8))
def test_tools_print_or_say_why(name: str, bed: tuple[float, float, float], clearance: float) -> None:
    place = ToolBench(evaluated(name), results(name), Printer(bed_mm=bed, clearance_mm=clearance))
    for maker in (balance_stand, throw_gauge, tip_blocks, seat_jig):
        for tool in maker.make(place):
            assert tool.use
            for finding in tool.findings:
                assert finding.verdict in {"clear", "watch"}
                assert words(finding).cure
            if tool.made is None:
                assert tool.findings
                continue
            assert faults(tool.made.body, tool.made.bodies) == ()
            assert fits(tool.made.body, place.printer)
