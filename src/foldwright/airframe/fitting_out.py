"""Fittings put into a folded aeroplane: their masses, marks and findings."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldwright.airframe.fitting import Site
from foldwright.airframe.fitting_model import Fitting
from foldwright.airframe.fittings import fitters
from foldwright.airframe.model import Airframe, MassItem
from foldwright.design.model import Design
from foldwright.design.resolve import Resolved
from foldwright.design.workshop import Workshop
from foldwright.geometry.fold.mass import box_moments, line_moments
from foldwright.geometry.transform import apply


def fitted_out(airframe: Airframe, design: Design, fitted: Resolved, workshop: Workshop) -> Airframe:
    """The aeroplane with its printed fittings; the same one where the design has none."""
    if not design.fitting:
        return airframe
    site = Site(design, fitted, workshop, airframe)
    builds = [fitters()[type(one)](one, site) for one in design.fitting]
    gone = {name for build in builds for name in build.replaces}
    fittings = tuple(one for build in builds for one in build.fittings)
    kept = tuple(item for item in airframe.masses if item.id.partition("/")[0] not in gone)
    return replace(
        airframe,
        fittings=fittings,
        masses=(*kept, *(mass_item(one) for one in fittings)),
        findings=(*airframe.findings, *(one for build in builds for one in build.findings)),
        guides=(*airframe.guides, *(one for build in builds for one in build.guides)),
        notes=(*airframe.notes, *(one for build in builds for one in build.notes)),
    )


def mass_item(fitting: Fitting) -> MassItem:
    """A fitting's mass with its screws, spread over its box as it lies in the aeroplane; along its spine
    where it has one, and then without a size, as lines have none.
    """
    if fitting.spine is not None:
        line = apply(fitting.placement, fitting.spine)
        along = float(np.linalg.norm(np.diff(line, axis=0), axis=1).sum())
        return MassItem(fitting.id, "fitting", line_moments(line, fitting.mass_g / along))
    corners = fitting.corners
    low, high = corners.min(axis=0), corners.max(axis=0)
    length, width, height = (float(value) for value in high - low)
    moments = box_moments((low + high) / 2.0, high - low, fitting.mass_g)
    return MassItem(fitting.id, "fitting", moments, (length, width, height))
