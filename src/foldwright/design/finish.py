"""What is done to a part's faces: paper taken off, tape, paint, waterproofing; and how it is told apart."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from foldwright.design.common import Label, Model

SurfaceKind = Literal["bare", "tape", "paint", "waterproof"]


class SurfaceWork(Model):
    """Work on one face of a part, or of one of its panels."""

    kind: SurfaceKind = Field(description="bare: the paper is peeled off; the others are put on")
    face: Literal["a", "b", "both"] = Field("a", description="a: outside, b: inside or under")
    panel: Label | None = Field(
        None,
        description='panel or blank of the part, such as "strip" or "spar"; all of it without',
    )
    g_m2: Annotated[float, Field(ge=0, le=1000)] | None = Field(
        None, description="what it weighs; left out: the usual figure of its kind. Nothing for bare"
    )
    colour: Label | None = Field(None, description="in words, for the book; printed, never judged")


class Tell(Model):
    """How top and underside are told apart at a distance."""

    top: Label = Field(description="colour or pattern of the upper side, in words")
    under: Label = Field(description="of the underside")
    top_light_pct: Annotated[float, Field(ge=0, le=100)] = Field(
        description="how light the upper side is: 0 black, 100 white"
    )
    under_light_pct: Annotated[float, Field(ge=0, le=100)] = Field(
        description="how light the underside is: 0 black, 100 white"
    )
