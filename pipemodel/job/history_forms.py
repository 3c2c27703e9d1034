"""The form of a history file: one record for each bend of a finished piece."""

from datetime import date
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from pipemodel.job.form import Form
from pipemodel.job.quantities import (
    Angle,
    Length,
    NonNegativeAngle,
    NonNegativeLength,
    PositiveAngle,
    PositiveLength,
)
from pipemodel.messages.values import Count, Message, message

LONGEST_TEXT = 80
MOST_PIECES = 1_000_000


def text_fault(value: str) -> Message | None:
    """Return what is wrong with a text of a record, and what would be right; or None."""
    if len(value) > LONGEST_TEXT or not value.isprintable() or value != value.strip():
        return message("history.text", most=Count(LONGEST_TEXT))
    return None


def date_fault(value: str) -> Message | None:
    """Return what is wrong with a date, and what would be right; or None."""
    try:
        right = date.fromisoformat(value).isoformat() == value
    except ValueError:
        right = False
    return None if right else message("fault.date")


def _text(value: object) -> str:
    if value is None:
        return ""
    if not isinstance(value, str):
        raise ValueError(message("history.quotes"))
    if fault := text_fault(value):
        raise ValueError(fault)
    return value


def _dated(value: str) -> str:
    if value and (fault := date_fault(value)):
        raise ValueError(fault)
    return value


def _named(value: str) -> str:
    if not value:
        raise ValueError(message("history.nameless"))
    return value


def _number(value: Any) -> Any:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= MOST_PIECES:
        raise ValueError(message("history.number", most=Count(MOST_PIECES)))
    return value


Text = Annotated[str, BeforeValidator(_text)]
Counted = Annotated[int, BeforeValidator(_number)]


class RecordForm(Form):
    """One bend as bent and measured."""

    id: Text = Field(default="", description="A short name made of the rest; empty where somebody wrote the record")
    number: Counted = Field(default=0, description="The place of its piece in the order of pieces")
    former: Annotated[Text, AfterValidator(_named)] = Field(description="The former's name")
    outside: PositiveLength = Field(description="The tube's outside diameter")
    wall: PositiveLength = Field(description="Its wall")
    material: Text = ""
    temper: Text = ""
    standard: Text = ""
    batch: Text = Field(default="", description="Which batch of tube")
    by: Text = Field(default="", description="Who bent it")
    date: Annotated[Text, AfterValidator(_dated)] = Field(default="", description="When it was bent: 2026-03-01")
    job: Text = ""
    run: Text = ""
    piece: Text = Field(default="", description="Which of several pieces of one run")
    bend: Annotated[Counted, Field(ge=1)]
    held: Literal["start", "finish"] = "start"
    radius: PositiveLength = Field(description="The radius that was reckoned with")
    angle: PositiveAngle = Field(description="The angle that was asked for")
    pulled: PositiveAngle = Field(description="What it was pulled to")
    got: PositiveAngle | None = Field(default=None, description="The angle that it came out as")
    got_sd: NonNegativeAngle = 0.0
    mark: Length = Field(description="Where the mark was, from the start end")
    start: Length | None = Field(default=None, description="Where the bend begins, from the start end")
    start_sd: NonNegativeLength = 0.0
    turn: Angle | None = Field(default=None, description="The roll or turn that was asked for")
    turned: Angle | None = Field(default=None, description="What it came out as")
    turned_sd: NonNegativeAngle = 0.0
    radius_got: PositiveLength | None = Field(default=None, description="The radius as measured")
    radius_sd: NonNegativeLength = 0.0

    @model_validator(mode="after")
    def _could_be(self) -> "RecordForm":
        if max(self.angle, self.got or 0.0, self.pulled - 60.0) > 200.0:
            raise ValueError(message("history.bend"))
        if self.radius_got is not None and self.radius_sd == 0.0:
            raise ValueError(message("fault.history radius"))
        if (self.turn is None) != (self.turned is None):
            raise ValueError(message("history.turn"))
        return self
