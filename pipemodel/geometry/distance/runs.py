"""Runs against each other.

Each piece of a run is a solid of its own: a cylinder or a part of a torus, with flat ends. The side of one run
slides past the pieces of the other, and the ends of both are measured against the other's pieces; together
these hold every way in which two tubes can be nearest. A straight and a bend are measured by sliding along the
bend, for past a straight the distance is convex.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, dots, lengths, steps
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.broad import CELLS, Asked, measure_flat_ends, measure_sides
from pipemodel.geometry.distance.paths import Paths, paths_of
from pipemodel.geometry.distance.targets import Least, Nearest
from pipemodel.geometry.shapes.bends import Bends
from pipemodel.geometry.shapes.cylinder import Cylinders


class Apart(NamedTuple):
    """Two runs, by their numbers, and how they are nearest: seen from the first and from the second."""

    first: int
    second: int
    from_first: Nearest
    from_second: Nearest


def tube_distance(line_a: Centreline, outside_a: float, line_b: Centreline, outside_b: float) -> Nearest:
    """Return the least distance between two tubes; `at` and `point` are those of the first.

    Args:
        line_a: axis of the first tube.
        outside_a: its outside diameter.
        line_b: axis of the second tube.
        outside_b: its outside diameter.
    """
    (found,) = distances_between_runs([line_a, line_b], [outside_a, outside_b])
    return found.from_first


def distances_between_runs(
    lines: Sequence[Centreline], outside_mm: Sequence[float], within: float = np.inf
) -> list[Apart]:
    """Return the least distance of each pair of runs, in order; pairs farther apart than `within` are left out."""
    n = len(lines)
    if n < 2:
        return []
    paths, ends = paths_of(lines, outside_mm)
    legs, bends = solids_of(paths)
    first, second = _near(paths, n, within)
    pair = Asked(first, second, np.arange(len(first)))
    either = pair.both_ways()
    least = Least(len(first), within)
    straight, arcs = paths.take(~paths.bent), paths.take(paths.bent)
    measure_sides(straight, legs, least, pair)
    measure_sides(arcs, legs, least, either)
    measure_sides(arcs, bends, least, pair)
    measure_flat_ends(ends, legs, least, either)
    measure_flat_ends(ends, bends, least, either)
    # How deep they overlap may look different from the other one's side: the deeper counts.
    other_way = pair.take(np.flatnonzero(least.distance < 0.0)).turned()
    measure_sides(straight, legs, least, other_way)
    measure_sides(arcs, bends, least, other_way)
    return _both_sides(paths, least, first, second)


def pairs_within(lines: Sequence[Centreline], outside_mm: Sequence[float], within: float) -> int:
    """Return how many pairs of runs have blocks round them that are not farther apart than `within`."""
    return len(_near(paths_of(lines, outside_mm)[0], len(lines), within)[0])


def _near(paths: Paths, n: int, within: float) -> tuple[Ints, Ints]:
    """Return the pairs of runs, first < second, whose blocks are not farther apart than asked for."""
    starts = np.searchsorted(paths.owner, np.arange(n))
    reach = paths.tube[:, None]
    low = np.minimum.reduceat(paths.low - reach, starts, axis=0)
    high = np.maximum.reduceat(paths.high + reach, starts, axis=0)
    # In order along the axis they spread most along, only those can be near that begin before another's end.
    axis = int(np.argmax(np.ptp(0.5 * (low + high), axis=0)))
    order = np.argsort(low[:, axis], kind="stable")
    last = np.searchsorted(low[order, axis], high[order, axis] + within, "right")
    count = np.maximum(last - np.arange(n) - 1, 0)
    found: list[tuple[Ints, Ints]] = []
    for begin, end in _stretches(count):
        row, number = steps(count[begin:end])
        one, other = order[begin + row], order[begin + row + 1 + number]
        near = np.flatnonzero(gaps(low[one], high[one], low[other], high[other]) <= within)
        found.append((np.minimum(one[near], other[near]), np.maximum(one[near], other[near])))
    first, second = (np.concatenate(part) for part in zip(*found, strict=True))
    sort = np.lexsort((second, first))
    return first[sort], second[sort]


def _stretches(count: Ints) -> Iterator[tuple[int, int]]:
    """Yield from where to where to take rows together, so that their counts come to about `CELLS`."""
    batch = np.cumsum(count) // CELLS
    cuts = [0, *(np.flatnonzero(np.diff(batch)) + 1).tolist(), len(count)]
    return zip(cuts, cuts[1:], strict=False)


def _both_sides(paths: Paths, least: Least, first: Ints, second: Ints) -> list[Apart]:
    """Return the answers as seen from both runs of each pair."""
    found = np.flatnonzero(least.by >= 0)
    slid = least.by[found] == first[found]
    facing = positions(paths, np.where(slid, second[found], first[found]), least.other[found])
    distance, a, b = (x.tolist() for x in (least.distance[found], first[found], second[found]))
    at, there = least.at[found].tolist(), facing.tolist()
    point, other = least.point[found].tolist(), least.other[found].tolist()
    out: list[Apart] = []
    for k, forwards in enumerate(slid.tolist()):
        p, q = tuple(point[k]), tuple(other[k])
        mine, theirs = Nearest(distance[k], at[k], p, q), Nearest(distance[k], there[k], q, p)
        out.append(Apart(a[k], b[k], mine, theirs) if forwards else Apart(a[k], b[k], theirs, mine))
    return out


def positions(paths: Paths, run: Ints, points: Floats) -> Floats:
    """Return where along their runs the axis is nearest to points.

    Args:
        paths: the pieces of all runs, run after run.
        run: the run of each point, (n,).
        points: (n, 3).
    """
    out = np.zeros(len(run))
    starts = np.searchsorted(paths.owner, np.arange(paths.owner[-1] + 2))
    for low in range(0, len(run), 2_000):
        rows = slice(low, low + 2_000)
        which, number = steps(starts[run[rows] + 1] - starts[run[rows]])
        path, point = starts[run[rows]][which] + number, points[rows][which]
        u, v, length = paths.u[path], paths.v[path], paths.length[path]
        rel = point - paths.origin[path]
        x, y = dots(rel, u), dots(rel, v)
        turn = np.mod(np.arctan2(y, x), 2.0 * np.pi)
        angle = length * paths.curvature[path]
        # Beyond the arc's ends the nearer end serves: half of the rest of the circle belongs to each.
        turn = np.where(turn <= angle, turn, np.where(turn <= 0.5 * angle + np.pi, angle, 0.0))
        s = np.where(paths.bent[path], turn * paths.radius[path], np.clip(x, 0.0, length))
        gap = lengths(paths.at(path, s)[0] - point)
        order = np.lexsort((gap, which))
        best = order[np.searchsorted(which, np.arange(which[-1] + 1))]
        out[rows] = (paths.at0[path] + s)[best]
    return out


def solids_of(paths: Paths) -> tuple[Cylinders, Bends]:
    """Return the pieces of runs as solids, legs and bends, in the order of the rows."""
    bent = paths.bent
    legs, arcs = paths.take(~bent), paths.take(bent)
    return (
        Cylinders(legs.origin, legs.u, legs.length, legs.tube, legs.owner, legs.open_start, legs.open_finish),
        Bends(
            arcs.origin,
            arcs.u,
            arcs.v,
            arcs.radius,
            arcs.length * arcs.curvature,
            arcs.tube,
            arcs.owner,
            arcs.open_start,
            arcs.open_finish,
        ),
    )
