"""Power ladder: lines in steps for a laser, to find what cuts to the far paper and no further.

No file of ours carries a power: each step stands on a layer of its own with a colour of its own, and the
power is given to it where the laser is driven. The layers are those of the pens, used here for steps only.
"""

from __future__ import annotations

from foldwright.design.workshop import Workshop
from foldwright.make.coupons.model import MARGIN_MM, ring, rows, tall
from foldwright.make.drawing import Drawing, Face, Item, Path, Pen, Text
from foldwright.make.formats.pens import PenStyle, layer_name

NAME = "power-ladder"
LAYERS: tuple[tuple[Pen, Face], ...] = (
    ("thin", ""), ("mark", ""), ("crush", ""), ("crush", "a"), ("to_paper", ""), ("to_paper", "a"),
    ("to_paper", "b"),
)  # fmt: skip
"""Lines are cut in this order, the faintest first."""
# P. Tol's "bright" scheme, made to be told apart with any colour vision, and black
_COLOURS = ("#4477AA", "#66CCEE", "#228833", "#CCBB44", "#EE6677", "#AA3377", "#000000")
_LINE_MM, _PITCH_MM, _WIDE_MM = 60.0, 11.0, 118.0


def looks() -> tuple[tuple[str, PenStyle], ...]:
    """A colour for each step's layer, whatever the workshop's own are."""
    return tuple(
        (layer_name(pen, face), PenStyle(colour, 0.3))
        for (pen, face), colour in zip(LAYERS, _COLOURS, strict=True)
    )


def power_ladder(workshop: Workshop) -> Drawing:
    """The ladder; two lines a step, so that one can be broken open and one looked at from behind."""
    words = (
        "cutter.to_paper: give each layer more power than the",
        "one over it, and stay beside the laser: foam burns.",
        "Pick the lowest step that parts near paper and foam and",
        "leaves the far paper whole; give its power to the layers",
        "to_paper of the sheets. If no step does it:",
        "foldwright workshop set FILE cutter.to_paper false",
    )
    head = tall(words, _WIDE_MM - 8.0) + 8.0
    high = head + len(LAYERS) * _PITCH_MM + 6.0
    x0 = y0 = MARGIN_MM
    items: list[Item] = [ring("cut", (x0, y0), (x0 + _WIDE_MM, y0 + high))]
    items += rows(words, (x0 + 4.0, y0 + high - 4.0), _WIDE_MM - 8.0)
    for number, (pen, face) in enumerate(LAYERS):
        y = y0 + high - head - (number + 0.5) * _PITCH_MM
        said = f"{number + 1}  {layer_name(pen, face)}"
        items.append(Text("letter", "", (x0 + 5.0, y - 1.5), 3.0, said))
        items += [
            Path(pen, face, ((x0 + 48.0, y + off), (x0 + 48.0 + _LINE_MM, y + off))) for off in (1.5, -2.5)
        ]
    return Drawing(
        f"Power ladder, {workshop.name}", x0 + _WIDE_MM + MARGIN_MM, y0 + high + MARGIN_MM, tuple(items)
    )
