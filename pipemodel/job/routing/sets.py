"""Sets: two equal and opposite bends that move the tube sideways, in one plane or rolled between two."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, degrees, radians, tan

from pipemodel.geometry.vectors import Vec3, add, cos_deg, dot, length, scale
from pipemodel.job.model import Thing
from pipemodel.job.routing.clearing import LegLine, Passing
from pipemodel.job.routing.directions import Heading, clean
from pipemodel.job.routing.faults import ItemError
from pipemodel.job.routing.legs import setback
from pipemodel.job.routing.nearness import rise_to
from pipemodel.messages.values import Name, message


@dataclass(frozen=True)
class Aside:
    """Where a set takes the tube: `offset` mm towards `side`, a unit vector square to it."""

    side: Vec3
    offset: float


def aside(heading: Heading, sides: Sequence[tuple[str, float]]) -> Aside:
    """Return the true offset of a set to one named side, or to two at once: sqrt(set^2 + roll^2).

    Raises:
        ItemError: if a side lies along the tube, or two sides are not square to each other on this leg.
    """
    vectors = [(heading.side(name), mm) for name, mm in sides]
    if len(vectors) == 2 and abs(dot(vectors[0][0], vectors[1][0])) > 1e-9:
        raise ItemError(
            message("fault.not square", one=Name(sides[0][0], quoted=False), other=Name(sides[1][0], quoted=False))
        )
    moved = (0.0, 0.0, 0.0)
    for side, mm in vectors:
        moved = add(moved, scale(side, mm))
    offset = length(moved)
    return Aside(clean(scale(moved, 1.0 / offset)), offset)


def set_angle(offset: float, advance: float) -> float:
    """Return the angle of a set that moves `offset` aside in `advance` along the tube, centre to centre; degrees."""
    return degrees(atan2(offset, advance))


def advance_of(offset: float, angle_deg: float) -> float:
    """Return how far along the tube a set goes from centre to centre of its bends; 0 at 90 degrees."""
    return 0.0 if angle_deg >= 90.0 else offset / tan(radians(angle_deg))


def least_offset(radius: float, angle_deg: float) -> float:
    """Return the offset of a set whose two bends touch: 2 R (1 - cos a), mm."""
    return 2.0 * radius * (1.0 - cos_deg(angle_deg))


def clearing_set(
    thing: Thing, gap: float, origin: Vec3, ahead: Vec3, side: Vec3, angle_deg: float, outside: float, radius: float
) -> tuple[float, float]:
    """Return the offset that keeps a gap to a thing, and how far on the first bend's centre must be, at the latest.

    Args:
        thing: what to come clear of.
        gap: between the outside of the tube and the thing, mm, kept on the slope and the bends too.
        origin: the corner or start that the leg comes from.
        ahead: its heading, a unit vector.
        side: the side to move to, a unit vector square to the tube.
        angle_deg: of both bends.
        outside: outside diameter of the tube, mm.
        radius: finished centreline radius, mm.

    Raises:
        ItemError: if the thing is not in the way, or cannot be cleared to that side.
    """
    passing = Passing(LegLine(origin, ahead, side), thing, gap, outside, radius)
    near, far = passing.in_the_way()
    back = setback(radius, angle_deg)
    offset = max(passing.clear_offset(), least_offset(radius, angle_deg))
    run = advance_of(offset, angle_deg)
    end = max(far, passing.reach[1]) + run + 2.0 * back + 1.0

    def spare(first: float) -> float:
        return passing.spare(
            [(first - back - 1.0, 0.0), (first, 0.0), (first + run, offset), (end, offset)], without=-1
        )

    earliest = near - run - 2.0 * back - 1.0
    latest = -round(rise_to(lambda back_by: spare(-back_by), -far, -earliest), 9)
    return offset, latest
