"""What runs must stay within, and what is to be kept free: voids, the swing of a door, the room in front of a valve."""

from math import acos, ceil, cos, degrees, radians
from typing import Annotated

from pydantic import Field, model_validator

from pipemodel.geometry.centreline import around
from pipemodel.geometry.shapes import Extrusion, HalfSpace
from pipemodel.geometry.shapes.face import MOST_OUTLINE_POINTS
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, cos_deg, cross, dot, scale, sin_deg
from pipemodel.job.building.parts import Slab, TermPart
from pipemodel.job.form import Form, one_as_list
from pipemodel.job.outline import counter_clockwise, outline_fault
from pipemodel.job.quantities import Angle, Length, Point, PositiveLength, Whole
from pipemodel.job.room_basics import FACING, Facing, PlanPoint
from pipemodel.messages.values import Name, message

FAR_MM = 1e5
"""How far round an outline the solid reaches that stands for what is not within it."""
CHORD_MM = 1.0
"""The flats of a door's swing stand outside its bow by no more than this."""
SIDES = ("up", "down", "north", "south", "east", "west")
ROUND_IT = "side"
Sides = Annotated[list[str], one_as_list(str), Field(max_length=len(SIDES))]


class VoidForm(Form):
    """A space that runs must stay within: between two corners, or an outline in plan between two heights."""

    from_: Point | None = Field(default=None, alias="from", description="A corner of it")
    to: Point | None = Field(default=None, description="The opposite corner")
    outline: list[PlanPoint] | None = Field(
        default=None, min_length=3, max_length=MOST_OUTLINE_POINTS, description="Or its outline in plan, in order"
    )
    bottom: Length | None = Field(default=None, description="Height (z) of its lower side, with an outline")
    top: Length | None = Field(default=None, description="Height (z) of its upper side, with an outline")
    bay: Whole | None = Field(default=None, ge=1, description="Or the number of a bay: 1 is between joists 1 and 2")
    of: str | None = Field(default=None, description="The name of the joists of that bay")
    open_: Sides = Field(default=[], alias="open", description="The sides that a run may leave it by: north, ..., up")

    @model_validator(mode="after")
    def _is_a_space(self) -> "VoidForm":
        for side in self.open_:
            if side not in FACING:
                raise ValueError(
                    message("fault.void side", sides=Name(", ".join(SIDES), quoted=False), side=Name(side))
                )
        corners = (self.from_ is not None) + (self.to is not None)
        plan = sum(part is not None for part in (self.outline, self.bottom, self.top))
        if (corners, plan) not in ((2, 0), (0, 3)) or self.bay is not None or self.of is not None:
            raise ValueError(message("fault.void form"))
        if self.outline is not None:
            if fault := outline_fault(self.outline):
                raise ValueError(fault)
            if any(side not in ("up", "down") for side in self.open_):
                raise ValueError(message("fault.void open"))
        low, high = self._ends()
        if any(b <= a for a, b in zip(low, high, strict=True)):
            raise ValueError(message("fault.void empty"))
        if len(self.open_) == len(SIDES):
            raise ValueError(message("fault.void all open"))
        return self

    def _ends(self) -> tuple[Vec3, Vec3]:
        """Return its least and its greatest corner."""
        if self.outline is not None and self.bottom is not None and self.top is not None:
            xs, ys = zip(*self.outline, strict=True)
            return (min(xs), min(ys), self.bottom), (max(xs), max(ys), self.top)
        assert self.from_ is not None
        assert self.to is not None
        return around([self.from_, self.to])

    def parts(self) -> list[TermPart]:
        """Return what lies beyond each of its sides."""
        low, high = self._ends()
        sides = SIDES[:2] if self.outline is not None else SIDES
        found = [] if self.outline is None else [TermPart(ROUND_IT, self._round_it(low, high))]
        for side in sides:
            if side not in self.open_:
                out = FACING[side]
                at = high if sum(out) > 0.0 else low
                found.append(TermPart(side, HalfSpace(at, scale(out, -1.0))))
        return found

    def _round_it(self, low: Vec3, high: Vec3) -> Plate:
        """Return what lies round its outline."""
        (a, b, c), (x, y, z) = low, high
        a, b, x, y = a - FAR_MM, b - FAR_MM, x + FAR_MM, y + FAR_MM
        beyond = ((a, b), (x, b), (x, y), (a, y))
        bottom = c - (FAR_MM if "down" in self.open_ else 0.0)
        top = z + (FAR_MM if "up" in self.open_ else 0.0)
        assert self.outline is not None
        return Plate((0.0, 0.0, bottom), EAST, NORTH, top - bottom, (beyond, counter_clockwise(self.outline)))


class SwingForm(Form):
    """What a door sweeps over as it opens: kept free."""

    hinge: PlanPoint = Field(description="Where its hinges stand in plan: [x, y]")
    width: PositiveLength = Field(description="How wide the door is")
    height: PositiveLength = Field(description="How high it is")
    bottom: Length = Field(default=0.0, description="Height (z) of its lower edge")
    closed: Facing = Field(description="Which way it goes from its hinges when it is shut")
    opens: Facing = Field(description="To which side it opens")
    angle: Annotated[Angle, Field(gt=0.0, le=180.0)] = Field(default=90.0, description="How far it opens, degrees")

    @model_validator(mode="after")
    def _swings(self) -> "SwingForm":
        if abs(self.closed[2]) > 1e-9 or abs(self.opens[2]) > 1e-9 or abs(dot(self.closed, self.opens)) > 1e-9:
            raise ValueError(message("fault.door way"))
        return self

    def parts(self) -> list[TermPart]:
        """Return it with flats outside its bow."""
        half = degrees(acos(1.0 / (1.0 + CHORD_MM / self.width)))
        count = max(1, ceil(self.angle / (2.0 * half)))
        step = self.angle / count
        far = self.width / cos(radians(step / 2.0))
        # Each flat touches the bow in its middle; the first and the last corner stand on the door, shut and open.
        turns = [(0.0, self.width), *((step * (k + 0.5), far) for k in range(count)), (self.angle, self.width)]
        plan = [self.hinge]
        for turn, off in turns:
            c, s = off * cos_deg(turn), off * sin_deg(turn)
            x, y = (h + c * a + s * b for h, a, b in zip(self.hinge, self.closed, self.opens, strict=False))
            plan.append((x, y))
        outline = counter_clockwise(plan)
        return [TermPart("", Extrusion(outline, self.bottom, self.bottom + self.height))]


class AccessForm(Form):
    """The room that hands and tools need in front of a valve, a meter or a board: kept free."""

    at: Point = Field(description="The middle of what is to be got at, on the side one comes from")
    facing: Facing = Field(description="Towards whoever comes to it")
    width: PositiveLength = Field(description="How wide it is, across")
    height: PositiveLength = Field(description="How high it is; of one that faces up or down, from south to north")
    depth: PositiveLength = Field(description="How far it reaches out")

    @model_validator(mode="after")
    def _is_square(self) -> "AccessForm":
        if 1e-9 < abs(self.facing[2]) < 1.0 - 1e-9:
            raise ValueError(message("fault.faces level"))
        return self

    def parts(self) -> list[TermPart]:
        """Return it."""
        up = NORTH if abs(self.facing[2]) > 0.5 else UP
        across = cross(up, self.facing)
        slab = Slab(self.at, across, up, (self.width, self.height), self.depth)
        origin = slab.place(-self.width / 2.0, -self.height / 2.0)
        return [slab._replace(origin=origin).part()]
