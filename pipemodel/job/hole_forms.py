"""The forms of holes through a thing: round ones, and openings with square corners."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from pipemodel.geometry.vectors import Vec3
from pipemodel.job.form import Form
from pipemodel.job.quantities import NonNegativeLength, Point, PositiveLength, shown
from pipemodel.messages.values import Name, message

MOST_RUNS = 100
"""How many runs may go through one hole or sleeve."""
THROUGH = {
    "east": 0, "west": 0, "north": 1, "south": 1, "up": 2, "down": 2,
}  # fmt: skip
"""The axis of the room that a hole goes along, by the words for it."""


def _named(value: object) -> object:
    if isinstance(value, str) and value.strip().lower() in THROUGH:
        return value.strip().lower()
    raise ValueError(
        message("fault.hole through", through=Name(", ".join(THROUGH), quoted=False), value=Name(shown(value)))
    )


Runs = Annotated[list[str], Field(min_length=1, max_length=MOST_RUNS)]


class ForRunsForm(Form):
    """What every hole, opening and notch may say of the runs that it is for."""

    for_: Runs | None = Field(default=None, alias="for", description="The runs that may go through; all if left out")
    clearance: NonNegativeLength | None = Field(
        default=None, description="Asked for round the runs that it is 'for'; that to the thing if left out"
    )

    bare: bool = Field(default=False, description="Whether the insulation of the runs that it is 'for' stops at it")

    @model_validator(mode="after")
    def _for_some(self) -> "ForRunsForm":
        if self.for_ is None and (self.clearance is not None or self.bare):
            raise ValueError(message("fault.hole for"))
        return self


def meant(form: Form) -> dict[str, Any]:
    """Return what a hole says of the runs that it is for, as another form takes it; nothing of a chase."""
    if not isinstance(form, ForRunsForm):
        return {}
    return {"for": form.for_, "clearance": form.clearance, "bare": form.bare}


class HoleForm(ForRunsForm):
    """A hole right through a thing: round, about a point; or an opening with square corners between two points."""

    at: Point | None = Field(default=None, description="A point of a round hole's axis, at any depth")
    diameter: PositiveLength | None = Field(default=None, description="Diameter of a round hole")
    from_: Point | None = Field(default=None, alias="from", description="A corner of an opening, at any depth")
    to: Point | None = Field(default=None, description="The opposite corner")
    through: Annotated[str, BeforeValidator(_named)] | None = Field(
        default=None,
        description="Which way a box's holes go through it: the way it is thinnest, if left out",
        json_schema_extra={"enum": list(THROUGH)},
    )

    @model_validator(mode="after")
    def _round_or_square(self) -> "HoleForm":
        given = [name for name in ("at", "diameter", "from_", "to") if getattr(self, name) is not None]
        if given not in (["at", "diameter"], ["from_", "to"]):
            raise ValueError(message("fault.hole form"))
        return self

    def corners(self) -> tuple[Vec3, ...]:
        """Return the point of a round hole's axis, or the two corners of an opening."""
        return tuple(p for p in (self.at, self.from_, self.to) if p is not None)
