"""Ways that lie beside another run: every leg at one distance from the other's, the bends nested in its bends.

For each side of the other run, and each stretch of its legs, the legs beside them are drawn as `beside` of a route
draws them; from the start to the first, and from the last to the finish, a way is looked for. Long stretches come
first, and shorter ones only as long as one of them could still lie beside it for longer.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.figures import SQUARE_DEG
from pipemodel.finding.judge import Judge
from pipemodel.finding.planes import Ends
from pipemodel.finding.search import Search
from pipemodel.finding.values import Way
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, angle_deg, distance, dot, scale, sub, unit
from pipemodel.job.routing.beside import Followed, carried_beside, followed

MOST_LINK_BENDS = 4
"""From the start to the first leg beside the other run, and from the last to the finish, no more bends are tried."""
INTO_MM = (0.0, 150.0)
"""So far into the first leg, or before the end of the last, the two have to lie beside each other."""
SAME_MM = 1e-6


class Stretch(NamedTuple):
    """Corners beside a stretch of another run, from the beginning of its first leg to the end of its last."""

    points: tuple[Vec3, ...]

    @property
    def long_mm(self) -> float:
        """The sum of its legs."""
        return sum(distance(a, b) for a, b in zip(self.points, self.points[1:], strict=False))


def stretches(other: SolvedRun, centres_mm: float) -> list[Stretch]:
    """Return all stretches beside a run at a distance of the axes, the longest first."""
    way = followed(other.run)
    count = len(way.corners) - 1
    found = [
        stretch
        for first in range(count)
        for last in range(first, count)
        for side in _sides(way.way(first))
        if (stretch := _stretch(way, first, last, scale(side, centres_mm))) is not None
    ]
    return sorted(found, key=lambda one: (-round(one.long_mm, 3), one.points))


def _sides(way: Vec3) -> Iterator[Vec3]:
    """Yield the sides of a leg: along the axes of the room, where those are square to it."""
    for axis in (EAST, NORTH, UP):
        if abs(dot(axis, way)) < SAME_MM:
            yield axis
            yield scale(axis, -1.0)


def _stretch(way: Followed, first: int, last: int, across: Vec3) -> Stretch | None:
    points = carried_beside(way, first, last, across)
    for leg in range(first, last + 1):
        if dot(sub(points[leg - first + 1], points[leg - first]), way.way(leg)) <= 0.0:
            return None
    return Stretch(tuple(points))


def ways_beside(
    other: SolvedRun, centres_mm: float, judge: Judge, ends: Ends, search_with: Callable[[Sequence[Vec3]], Search]
) -> list[Way]:
    """Return ways that lie beside another run, those of the longest stretches.

    Args:
        other: that run.
        centres_mm: how far its axis is from theirs.
        judge: of the run to be found.
        ends: between what it runs.
        search_with: returns a search with planes through some points.
    """
    found: list[Way] = []
    best = 0.0
    for stretch in stretches(other, centres_mm):
        if stretch.long_mm < best + 1.0:
            break
        for corners in _linked(stretch, ends, search_with):
            way = judge.possible(corners)
            if way is not None and way.beside_mm is not None and way.beside_mm > 0.0:
                found.append(way)
                best = max(best, way.beside_mm)
                break
    return found


def _linked(
    stretch: Stretch, ends: Ends, search_with: Callable[[Sequence[Vec3]], Search]
) -> Iterator[tuple[Vec3, ...]]:
    """Yield corners from start to finish by way of a stretch, those that lie along it for longest first."""
    points = stretch.points
    back = [scale(way, -1.0) for way in (ends.arriving, ends.heading)]
    from_start = _begins(points, ends.start, ends.heading)
    turned = _begins(points[::-1], ends.finish, back[0])
    search = search_with(points) if from_start is None or turned is None else None
    before = [from_start] if from_start is not None else _links(search, points, ends.start, ends.heading)
    if not before:
        return
    after = [turned] if turned is not None else _links(search, points[::-1], ends.finish, back[0])
    for one in before:
        for other in after:
            yield (*one, *points[1:-1], *other[::-1])


def _begins(points: Sequence[Vec3], start: Vec3, heading: Vec3) -> tuple[Vec3, ...] | None:
    """Return no more than the start, where it lies in line with the first leg and looks along it; else None."""
    way = unit(sub(points[1], points[0]))
    ahead = dot(sub(points[1], start), way)
    on = distance(along(start, way, ahead), points[1]) < SAME_MM
    return (start,) if on and ahead > 0.0 and angle_deg(way, heading) < SAME_MM else None


def _links(search: Search | None, points: Sequence[Vec3], start: Vec3, heading: Vec3) -> list[tuple[Vec3, ...]]:
    """Return the corners from a start up to the first leg of a stretch, those that come to it soonest first."""
    assert search is not None
    way, long = unit(sub(points[1], points[0])), distance(points[0], points[1])
    late = long - search.figures.setback(SQUARE_DEG)
    found: list[tuple[Vec3, ...]] = []
    for into in dict.fromkeys(min(into, late) for into in (*INTO_MM, late) if late > 0.0):
        linking = replace(search, ends=Ends(start, heading, along(points[0], way, into), way))
        for bends in range(1, MOST_LINK_BENDS + 1):
            if ways := linking.ways(bends):
                found.append(ways[0].corners[:-1])
                break
    return found
