"""Wings and other level surfaces: folded from one or two blanks, or cut from single board.

Frame: x aft from the nose datum, y to the right, z up, mm. A half is a row of bays from the centre line
outward; straight-edged between the ends of the bays.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import Field

from foldwright.design.common import Depth, Id, Length, Model, PartModel, Place, Sort
from foldwright.design.finish import SurfaceWork

Turn = Annotated[float, Field(gt=0, le=60)]


class Nose(Model):
    """How the leading edge is folded."""

    method: Literal["slit", "mitre", "two_fold"] = Field(
        "slit",
        description="slit: one fold on the inner paper; mitre: on the outer; two_fold: a narrow nose strip",
    )
    strip_height_mm: Length | None = Field(None, description="two_fold only: height of the narrow nose strip")
    slope_limit_deg: Annotated[float, Field(gt=0, le=80)] = Field(
        40.0, description="steepest front slope that is accepted"
    )
    fold: Literal["groove", "crush"] = Field(
        "groove", description="mitre and two_fold: how the folds are made"
    )
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")


class Spar(Model):
    """The board or bought spar under the ridge."""

    x_mm: Length = Field(description="ridge behind the leading edge, root")
    height_mm: Length = Field(description="between the inner skins at the ridge, root")
    width_mm: Length | None = Field(None, description="flat top width; board thickness where left out")
    stock: Id | None = Field(None, description="spar from the stock; cut from board where left out")
    reach_mm: Length | None = Field(
        None, description="how far it runs from the centre line; to the tip where left out"
    )


class Ridge(Model):
    """The fold in the upper skin over the spar (and, with a level trailing part, at the strip's aft edge)."""

    method: Literal["groove", "crush", "slit"] = Field("groove", description="how the ridge is folded")
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")


class Strip(Model):
    """The under strip."""

    aft_mm: Length = Field(description="its aft edge behind the leading edge, root")
    runs_on: bool = Field(False, description="runs on under a level trailing part as a glue land")
    land_mm: Annotated[float, Field(ge=0, le=500)] = Field(0.0, description="length of that glue land")


class Trailing(Model):
    """The part of the upper skin behind the strip."""

    kind: Literal["level", "straight"] = Field(
        "level",
        description="level: parallel to the strip; straight: the aft panel runs on to the trailing edge",
    )


class BalanceHorn(Model):
    """Part of a control that reaches ahead of its hinge at the outer end and eases the servo's work."""

    length_mm: Length = Field(description="along the span, at the outer end of the control")
    ahead_mm: Length = Field(description="ahead of the hinge line")


ControlKind = Literal["elevon", "aileron", "elevator", "flap", "flaperon", "rudder", "ruddervator"]


class Control(Model):
    """A hinged control surface, on both halves where the part is mirrored."""

    id: Id
    kind: ControlKind = Field("elevon", description="what it is for; says how the halves move together")
    chord_mm: Length = Field(description="hinge line to trailing edge, at the inner end")
    outer_chord_mm: Length | None = Field(None, description="at the outer end; as inner where left out")
    inner_mm: Depth = Field(description="inner end: from the centre line (wings), from the root (fins)")
    outer_mm: Length = Field(description="outer end, likewise")
    up_deg: Turn = Field(15.0, description="travel, trailing edge up (fins: to the left)")
    down_deg: Turn = Field(15.0, description="travel, trailing edge down (fins: to the right)")
    bevel_limit_deg: Turn = Field(30.0, description="what the hinge bevel clears")
    end_gap_mm: Annotated[float, Field(ge=0, le=20)] = Field(
        1.0, description="free gap at each end of the control"
    )
    hinge_face: Literal["a", "b"] = Field("a", description="face whose paper is the hinge (a: upper, outer)")
    horn: BalanceHorn | None = Field(None, description="a balance horn at the outer end")


class Pivot(Model):
    """An all-moving surface: it turns as a whole about a line across the aeroplane (fins: upright)."""

    kind: Literal["elevator", "elevon", "rudder"] = Field(
        "elevator", description="what it is for; says how the halves move together"
    )
    x_mm: Depth = Field(description="pivot line behind the root's leading edge")
    up_deg: Turn = Field(12.0, description="travel, trailing edge up (fins: to the left)")
    down_deg: Turn = Field(12.0, description="travel, trailing edge down (fins: to the right)")


class Bay(Model):
    """One bay of a half, from the end of the bay before it (or the centre line) to its own outer end."""

    end_mm: Length | None = Field(
        None, description="outer end from the centre line, measured level; the last bay ends at the tip"
    )
    chord_mm: Length = Field(description="chord at its outer end")
    aft_mm: Place = Field(
        0.0, description="leading edge at its outer end aft of the root's; negative: swept forward"
    )
    dihedral_deg: Annotated[float, Field(ge=-30, le=45)] = Field(0.0, description="rise of this bay")
    washout_deg: Annotated[float, Field(ge=-5, le=10)] = Field(
        0.0,
        description="nose-down turn at its outer end against the root, warped in while the glue dries",
    )


class FoldedBay(Bay):
    """A bay of a folded wing."""

    spar_x_mm: Length | None = Field(
        None, description="ridge behind the leading edge at its outer end; as inboard where left out"
    )
    spar_height_mm: Length | None = Field(
        None, description="two_fold nose: spar height at its outer end; what the nose forces where left out"
    )
    strip_aft_mm: Length | None = Field(
        None,
        description="strip's aft edge behind the leading edge at its outer end; what the flat aft panel gives"
        " where left out (as inboard where the spar keeps its place)",
    )
    joint: Literal["strip", "apart"] = Field(
        "strip",
        description="to the bay inboard: one blank joined along the strip, or a blank of its own",
    )


class WingPlan(PartModel):
    """What every wing, tailplane and canard has."""

    sort: ClassVar[Sort] = "surface"

    id: Id
    x_mm: Place = Field(description="leading edge at the root, aft of the nose datum")
    z_mm: Place = Field(description="under face of the board at the root")
    incidence_deg: Annotated[float, Field(ge=-10, le=10)] = Field(
        0.0,
        description="of the under face, nose-up positive; of a cambered plate wing: of its front panel",
    )
    span_mm: Annotated[float, Field(ge=60, le=3000)] = Field(description="tip to tip")
    chord_mm: Annotated[float, Field(ge=20, le=1000)] = Field(
        description="leading edge to trailing edge at the root, square to the span"
    )
    control: Annotated[tuple[Control, ...], Field(max_length=20)] = ()
    work: Annotated[tuple[SurfaceWork, ...], Field(max_length=50)] = Field(
        (), description="paper taken off, tape, paint: by panel and face"
    )


class FoldedWing(WingPlan):
    """A wing folded from board: strip, nose, front, ridge, aft, trailing part, controls."""

    kind: Literal["folded_wing"]
    bay: Annotated[tuple[FoldedBay, ...], Field(max_length=6)] = Field(
        (), description="bays of a half from the centre line outward; none: constant chord, unswept, level"
    )
    centre: Literal["auto", "one", "front", "strip", "two"] = Field(
        "auto",
        description="one blank unfolded there, joined along the front panel, along the strip, or two blanks",
    )
    tip: Literal["open", "cap"] = Field("open", description="cap: a plate of the section closes the tip")
    nose: Nose = Nose()
    spar: Spar
    ridge: Ridge = Ridge()
    strip: Strip
    trailing: Trailing = Trailing()

    @classmethod
    def is_main(cls, row: Mapping[str, object]) -> bool:
        """A folded wing is the main wing."""
        del row
        return True

    @classmethod
    def stock_keys(cls) -> tuple[tuple[str, ...], ...]:
        """The spar."""
        return (("spar", "stock"),)


class CamberFold(Model):
    """A ridge fold along the span that bends a single board into a cambered one, nose and tail lower."""

    x_mm: Length = Field(
        description="behind the leading edge at the root; runs at the same share of the chord"
    )
    turn_deg: Annotated[float, Field(gt=0, le=40)] = Field(description="turn, the part behind it goes down")
    method: Literal["groove", "crush"] = Field("crush", description="how it is folded, opened underneath")
    tool_width_mm: Length | None = Field(None, description="crush only: width of the pressed band")


class Doubler(Model):
    """A second board glued on top of a plate wing: a step that thickens its front part."""

    from_mm: Depth = Field(
        0.0, description="its front edge behind the leading edge, root; same share outboard"
    )
    to_mm: Length = Field(description="rear edge behind the leading edge, root; same share outboard")
    reach_mm: Length | None = Field(
        None,
        description="length from the centre line (left out: to the tip); at a break, not just past it",
    )


class FlatSpar(Model):
    """A bought strip, rod or tube let into the under face of a plate wing."""

    x_mm: Length = Field(description="behind the leading edge at the root; same share outboard")
    stock: Id = Field(description="spar from the stock")
    reach_mm: Length | None = Field(
        None, description="how far it runs from the centre line; to the tip where left out"
    )


class PlateWing(WingPlan):
    """A wing, tailplane or canard of single board, in one blank or two halves."""

    kind: Literal["plate_wing"]
    role: Literal["wing", "tailplane", "canard"] = Field("wing", description="what it is for")
    bay: Annotated[tuple[Bay, ...], Field(max_length=6)] = Field(
        (), description="bays of a half from the centre line outward; none: constant chord, unswept, level"
    )
    centre: Literal["auto", "one", "two"] = Field(
        "auto", description="one blank (folded there with dihedral) or two halves"
    )
    tip_cut_mm: Depth = Field(0.0, description="length cut off the outer corners, at 45 degrees")
    camber: Annotated[tuple[CamberFold, ...], Field(max_length=4)] = ()
    doubler: Doubler | None = None
    spar: FlatSpar | None = None
    pivot: Pivot | None = Field(None, description="all-moving: turns as a whole")

    @classmethod
    def is_main(cls, row: Mapping[str, object]) -> bool:
        """The main wing, unless it is said to be something else."""
        return row.get("role", "wing") == "wing"

    @classmethod
    def stock_keys(cls) -> tuple[tuple[str, ...], ...]:
        """The spar."""
        return (("spar", "stock"),)
