"""The form of a job file: what may be written under which key, in the user's own terms."""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, PlainValidator, Tag, WithJsonSchema, model_validator

from pipemodel.job.bender_forms import BenderChoice
from pipemodel.job.drawing_forms import DrawingForm
from pipemodel.job.end_forms import ClipsForm, EndsForm, StockForm
from pipemodel.job.fall import FallChoice
from pipemodel.job.find import CRITERIA
from pipemodel.job.find_forms import Choose, FindForm
from pipemodel.job.form import Form, empty_if_blank
from pipemodel.job.heading import Heading, Stand
from pipemodel.job.jig_forms import JigChoice
from pipemodel.job.measured_forms import MeasuredForm
from pipemodel.job.model import Hands
from pipemodel.job.names import LONGEST_REVISION, RUN_PATTERN, TITLE_PATTERN, revision_fault
from pipemodel.job.opening_forms import BringInForm, ReachChoice
from pipemodel.job.quantities import (
    Angle,
    NonNegativeAngle,
    NonNegativeLength,
    Number,
    Point,
    PositiveAngle,
    PositiveLength,
    parse_length,
    parse_number,
)
from pipemodel.job.room_file_forms import LEVELS, Levels, Openings, Room, RoomForm
from pipemodel.job.rules_forms import ChosenRulesForm
from pipemodel.job.temperature_forms import TemperatureForm
from pipemodel.messages.units import Language, UnitName
from pipemodel.trade.benders import Stance
from pipemodel.trade.model import GREATEST_PULL_DEG, FormerFigure


def _named_or_form(value: object) -> str:
    return "form" if isinstance(value, dict | Form) else "name"


def _former_kind(value: object) -> str:
    named = isinstance(value, dict) and ("file" in value or ("name" in value and "radius" not in value))
    if named or isinstance(value, OwnFormerForm):
        return "own"
    return _named_or_form(value)


def _tube_query(value: object) -> float | str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    if isinstance(value, int | float) and not isinstance(value, bool):
        parse_number(value)
        return value
    raise ValueError("a tube is a size such as 15 or '15 x 1.0', or its measures {outside: 15, wall: 0.7}")


def _former_name(value: object) -> str:
    if isinstance(value, str) and value.strip():
        return value.strip()
    raise ValueError("a former is the name of one, or its measures such as {radius: 55}")


def _title(value: object) -> str:
    if isinstance(value, str):
        return value
    raise ValueError("the job's name is text; put it in quotes")


def _revision(value: object) -> str:
    text = str(value).strip() if isinstance(value, str | int) and not isinstance(value, bool) else ""
    if fault := revision_fault(text):
        raise ValueError(fault)
    return text


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
                f"a wall of {self.wall:g} leaves no bore in a tube of {self.outside:g}; "
                f"it must be less than {self.outside / 2.0:g}"
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
            raise ValueError(f"springback of {self.per_degree:g} per degree; write a share such as 0.05")
        if not -45.0 <= self.fixed <= 45.0:
            raise ValueError(f"a fixed springback of {self.fixed:g} degrees; write a few degrees, such as 1.5")
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
            raise ValueError(
                "a mark set by a square against the rim needs the rim: its distance from the former's axis"
            )
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
    Discriminator(_named_or_form),
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


class CornerForm(Form):
    """A corner of its own: where it is, and the former its bend is made round."""

    at: Point = Field(description="Where the corner is: [x, y, z]")
    former: FormerChoice | None = Field(
        default=None, description="The former of this bend alone; the run's if left out"
    )


CornerChoice = Annotated[
    Annotated[CornerForm, Tag("form")] | Annotated[Point, Tag("name")],
    Discriminator(_named_or_form),
]
"""A corner: a point, or a point with a former of its own."""


RulesChoice = Annotated[
    Annotated[ChosenRulesForm, Tag("form")] | Annotated[str, Tag("name")], Discriminator(_named_or_form)
]


PlanChoice = Literal["for ease", "for accuracy"]
_PLAN = (
    "which order of pulls is taken of those that work: the least work (for ease), or the one by which the finish lands "
    "best (for accuracy)"
)


class RunForm(Form):
    """One continuous piece of tube, from its start to its finish."""

    points: list[CornerChoice] | None = Field(
        default=None,
        min_length=2,
        description="Start, corners and finish, in order: [[x, y, z], ...]; a corner with a former of its own is "
        "{at: [x, y, z], former: ...}",
    )
    start: Point | None = Field(default=None, description="Where a route starts")
    heading: Heading | None = Field(default=None, description="Which way it sets out, if its first item does not say")
    route: list[Any] | None = Field(default=None, min_length=1, description="Moves and features, in order")
    find: FindForm | None = Field(
        default=None, description="From where to where, in place of points: the way is found, and its bends with it"
    )
    beside: Any = Field(default=None, description="Beside another run, from its start; a route may go on from there")
    seen_from: Stand | None = Field(
        default=None, alias="seen from", description="Where the fitter stands at this run, if not as the job says"
    )
    wall: str | None = Field(
        default=None, min_length=1, description="The thing whose upright face it lies on, if it is not clipped to it"
    )
    tube: TubeChoice | None = Field(default=None, description="This run's own tube")
    former: FormerChoice | None = Field(default=None, description="This run's own former")
    bender: BenderChoice | None = Field(default=None, description="The bender this run is pulled in")
    bender_stands: Stance | None = Field(
        default=None,
        alias="bender stands",
        description="How it stands while this run is pulled, if not as the job says",
    )
    ends: EndsForm | None = Field(default=None, description="What its ends go into; plain if left out")
    plan: PlanChoice | None = Field(default=None, description=f"This run's own plan: {_PLAN}")
    trim: NonNegativeLength = Field(default=0.0, description="Left on at the finish, to be cut off after bending")
    clips: ClipsForm | None = Field(default=None, description="How this run is clipped, if not as the job says")
    temperature: TemperatureForm | None = Field(default=None, description="This run's own coldest and hottest")
    insulation: NonNegativeLength | None = Field(default=None, description="Thickness of this run's own insulation")
    fall: FallChoice | None = Field(
        default=None, description="How its level legs fall, towards its finish if nothing else is said: 1 in 80"
    )
    bring_in: BringInForm | None = Field(
        default=None, alias="bring in", description="How this run is brought in, if not as the job says"
    )


