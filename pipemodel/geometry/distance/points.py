"""The nearest point of a surface of triangles to many points at once: down the blocks level by level."""

import numpy as np

from pipemodel.geometry.arrays import Floats, lengths
from pipemodel.geometry.bounds import point_gaps
from pipemodel.geometry.distance.tree import AT_ONCE, SAME_MM, Tree
from pipemodel.geometry.shapes.triangles import Triangles

PAIRS = 65_536
"""How many pairs of point and block are divided in one go: bounds the memory taken."""


def nearest_points(triangles: Triangles, tree: Tree, owner: int, points: Floats) -> tuple[Floats, Floats]:
    """Return the distances from points to the surface of an owner, and the nearest points on it.

    Args:
        triangles: the triangles.
        tree: the blocks over them.
        owner: whose surface.
        points: (n, 3) mm; the work and the memory grow with their number.
    """
    count = len(points)
    distance, nearest = np.full(count, np.inf), points.copy()
    # Some corner of each block is no nearer than the nearest: what is known of how far that is at most.
    most = np.full(count, np.inf)
    stack = [tree.outset(owner, count, AT_ONCE)]
    while stack:
        row, block = stack.pop()
        spots = points[row]
        bound = point_gaps(spots, tree.low[block], tree.high[block])
        np.minimum.at(most, row, lengths(triangles.corner[tree.some[block], 0] - spots))
        keep = np.flatnonzero(bound <= most[row] + SAME_MM)
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
        bound = point_gaps(spots, triangles.low[child], triangles.high[child])
        near = np.flatnonzero(bound <= most[row] + SAME_MM)
        order = near[np.lexsort((bound[near], row[near]))]
        first = np.diff(row[order], prepend=-1) != 0
        # The likeliest of each first: what it gives rules many others out.
        for some in (order[first], order[~first]):
            some = some[bound[some] < distance[row[some]] - SAME_MM]
            if not len(some):
                continue
            value, away = triangles.field(child[some], spots[some])
            rank = np.lexsort((value, row[some]))
            win = rank[np.diff(row[some][rank], prepend=-1) != 0]
            win = win[value[win] < distance[row[some[win]]]]
            who = row[some[win]]
            distance[who] = most[who] = value[win]
            nearest[who] = points[who] - value[win][:, None] * away[win]
    return distance, nearest
