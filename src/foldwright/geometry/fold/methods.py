"""What each fold method cuts away, and how far it may turn.

Closed forms for board of thickness t and a turn of theta. In the bend deduction of sheet metal with zero
inner radius a slit is the neutral line on the inner skin (K = 0); the outer skin (K = 1) is a corner of
outer radius t. A sharp outer corner (groove, rebate, crush with radius 0) takes its mould lines whole.
"""

from __future__ import annotations

from math import atan, inf, tan

from foldwright.geometry.fold.model import EdgeCut, Face, Method


def bevel(theta: float, t: float) -> float:
    """Half width of a mitred V, t*tan(theta/2), mm."""
    return t * tan(theta / 2.0)


def crush_cut(theta: float, t: float, width: float) -> float:
    """Width taken on each side of a pressed band, min(w/2, t*tan(theta/2)), mm."""
    return min(width / 2.0, bevel(theta, t))


def crush_squeezed(theta: float, t: float, width: float) -> float:
    """Foam squeezed for each mm of fold, t*(t*tan(theta/2) - w/2), mm²; 0 where the band is wide enough."""
    return max(0.0, t * (bevel(theta, t) - width / 2.0))


def crush_least_width(theta: float, t: float, share: float) -> float:
    """Least band of which no more than `share` of the wedge t²*tan(theta/2) is squeezed, mm."""
    return 2.0 * bevel(theta, t) * (1.0 - share)


def live_cut(limit: float, t: float) -> float:
    """Bevel on the child of a live hinge that clears `limit` rad, t*tan(limit), mm."""
    return t * tan(limit)


def limit_of(method: Method, t: float, cut: float) -> float:
    """Largest turn in rad that a cut of `cut` mm on each side clears (groove), or on the child (live)."""
    if method == "live":
        return atan(cut / t)
    if method == "groove":
        return 2.0 * atan(cut / t)
    return inf


def cuts(
    method: Method, hinge: Face, theta: float, t: float, tool_width: float = 0.0, limit: float = 0.0
) -> tuple[EdgeCut, EdgeCut]:
    """Edge cuts of parent and child along a fold.

    theta: turn, rad; limit: live hinge only, rad. The opened face is the one opposite `hinge`.
    """

    def on_opened(value: float, *, squeezed: bool = False) -> EdgeCut:
        return EdgeCut(b=value, squeezed=squeezed) if hinge == "a" else EdgeCut(a=value, squeezed=squeezed)

    if method == "groove":
        both = on_opened(bevel(theta, t))
        return both, both
    if method == "crush":
        both = on_opened(crush_cut(theta, t, tool_width), squeezed=True)
        return both, both
    if method == "rebate":
        parent = EdgeCut(a=t, b=t, paper_a=hinge == "a", paper_b=hinge == "b")
        return parent, EdgeCut()
    if method == "live":
        return EdgeCut(), on_opened(live_cut(limit, t))
    return EdgeCut(), EdgeCut()


def radius_gain(theta: float, radius: float) -> float:
    """Board that a rounded outer corner saves against its mould lines, (2*tan(theta/2) - theta)*r, mm."""
    return (2.0 * tan(theta / 2.0) - theta) * radius
