"""Sleeves: short pipes through a wall or a floor, for the runs that are named."""

from pydantic import Field

from pipemodel.job.form import Form
from pipemodel.job.quantities import Point, PositiveLength

MOST_RUNS = 100
"""How many runs may go through one sleeve."""


class SleeveForm(Form):
    """A round hole right through a wall or floor, lined with a short pipe, for some runs."""

    in_: str = Field(alias="in", min_length=1, max_length=200, description="The name of the wall or floor")
    at: Point = Field(description="A point of its axis, at any depth: [x, y, z], or in words on a wall")
    diameter: PositiveLength = Field(description="Its bore")
    length: PositiveLength | None = Field(
        default=None, description="As long as the wall or floor is thick, flush, if left out; else it stands out alike"
    )
    for_: list[str] = Field(
        alias="for", min_length=1, max_length=MOST_RUNS, description="The runs that go through it; no other may"
    )
