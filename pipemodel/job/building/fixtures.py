"""What stands and hangs in a room as the room it takes up: radiators, tanks, ducts."""

from math import hypot

from pydantic import Field, model_validator

from pipemodel.geometry.shapes import Cylinder
from pipemodel.geometry.vectors import UP, Vec3, along, cross, scale, sub
from pipemodel.job.building.parts import Slab, TermPart, in_plan, plan_way
from pipemodel.job.building.rows import Size
from pipemodel.job.building.services import MOST_POINTS, PipeForm
from pipemodel.job.form import Form
from pipemodel.job.quantities import Length, NonNegativeLength, Point, PositiveLength
from pipemodel.job.room_basics import Facing, PlanPoint
from pipemodel.messages.values import Count, message

_LEVEL_MM = 1e-9


class CableForm(PipeForm):
    """A cable, or cables in a bundle."""

    diameter: PositiveLength = Field(default=10.0, description="Outside diameter")


class RadiatorForm(Form):
    """A radiator on a wall, as a block: with its brackets' gap behind it and its valves beside it left out."""

    at: Point = Field(description="On the wall, under its middle, at the height of its lower edge")
    facing: Facing = Field(description="The way it faces, off the wall")
    width: PositiveLength = Field(description="How wide it is, along the wall")
    height: PositiveLength = Field(description="How high it is")
    depth: PositiveLength = Field(description="How thick it is")
    off: NonNegativeLength = Field(default=40.0, description="Between the wall and its back")

    @model_validator(mode="after")
    def _hangs(self) -> "RadiatorForm":
        if abs(self.facing[2]) > _LEVEL_MM:
            raise ValueError(message("fault.radiator level"))
        return self

    def parts(self) -> list[TermPart]:
        """Return it."""
        across = cross(UP, self.facing)
        origin = along(along(self.at, self.facing, self.off), across, -self.width / 2.0)
        return [Slab(origin, across, UP, (self.width, self.height), self.depth).part()]


class TankForm(Form):
    """A hot water cylinder or another upright round vessel, with its insulation."""

    at: PlanPoint = Field(description="Where its axis stands in plan: [x, y]")
    bottom: Length = Field(default=0.0, description="Height (z) of its foot")
    height: PositiveLength = Field(description="How high it is, insulation included")
    diameter: PositiveLength = Field(description="Of the vessel itself")
    insulation: NonNegativeLength = Field(default=0.0, description="Thickness of the insulation round it")

    def parts(self) -> list[TermPart]:
        """Return it."""
        foot, head = in_plan(self.at, self.bottom), in_plan(self.at, self.bottom + self.height)
        return [TermPart("", Cylinder(foot, head, self.diameter + 2.0 * self.insulation))]


class DuctForm(Form):
    """A duct of sheet, square to the room: level or upright legs from point to point, along its middle."""

    points: list[Point] = Field(min_length=2, max_length=MOST_POINTS, description="Its ends and corners, in order")
    size: Size = Field(description="[width, height] of level legs; of an upright one along x and y")
    insulation: NonNegativeLength = Field(default=0.0, description="Thickness of the insulation round it")

    @model_validator(mode="after")
    def _goes(self) -> "DuctForm":
        for number, (a, b) in enumerate(zip(self.points, self.points[1:], strict=False), 1):
            x, y, z = sub(b, a)
            if max(abs(x), abs(y), abs(z)) <= _LEVEL_MM:
                raise ValueError(message("fault.same points", number=Count(number), other=Count(number + 1)))
            if abs(z) > _LEVEL_MM and hypot(x, y) > _LEVEL_MM:
                raise ValueError(message("fault.duct slanted", number=Count(number)))
        return self

    def parts(self) -> list[TermPart]:
        """Return its legs by number; each reaches past its corners by half of what the next leg is wide there."""
        legs = []
        last = len(self.points) - 2
        for k, (a, b) in enumerate(zip(self.points, self.points[1:], strict=False)):
            before = self._half(k - 1, sub(b, a)) if k > 0 else 0.0
            after = self._half(k + 1, sub(b, a)) if k < last else 0.0
            legs.append(self._leg(a, b, before, after).part("" if last == 0 else f"leg {k + 1}"))
        return legs

    def _outside(self) -> tuple[float, float]:
        return self.size[0] + 2.0 * self.insulation, self.size[1] + 2.0 * self.insulation

    def _upright(self, k: int) -> bool:
        return abs(self.points[k + 1][2] - self.points[k][2]) > _LEVEL_MM

    def _half(self, k: int, way: Vec3) -> float:
        """Return half of what leg k is wide along another leg's way."""
        wide, high = self._outside()
        if not self._upright(k):
            return high / 2.0 if abs(way[2]) > _LEVEL_MM else wide / 2.0
        x, y = abs(way[0]), abs(way[1])
        return (wide * x + high * y) / (2.0 * max(hypot(x, y), _LEVEL_MM))

    def _leg(self, a: Vec3, b: Vec3, before: float, after: float) -> Slab:
        wide, high = self._outside()
        if abs(b[2] - a[2]) > _LEVEL_MM:
            low, top = (a[2] - before, b[2] + after) if b[2] > a[2] else (b[2] - after, a[2] + before)
            east, north = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
            return Slab((a[0] - wide / 2.0, a[1] - high / 2.0, low), east, north, (wide, high), top - low)
        way, size = plan_way(a, b)
        side = cross(way, UP)
        origin = along(along(along(a, way, -before), UP, -high / 2.0), scale(side, -1.0), wide / 2.0)
        return Slab(origin, way, UP, (size + before + after, high), wide)
