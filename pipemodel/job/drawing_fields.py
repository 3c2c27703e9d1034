"""What a job gives for the title blocks of its drawings."""

from dataclasses import dataclass


@dataclass(frozen=True)
class DrawingFields:
    """What stands in the title block beside title, sheet and scale; "" for what nobody gave."""

    owner: str = ""
    number: str = ""
    revision: str = ""
    date: str = ""
    drawn_by: str = ""
    checked_by: str = ""


NOTHING_GIVEN = DrawingFields()
