"""The form of what was measured with a tape: points, walls and readings."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from pipemodel.job.form import Form
from pipemodel.job.quantities import Length, Point, PositiveLength
from pipemodel.messages.values import Number, message

NAME_PATTERN = r"^[^\W\d]\w*$"
Side = Literal["north", "south", "east", "west", "up", "down", "north east", "north west", "south east", "south west"]


class SoughtForm(Form):
    """A point to be found: what is known of it, and on which side it lies if two places fit."""

    x: Length | None = Field(default=None, description="How far east, where that is known")
    y: Length | None = Field(default=None, description="How far north, where that is known")
    z: Length | None = Field(default=None, description="How high, where that is known")
    side: Side | None = Field(
        default=None, description="Which of two mirrored places is meant: the one further that way"
    )


class ReadingForm(Form):
    """One reading of a tape, rule or level."""

    points: list[str] | None = Field(
        default=None, min_length=2, max_length=2, description="The two points the tape goes between"
    )
    wall: list[str] | None = Field(
        default=None, min_length=2, max_length=2, description="Two points of the wall it is square off"
    )
    above: str | None = Field(default=None, description="The point it is upright from")
    to: str | None = Field(default=None, description="The point measured, from a wall or above a point")
    reads: Length = Field(description="What it reads")
    tube: PositiveLength | None = Field(
        default=None, description="Read to the near side of tube of this outside diameter, held in its clip"
    )
    within: PositiveLength | None = Field(default=None, description="Standard deviation of this reading alone")

    @model_validator(mode="after")
    def _is_one(self) -> "ReadingForm":
        if sum(way is not None for way in (self.points, self.wall, self.above)) != 1:
            raise ValueError(message("fault.reading between"))
        if (self.points is None) != (self.to is not None):
            raise ValueError(message("fault.reading to"))
        if self.tube is not None and self.wall is None:
            raise ValueError(message("fault.reading tube"))
        if self.above is None and self.reads <= 0.0:
            raise ValueError(message("fault.tape reads", reads=Number(self.reads)))
        named = [*(self.points or self.wall or ()), *(name for name in (self.above, self.to) if name is not None)]
        if len(set(named)) < len(named):
            raise ValueError(message("fault.reading same"))
        return self


class MeasuredWallForm(Form):
    """An upright wall through two points on the floor, and the wall it should be square to."""

    through: list[str] = Field(min_length=2, max_length=2, description="Two measured points")
    square_to: str | None = Field(default=None, description="The wall that it is meant to be square to")


def _point_kind(value: object) -> str:
    return "sought" if isinstance(value, dict | SoughtForm) else "known"


PointChoice = Annotated[
    Annotated[SoughtForm, Tag("sought")] | Annotated[Point, Tag("known")], Discriminator(_point_kind)
]


class MeasuredForm(Form):
    """The room as measured with a tape."""

    tape: PositiveLength = Field(default=1.5, description="Standard deviation of one reading, mm")
    points: dict[str, PointChoice] = Field(
        description="Points by name: [x, y, z] where it is known, or what is known of it, such as {z: 0}",
        json_schema_extra={"propertyNames": {"pattern": NAME_PATTERN}, "maxProperties": 60},
        max_length=60,
    )
    readings: list[ReadingForm] = Field(default=[], max_length=400, description="What was read")
    walls: dict[str, MeasuredWallForm] = Field(default={}, description="Walls by name, to be shown square or not")
