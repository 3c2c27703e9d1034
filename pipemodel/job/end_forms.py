"""The forms of what a run ends in and how it is clipped."""

from typing import Annotated

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from pipemodel.job.form import Form, named_or_form, one_as_list, one_or_many
from pipemodel.job.quantities import NonNegativeLength, PositiveLength
from pipemodel.messages.values import message
from pipemodel.trade.clips import EDGE_MM, no_spacings, services
from pipemodel.trade.fittings import FittingKind, MeasuredTo, Within


class WithinForm(Form):
    """How far off the finish may lie and still fit."""

    sideways: PositiveLength = Field(default=Within().sideways_mm, description="Square to the last leg")
    along: PositiveLength = Field(default=Within().along_mm, description="Along the last leg")


class EndForm(Form):
    """What one end of a run goes into, and what the run's dimension is given to there."""

    fitting: FittingKind = Field(default="plain", description="What the end goes into")
    to: MeasuredTo | None = Field(
        default=None,
        description="What the first or last point is: the end of the tube, the fitting's mouth (if left out) or centre",
    )
    depth: NonNegativeLength | None = Field(
        default=None, description="How far the tube goes in, if not as the table says"
    )
    centre_to_stop: NonNegativeLength | None = Field(
        default=None, description="From the fitting's centre to where the tube stops"
    )
    joins: str | None = Field(
        default=None, min_length=1, description="The thing in the room, or the other run, that the end is connected to"
    )
    bare: NonNegativeLength | None = Field(
        default=None, description="How much of the run is left without insulation here, measured from its end"
    )
    within: WithinForm | None = Field(
        default=None, description="Of a finish: how far off it may lie and still fit; for the chance that the run fits"
    )

    @model_validator(mode="after")
    def _fits(self) -> "EndForm":
        if not self.model_fields_set:
            raise ValueError(message("fault.end into"))
        if self.fitting == "plain" and (self.to not in (None, "end") or self.depth or self.centre_to_stop):
            raise ValueError(message("fault.plain end"))
        return self


class EndsForm(Form):
    """Both ends of a run; one left out is plain."""

    start: EndForm | None = Field(default=None, description="Where the run starts")
    finish: EndForm | None = Field(default=None, description="Where it finishes")


class SpacingForm(Form):
    """The greatest distances between clips, where they are not to be as the table says."""

    level: PositiveLength = Field(description="On tube that runs level or slopes")
    upright: PositiveLength = Field(description="On tube that runs upright")


def _service(value: object) -> object:
    if isinstance(value, str) and value.strip().lower() not in services():
        raise ValueError(no_spacings(value.strip()[:40]))
    return value.strip().lower() if isinstance(value, str) else value


class ClipsForm(Form):
    """How runs are clipped, and to what."""

    face: Annotated[list[str], one_as_list(str)] = Field(
        min_length=1,
        description="The thing in the room, or the things, whose faces take the clips",
        json_schema_extra=one_or_many,
    )
    standoff: PositiveLength | None = Field(
        default=None, description="How far the clip holds the tube's axis off the face; any within reach if left out"
    )
    service: Annotated[str, BeforeValidator(_service)] = Field(
        default="water",
        description="Whose spacings are to be kept",
        json_schema_extra={"enum": list(services())},
    )
    spacing: SpacingForm | None = Field(default=None, description="Other spacings than the table's")
    near_fitting: PositiveLength | None = Field(
        default=None, description="The greatest distance from a fitting or an end to the nearest clip"
    )
    off_bend: NonNegativeLength | None = Field(
        default=None, description="The least distance from a bend to the middle of a clip"
    )
    edge: NonNegativeLength = Field(
        default=EDGE_MM, description="The least distance from the edge of a face to where a clip is fixed"
    )


class StockForm(Form):
    """What tube is cut from."""

    length: PositiveLength = Field(default=3000.0, description="Length of new tube; 3 m if left out")
    offcuts: Annotated[
        Annotated[list[PositiveLength], Tag("name")] | Annotated[dict[str, list[PositiveLength]], Tag("form")],
        Discriminator(named_or_form),
    ] = Field(
        default=[],
        description="Lengths at hand, each used at most once: a list for the job's tube, or a list by size of tube",
    )
