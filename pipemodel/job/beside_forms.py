"""The forms of what may stand beside the shape of a thing: a row of it, and where it comes from."""

from typing import Annotated

from pydantic import Field, model_validator

from pipemodel.job.form import Form
from pipemodel.job.quantities import Point, Whole
from pipemodel.messages.values import message

MOST_REPEATED = 500


class RepeatForm(Form):
    """The same thing again and again, each so far from the one before."""

    number: Whole = Field(ge=2, le=MOST_REPEATED, description="How many there are, the one that is written included")
    by: Point = Field(description="From each to the next: [x, y, z]")

    @model_validator(mode="after")
    def _goes_on(self) -> "RepeatForm":
        if not any(self.by):
            raise ValueError(message("fault.one place"))
        return self


class SourceForm(Form):
    """Where a thing comes from in a building model."""

    guid: str = Field(min_length=1, max_length=64, description="The element's own identifier in the model")
    class_: str = Field(alias="class", min_length=1, max_length=80, description="Its class, such as IfcWall")
    name: str = Field(default="", max_length=1000, description="Its name in the model, where the thing has another")
    storey: str = Field(default="", max_length=1000, description="The storey it stands on")
    systems: list[Annotated[str, Field(max_length=1000)]] = Field(
        default=[], max_length=50, description="The systems it belongs to"
    )