class HandsForm(Form):
    """How well whoever bends the runs does so: standard deviations."""

    mark: NonNegativeLength = Field(default=Hands().mark_mm, description="Of where each bend begins, along the tube")
    angle: NonNegativeAngle = Field(default=Hands().angle_deg, description="Of each bend's angle")
    turn: NonNegativeAngle = Field(default=Hands().turn_deg, description="Of each roll of the tube between bends")
    file: str | None = Field(
        default=None,
        description="A file of finished pieces, such as `pipemodel learn` writes, that says what is not given here",
    )
    by: str | None = Field(default=None, min_length=1, description="Whose pieces of that file; left out, all of them")


_RUN_NAMES: Any = {"propertyNames": {"pattern": RUN_PATTERN, "maxLength": 80}}


class JobForm(Form):
    """A job: the tube, the former, the room and the runs."""

    job: Annotated[str, PlainValidator(_title)] = Field(
        description="The job's name",
        json_schema_extra={"type": "string", "pattern": TITLE_PATTERN, "maxLength": 80},
    )
    parameters: Annotated[dict[str, Any], BeforeValidator(empty_if_blank)] = Field(
        default={},
        description="Names and values to use in expressions: ${name}",
        json_schema_extra={"type": ["object", "null"], "additionalProperties": {"type": ["number", "string"]}},
    )
    tube: TubeChoice | None = Field(default=None, description="The tube of all runs that name no other")
    former: FormerChoice | None = Field(
        default=None, description="The former of all runs that name no other; left out, a generic one serves"
    )
    learned: str | None = Field(
        default=None,
        description="A file of finished pieces, such as `pipemodel learn` writes, that sharpens the figures of all "
        "formers that are in it",
    )
    bender: BenderChoice | None = Field(
        default=None, description="The bender of all runs that name no other; left out, only the former's limits count"
    )
    bender_stands: Stance = Field(
        default="flat",
        alias="bender stands",
        description="How the bender stands when it is used: flat on a bench, or upright in front of whoever pulls",
    )
    clearance: NonNegativeLength = Field(default=0.0, description="Asked for between the tubes and everything else")
    clips: ClipsForm | None = Field(default=None, description="How the runs are clipped, and to what")
    insulation: NonNegativeLength = Field(default=0.0, description="Thickness of the insulation round every run")
    temperature: TemperatureForm | None = Field(
        default=None, description="The coldest and the hottest the runs get; asks whether they can move as they grow"
    )
    kerf: NonNegativeLength = Field(default=0.0, description="What the saw takes at each cut")
    stock: StockForm = StockForm()
    units: UnitName = Field(default="mm", description="What the papers are in; the job itself stays in mm")
    language: Language = Field(default="en", description="The language of the papers: English or German")
    revision: Annotated[
        str,
        PlainValidator(_revision),
        WithJsonSchema(
            {"anyOf": [{"type": "string", "minLength": 1, "maxLength": LONGEST_REVISION}, {"type": "integer"}]}
        ),
    ] = Field(default="", description="Which state of the job this is, such as B; printed on every paper")
    drawing: Annotated[DrawingForm, BeforeValidator(empty_if_blank)] = Field(
        default_factory=lambda: DrawingForm.model_validate({}), description="For the title blocks of the drawings"
    )
    rules: list[RulesChoice] = Field(
        default=[],
        description="The rules of building it is held against: names of the tool's, {file: ...}, or for some runs "
        "{set: name, runs: [...]}",
    )
    choose: Choose = Field(
        default=CRITERIA,
        description="What ways that are found are compared by, the first first; what is left out follows as usual",
    )
    hands: Annotated[HandsForm | None, BeforeValidator(empty_if_blank)] = Field(
        default=None, description="How well whoever bends the runs does so; asks for the chance that each run fits"
    )
    seen_from: Stand | None = Field(
        default=None,
        alias="seen from",
        description="The side on which the fitter stands; drawings are seen from there",
    )
    measured: MeasuredForm | None = Field(default=None, description="The room as measured with a tape: points by name")
    plan: PlanChoice = Field(default="for ease", description=f"Of all runs that say nothing else, {_PLAN}")
    bring_in: Annotated[BringInForm | None, BeforeValidator(empty_if_blank)] = Field(
        default=None,
        alias="bring in",
        description="How the bent runs are brought to their places; asks for a way in for each of them",
    )
    reach: ReachChoice = Field(
        default=None,
        description="Whether a hand gets to joints, clips and new cuts: yes, or {arm: 600, thick: 100}",
    )
    openings: Openings = Field(default={})
    jig: JigChoice = Field(default=None, description="How its checking jigs are made; left out, `make` makes none")
    levels: Levels = Field(default_factory=dict, description=LEVELS)
    room: Room = Field(default_factory=lambda: RoomForm.model_validate({}))
    runs: Annotated[dict[str, RunForm], BeforeValidator(empty_if_blank)] = Field(
        description="The runs, by name", json_schema_extra={**_RUN_NAMES, "minProperties": 1}
    )
