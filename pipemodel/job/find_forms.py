"""How a run is written whose way is to be found."""

from typing import Annotated, Literal, get_args

from pydantic import Field, PlainValidator, WithJsonSchema

from pipemodel.job.find import CRITERIA, Criterion
from pipemodel.job.form import Form
from pipemodel.job.heading import Heading
from pipemodel.job.quantities import Point, shown


class FindVoidForm(Form):
    """A void along the axes of the room, by two opposite corners."""

    from_: Point = Field(alias="from", description="One corner: [x, y, z]")
    to: Point = Field(description="The opposite corner: [x, y, z]")


class FindForm(Form):
    """A way to be found: from a point and a direction to a point and a direction."""

    from_: Point = Field(alias="from", description="The centre of the start: [x, y, z]")
    heading: Heading = Field(description="Which way the tube sets out")
    to: Point = Field(description="The centre of the finish: [x, y, z]")
    arriving: Heading = Field(description="Which way the tube runs where it arrives, in the direction of travel")
    within: FindVoidForm | None = Field(
        default=None, description="The void that the tube must stay in; anywhere without"
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
        raise ValueError(f"write a list of {', '.join(CRITERIA)}")
    chosen: list[Criterion] = []
    for one in value:
        if one not in known:
            raise ValueError(f"{shown(one)!r} is nothing to compare ways by; there is {', '.join(CRITERIA)}")
        if one in chosen:
            raise ValueError(f"{shown(one)!r} is there twice")
        chosen.append(known[one])
    return (*chosen, *(one for one in CRITERIA if one not in chosen))


Choose = Annotated[
    tuple[Criterion, ...],
    PlainValidator(_criteria),
    WithJsonSchema({"type": "array", "items": {"enum": list(CRITERIA)}, "minItems": 1, "uniqueItems": True}),
]
"""What ways are compared by; those left out come after, in their usual order."""
