"""Sleeves: short pipes through a wall or a floor, for the runs that are named."""

from pydantic import Field, model_validator

from pipemodel.job.form import Form
from pipemodel.job.hole_forms import Runs
from pipemodel.job.quantities import Point, PositiveLength
from pipemodel.messages.values import Number, message


class SleeveForm(Form):
    """A round hole right through a wall or floor, lined with a short pipe, for some runs."""

    in_: str = Field(alias="in", min_length=1, max_length=200, description="The name of the wall or floor")
    at: Point = Field(description="A point of its axis, at any depth: [x, y, z], or in words on a wall")
    diameter: PositiveLength = Field(description="Its bore")
    outside: PositiveLength | None = Field(
        default=None, description="The outside of its pipe, which the hole is drilled for; as its bore if left out"
    )
    length: PositiveLength | None = Field(
        default=None, description="As long as the wall or floor is thick, flush, if left out; else it stands out alike"
    )
    for_: Runs = Field(alias="for", description="The runs that go through it; no other may")

    bare: bool = Field(default=False, description="Whether the insulation of those runs stops at it")

    @model_validator(mode="after")
    def _has_a_wall(self) -> "SleeveForm":
        if self.outside is not None and self.outside <= self.diameter:
            raise ValueError(message("fault.sleeve bore", outside=Number(self.outside), diameter=Number(self.diameter)))
        return self
