"""Field types shared by the design, workshop and stock models."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, Field, JsonValue


def form(words: str) -> dict[str, JsonValue]:
    """What a pattern asks for, in words; carried in the JSON Schema for editors and findings."""
    return {"x-form": words}


Id = Annotated[
    str,
    Field(
        pattern=r"^[a-z][a-z0-9-]{0,39}$",
        description="Stable name: lower-case letters, digits, hyphens; used in files and drawings",
        json_schema_extra=form(
            "an id of 1 to 40 lower-case letters, digits and hyphens, beginning with a letter"
        ),
    ),
]
Label = Annotated[str, Field(min_length=1, max_length=80)]
Length = Annotated[float, Field(gt=0, le=3000, allow_inf_nan=False)]  # mm, positive
Depth = Annotated[float, Field(ge=0, le=3000, allow_inf_nan=False)]  # mm, zero or more
Place = Annotated[float, Field(ge=-3000, le=3000, allow_inf_nan=False)]  # mm, signed
Mass = Annotated[float, Field(ge=0, le=5000, allow_inf_nan=False)]  # g
Size3 = Annotated[tuple[Length, Length, Length], Field(description="length (x), width (y), height (z), mm")]
Point2 = tuple[Place, Place]
Point3 = tuple[Place, Place, Place]
FoldMethod = Literal["groove", "crush", "rebate", "slit"]
Face = Literal["a", "b"]
Sort = Literal["surface", "body", "plate", "stick"]
"""What a part is to a joint: a wing or tail, a body, a flat piece, a bought stick."""


class Model(BaseModel):
    """A table of a file: unknown keys are mistakes, values do not change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class PartModel(Model):
    """A `[[part]]` table. Checks between its keys stand in design/senses, under its kind.

    sort: what it is to a joint.
    """

    sort: ClassVar[Sort] = "plate"

    @classmethod
    def is_main(cls, row: Mapping[str, object]) -> bool:
        """Whether a raw table of this kind is the main wing, which an aeroplane has once."""
        del row
        return False

    @classmethod
    def stock_keys(cls) -> tuple[tuple[str, ...], ...]:
        """Key paths inside the part that name a spar of the stock."""
        return ()
