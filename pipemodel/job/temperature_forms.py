"""What a job may say of the temperatures its runs get to."""

from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from pipemodel.job.form import Form
from pipemodel.job.quantities import Number
from pipemodel.messages.values import Number as Figure
from pipemodel.messages.values import message

COLDEST_C, HOTTEST_C = -60.0, 250.0
"""The expansion of copper is published for 0 to 100 degrees; beyond these limits it is a slip of the pen."""


def _possible(value: float) -> float:
    if not COLDEST_C <= value <= HOTTEST_C:
        raise ValueError(message("fault.celsius", value=Figure(value), least=Figure(COLDEST_C), most=Figure(HOTTEST_C)))
    return value


Temperature = Annotated[Number, AfterValidator(_possible)]


class TemperatureForm(Form):
    """Between which temperatures a run grows and shrinks."""

    coldest: Temperature = Field(description="The coldest it gets, degrees Celsius")
    hottest: Temperature = Field(description="The hottest it gets, degrees Celsius")

    @model_validator(mode="after")
    def _grows(self) -> "TemperatureForm":
        if self.hottest <= self.coldest:
            raise ValueError(message("fault.hottest", hottest=Figure(self.hottest), coldest=Figure(self.coldest)))
        return self
