"""The forms of openings, and of what is asked of bringing a run in."""

from pydantic import Field

from pipemodel.job.form import Form
from pipemodel.job.model import BringIn
from pipemodel.job.quantities import NonNegativeLength, Point, Whole

MOST_EFFORT = 100_000_000


class OpeningForm(Form):
    """A hole by which runs are brought in: a flat outline."""

    corners: list[Point] = Field(
        min_length=3, max_length=200, description="Its corners in order, all in one plane: [[x, y, z], ...]"
    )
    outside: Point = Field(description="A point on the side one comes from")


class BringInForm(Form):
    """How a bent run is brought to its place."""

    through: str | None = Field(
        default=None,
        min_length=1,
        description="The name of an opening; left out, the only one there is, or from open space where there is none",
    )
    margin: NonNegativeLength = Field(default=BringIn().margin_mm, description="How far it keeps off everything")
    effort: Whole = Field(
        default=BringIn().effort,
        ge=1,
        le=MOST_EFFORT,
        description="How many placements are judged before the search ends without an answer",
    )
    seed: Whole = Field(default=BringIn().seed, ge=0, le=2**32 - 1, description="Another one searches in another order")
