"""Drag of a section: friction of its two faces, its shape, its blunt end, a step across the flow.

Coefficients of a section are based on its chord; Reynolds numbers on the chord too.

Sources
1. H. Blasius, *Grenzschichten in Flüssigkeiten mit kleiner Reibung*, 1908: laminar plate, 1.328/sqrt(Re).
2. H. Schlichting, *Boundary-Layer Theory*, ch. 21: Prandtl-Schlichting, 0.455/(log10 Re)^2.58.
3. S. F. Hoerner, *Fluid-Dynamic Drag*, 1965, ch. 6 (form factor 1 + 2 t/c + 60 (t/c)^4) and ch. 3
   (two-dimensional base drag).

All functions broadcast over arrays.
"""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray

Number = FloatArray | float

REYNOLDS_RANGE = (1e4, 1e7)
"""Chord Reynolds numbers that the friction formulas are used for."""
TRANSITION = 5e5
"""Reynolds number at which the layer of a smooth plate turns turbulent, source 2."""
THICKNESS_RANGE = (0.0, 0.25)
"""Thickness over chord that the form factor is used for, source 3."""


def laminar(reynolds: Number) -> FloatArray:
    """Friction coefficient of one face, laminar throughout [-], 1.328/sqrt(Re) (source 1)."""
    return np.asarray(1.328 / np.sqrt(np.asarray(reynolds, dtype=np.float64)))


def turbulent(reynolds: Number) -> FloatArray:
    """Friction coefficient of one face, turbulent from its front edge [-] (source 2)."""
    return np.asarray(0.455 / np.log10(np.asarray(reynolds, dtype=np.float64)) ** 2.58)


def mixed(reynolds: Number, laminar_share: Number) -> FloatArray:
    """Friction coefficient of one face whose layer turns turbulent at a share of the chord [-].

    laminar_share: 0 (tripped at the front edge) to 1 (laminar to the end). The turbulent part is that of a
    whole turbulent face less its front: c_f = c_t(Re) - x (c_t(x Re) - c_l(x Re)), x the share (source 2).
    """
    re = np.asarray(reynolds, dtype=np.float64)
    x = np.clip(np.asarray(laminar_share, dtype=np.float64), 0.0, 1.0)
    # without a laminar part the bracket is multiplied by zero; it is kept finite
    front = np.maximum(x * re, 1e3)
    return np.asarray(turbulent(re) - x * (turbulent(front) - laminar(front)))


def form_factor(thickness: Number) -> FloatArray:
    """Friction drag of a section over that of a plate [-], 1 + 2 t + 60 t^4 (source 3). thickness: t/c."""
    t = np.asarray(thickness, dtype=np.float64)
    return np.asarray(1.0 + 2.0 * t + 60.0 * t**4)


def base_drag(height: Number, friction: Number) -> FloatArray:
    """Drag of a blunt trailing edge [-], 0.135 (h/c)^(4/3) / c_df^(1/3) (source 3).

    height: of the base over the chord; friction: the section's drag without it (both faces, > 0). A thicker
    layer, from more friction ahead, makes the base suck less.
    """
    h, ahead = np.asarray(height, dtype=np.float64), np.asarray(friction, dtype=np.float64)
    return np.asarray(0.135 * np.cbrt(h) ** 4 / np.cbrt(ahead))


def section_drag(
    reynolds: Number,
    thickness: Number,
    laminar_share: Number,
    base: Number,
    step: Number,
    step_factor: Number,
) -> FloatArray:
    """Drag of a section at low lift [-]: friction times form, blunt end, and a step taken as a base.

    base, step: heights over the chord; step_factor: multiplies the step's share [judgement, about 1].
    """
    faces = 2.0 * mixed(reynolds, laminar_share) * form_factor(thickness)
    return np.asarray(faces + base_drag(base, faces) + np.asarray(step_factor) * base_drag(step, faces))
