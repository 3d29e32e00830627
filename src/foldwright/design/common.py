"""Field types shared by the design, workshop and stock models."""

from __future__ import annotations

from typing import Annotated, Literal

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
Place = Annotated[float, Field(ge=-3000, le=3000, allow_inf_nan=False)]  # mm, signed
Mass = Annotated[float, Field(ge=0, le=5000, allow_inf_nan=False)]  # g
Size3 = Annotated[tuple[Length, Length, Length], Field(description="length (x), width (y), height (z), mm")]
Point2 = tuple[Place, Place]
FoldMethod = Literal["groove", "crush", "rebate", "slit"]


class Model(BaseModel):
    """A table of a file: unknown keys are mistakes, values do not change after reading."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)
