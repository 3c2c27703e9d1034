"""The form of a set of rules that a job is held against."""

from pydantic import Field, model_validator

from pipemodel.job.form import Form
from pipemodel.messages.values import message


class ChosenRulesForm(Form):
    """Rules of the tool's, or out of a file of one's own of the same form; and the runs that they count for."""

    set_: str | None = Field(default=None, alias="set", description="The name of a set of the tool's")
    file: str | None = Field(default=None, description="Or a YAML file with one set of rules, from the job's folder")
    runs: list[str] | None = Field(
        default=None, min_length=1, max_length=1000, description="The runs that are held against it; all if left out"
    )

    @model_validator(mode="after")
    def _one(self) -> "ChosenRulesForm":
        if (self.set_ is None) == (self.file is None):
            raise ValueError(message("fault.which rules"))
        return self
