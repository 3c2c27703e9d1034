"""Ways that lie beside another run: every leg at one distance from the other's, the bends nested in its bends.

On each side of the other run the legs beside it are drawn as `beside` of a route draws them. Where start and finish lie
in line with these that is the way; else the planes beside its legs are those to look in.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from pipemodel.bending.schedule import SolvedRun
from pipemodel.finding.around import Around
from pipemodel.finding.judge import Judge
from pipemodel.finding.planes import WayEnds
from pipemodel.finding.values import Way
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, add, along, angle_deg, distance, dot, scale, sub, unit
from pipemodel.job.routing.beside import carried_beside, followed

SAME_MM = 1e-6


def _points_beside(other: SolvedRun, centres_mm: float) -> Iterator[tuple[Vec3, ...]]:
    """Yield the corners beside all of a run, both ends among them, on each side of it."""
    way = followed(other.run)
    last = len(way.corners) - 2
    for side in _sides(way.way(0)):
        points = carried_beside(way, 0, last, scale(side, centres_mm))
        if all(dot(sub(b, a), way.way(leg)) > 0.0 for leg, (a, b) in enumerate(pairwise(points))):
            yield tuple(points)


def _sides(way: Vec3) -> Iterator[Vec3]:
    """Yield the sides of a leg: along the axes of the room, where those are square to it."""
    for axis in (EAST, NORTH, UP):
        if abs(dot(axis, way)) < SAME_MM:
            yield axis
            yield scale(axis, -1.0)


def way_beside(other: SolvedRun, centres_mm: float, judge: Judge, ends: WayEnds, around: Around) -> Way | None:
    """Return a way that begins, goes and ends beside another run; None where there is none.

    Args:
        other: that run.
        centres_mm: how far its axis is from the way's.
        judge: of the run to be found.
        ends: between what it runs.
        around: what it keeps clear of.
    """
    for points in _points_beside(other, centres_mm):
        if not _begins(points, ends.start, ends.heading):
            continue
        if not _begins(points[::-1], ends.finish, scale(ends.arriving, -1.0)):
            continue
        if _clear(points, around) and (way := judge.possible((ends.start, *points[1:-1], ends.finish))) is not None:
            return way
    return None


def planes_beside(other: SolvedRun, centres_mm: float) -> list[tuple[int, float]]:
    """Return the planes in which a way lies beside legs of another run: an axis, and where each lies."""
    found: list[tuple[int, float]] = []
    for leg in other.centreline.straights:
        for side in _sides(leg.direction):
            axis = max(range(3), key=lambda k: abs(side[k]))
            found.append((axis, leg.start[axis] + side[axis] * centres_mm))
    return list(dict.fromkeys(found))


def _clear(points: Sequence[Vec3], around: Around) -> bool:
    """Return whether nothing stands in the legs between the first and the last, nor in the middle of these."""
    middles = [scale(add(a, b), 0.5) for a, b in (points[:2], points[-2:])]
    inner = [middles[0], *points[1:-1], middles[1]]
    legs = [(a, b) for a, b in pairwise(inner) if distance(a, b) > SAME_MM]
    if not legs:
        return bool(around.clear(np.array(middles)).all())
    start, long = np.array([a for a, _ in legs]), np.array([distance(a, b) for a, b in legs])
    ahead = (np.array([b for _, b in legs]) - start) / long[:, None]
    return bool(np.all(around.free(start, ahead, long) >= long - SAME_MM))


def _begins(points: Sequence[Vec3], start: Vec3, heading: Vec3) -> bool:
    """Return whether a start lies in line with the first leg and looks along it."""
    way = unit(sub(points[1], points[0]))
    ahead = dot(sub(points[1], start), way)
    on = distance(along(start, way, ahead), points[1]) < SAME_MM
    return on and ahead > 0.0 and angle_deg(way, heading) < SAME_MM
