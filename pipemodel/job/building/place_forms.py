"""Points said in words: on a wall, or in a bay between joists."""

from typing import Any

from pydantic import Field

from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.building.rows import MOST, JoistsForm
from pipemodel.job.building.walls import WallForm
from pipemodel.job.form import Form
from pipemodel.job.quantities import Length, NonNegativeLength, Whole
from pipemodel.messages.values import message

_LEVEL_MM = 1e-6
WORDS = ("wall", "bay", "along")
"""A group of keys with one of these, where a point may stand, is a point said in words."""


class OnWallForm(Form):
    """A point on a wall's face, or so far off it."""

    wall: str = Field(description="The name of a wall")
    along: Length = Field(description="Along its face, from its beginning")
    up: Length = Field(default=0.0, description="Up from its foot")
    off: Length = Field(default=0.0, description="Off its face, into the room")


class InBayForm(Form):
    """A point in the bay between two joists."""

    bay: Whole = Field(ge=1, lt=MOST, description="The number of the bay: 1 is between joists 1 and 2")
    of: str = Field(description="The name of the joists")
    along: Length = Field(description="Along the joists, from their beginning")
    down: Length = Field(description="Down from the top of the joists; below 0, above it")
    across: NonNegativeLength | None = Field(
        default=None, description="From the side of the joist before the bay; the middle of the bay if left out"
    )


class BayForm(Form):
    """The void of a bay between two joists, as far as they are long and deep."""

    bay: Whole = Field(ge=1, lt=MOST, description="The number of the bay: 1 is between joists 1 and 2")
    of: str = Field(description="The name of the joists")


class TermFrame:
    """A wall or joists that points are said against, and how what they stand in is placed, the innermost first."""

    def __init__(self, term: WallForm | JoistsForm, placings: tuple[Placing, ...] = ()) -> None:
        self.term = term
        self.placings = placings

    def then(self, placing: Placing) -> "TermFrame":
        """Return it within what is placed once more."""
        return TermFrame(self.term, (*self.placings, placing))

    def place(self, form: OnWallForm | InBayForm | BayForm) -> tuple[Vec3, ...]:
        """Return a point said against it, or two opposite corners of a bay; of one out of the axes its plan's, and one.

        Raises:
            ValueError: if a wall is meant and these are joists, or the other way round, or there is no such point.
        """
        term = self.term
        if isinstance(form, BayForm) and isinstance(term, JoistsForm):
            return self._bay(form.bay, term)
        if isinstance(form, OnWallForm) and isinstance(term, WallForm):
            point = term.place(form.along, form.up, form.off)
        elif isinstance(form, InBayForm) and isinstance(term, JoistsForm):
            point = term.place(form.bay, form.along, form.down, form.across)
        else:
            raise ValueError(message("fault.wall not bay"))
        return (self._placed(point),)

    def _bay(self, bay: int, term: JoistsForm) -> tuple[Vec3, ...]:
        clear, deep = term.spacing - term.size[0], term.size[1]
        low, beside, opposite, across = (
            self._placed(term.place(bay, x, deep, y))
            for x, y in ((0.0, 0.0), (term.length, 0.0), (term.length, clear), (0.0, clear))
        )
        high = self._placed(term.place(bay, term.length, 0.0, clear))
        if sum(abs(a - b) > _LEVEL_MM for a, b in zip(low, beside, strict=True)) <= 1:
            return low, high
        if max(abs(a - b) for a, b in zip(opposite[:2], high[:2], strict=True)) > _LEVEL_MM:
            raise ValueError(message("fault.joists lie"))
        return low, beside, opposite, across, high

    def placed(self, shape: Shape) -> Shape:
        """Return a shape of it where it stands in the room."""
        for placing in self.placings:
            shape = shape.placed(placing)
        return shape

    def _placed(self, point: Vec3) -> Vec3:
        for placing in self.placings:
            point = placing.point(point)
        return point


def said_in_words(value: Any) -> bool:
    """Return whether a value is a point said in words."""
    return isinstance(value, dict) and any(word in value for word in WORDS)
