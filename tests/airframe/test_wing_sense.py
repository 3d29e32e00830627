"""Checks between the keys of a folded wing with bays: each says its piece before anything is folded."""

from __future__ import annotations

import pytest

from foldwright.design.load import built_in_stock, load_text
from tests.design.samples import SMALL, changed, codes

BAY = "[[part.bay]]\nchord_mm = 180.0\n"


STRIP = "strip = { aft_mm = 132.0 }\n"


def found(bays: str) -> dict[tuple[str, str], str]:
    """Findings of the small design with bays written after its wing's strip, and their verdicts."""
    loaded = load_text(changed(SMALL, (STRIP, STRIP + bays)), "design", stock=built_in_stock())
    return dict(zip(codes(loaded.findings), (finding.verdict for finding in loaded.findings), strict=True))


@pytest.mark.parametrize(
    ("bays", "code", "where", "verdict"),
    [
        ("[[part.bay]]\nchord_mm = 200.0\n" + BAY, "F30", "wing.bay.1.end_mm", "no-go"),
        ("[[part.bay]]\nend_mm = 200.0\nchord_mm = 200.0\n" + BAY + "end_mm = 150.0\n", "F29",
         "wing.bay.2.end_mm", "no-go"),
        ("[[part.bay]]\nend_mm = 30.0\nchord_mm = 200.0\n", "F29", "wing.bay.1.end_mm", "no-go"),
        ("[[part.bay]]\nend_mm = 2000.0\nchord_mm = 200.0\n" + BAY, "F29", "wing.bay.1.end_mm", "no-go"),
        (BAY + "spar_height_mm = 9.0\n", "F32", "wing.bay.1.spar_height_mm", "watch"),
        (BAY + "spar_x_mm = 190.0\n", "F29", "wing.bay.1.spar_x_mm", "no-go"),
        (BAY + "spar_x_mm = 60.0\nstrip_aft_mm = 50.0\n", "F29", "wing.bay.1.spar_x_mm", "no-go"),
    ],
)  # fmt: skip
def test_keys_of_bays(bays: str, code: str, where: str, verdict: str) -> None:
    assert found(bays).get((code, where)) == verdict, found(bays)


def test_sound_bays_pass() -> None:
    assert found("[[part.bay]]\nend_mm = 150.0\nchord_mm = 200.0\n" + BAY) == {}
