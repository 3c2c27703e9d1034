"""A straight line past a thing: where it comes too near, and how far aside it must lie to come clear."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.vectors import Vec3, along, dot
from pipemodel.job.model import Thing
from pipemodel.job.routing.directions import described
from pipemodel.job.routing.faces import extent
from pipemodel.job.routing.faults import ItemError, PlaceError
from pipemodel.job.routing.nearness import nearest_on, nearness_to, rise_to
from pipemodel.messages.values import Name, Number, message

FARTHEST_MM = 1e4
"""Farther aside than this is no way round a thing."""


@dataclass(frozen=True)
class LegLine:
    """The straight line of a leg: from `origin` along `ahead`, with `side` square to it (unit vectors)."""

    origin: Vec3
    ahead: Vec3
    side: Vec3

    def at(self, on: float, aside: float) -> Vec3:
        """Return the point `on` mm along the line and `aside` mm to its side."""
        return along(along(self.origin, self.ahead, on), self.side, aside)


class Passing:
    """A line past a thing, for a tube whose outside must keep a gap from it."""

    def __init__(self, line: LegLine, thing: Thing, gap: float, outside: float, radius: float) -> None:
        self.line, self.thing, self.gap, self.radius = line, thing, gap, radius
        self.off = off = gap + outside / 2.0
        self.near = nearness_to(thing)
        low, high = extent(thing, line.ahead)
        base = dot(line.origin, line.ahead)
        self.reach = (low - base - off - 1.0, high - base + off + 1.0)
        """The stretch of the line that can be too near at all, and a little more; mm from its origin."""

    def in_the_way(self) -> tuple[float, float]:
        """Return the stretch of the line (mm from its origin) where a straight tube would come too near.

        Raises:
            ItemError: if it nowhere does.
        """
        low, high = self.reach
        spare = self._spare_straight
        best, deepest = spare(low), low
        step = max((high - low) / 4000.0, min(1.0, self.off / 4.0))
        for i in range(int((high - low) / step) + 1):
            value = spare(low + i * step)
            if value < best:
                best, deepest = value, low + i * step
        if best >= 0.0:
            raise PlaceError(
                message("fault.not in the way", name=Name(self.thing.name), gap=Number(best + self.gap, ".1f"))
            )
        return -rise_to(lambda u: spare(-u), -deepest, -low), rise_to(spare, deepest, high)

    def _spare_straight(self, on: float) -> float:
        return self.near.distance(self.line.at(on, 0.0)) - self.off

    def clear_offset(self) -> float:
        """Return how far to the side a straight line must lie to stay off the thing all along.

        Raises:
            ItemError: if that is out of all reason.
        """
        low, high = self.reach
        return self.least(lambda aside: self.spare([(low, aside), (high, aside)]), 0.0)

    def spare(self, corners: Sequence[tuple[float, float]], without: int | None = None) -> float:
        """Return by how much the axis stays farther off than it must, along corners (on, aside) with their bends.

        `without` leaves one leg out (0 is the first, -1 the last): one that is known to lie right at the gap, and
        would hide whether the others come nearer.
        """
        pieces = rounded([self.line.at(*c) for c in corners], [self.radius] * (len(corners) - 2))
        if without is not None:
            del pieces[2 * without if without >= 0 else 2 * without + 1]
        return nearest_on(pieces, self.near) - self.off

    def least(self, spare: Callable[[float], float], at_least: float, most: float = FARTHEST_MM) -> float:
        """Return the least value, from `at_least` up, at which a never falling `spare` is not below zero.

        Raises:
            ItemError: if that is out of all reason, which is beyond `most`.
        """
        if spare(at_least) >= 0.0:
            return at_least
        low, high = at_least, 2.0 * at_least + 50.0
        while spare(high) < 0.0:
            low, high = high, 2.0 * high
            if low > most:
                raise ItemError(
                    message(
                        "fault.cannot clear",
                        name=Name(self.thing.name),
                        farthest=Number(FARTHEST_MM / 1000),
                        side=Name(described(self.line.side), quoted=False),
                    )
                )
        return round(rise_to(spare, low, high), 9)
