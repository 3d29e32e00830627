"""One call from surfaces and shapes to a solved lattice."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from foldwright.base.types import FloatArray
from foldwright.physics.lattice.assembly import MOTION, System, circulation, system
from foldwright.physics.lattice.forces import coefficient_forms, drag_form, force_forms, pieces, strip_sum
from foldwright.physics.lattice.hinge import hinge_moment
from foldwright.physics.lattice.joints import joined
from foldwright.physics.lattice.panels import Panels, panels
from foldwright.physics.lattice.result import HingeMoment, Lattice, Loads, StripLoads
from foldwright.physics.lattice.surface import Flap, Reference, Shape, Surface


def solve(surfaces: Sequence[Surface], shapes: Sequence[Shape], reference: Reference) -> Lattice:
    """Vortex-lattice solution for all states at once.

    The wake leaves along +x. The boundary condition is linear: n = (-slope, n_y, n_z) on the plane of
    every surface. Vortex lines are laid under the feet of surfaces that stand on others (see `joints`).
    Raises ValueError for names that clash or a shape on an unknown surface.

    Sources: J. Katz, A. Plotkin, *Low-Speed Aerodynamics*, 2nd ed., ch. 12 (horseshoe lattice, Trefftz
    plane); E. Pistolesi 1937 (quarter and three-quarter points).
    """
    _check_names(surfaces, shapes)
    middle = reference.point * (1.0, 0.0, 1.0)  # symmetry needs a centre of rotation on y = 0
    state = system(tuple(panels(surface) for surface in joined(surfaces)), tuple(shapes), middle)
    gamma = circulation(state)
    forms = force_forms(state, pieces(state, gamma))
    drag = drag_form(state, gamma)
    centred = Reference(reference.area, reference.chord, reference.span, middle)
    lattice = Lattice(
        states=state.states,
        parity=state.parity,
        reference=centred,
        surfaces=tuple(part.surface.name for part in state.parts),
        gamma=gamma,
        forms=coefficient_forms(forms, drag, reference),
        strips=_strips(state, gamma),
        hinges=_hinges(state, shapes, gamma),
    )
    return lattice.about(reference.point) if reference.point[1] != 0.0 else lattice


def loads(surfaces: Sequence[Surface], shapes: Sequence[Shape], reference: Reference) -> Loads:
    """As `solve`, strip loads only, at a third of the time: no forces on vortices, no drag, no hinges.

    The reference point must lie on y = 0.
    """
    _check_names(surfaces, shapes)
    state = system(tuple(panels(each) for each in joined(surfaces)), tuple(shapes), reference.point)
    gamma = circulation(state)
    return Loads(state.states, state.parity, reference, _strips(state, gamma))


def _strips(state: System, gamma: FloatArray) -> tuple[StripLoads, ...]:
    return tuple(
        _strip_loads(part, gamma[where]) for part, where in zip(state.parts, state.slices, strict=True)
    )


def _check_names(surfaces: Sequence[Surface], shapes: Sequence[Shape]) -> None:
    names = [surface.name for surface in surfaces]
    if not names or len(set(names)) != len(names):
        raise ValueError("a lattice needs surfaces with different names")
    states = [*MOTION, *(shape.name for shape in shapes)]
    if len(set(states)) != len(states):
        raise ValueError(f"shape names must differ from each other and from {', '.join(MOTION)}")
    for shape in shapes:
        if shape.surface not in names:
            raise ValueError(f"shape {shape.name}: no surface is called {shape.surface}")


def _strip_loads(part: Panels, strength: FloatArray) -> StripLoads:
    chord = part.chord[:, None]
    lift = 2.0 * strip_sum(part, strength) / chord
    grid = strength.reshape(part.surface.n_span, part.surface.n_chord, -1)
    moment = -2.0 * np.einsum("c,scm->sm", part.fraction - 0.25, grid) / chord
    return StripLoads(part.surface.name, part.mid_arc, part.width, part.chord, lift, moment)


def _hinges(state: System, shapes: Sequence[Shape], gamma: FloatArray) -> tuple[HingeMoment, ...]:
    found: list[HingeMoment] = []
    for part, where in zip(state.parts, state.slices, strict=True):
        mine = [shape for shape in shapes if shape.surface == part.surface.name]
        flaps = {shape.name for shape in mine if isinstance(shape.kind, Flap)}
        own = np.array([name in flaps for name in state.states])
        found += [
            hinge_moment(part, shape, shape.kind, gamma[where], own)
            for shape in mine
            if isinstance(shape.kind, Flap)
        ]
    return tuple(found)
