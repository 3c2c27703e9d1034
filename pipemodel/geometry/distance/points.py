"""The nearest point of a surface of triangles to many points at once: down the blocks level by level."""

import numpy as np

from pipemodel.geometry.arrays import Floats, lengths
from pipemodel.geometry.bounds import point_gaps
from pipemodel.geometry.distance.tree import SAME_MM, Tree
from pipemodel.geometry.shapes.triangles import Triangles

PAIRS = 65_536
"""How many pairs of point and block are divided in one go: bounds the memory taken."""

KNOWN = 64
"""So many points of a surface are handed on from one question to the next."""


def nearest_points(
    triangles: Triangles, tree: Tree, owner: int, points: Floats, known: Floats, within: Floats | None = None
) -> tuple[Floats, Floats]:
    """Return the distances from points to the surface of an owner, and the nearest points on it.

    Of a point that is farther off than `within`, where that is given, it says no more than a distance beyond that.

    Args:
        triangles: the triangles.
        tree: the blocks over them.
        owner: whose surface.
        points: (n, 3) mm; the work and the memory grow with their number.
        known: (k, 3), some points of the surface, of which those near `points` save work; they change no answer.
        within: (n,), how far off is of interest.
    """
    count = len(points)
    distance, nearest = np.full(count, np.inf), points.copy()
    # How far the nearest is at most.
    most = _to_nearest(points, known)
    if within is not None:
        np.minimum(most, within, out=most)
    stack = [tree.outset(owner, count)]
    while stack:
        row, block = stack.pop()
        spots = points[row]
        bound = point_gaps(spots, tree.low[block], tree.high[block])
        keep = np.flatnonzero(bound <= most[row] + SAME_MM)
        # Some corner of each block is no nearer than the nearest.
        np.minimum.at(most, row[keep], lengths(triangles.corner[tree.some[block[keep]], 0] - spots[keep]))
        keep = keep[bound[keep] <= most[row[keep]] + SAME_MM]
        if len(keep) > PAIRS:
            keep = keep[np.argsort(bound[keep], kind="stable")]
            stack.append((row[keep[PAIRS:]], block[keep[PAIRS:]]))
            keep = keep[:PAIRS]
        if not len(keep):
            continue
        child, which = tree.children(block[keep])
        row = row[keep][which]
        if not tree.leaf[block[0]]:  # all blocks of one owner's level are of one kind
            stack.append((row, child))
            continue
        spots = points[row]
        bound = point_gaps(spots, *(corner[child] for corner in triangles.rows))
        near = np.flatnonzero(bound <= most[row] + SAME_MM)
        order = near[np.lexsort((bound[near], row[near]))]
        first = np.diff(row[order], prepend=-1) != 0
        # The likeliest of each first: what it gives rules many others out.
        for some in (order[first], order[~first]):
            some = some[bound[some] <= distance[row[some]] + SAME_MM]
            if not len(some):
                continue
            value, away = triangles.field(child[some], spots[some])
            rank = np.lexsort((child[some], value, row[some]))
            win = rank[np.diff(row[some][rank], prepend=-1) != 0]
            win = win[value[win] < distance[row[some[win]]]]
            who = row[some[win]]
            distance[who] = most[who] = value[win]
            nearest[who] = points[who] - value[win][:, None] * away[win]
    return distance, nearest


def _to_nearest(points: Floats, known: Floats) -> Floats:
    """Return how far points are from the nearest of some others; infinite where there are none."""
    out = np.full(len(points), np.inf)
    for begin in range(0, len(points), PAIRS // KNOWN) if len(known) else ():
        part = slice(begin, begin + PAIRS // KNOWN)
        x, y, z = (points[part, axis, None] - known[:, axis] for axis in range(3))
        out[part] = np.sqrt((x * x + y * y + z * z).min(axis=1))
    return out
