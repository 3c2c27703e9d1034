"""The nearest point of a surface of triangles to many points at once: down the blocks level by level."""

import numpy as np

from pipemodel.geometry.arrays import Floats, dots
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.distance.tree import SAME_MM, Tree
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
    if not count:
        return distance, nearest
    top = int(tree.root[owner])
    while not tree.leaf[top] and tree.count[top] == 1:
        top = int(tree.first[top])
    # Some corner of each block is no nearer than the nearest: what is known of how far that is at most.
    most = np.full(count, np.inf)
    stack = [(np.arange(count), np.full(count, top), np.zeros(count))]
    while stack:
        row, block, bound = stack.pop()
        keep = bound <= most[row] + SAME_MM
        row, block, bound = row[keep], block[keep], bound[keep]
        if len(row) > PAIRS:
            order = np.argsort(bound, kind="stable")
            stack.append((row[order[PAIRS:]], block[order[PAIRS:]], bound[order[PAIRS:]]))
            row, block = row[order[:PAIRS]], block[order[:PAIRS]]
        if not len(row):
            continue
        child, which = tree.children(block)
        row, spots = row[which], points[row[which]]
        if not tree.leaf[block[0]]:  # all blocks of one owner's level are of one kind
            off = triangles.corner[tree.some[child], 0] - spots
            np.minimum.at(most, row, np.sqrt(dots(off, off)))
            stack.append((row, child, gaps(spots, spots, tree.low[child], tree.high[child])))
            continue
        a, b, c = (triangles.corner[child, k] for k in range(3))
        low, high = np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)
        bound = gaps(spots, spots, low, high)
        order = np.lexsort((bound, row))
        order = order[bound[order] <= most[row[order]] + SAME_MM]
        first = np.diff(row[order], prepend=-1) != 0
        # The likeliest of each first: what it gives rules many others out.
        for some in (order[first], order[~first]):
            some = some[bound[some] < distance[row[some]] - SAME_MM]
            value, away = triangles.field(child[some], spots[some])
            rank = np.lexsort((value, row[some]))
            who, at = np.unique(row[some][rank], return_index=True)
            win = rank[at]
            better = value[win] < distance[who]
            who, win = who[better], win[better]
            distance[who] = most[who] = value[win]
            nearest[who] = points[who] - value[win][:, None] * away[win]
    return distance, nearest
