"""The form of `bender`: the name of one, one in shapes, or one out of a file."""

from typing import Annotated, Any, Literal, get_args

from pydantic import BeforeValidator, Discriminator, Field, PlainValidator, Tag, WithJsonSchema, model_validator

from pipemodel.geometry.shapes import HalfSpace
from pipemodel.geometry.vectors import UP
from pipemodel.job.form import Form, empty_if_blank, named_or_form
from pipemodel.job.quantities import Length, PositiveLength
from pipemodel.job.room_forms import BlockForm, CylinderForm
from pipemodel.messages.values import message
from pipemodel.trade.benders import PartShape

Group = Literal["body", "lever", "guide", "room"]
GROUPS: tuple[Group, ...] = get_args(Group)
_REACH_MM = 1e5
_ONE_OF = message("fault.bender part")


class PartForm(Form):
    """A part of a bender, in the bender's own frame."""

    box: BlockForm | None = Field(default=None, description="A block with its faces along the axes")
    cylinder: CylinderForm | None = Field(default=None, description="A solid cylinder with flat ends")
    below: Length | None = Field(default=None, description="Everything below that height")

    @property
    def shape(self) -> PartShape:
        """The shape."""
        if self.below is not None:
            return HalfSpace((0.0, 0.0, self.below), UP)
        form = self.box or self.cylinder
        assert form is not None, "seen to when the form was filled"
        return form.shape()

    @model_validator(mode="after")
    def _one_in_reach(self) -> "PartForm":
        if (self.box, self.cylinder, self.below).count(None) != 2:
            raise ValueError(_ONE_OF)
        if self.box is not None and any(a == b for a, b in zip(self.box.from_, self.box.to, strict=True)):
            raise ValueError(message("fault.bender box"))
        ends = [end for form in (self.box, self.cylinder) if form is not None for end in (*form.from_, *form.to)]
        if max(map(abs, (*ends, self.below or 0.0))) > _REACH_MM:
            raise ValueError(message("fault.bender reach"))
        return self


def _gone(value: object) -> None:
    if value not in (None, "none"):
        raise ValueError(_ONE_OF)


PartChoice = Annotated[
    Annotated[PartForm, Tag("form")]
    | Annotated[None, PlainValidator(_gone), WithJsonSchema({"enum": [None, "none"]}), Tag("name")],
    Discriminator(named_or_form),
]
"""A part, or `none` for one that is taken out."""
Parts = Annotated[dict[str, PartChoice], BeforeValidator(empty_if_blank)]


class BenderForm(Form):
    """A bender in shapes, each group by the names of its parts."""

    like: str | None = Field(default=None, description="The bender that it is like, but for what is written here")
    radius: PositiveLength | None = Field(default=None, description="Radius of the former it was measured with")
    source: str | None = Field(default=None, description="Where the figures come from")
    body: Parts = Field(default={}, description="What stands still")
    lever: Parts = Field(default={}, description="What swings with the pull")
    guide: Parts = Field(default={}, description="What lies on the free tube and moves with it")
    room: Parts = Field(default={}, description="The bench, vice or floor")

    @model_validator(mode="after")
    def _has_radius(self) -> "BenderForm":
        if self.radius is None and self.like is None:
            raise ValueError(message("fault.bender radius"))
        return self


class OwnBenderForm(Form):
    """A bender out of a file of one's own."""

    file: str = Field(description="A YAML file of benders, from the job's folder: names, each with its parts")
    name: str = Field(description="The name of a bender in it, or of one of the tool's own")


def _kind(value: object) -> str:
    own = isinstance(value, OwnBenderForm) or (isinstance(value, dict) and "file" in value)
    return "own" if own else named_or_form(value)


def _name(value: Any) -> str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    raise ValueError(message("fault.a bender"))


BenderChoice = Annotated[
    Annotated[BenderForm, Tag("form")]
    | Annotated[OwnBenderForm, Tag("own")]
    | Annotated[
        str,
        PlainValidator(_name),
        WithJsonSchema({"type": "string", "description": "The name of a bender"}),
        Tag("name"),
    ],
    Discriminator(_kind),
]
"""A bender: the name of one, its parts in shapes, or a file of one's own and a name in it."""
