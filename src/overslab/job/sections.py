"""What the models of ``job.toml`` and ``rates.toml`` share."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

from overslab.job.typed import Place, Words

Corners = Annotated[list[Place], Field(min_length=3, max_length=500)]
Line = Annotated[list[Place], Field(min_length=2, max_length=500)]
EdgeNumber = Annotated[int, Field(ge=1, strict=True)]


class Section(BaseModel):
    """A part of a file: only known keys, nothing turned quietly into something else."""

    model_config = ConfigDict(extra="forbid", frozen=True, hide_input_in_errors=True)


class Named(Section):
    """A thing on the floor that has a name of its own."""

    name: Words = Field(description='Its own name, as it shall stand on the sheets: "north door".')
