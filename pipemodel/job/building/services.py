"""Beams, boxings, soil stacks with branches, and the tubes, ducts and cables that are there already."""

from math import radians, tan
from typing import Annotated

from pydantic import Field, model_validator

from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.rounding import STRAIGHT_DEG, rounded
from pipemodel.geometry.shapes import Box, Cylinder
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.vectors import UP, Vec3, along, angle_deg, cross, distance, sub, unit
from pipemodel.job.building.parts import Slab, TermPart, in_plan, plan_way
from pipemodel.job.building.rows import Size
from pipemodel.job.form import Form, one_as_list
from pipemodel.job.quantities import Length, NonNegativeLength, Point, PositiveLength
from pipemodel.job.room_basics import FACING, PlanPoint
from pipemodel.messages.values import Count, Name, Number, message

MOST_POINTS = 200
MOST_BRANCHES = 50
_SHARPEST_DEG = 135.0
_SHARPEST_BEND_DEG = 175.0
_TOUCH_MM = 1e-4


class BeamForm(Form):
    """A level beam along a line in plan."""

    from_: PlanPoint = Field(alias="from", description="The middle of one end, in plan: [x, y]")
    to: PlanPoint = Field(description="The middle of the other end")
    size: Size = Field(description="[width, depth]")
    top: Length | None = Field(default=None, description="Height (z) of its upper side")
    bottom: Length | None = Field(default=None, description="Height (z) of its under side, in place of 'top'")

    @model_validator(mode="after")
    def _lies(self) -> "BeamForm":
        if self.from_ == self.to:
            raise ValueError(message("fault.beam no length"))
        if (self.top is None) == (self.bottom is None):
            raise ValueError(message("fault.top or bottom"))
        return self

    def parts(self) -> list[TermPart]:
        """Return the beam."""
        way, size = plan_way(self.from_, self.to)
        width, depth = self.size
        low = self.bottom if self.bottom is not None else (self.top or 0.0) - depth
        origin = along(in_plan(self.from_, low), cross(way, UP), -width / 2.0)
        return [Slab(origin, way, UP, (size, depth), width).part()]


class BoxingForm(Form):
    """Boards round a hollow: what is in it keeps clear of the boards, and nothing else goes through."""

    from_: Point = Field(alias="from", description="A corner of its outside")
    to: Point = Field(description="The opposite corner")
    board: PositiveLength = Field(default=12.0, description="How thick the boards are")
    open_: Annotated[list[str], one_as_list(str)] = Field(
        default=[], alias="open", max_length=5, description="The sides without a board: north, ..., up, down"
    )

    @model_validator(mode="after")
    def _is_hollow(self) -> "BoxingForm":
        for side in self.open_:
            if side not in FACING:
                raise ValueError(
                    message("fault.boxing side", facing=Name(", ".join(FACING), quoted=False), side=Name(side))
                )
        if any(abs(a - b) <= 2.0 * self.board for a, b in zip(self.from_, self.to, strict=True)):
            raise ValueError(message("fault.boxing full", board=Number(self.board)))
        return self

    def parts(self) -> list[TermPart]:
        """Return its boards, each named by its side; those at the ends and sides go between top and bottom."""
        low: list[float] = [min(a, b) for a, b in zip(self.from_, self.to, strict=True)]
        high: list[float] = [max(a, b) for a, b in zip(self.from_, self.to, strict=True)]
        found = []
        for axis, sides in ((2, ("down", "up")), (1, ("south", "north")), (0, ("west", "east"))):
            inner = list(low), list(high)
            for end, side in enumerate(sides):
                if side in self.open_:
                    continue
                a, b = list(low), list(high)
                if end == 0:
                    b[axis] = low[axis] + self.board
                    inner[0][axis] = b[axis]
                else:
                    a[axis] = high[axis] - self.board
                    inner[1][axis] = a[axis]
                found.append(TermPart(side, Box((a[0], a[1], a[2]), (b[0], b[1], b[2]))))
            # No two boards overlap: those of the next axis fit between these.
            low, high = inner
        return found


class BranchForm(Form):
    """A branch of a soil stack, straight from its axis."""

    up: Length = Field(description="Height (z) at which its axis meets that of the stack")
    to: Point = Field(description="Where its axis ends")
    diameter: PositiveLength = Field(description="Outside diameter")


