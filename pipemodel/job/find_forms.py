"""How a run is written whose way is to be found."""

from typing import Annotated, Literal, get_args

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from pipemodel.job.find import CRITERIA, Criterion
from pipemodel.job.form import Form
from pipemodel.job.heading import Heading
from pipemodel.job.quantities import NonNegativeLength, Point, PositiveLength, shown
from pipemodel.messages.values import Name, bare, message


class FindVoidForm(Form):
    """A void along the axes of the room, by two opposite corners."""

    from_: Point = Field(alias="from", description="One corner: [x, y, z]")
    to: Point = Field(description="The opposite corner: [x, y, z]")


class FindBesideForm(Form):
    """The run to lie beside, and how far from it."""

    run: str = Field(min_length=1, description="The name of the other run")
    gap: NonNegativeLength | None = Field(default=None, description="Between the outsides of the two tubes")
    centres: PositiveLength | None = Field(default=None, description="Instead of a gap: between their axes")

    @model_validator(mode="after")
    def _one_of_both(self) -> "FindBesideForm":
        if (self.gap is None) == (self.centres is None):
            raise ValueError(message("fault.gap or centres"))
        return self


class FindForm(Form):
    """A way to be found: from a point and a direction to a point and a direction."""

    from_: Point = Field(alias="from", description="The centre of the start: [x, y, z]")
    heading: Heading = Field(description="Which way the tube sets out")
    to: Point = Field(description="The centre of the finish: [x, y, z]")
    arriving: Heading = Field(description="Which way the tube runs where it arrives, in the direction of travel")
    within: FindVoidForm | None = Field(
        default=None, description="The void that the tube must stay in; anywhere without"
    )
    beside: FindBesideForm | None = Field(
        default=None, description="A run to lie beside as far as it can, bends nested in bends: {run: flow, gap: 40}"
    )
    holes: Literal["new"] | None = Field(
        default=None, description="new: holes may be drilled in joists, where the job's rules allow one"
    )
    notches: Literal["new"] | None = Field(
        default=None, description="new: notches may be cut in the tops of joists, where the job's rules allow one"
    )


def _criteria(value: object) -> tuple[Criterion, ...]:
    known = {name: name for name in get_args(Criterion)}
    if not isinstance(value, list | tuple) or not value:
        raise ValueError(message("fault.criteria", there=bare(", ".join(CRITERIA))))
    chosen: list[Criterion] = []
    for one in value:
        if one not in known:
            there = bare(", ".join(CRITERIA))
            raise ValueError(message("fault.no criterion", one=Name(shown(one)), there=there))
        if one in chosen:
            raise ValueError(message("fault.criterion twice", one=Name(shown(one))))
        chosen.append(known[one])
    return (*chosen, *(one for one in CRITERIA if one not in chosen))


Choose = Annotated[
    tuple[Criterion, ...],
    PlainValidator(_criteria),
    WithJsonSchema({"type": "array", "items": {"enum": list(CRITERIA)}, "minItems": 1, "uniqueItems": True}),
]
"""What ways are compared by; those left out come after, in their usual order."""
