"""The form of a job file: what may be written under which key, in the user's own terms."""

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Discriminator, Field, PlainValidator, Tag, WithJsonSchema

from pipemodel.job.bender_forms import BenderChoice
from pipemodel.job.drawing_forms import DrawingForm
from pipemodel.job.end_forms import ClipsForm, EndsForm, StockForm
from pipemodel.job.fall import FallChoice
from pipemodel.job.find import CRITERIA
from pipemodel.job.find_forms import Choose, FindForm
from pipemodel.job.form import Form, empty_if_blank, named_or_form
from pipemodel.job.heading import Heading, Stand
from pipemodel.job.jig_forms import JigChoice
from pipemodel.job.measured_forms import MeasuredForm
from pipemodel.job.model import Hands
from pipemodel.job.names import LONGEST_REVISION, RUN_PATTERN, TITLE_PATTERN, revision_fault
from pipemodel.job.opening_forms import BringInForm, ReachChoice
from pipemodel.job.quantities import NonNegativeAngle, NonNegativeLength, Point
from pipemodel.job.room_file_forms import LEVELS, Levels, Openings, Room, RoomForm
from pipemodel.job.rules_forms import ChosenRulesForm
from pipemodel.job.temperature_forms import TemperatureForm
from pipemodel.job.tool_forms import FormerChoice, TubeChoice
from pipemodel.messages.units import Language, UnitName
from pipemodel.messages.values import message
from pipemodel.trade.benders import Stance


def _title(value: object) -> str:
    if isinstance(value, str):
        return value
    raise ValueError(message("name.as text"))


def _revision(value: object) -> str:
    text = str(value).strip() if isinstance(value, str | int) and not isinstance(value, bool) else ""
    if fault := revision_fault(text):
        raise ValueError(fault)
    return text


class CornerForm(Form):
    """A corner of its own: where it is, and the former its bend is made round."""

    at: Point = Field(description="Where the corner is: [x, y, z]")
    former: FormerChoice | None = Field(
        default=None, description="The former of this bend alone; the run's if left out"
    )


CornerChoice = Annotated[
    Annotated[CornerForm, Tag("form")] | Annotated[Point, Tag("name")],
    Discriminator(named_or_form),
]
"""A corner: a point, or a point with a former of its own."""


RulesChoice = Annotated[
    Annotated[ChosenRulesForm, Tag("form")] | Annotated[str, Tag("name")], Discriminator(named_or_form)
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
        default_factory=DrawingForm.model_construct, description="For the title blocks of the drawings"
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
    room: Room = Field(default_factory=RoomForm.model_construct)
    runs: Annotated[dict[str, RunForm], BeforeValidator(empty_if_blank)] = Field(
        description="The runs, by name", json_schema_extra={**_RUN_NAMES, "minProperties": 1}
    )