class StackForm(Form):
    """An upright soil or rain water pipe, with its branches."""

    at: PlanPoint = Field(description="Where its axis stands in plan: [x, y]")
    from_: Length = Field(alias="from", description="Height (z) of one end")
    to: Length = Field(description="Height (z) of the other end")
    diameter: PositiveLength = Field(description="Outside diameter")
    branches: list[BranchForm] = Field(default=[], max_length=MOST_BRANCHES, description="Its branches")

    @model_validator(mode="after")
    def _stands(self) -> "StackForm":
        low, high = min(self.from_, self.to), max(self.from_, self.to)
        if low == high:
            raise ValueError(message("fault.stack no height"))
        for number, branch in enumerate(self.branches, 1):
            if not low <= branch.up <= high:
                raise ValueError(
                    message(
                        "fault.branch off",
                        number=Count(number),
                        up=Number(branch.up),
                        low=Number(low),
                        high=Number(high),
                    )
                )
            if branch.to == in_plan(self.at, branch.up):
                raise ValueError(message("fault.branch no length", number=Count(number)))
        return self

    def parts(self) -> list[TermPart]:
        """Return the stack, then its branches by number."""
        stack = TermPart("", Cylinder(in_plan(self.at, self.from_), in_plan(self.at, self.to), self.diameter))
        axes = [Cylinder(in_plan(self.at, branch.up), branch.to, branch.diameter) for branch in self.branches]
        return [stack, *(TermPart(f"branch {k}", axis) for k, axis in enumerate(axes, 1))]


class PipeForm(Form):
    """A tube, a round duct or a cable that is there already: from point to point, its corners bent or mitred."""

    points: list[Point] = Field(min_length=2, max_length=MOST_POINTS, description="Its ends and corners, in order")
    diameter: PositiveLength = Field(description="Outside diameter")
    radius: PositiveLength | Annotated[list[PositiveLength], Field(max_length=MOST_POINTS)] | None = Field(
        default=None,
        description="Centreline radius of its bends, or a list, one for each corner; mitred if left out",
    )
    insulation: NonNegativeLength = Field(default=0.0, description="Thickness of the insulation round it")

    @model_validator(mode="after")
    def _goes(self) -> "PipeForm":
        for number, (a, b) in enumerate(zip(self.points, self.points[1:], strict=False), 1):
            if a == b:
                raise ValueError(message("fault.same points", number=Count(number), other=Count(number + 1)))
        if self.radius is not None:
            self._see_bends(self._radii())
        return self

    def _radii(self) -> list[float]:
        corners = len(self.points) - 2
        return self.radius if isinstance(self.radius, list) else [self.radius or 0.0] * corners

    def _see_bends(self, radii: list[float]) -> None:
        """See that the bends can be.

        Raises:
            ValueError: if not, saying why.
        """
        if len(radii) != len(self.points) - 2:
            raise ValueError(message("fault.radii", radii=Count(len(radii)), corners=Count(len(self.points) - 2)))
        ways = [unit(sub(b, a)) for a, b in zip(self.points, self.points[1:], strict=False)]
        backs = [0.0]
        for number, (a, b, radius) in enumerate(zip(ways, ways[1:], radii, strict=False), 1):
            turn = angle_deg(a, b)
            if turn > _SHARPEST_BEND_DEG:
                raise ValueError(message("fault.room corner back", number=Count(number)))
            if turn > STRAIGHT_DEG and radius <= self._outside() / 2.0:
                raise ValueError(message("fault.pipe tight", radius=Number(radius), outside=Number(self._outside())))
            backs.append(radius * tan(radians(turn) / 2.0))
        for number, taken in enumerate((p + q for p, q in zip(backs, [*backs[1:], 0.0], strict=True)), 1):
            leg = distance(self.points[number - 1], self.points[number])
            if taken > leg + _TOUCH_MM:
                raise ValueError(message("fault.leg taken", number=Count(number), leg=Number(leg), taken=Number(taken)))

    def _outside(self) -> float:
        return self.diameter + 2.0 * self.insulation

    def parts(self) -> list[TermPart]:
        """Return the tube as bent; or its legs by number, each as far past its corner as the outside of a mitre."""
        outside = self._outside()
        if self.radius is not None:
            return [TermPart("", Tube(Centreline(tuple(rounded(self.points, self._radii()))), outside))]
        ways = [unit(sub(b, a)) for a, b in zip(self.points, self.points[1:], strict=False)]
        past = [0.0, *(_past(a, b, outside) for a, b in zip(ways, ways[1:], strict=False)), 0.0]
        legs = []
        for k, way in enumerate(ways):
            start = along(self.points[k], way, -past[k])
            legs.append(Cylinder(start, along(self.points[k + 1], way, past[k + 1]), outside))
        if len(legs) == 1:
            return [TermPart("", legs[0])]
        return [TermPart(f"leg {k}", leg) for k, leg in enumerate(legs, 1)]


def _past(a: Vec3, b: Vec3, outside: float) -> float:
    """Return how far a leg reaches past the corner between two headings."""
    turn = min(angle_deg(a, b), _SHARPEST_DEG)
    return outside / 2.0 * tan(radians(turn / 2.0))
