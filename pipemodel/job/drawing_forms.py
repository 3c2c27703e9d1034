"""What a job may say for the title blocks of its drawings: fields as ISO 7200 has them (from memory)."""

from datetime import date
from typing import Annotated

from pydantic import BeforeValidator, Field

from pipemodel.job.drawing_fields import DrawingFields
from pipemodel.job.form import Form
from pipemodel.messages.values import Count, message

LONGEST = 40


def _text(value: object) -> str:
    text = str(value).strip() if isinstance(value, str | int) and not isinstance(value, bool) else ""
    if not text or len(text) > LONGEST or not text.isprintable():
        raise ValueError(message("fault.short text", longest=Count(LONGEST)))
    return text


def _day(value: object) -> str:
    if type(value) is date:
        return value.isoformat()
    try:
        return date.fromisoformat(value if isinstance(value, str) else "").isoformat()
    except ValueError:
        raise ValueError(message("fault.date")) from None


_Text = Annotated[str, BeforeValidator(_text)]


class DrawingForm(Form):
    """What stands in the title blocks of the drawings; its revision is that of the job."""

    owner: _Text = Field(default="", max_length=LONGEST, description="Whose drawing it is, such as the firm")
    number: _Text = Field(default="", max_length=LONGEST, description="The drawing's number")
    drawn_by: _Text = Field(default="", alias="drawn by", max_length=LONGEST, description="Who drew it")
    checked_by: _Text = Field(default="", alias="checked by", max_length=LONGEST, description="Who checked it")
    date: Annotated[str, BeforeValidator(_day)] = Field(
        default="", description="When it was issued, such as 2026-11-25; --date of a command comes before it"
    )

    def fields(self) -> DrawingFields:
        """Return what is given, as a value."""
        return DrawingFields(self.owner, self.number, "", self.date, self.drawn_by, self.checked_by)
