"""Rows of joists, rafters laid level, and studs: by number and spacing, with the holes and notches that are there."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from pipemodel.geometry.shapes.face import Vec2
from pipemodel.geometry.vectors import UP, Vec3, along, cross
from pipemodel.job.building.parts import Slab, TermPart, in_plan
from pipemodel.job.form import Form, one_as_list, so_many
from pipemodel.job.hole_forms import ForRunsForm
from pipemodel.job.quantities import Length, NonNegativeLength, PositiveLength, Whole
from pipemodel.job.room_basics import FACING, PlanPoint
from pipemodel.messages.values import Count, Name, Number, Word, message

MOST = 500
"""How many there may be in a row."""
COMPASS = ("north", "south", "east", "west")


def _compass(value: object) -> object:
    if isinstance(value, str) and value.strip().lower() in COMPASS:
        return value.strip().lower()
    raise ValueError(message("fault.room one of", compass=Name(", ".join(COMPASS), quoted=False)))


Compass = Annotated[str, BeforeValidator(_compass), Field(json_schema_extra={"enum": list(COMPASS)})]
Size = Annotated[tuple[PositiveLength, PositiveLength], so_many(2, message("fault.two lengths"))]
Which = Annotated[list[Annotated[Whole, Field(ge=1, le=MOST)]] | None, one_as_list(int)]


class RowHoleForm(ForRunsForm):
    """A round hole through the joists or studs of a row, or through some of them."""

    at: NonNegativeLength = Field(description="From the beginning of the joist, or the foot of the stud, to its middle")
    down: NonNegativeLength | None = Field(default=None, description="From the top of a joist to its middle")
    across: NonNegativeLength | None = Field(default=None, description="From the first side of a stud to its middle")
    diameter: PositiveLength = Field(description="Its diameter")
    of: Which = Field(default=None, description="The number of the one it is in, or a list; all if left out")


class NotchForm(ForRunsForm):
    """A notch in the joists of a row, or in some of them."""

    at: NonNegativeLength = Field(description="From the beginning of the joist to the near side of the notch")
    width: PositiveLength = Field(description="How wide it is, along the joist")
    depth: PositiveLength = Field(description="How deep it is")
    in_: Literal["top", "bottom"] = Field(
        default="top", alias="in", description="The side it is cut into: top or bottom"
    )
    of: Which = Field(default=None, description="The number of the one it is in, or a list; all if left out")


class RowForm(Form):
    """What every row says: where the first stands, which way it goes on, how many, how far apart."""

    first: PlanPoint = Field(description="The middle of the first one, in plan, at its beginning: [x, y]")
    row: Compass = Field(description="Which way the row goes on: north, south, east or west")
    spacing: PositiveLength = Field(description="From the middle of one to the middle of the next")
    number: Whole | None = Field(default=None, ge=1, le=MOST, description="How many there are")
    over: PositiveLength | None = Field(
        default=None, description="Or how far the row goes, from the first middle to the last at most"
    )

    def count(self) -> int:
        """Return how many there are."""
        if self.number is not None:
            return self.number
        assert self.over is not None
        return int((self.over + 1e-6) / self.spacing) + 1

    def check_row(self, width: float) -> None:
        """See that the row can stand.

        Raises:
            ValueError: if not, saying why.
        """
        if (self.number is None) == (self.over is None):
            raise ValueError(message("fault.number or over"))
        if self.count() > MOST:
            raise ValueError(message("fault.row most", value=Count(self.count()), most=Count(MOST)))
        if self.spacing <= width and self.count() > 1:
            raise ValueError(message("fault.row overlap", width=Number(width), spacing=Number(self.spacing)))

    def check_hole(self, hole: RowHoleForm, number: int, whole: float) -> None:
        """See that a hole is in those of the row that it says, and not beyond their end.

        Raises:
            ValueError: if not, saying why.
        """
        self.check_which(hole.of, "hole", number)
        if hole.at + hole.diameter / 2.0 > whole:
            raise ValueError(
                message("fault.hole beyond", number=Count(number), at=Number(hole.at), whole=Number(whole))
            )

    def check_which(self, which: list[int] | None, what: str, its: int) -> None:
        """See that what is in some of a row names those that are there.

        Raises:
            ValueError: naming one that is not.
        """
        for number in which or ():
            if number > self.count():
                there, asked = Count(self.count()), Count(number)
                raise ValueError(message("fault.in number", what=Word(what), its=Count(its), n=asked, all=there))


class JoistsForm(RowForm):
    """Joists in a row, level and side by side."""

    along: Compass = Field(description="Which way each joist goes from its beginning")
    length: PositiveLength = Field(description="How long each is")
    size: Size = Field(description="[width, depth]")
    top: Length = Field(description="Height (z) of their upper side")
    holes: list[RowHoleForm] = Field(default=[], max_length=MOST, description="Holes that are there already")
    notches: list[NotchForm] = Field(default=[], max_length=MOST, description="Notches that are there already")

    @model_validator(mode="after")
    def _stand(self) -> "JoistsForm":
        self.check_row(self.size[0])
        if abs(sum(a * b for a, b in zip(FACING[self.along], FACING[self.row], strict=True))) > 0.5:
            raise ValueError(
                message("fault.row side", along=Name(self.along, quoted=False), row=Name(self.row, quoted=False))
            )
        for number, hole in enumerate(self.holes, 1):
            if hole.down is None or hole.across is not None:
                raise ValueError(message("fault.hole down", number=Count(number)))
            self.check_hole(hole, number, self.length)
        for number, notch in enumerate(self.notches, 1):
            self.check_which(notch.of, "notch", number)
            if notch.depth >= self.size[1] or notch.at + notch.width > self.length + 1e-6:
                raise ValueError(message("fault.notch deep", number=Count(number)))
        return self

    def parts(self) -> list[TermPart]:
        """Return the joists, numbered from the first."""
        return [self._slab(k).part(str(k + 1)) for k in range(self.count())]

    def _slab(self, k: int) -> Slab:
        way, (width, depth) = FACING[self.along], self.size
        side = cross(way, UP)
        middle = along(in_plan(self.first, self.top - depth), FACING[self.row], k * self.spacing)
        square: list[tuple[Vec2, Vec2, Form]] = []
        for notch in self.notches:
            if notch.of is None or k + 1 in notch.of:
                low = depth - notch.depth if notch.in_ == "top" else 0.0
                square.append(((notch.at, low), (notch.at + notch.width, low + notch.depth), notch))
        there = [hole for hole in self.holes if hole.of is None or k + 1 in hole.of]
        rounds = tuple(((hole.at, depth - (hole.down or 0.0)), hole.diameter, hole) for hole in there)
        origin = along(middle, side, -width / 2.0)
        return Slab(origin, way, UP, (self.length, depth), width, tuple(square), rounds)

    def place(self, bay: int, along_mm: float, down_mm: float, across_mm: float | None) -> Vec3:
        """Return a point in a bay: along the joists, down from their top, and across from the joist before the bay.

        Args:
            bay: 1 for that between the first joist and the second.
            along_mm: from the beginning of the joists.
            down_mm: from their top.
            across_mm: from the side of the joist before it; the middle of the bay if None.

        Raises:
            ValueError: if there is no such bay, or the point is not in it.
        """
        clear = self.spacing - self.size[0]
        if not 1 <= bay < self.count():
            raise ValueError(
                message("fault.no bay", bay=Count(bay), joists=Count(self.count()), bays=Count(self.count() - 1))
            )
        if across_mm is not None and not 0.0 <= across_mm <= clear:
            raise ValueError(message("fault.across bay", across=Number(across_mm), clear=Number(clear)))
        if not -1e-6 <= along_mm <= self.length + 1e-6:
            raise ValueError(message("fault.along bay", along=Number(along_mm), long=Number(self.length)))
        if down_mm > self.size[1] + 1e-6:
            raise ValueError(message("fault.down bay", down=Number(down_mm), deep=Number(self.size[1])))
        off = self.size[0] / 2.0 + (clear / 2.0 if across_mm is None else across_mm)
        start = along(in_plan(self.first, self.top - down_mm), FACING[self.row], (bay - 1) * self.spacing + off)
        return along(start, FACING[self.along], along_mm)


class StudsForm(RowForm):
    """Studs in a row, upright, their depth across the row."""

    size: Size = Field(description="[width along the row, depth across it]")
    bottom: Length = Field(default=0.0, description="Height (z) of their feet")
    height: PositiveLength = Field(description="How high they are")
    holes: list[RowHoleForm] = Field(default=[], max_length=MOST, description="Holes that are there already")

    @model_validator(mode="after")
    def _stand(self) -> "StudsForm":
        self.check_row(self.size[0])
        for number, hole in enumerate(self.holes, 1):
            if hole.down is not None:
                raise ValueError(message("fault.hole across", number=Count(number)))
            self.check_hole(hole, number, self.height)
        return self

    def parts(self) -> list[TermPart]:
        """Return the studs, numbered from the first."""
        width, depth = self.size
        row = FACING[self.row]
        # Seen along the row: across is to its left, up is up, and its thickness goes along the row.
        side = cross(UP, row)
        found = []
        for k in range(self.count()):
            middle = along(in_plan(self.first, self.bottom), row, k * self.spacing - width / 2.0)
            there = [hole for hole in self.holes if hole.of is None or k + 1 in hole.of]
            middles = [(depth / 2.0 if hole.across is None else hole.across, hole.at) for hole in there]
            rounds = tuple((at, hole.diameter, hole) for at, hole in zip(middles, there, strict=True))
            origin = along(middle, side, -depth / 2.0)
            found.append(Slab(origin, side, UP, (depth, self.height), width, (), rounds).part(str(k + 1)))
        return found
