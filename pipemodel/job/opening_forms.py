"""The forms of openings, and of what is asked of bringing a run in."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field, model_validator

from pipemodel.job.form import Form
from pipemodel.job.model import BringIn
from pipemodel.job.quantities import NonNegativeLength, Number, Point, PositiveLength, Whole, shown
from pipemodel.messages.values import Name, message
from pipemodel.messages.values import Number as Figure

MOST_EFFORT = 100_000_000
MOST_STRAIN = 0.002
"""At the proof stress 0.002 of a strain stays; what is strained so much in all is no longer sure to spring back."""
MOST_PROOF = 1000.0
MOST_ARM = 1500.0


class OpeningForm(Form):
    """A hole by which runs are brought in: a flat outline."""

    corners: list[Point] = Field(
        min_length=3, max_length=200, description="Its corners in order, all in one plane: [[x, y, z], ...]"
    )
    outside: Point = Field(description="A point on the side one comes from")


class SpreadForm(Form):
    """How far a piece may be sprung by hand while it is brought in."""

    at_most: PositiveLength | None = Field(
        default=None, alias="at most", description="No end is sprung farther than this, and never beyond the limit"
    )
    strain: Number | None = Field(default=None, description="The limit of your own: strain of the outer fibre")
    proof_stress: Number | None = Field(
        default=None, alias="proof stress", description="Rp0.2 of this tube in N/mm2, as its certificate has it"
    )

    @model_validator(mode="after")
    def _one_limit(self) -> "SpreadForm":
        if self.strain is not None and self.proof_stress is not None:
            raise ValueError(message("fault.strain or proof"))
        if self.strain is not None and not 0.0 < self.strain < MOST_STRAIN:
            raise ValueError(message("fault.strain", strain=Figure(self.strain), most=Figure(MOST_STRAIN)))
        if self.proof_stress is not None and not 0.0 < self.proof_stress <= MOST_PROOF:
            raise ValueError(message("fault.proof range", stress=Figure(self.proof_stress), most=Figure(MOST_PROOF)))
        return self


def _yes_or(example: str) -> BeforeValidator:
    """Return what makes an empty form of yes or a key with nothing after it, and None of no; `example` is a form."""

    def read(value: Any) -> Any:
        if value is None or value is True or value == "yes":
            return {}
        if value is False or value == "no":
            return None
        if isinstance(value, dict | Form):
            return value
        raise ValueError(message("fault.how far", value=Name(shown(value)), example=Name(example, quoted=False)))

    return BeforeValidator(read)


SpreadChoice = Annotated[SpreadForm | None, _yes_or("{at most: 8}")]


class ReachForm(Form):
    """How a hand gets to joints, clips and new cuts."""

    through: str | None = Field(default=None, min_length=1, description="The name of an opening; any if left out")
    arm: PositiveLength = Field(
        default=600.0, description="How far an arm reaches from the opening; 600 is common practice"
    )
    thick: PositiveLength = Field(default=100.0, description="How thick the arm is; 100 is common practice")

    @model_validator(mode="after")
    def _an_arm(self) -> "ReachForm":
        if max(self.arm, self.thick) > MOST_ARM:
            raise ValueError(message("fault.arm size", most=Figure(MOST_ARM)))
        return self


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
    spread: SpreadChoice = Field(
        default=None,
        description="Whether it may be sprung by hand on its way: yes, or how far; it must spring back from there",
    )


ReachChoice = Annotated[ReachForm | None, _yes_or("{arm: 600}")]
