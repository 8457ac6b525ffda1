"""The base of every value that comes from a file: frozen, strict, and complete."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Extra = tuple[tuple[str, str], ...]
"""Keys that Clampbook does not know, each with its value as TOML text: kept, never used."""

Number = Annotated[float, Field(ge=-1e6, le=1e6)]
"""Any finite measure; infinity, NaN, booleans and texts are refused."""

Size = Annotated[float, Field(gt=0, le=1e5)]
"""A size or a standard deviation that cannot be nothing."""

Spread = Annotated[float, Field(ge=0, le=1e5)]
"""A standard uncertainty: none, or more."""

LONGEST_TEXT = 1000
Words = Annotated[str, Field(max_length=LONGEST_TEXT)]
Id = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,63}$")]
JointId = Annotated[str, Field(pattern=r"^[a-z][a-z0-9_]{0,63}$")]
Vector = tuple[Number, Number, Number]
Pair = tuple[Number, Number]


class Unfit(ValueError):  # noqa: N818
    """Fields that do not go together: why, and an entry that would be right."""

    def __init__(self, why: str, right: str) -> None:
        super().__init__(why)
        self.right = right


class Frozen(BaseModel):
    """A frozen value; unknown keys are taken out by the reader before it is made."""

    model_config = ConfigDict(
        frozen=True,
        strict=True,
        extra="forbid",
        allow_inf_nan=False,
        validate_by_name=True,
        validate_by_alias=True,
        defer_build=True,
    )
