"""Walls with doors, windows and chases, floors and ceilings with openings."""

from itertools import pairwise

from pydantic import Field, model_validator

from pipemodel.geometry.shapes import Extrusion, Shape
from pipemodel.geometry.shapes.face import MOST_OUTLINE_POINTS, Vec2
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, cross, dot
from pipemodel.job.building.parts import Slab, TermPart, in_plan, plan_way
from pipemodel.job.form import Form
from pipemodel.job.hole_forms import ForRunsForm, HoleForm, meant
from pipemodel.job.outline import counter_clockwise, outline_fault
from pipemodel.job.quantities import Length, NonNegativeLength, PositiveLength
from pipemodel.job.room_basics import Facing, PlanPoint
from pipemodel.messages.values import Count, Number, Word, message

MOST_OPENINGS = 200
TOUCH_MM = 1e-6


class WallOpeningForm(ForRunsForm):
    """A door, a window, or a round hole in a wall, measured along it from its beginning and up from its bottom."""

    at: NonNegativeLength = Field(
        description="Along the wall, to the near side of a door or window, or to a hole's middle"
    )
    width: PositiveLength | None = Field(default=None, description="How wide a door or window is")
    height: PositiveLength | None = Field(default=None, description="How high a door or window is")
    up: NonNegativeLength = Field(default=0.0, description="Up to its lower edge, 0 for a door; or to its middle")
    diameter: PositiveLength | None = Field(default=None, description="Of a round hole")

    @model_validator(mode="after")
    def _one_kind(self) -> "WallOpeningForm":
        if (self.diameter is None) != (self.width is not None and self.height is not None):
            raise ValueError(message("fault.opening size"))
        return self


class ChaseForm(Form):
    """A chase in the face of a wall, level or upright along its middle."""

    from_: PlanPoint = Field(alias="from", description="One end of its middle: [along the wall, up from its foot]")
    to: PlanPoint = Field(description="The other end")
    width: PositiveLength = Field(description="How wide it is")
    depth: PositiveLength = Field(description="How deep it is, from the face")

    @model_validator(mode="after")
    def _is_cut_straight(self) -> "ChaseForm":
        if sum(abs(a - b) > TOUCH_MM for a, b in zip(self.from_, self.to, strict=True)) != 1:
            raise ValueError(message("fault.chase way"))
        return self

    def block(self) -> tuple[Vec2, Vec2]:
        """Return its least and greatest corner on the face; it ends square where its middle does."""
        (a, b), (x, y) = self.from_, self.to
        aside = (0.0, self.width / 2.0) if abs(x - a) > TOUCH_MM else (self.width / 2.0, 0.0)
        return (min(a, x) - aside[0], min(b, y) - aside[1]), (max(a, x) + aside[0], max(b, y) + aside[1])


class WallForm(Form):
    """A wall along a line in plan, on its face towards the room."""

    from_: PlanPoint = Field(alias="from", description="Where its face begins: [x, y]")
    to: PlanPoint = Field(description="Where its face ends")
    facing: Facing = Field(description="The way its face looks, into the room; the wall is behind it")
    thickness: PositiveLength = Field(description="How thick it is")
    bottom: Length = Field(default=0.0, description="Height (z) of its foot")
    height: PositiveLength = Field(description="How high it is")
    openings: list[WallOpeningForm] = Field(
        default=[], max_length=MOST_OPENINGS, description="Doors, windows and round holes, measured along it"
    )
    chases: list[ChaseForm] = Field(default=[], max_length=MOST_OPENINGS, description="Chases cut into its face")

    @model_validator(mode="after")
    def _stands(self) -> "WallForm":
        if self.from_ == self.to:
            raise ValueError(message("fault.wall no length"))
        way, size = plan_way(self.from_, self.to)
        if abs(dot(cross(way, UP), self.facing)) < 0.1:
            raise ValueError(message("fault.wall faces"))
        for number, opening in enumerate(self.openings, 1):
            for what, end, whole in (
                ("along", opening.at + (opening.width or 0.0), size),
                ("up", opening.up + (opening.height or 0.0), self.height),
            ):
                if end > whole + TOUCH_MM:
                    which, ends, has = Count(number), Number(end), Number(whole)
                    raise ValueError(message("fault.opening past", number=which, end=ends, way=Word(what), whole=has))
        for number, chase in enumerate(self.chases, 1):
            (low_x, low_y), (high_x, high_y) = chase.block()
            if min(low_x, low_y) < -TOUCH_MM or high_x > size + TOUCH_MM or high_y > self.height + TOUCH_MM:
                raise ValueError(
                    message("fault.chase past", number=Count(number), size=Number(size), height=Number(self.height))
                )
            if chase.depth >= self.thickness - TOUCH_MM:
                raise ValueError(message("fault.chase through", number=Count(number)))
        return self

    def parts(self) -> list[TermPart]:
        """Return the wall with its openings: a layer down to each depth of a chase, and what is behind them."""
        depths = sorted({chase.depth for chase in self.chases})
        layers = [self._layer(a, b) for a, b in pairwise([0.0, *depths, self.thickness])]
        names = ["", *("behind" if k == 1 else f"behind {k}" for k in range(1, len(layers)))]
        return [layer.part(name) for layer, name in zip(layers, names, strict=True)]

    def _layer(self, near: float, far: float) -> Slab:
        """Return what the wall is between two depths from its face."""
        way, size = plan_way(self.from_, self.to)
        side = cross(way, UP)
        foot = in_plan(self.from_, self.bottom)
        origin = along(foot, side, -far if dot(side, self.facing) > 0.0 else near)
        chased = [chase for chase in self.chases if chase.depth > near]
        square = tuple(
            ((o.at, o.up), (o.at + o.width, o.up + o.height), o)
            for o in self.openings
            if o.width is not None and o.height is not None
        )
        rounds = tuple(
            ((o.at, o.up), o.diameter, o)
            for o in self.openings
            if o.diameter is not None
            and not any(_holds(chase.block(), (o.at, o.up), o.diameter / 2.0) for chase in chased)
        )
        return Slab(
            origin,
            way,
            UP,
            (size, self.height),
            far - near,
            (*square, *((*chase.block(), chase) for chase in chased)),
            rounds,
        )

    def pockets(self) -> list[Shape]:
        """Return the room that each chase takes out of the wall."""
        found = []
        for chase in self.chases:
            layer, ((west, south), (east, north)) = self._layer(0.0, chase.depth), chase.block()
            size = (east - west, north - south)
            block = Slab(layer.place(west, south), layer.across, layer.up, size, layer.thickness)
            found.append(block.part().shape)
        return found

    def uncut(self) -> Shape:
        """Return the wall without openings and chases."""
        return self._layer(0.0, self.thickness)._replace(openings=(), rounds=()).part().shape

    def place(self, along_mm: float, up_mm: float, off_mm: float) -> Vec3:
        """Return a point so far along its face, up from its foot, and off the face into the room.

        Raises:
            ValueError: if the wall does not reach so far.
        """
        way, size = plan_way(self.from_, self.to)
        for what, at, most in (("along", along_mm, size), ("up", up_mm, self.height)):
            # Below its foot is written to be meant, as under a floor.
            if at > most + TOUCH_MM or (what == "along" and at < -TOUCH_MM):
                raise ValueError(message("fault.off wall", at=Number(at), way=Word(what), most=Number(most)))
        side = cross(way, UP)
        out = side if dot(side, self.facing) > 0.0 else (-side[0], -side[1], 0.0)
        return along(along(in_plan(self.from_, self.bottom + up_mm), way, along_mm), out, off_mm)


