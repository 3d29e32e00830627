"""How much plastic a printed solid takes."""

from __future__ import annotations


def filled_mm3(volume: float, area: float, shell: float, infill: float) -> float:
    """Plastic in a solid, mm³: a shell as thick as its walls, and a share of what lies inside.

    volume: mm³; area: of its surface, mm²; shell: thickness of walls and covers, mm; infill: 0-1.
    The shell takes area · shell, no more than all there is: V_f = V_s + i (V − V_s), V_s = min(V, A s).
    First principles; it overstates the shell at corners, which a slicer's own figure does not.
    """
    inside = min(volume, area * shell)
    return inside + infill * (volume - inside)
