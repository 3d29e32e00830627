"""Section drag against the formulas' published values and the notes' range.

Blasius at Re 1e5: 0.00420. Prandtl-Schlichting at 1e6: 0.455/6^2.58 = 0.00447 (formula).
"""

from __future__ import annotations

import numpy as np
import pytest

from foldwright.physics.friction import base_drag, form_factor, laminar, mixed, section_drag, turbulent

CHORD_RE = 12.0 * 0.22 / 1.46e-5


def test_published_values() -> None:
    assert laminar(1e5) == pytest.approx(0.00420, abs=5e-6)
    assert turbulent(1e6) == pytest.approx(0.455 / 6.0**2.58, rel=1e-12)
    assert turbulent(1e7) == pytest.approx(0.00300, abs=5e-5)  # Schlichting's table: 0.0030 (memory)


def test_mixed_has_the_right_ends() -> None:
    """First principles: no laminar part is all turbulent, a whole one all laminar; between, in order."""
    re = np.array([5e4, 1e5, 1e6])
    assert mixed(re, 0.0) == pytest.approx(turbulent(re))
    assert mixed(re, 1.0) == pytest.approx(laminar(re))
    shares = np.linspace(0.0, 1.0, 21)
    assert np.all(np.diff(mixed(1e6, shares)) < 0.0)


def test_form_and_base() -> None:
    """First principles: nothing added without thickness or base; Hoerner's exponents by doubling."""
    assert form_factor(0.0) == 1.0
    assert form_factor(0.1) == pytest.approx(1.206)  # 1 + 0.2 + 0.006
    assert base_drag(0.0, 0.012) == 0.0
    assert base_drag(0.04, 0.012) / base_drag(0.02, 0.012) == pytest.approx(2.0 ** (4.0 / 3.0))
    assert base_drag(0.02, 0.096) / base_drag(0.02, 0.012) == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("thickness", "base", "step", "wanted"),
    [(0.023, 5.0, 0.0, 0.017), (0.08, 5.0, 5.0, 0.022), (0.08, 5.0, 10.0, 0.028)],
)
def test_folded_sections_lie_where_the_notes_expect(
    thickness: float, base: float, step: float, wanted: float
) -> None:
    """Plate 0.017, 5 mm step 0.022-0.023, 10 mm step 0.028 at 12 m/s and 0.22 m chord: range, band 25 %."""
    got = float(section_drag(CHORD_RE, thickness, 0.4, base / 220.0, step / 220.0, 1.0))
    assert got == pytest.approx(wanted, rel=0.25)