def _holds(block: tuple[Vec2, Vec2], at: Vec2, radius: float) -> bool:
    """Return whether a round hole lies wholly within a rectangle."""
    return all(low <= c - radius and c + radius <= high for low, c, high in zip(block[0], at, block[1], strict=True))


class FloorOpeningForm(ForRunsForm):
    """An opening in a floor or ceiling: square between two plan points, or round about one."""

    from_: PlanPoint | None = Field(default=None, alias="from", description="A corner: [x, y]")
    to: PlanPoint | None = Field(default=None, description="The opposite corner")
    at: PlanPoint | None = Field(default=None, description="The middle of a round one")
    diameter: PositiveLength | None = Field(default=None, description="Of a round one")

    @model_validator(mode="after")
    def _one_kind(self) -> "FloorOpeningForm":
        given = [key for key in ("from_", "to", "at", "diameter") if getattr(self, key) is not None]
        if given not in (["from_", "to"], ["at", "diameter"]):
            raise ValueError(message("fault.opening ends"))
        return self

    def hole(self, level: float) -> HoleForm:
        """Return it as a hole, a point of it at a level."""
        if self.at is not None:
            return HoleForm.model_validate({"at": in_plan(self.at, level), "diameter": self.diameter, **meant(self)})
        assert self.from_ is not None
        assert self.to is not None
        return HoleForm.model_validate(
            {"from": in_plan(self.from_, level), "to": in_plan(self.to, level), **meant(self)}
        )


class FloorForm(Form):
    """Boards, a slab or a ceiling: a rectangle or an outline in plan, of some thickness."""

    from_: PlanPoint | None = Field(default=None, alias="from", description="A corner in plan: [x, y]")
    to: PlanPoint | None = Field(default=None, description="The opposite corner")
    outline: list[PlanPoint] | None = Field(
        default=None,
        min_length=3,
        max_length=MOST_OUTLINE_POINTS,
        description="Or the corners of its outline, in order",
    )
    top: Length | None = Field(default=None, description="Height (z) of its upper side")
    bottom: Length | None = Field(default=None, description="Height (z) of its under side, in place of 'top'")
    thickness: PositiveLength = Field(description="How thick it is")
    openings: list[FloorOpeningForm] = Field(default=[], max_length=MOST_OPENINGS, description="What is cut out of it")

    @model_validator(mode="after")
    def _lies(self) -> "FloorForm":
        if (self.top is None) == (self.bottom is None):
            raise ValueError(message("fault.top or bottom"))
        corners = self.from_ is not None and self.to is not None
        if corners == (self.outline is not None) or (self.from_ is None) != (self.to is None):
            raise ValueError(message("fault.slab far"))
        if fault := outline_fault(self.corners()):
            raise ValueError(fault)
        return self

    def corners(self) -> list[tuple[float, float]]:
        """Return its outline."""
        if self.outline is not None:
            return list(self.outline)
        assert self.from_ is not None
        assert self.to is not None
        (a, b), (x, y) = self.from_, self.to
        return [(a, b), (x, b), (x, y), (a, y)]

    def parts(self) -> list[TermPart]:
        """Return it with its openings."""
        low = self.bottom if self.bottom is not None else (self.top or 0.0) - self.thickness
        holes = tuple(opening.hole(low) for opening in self.openings)
        if self.outline is None:
            (a, b), (x, y) = self.corners()[0], self.corners()[2]
            slab = Slab((min(a, x), min(b, y), low), EAST, NORTH, (abs(x - a), abs(y - b)), self.thickness)
            part = slab.part()
            holes = tuple(hole.model_copy(update={"through": "up"}) for hole in holes)
            return [part._replace(holes=holes, cut=tuple(self.openings))]
        shape = Extrusion(counter_clockwise(self.outline), low, low + self.thickness)
        return [TermPart("", shape, holes, tuple(self.openings))]
