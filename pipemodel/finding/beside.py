"""Ways that lie beside another run: every leg at one distance from the other's, the bends nested in its bends.

For each side of the other run, and each stretch of its legs, the legs beside them are drawn as `beside` of a route
draws them; from the start to the first, and from the last to the finish, a way is looked for. Stretches nearest to the
ends come first, others only as long as less of a way along one might lie beside nothing.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice
from typing import NamedTuple

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.around import Around
from pipemodel.finding.figures import SQUARE_DEG
from pipemodel.finding.judge import Judge
from pipemodel.finding.planes import Ends
from pipemodel.finding.search import Search
from pipemodel.finding.values import Way
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, add, along, angle_deg, distance, dot, scale, sub, unit
from pipemodel.job.routing.beside import Followed, carried_beside, followed

MOST_LINK_BENDS = 2
"""From the start to the first leg beside the other run, and from the last to the finish, no more bends are tried."""
MOST_STRETCHES = 12
"""So many stretches that are clear are tried at most."""
INTO_MM = (0.0, 150.0)
"""So far into the first leg, or before the end of the last, the two have to lie beside each other."""
SAME_MM = 1e-6


class Stretch(NamedTuple):
    """Corners beside a stretch of another run, from the beginning of its first leg to the end of its last.

    `least_mm` of a way along it lies beside nothing, at the least.
    """

    least_mm: float
    points: tuple[Vec3, ...]


def stretches(other: SolvedRun, centres_mm: float, ends: Ends) -> list[Stretch]:
    """Return all stretches beside a run at a distance of the axes, those nearest to the ends first."""
    way = followed(other.run)
    count = len(way.corners) - 1
    return sorted(
        stretch
        for first in range(count)
        for last in range(first, count)
        for side in _sides(way.way(first))
        if (stretch := _stretch(way, first, last, scale(side, centres_mm), ends)) is not None
    )


def _sides(way: Vec3) -> Iterator[Vec3]:
    """Yield the sides of a leg: along the axes of the room, where those are square to it."""
    for axis in (EAST, NORTH, UP):
        if abs(dot(axis, way)) < SAME_MM:
            yield axis
            yield scale(axis, -1.0)


def _stretch(way: Followed, first: int, last: int, across: Vec3, ends: Ends) -> Stretch | None:
    points = carried_beside(way, first, last, across)
    for leg in range(first, last + 1):
        if dot(sub(points[leg - first + 1], points[leg - first]), way.way(leg)) <= 0.0:
            return None
    least = _to_leg(ends.start, points[0], points[1]) + _to_leg(ends.finish, points[-1], points[-2])
    return Stretch(round(least, 3), tuple(points))


def _to_leg(point: Vec3, one: Vec3, other: Vec3) -> float:
    way, long = unit(sub(other, one)), distance(one, other)
    return distance(point, along(one, way, min(max(dot(sub(point, one), way), 0.0), long)))


def ways_beside(
    other: SolvedRun,
    centres_mm: float,
    judge: Judge,
    ends: Ends,
    search_with: Callable[[Sequence[Vec3]], Search],
    linked: bool,
) -> list[Way]:
    """Return ways that lie beside another run, each with less that lies beside nothing than the one before.

    Args:
        other: that run.
        centres_mm: how far its axis is from theirs.
        judge: of the run to be found.
        ends: between what it runs.
        search_with: returns a search with planes through some points.
        linked: whether they may go some way to the other run and from it.
    """
    found: list[Way] = []
    around = search_with(()).around
    clear = (one for one in stretches(other, centres_mm, ends) if _clear(one.points, around))
    for stretch in islice(clear, MOST_STRETCHES):
        if found and stretch.least_mm >= found[-1].apart_mm - 1.0:
            break
        for corners in _linked(stretch, ends, search_with if linked else None):
            way = judge.possible(corners)
            if way is not None and way.beside_mm and (not found or way.apart_mm < found[-1].apart_mm):
                found.append(way)
                break
    return found


def _clear(points: Sequence[Vec3], around: Around) -> bool:
    """Return whether nothing stands in the legs between the first and the last, nor in the middle of these."""
    middles = [scale(add(a, b), 0.5) for a, b in (points[:2], points[-2:])]
    inner = [middles[0], *points[1:-1], middles[1]]
    legs = [(a, b) for a, b in zip(inner, inner[1:], strict=False) if distance(a, b) > SAME_MM]
    if not legs:
        return bool(around.clear(np.array(middles)).all())
    start, long = np.array([a for a, _ in legs]), np.array([distance(a, b) for a, b in legs])
    ahead = (np.array([b for _, b in legs]) - start) / long[:, None]
    return bool(np.all(around.free(start, ahead, long) >= long - SAME_MM))


def _linked(
    stretch: Stretch, ends: Ends, search_with: Callable[[Sequence[Vec3]], Search] | None
) -> Iterator[tuple[Vec3, ...]]:
    """Yield corners from start to finish by way of a stretch, those that lie along it for longest first."""
    points = stretch.points
    back = [scale(way, -1.0) for way in (ends.arriving, ends.heading)]
    from_start = _begins(points, ends.start, ends.heading)
    turned = _begins(points[::-1], ends.finish, back[0])
    direct = from_start is not None and turned is not None
    if search_with is None and not direct:
        return
    search = None if direct or search_with is None else search_with(points)
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
