"""How a tube and a former are written in a job file: by a name, or by their measures."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, PlainValidator, Tag, WithJsonSchema, model_validator

from pipemodel.job.form import Form, named_or_form
from pipemodel.job.quantities import (
    Angle,
    NonNegativeAngle,
    NonNegativeLength,
    Number,
    PositiveAngle,
    PositiveLength,
    parse_length,
    parse_number,
)
from pipemodel.messages.values import Number as Figure
from pipemodel.messages.values import message
from pipemodel.trade.model import GREATEST_PULL_DEG, FormerFigure


def _former_kind(value: object) -> str:
    named = isinstance(value, dict) and ("file" in value or ("name" in value and "radius" not in value))
    if named or isinstance(value, OwnFormerForm):
        return "own"
    return named_or_form(value)


def _tube_query(value: object) -> float | str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    if isinstance(value, int | float) and not isinstance(value, bool):
        parse_number(value)
        return value
    raise ValueError(message("fault.a tube"))


def _former_name(value: object) -> str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    raise ValueError(message("fault.a former"))


class TubeForm(Form):
    """A tube by its measures."""

    outside: PositiveLength = Field(description="Outside diameter")
    wall: PositiveLength = Field(description="Wall thickness")
    material: str = Field(default="", max_length=40, description="Such as copper")
    temper: str = Field(default="", max_length=40, description="Such as R250")

    @model_validator(mode="after")
    def _has_bore(self) -> "TubeForm":
        if self.wall >= self.outside / 2.0:
            raise ValueError(
                message(
                    "fault.no bore",
                    wall=Figure(self.wall),
                    outside=Figure(self.outside),
                    half=Figure(self.outside / 2.0),
                )
            )
        return self


class SpringbackForm(Form):
    """What the tube opens by when let go: pull angle = angle + fixed + per_degree x angle."""

    per_degree: Number = Field(default=0.0, description="Degrees for each degree of bend")
    fixed: Angle = Field(default=0.0, description="Degrees at every bend")
    per_degree_within: Number = Field(default=0.0, ge=0.0, description="Half width of its 95 % interval, if measured")
    fixed_within: NonNegativeAngle = Field(default=0.0, description="The same of the fixed part")
    correlation: Number = Field(default=0.0, gt=-1.0, lt=1.0, description="Of the two, as measured")

    @model_validator(mode="after")
    def _is_sane(self) -> "SpringbackForm":
        if not -0.5 <= self.per_degree <= 1.0:
            raise ValueError(message("fault.springback share", share=Figure(self.per_degree)))
        if not -45.0 <= self.fixed <= 45.0:
            raise ValueError(message("fault.springback fixed", fixed=Figure(self.fixed)))
        return self


def _mark(value: object) -> float | str:
    return value if value in ("beginning", "square") and isinstance(value, str) else parse_length(value)


_MARK_SCHEMA = {
    "anyOf": [{"enum": ["beginning", "square"]}, {"type": "number"}, {"type": "string"}],
    "description": "A length, or how it is set",
}
Mark = Annotated[float | Literal["beginning", "square"], PlainValidator(_mark), WithJsonSchema(_MARK_SCHEMA)]


_HISTORY = "A file of finished pieces, such as `pipemodel learn` writes, that sharpens its figures"
_ALLOW_TIGHT = "Bend tighter than the smallest radius published for the tube"


class FormerForm(Form):
    """A former by its measures."""

    radius: PositiveLength = Field(description="Finished radius of the tube's centreline")
    name: str | None = Field(default=None, min_length=1, max_length=40, description="What it is called")
    history: str | None = Field(default=None, description=_HISTORY)
    springback: SpringbackForm | None = Field(
        default=None, description="Left out, or empty, that of the generic former of the tube's size"
    )
    mark: Mark = Field(
        default=0.0,
        description="How much further from the start than the beginning of the bend the mark stands; or 'beginning', "
        "or 'square' where a square against the rim meets the tube",
    )
    rim: PositiveLength | None = Field(default=None, description="From the former's axis to its rim")
    hold: NonNegativeLength | None = Field(
        default=None,
        description="Straight tube needed before a bend when it is pulled; left out, that of the generic former",
    )
    guide: NonNegativeLength | None = Field(
        default=None,
        description="Straight tube needed after it, whatever its angle; with neither this nor a guide block, what the "
        "generic former needs",
    )
    guide_block: PositiveLength | None = Field(
        default=None,
        description="Length of the guide block, which lies on straight tube from where the bend begins: after a bend "
        "it needs its length less radius x angle, and never less than guide",
    )
    guide_travel: NonNegativeLength = Field(
        default=0.0, description="How much further ahead the guide slides in a pull of 90 degrees"
    )
    max_angle: PositiveAngle = Field(
        default=GREATEST_PULL_DEG,
        description="The greatest angle it can be pulled to; left out, enough for a return bend and its springback",
    )
    outside: PositiveLength | None = Field(default=None, description="The tube its groove fits, outside diameter")
    radius_within: NonNegativeLength = Field(
        default=0.0, description="Half width of the 95 % interval of a measured radius"
    )
    mark_within: NonNegativeLength = Field(
        default=0.0, description="Half width of the 95 % interval of a measured mark"
    )
    allow_tight: bool = Field(default=False, description=_ALLOW_TIGHT)

    @model_validator(mode="after")
    def _can_bend(self) -> "FormerForm":
        if self.mark == "square" and self.rim is None:
            raise ValueError(message("fault.mark rim"))
        return self

    @property
    def not_given(self) -> tuple[FormerFigure, ...]:
        """Which figures are left out, so that the generic former's serve; a zero that is written is given."""
        given: dict[FormerFigure, bool] = {
            "springback": self.springback is not None and bool(self.springback.model_fields_set),
            "hold": self.hold is not None,
            "guide": self.guide is not None or self.guide_block is not None,
        }
        return tuple(figure for figure, has in given.items() if not has)

    @property
    def mark_mm(self) -> float:
        """How much further from the start than the beginning of the bend the mark stands, mm."""
        if self.mark == "square":
            assert self.rim is not None, "seen to when the form was filled"
            return self.rim
        return 0.0 if isinstance(self.mark, str) else self.mark


class OwnFormerForm(Form):
    """A former by its name: out of a file of one's own, such as `pipemodel calibrate` writes, or one of the tool's."""

    file: str | None = Field(
        default=None,
        description="A YAML file of formers, from the job's folder: names, each with its measures; left out, the name "
        "is one of the tool's own",
    )
    name: str = Field(description="The name of a former")
    history: str | None = Field(default=None, description=_HISTORY)
    allow_tight: bool = Field(default=False, description=_ALLOW_TIGHT)


_SIZE_SCHEMA = {"anyOf": [{"type": "number"}, {"type": "string"}], "description": "A size out of the tube table"}
TubeChoice = Annotated[
    Annotated[TubeForm, Tag("form")]
    | Annotated[float | str, PlainValidator(_tube_query), WithJsonSchema(_SIZE_SCHEMA), Tag("name")],
    Discriminator(named_or_form),
]
"""A tube: a size out of the table, or its measures."""
FormerChoice = Annotated[
    Annotated[FormerForm, Tag("form")]
    | Annotated[OwnFormerForm, Tag("own")]
    | Annotated[
        str,
        PlainValidator(_former_name),
        WithJsonSchema({"type": "string", "description": "The name of a former"}),
        Tag("name"),
    ],
    Discriminator(_former_kind),
]
"""A former: the name of one, its measures, or a file of one's own and a name in it."""
