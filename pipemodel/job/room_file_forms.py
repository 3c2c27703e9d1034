"""The form of a room: its things by name, and the files in which further things are described once for many jobs."""

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Discriminator, Field, Tag

from pipemodel.job.form import Form, empty_if_blank, named_or_form, one_as_list, one_or_many
from pipemodel.job.model_place import FARTHEST_ON_MAP, MOST_SCALE, ModelPlace, OnMap
from pipemodel.job.names import TITLE_PATTERN
from pipemodel.job.opening_forms import OpeningForm
from pipemodel.job.quantities import Angle, Length, Point
from pipemodel.job.room_forms import ThingForm

MOST_FILES = 100
"""How many room files a job may have, those that they name themselves included."""
FILE_KEY = "file"
"""The one key under `room` that is no thing's name."""

MOST_LEVELS = 200
"""How many heights a job or a room file may have by name."""


class PlacedFileForm(Form):
    """A room file put in its place: turned about the upright through its own origin, then moved."""

    file: str = Field(min_length=1, description="Path of a room file, from the folder of the file that names it")
    at: Point = Field(default=(0.0, 0.0, 0.0), description="Where the file's own origin comes to lie")
    turned: Angle = Field(default=0.0, description="Degrees, counter-clockwise seen from above")
    called: str | None = Field(
        default=None,
        min_length=1,
        max_length=40,
        description="Stands before the names of its things, so that one file can stand in several places",
    )


FileChoice = Annotated[
    Annotated[PlacedFileForm, Tag("form")] | Annotated[Annotated[str, Field(min_length=1)], Tag("name")],
    Discriminator(named_or_form),
]


def _named(schema: dict[str, Any]) -> None:
    schema["type"] = ["object", "null"]
    schema["propertyNames"] = {"pattern": TITLE_PATTERN, "maxLength": 80}


class RoomForm(BaseModel):
    """The things the runs must keep clear of, by name; and under `file` the room files that hold more of them."""

    model_config = ConfigDict(extra="allow", frozen=True, defer_build=True, json_schema_extra=_named)
    __pydantic_extra__: dict[str, ThingForm]

    file: Annotated[list[FileChoice], one_as_list(str | dict)] = Field(
        default=[],
        max_length=MOST_FILES,
        description="A room file, or several: names of files, or {file: NAME, at: [x, y, z], turned: 90}",
        json_schema_extra=one_or_many,
    )

    @property
    def things(self) -> dict[str, ThingForm]:
        """The things by name, in the order of the file."""
        return self.__pydantic_extra__

    @property
    def files(self) -> list[PlacedFileForm]:
        """The room files, each with its place."""
        return [PlacedFileForm(file=one) if isinstance(one, str) else one for one in self.file]


Room = Annotated[
    RoomForm,
    BeforeValidator(empty_if_blank),
    Field(
        description="What the runs must keep clear of, by name; and `file`, room files that hold more of it",
    ),
]


Far = Annotated[float, Field(ge=-FARTHEST_ON_MAP, le=FARTHEST_ON_MAP, allow_inf_nan=False)]
"""A figure of a model's own, which may stand as far out as a map goes."""


Levels = Annotated[
    dict[Annotated[str, Field(min_length=1, max_length=80)], Length],
    BeforeValidator(empty_if_blank),
    Field(max_length=MOST_LEVELS),
]
LEVELS = "Heights (z) by name, for `to level`: {first floor: 2700}"


class OnMapForm(Form):
    """Where the model's zero stands on a map, in metres."""

    eastings: Far
    northings: Far
    height: Far = 0.0
    x_axis: tuple[Far, Far] = Field(default=(1.0, 0.0), description="The model's x on the map: [east, north]")
    scale: Annotated[float, Field(gt=0.0, le=MOST_SCALE)] = Field(
        default=1.0, description="Metres of the map to a metre"
    )
    crs: str = Field(default="", max_length=100, description="The map, such as EPSG:25832")


class ModelForm(Form):
    """The building model that a room file was made of, and how this stands in it; see docs/models.md."""

    file: str = Field(default="", max_length=200, description="The model's file")
    moved: tuple[Far, Far, Far] = Field(default=(0.0, 0.0, 0.0), description="What was taken off its places, mm")
    true_north: Far = Field(default=0.0, description="Degrees clockwise of its y")
    map: OnMapForm | None = None

    def place(self) -> ModelPlace:
        """Return it as the job has it."""
        at = self.map
        on_map = None if at is None else OnMap(at.eastings, at.northings, at.height, at.x_axis, at.scale, at.crs)
        return ModelPlace(self.file, self.moved, self.true_north, on_map)


Openings = Annotated[
    dict[str, OpeningForm],
    BeforeValidator(empty_if_blank),
    Field(
        description="The holes by which runs are brought in, by name",
        json_schema_extra={"propertyNames": {"pattern": TITLE_PATTERN, "maxLength": 80}},
    ),
]


class RoomFileForm(Form):
    """A room file: things by name that several jobs share."""

    parameters: Annotated[dict[str, Any], BeforeValidator(empty_if_blank)] = Field(
        default={},
        description="Names and values to use in expressions of this file: ${name}",
        json_schema_extra={"type": ["object", "null"], "additionalProperties": {"type": ["number", "string"]}},
    )
    levels: Levels = Field(default_factory=dict, description=LEVELS)
    model: ModelForm | None = Field(default=None, description="The building model it was made of")
    room: Room
    openings: Openings = Field(default={})
