"""Which straight tubes with flat ends a surface of triangles reaches into: by cutting triangles, without a search."""

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, lengths, normals_to, steps
from pipemodel.geometry.bounds import straight_bounds
from pipemodel.geometry.distance.broad import Asked
from pipemodel.geometry.distance.paths import Paths
from pipemodel.geometry.distance.tree import Tree
from pipemodel.geometry.shapes.triangles import Triangles

PART = 8.0
"""A tube is looked at in parts so many times as long as it is thick: the block round each is small."""
PAIRS = 65_536
"""How many pairs of part and block are looked at in one go; bounds the memory taken."""


def reached_by(paths: Paths, triangles: Triangles, tree: Tree, asked: Asked, touch_mm: float, count: int) -> Bools:
    """Return into which straight tubes the surface of an owner reaches by more than `touch_mm`; (count,).

    Args:
        paths: the tubes' axes; a run asked for has but one, which is straight.
        triangles: the triangles.
        tree: the blocks over them.
        asked: which runs against which owners; the runs count as the answers' keys.
        touch_mm: what reaches in by less does not count.
        count: the number of runs.
    """
    out = np.zeros(count, dtype=bool)
    path = np.searchsorted(paths.owner, asked.run)
    radius = paths.tube[path] - touch_mm
    pieces = np.maximum(np.ceil((paths.length[path] - 2.0 * touch_mm) / (PART * paths.tube[path])), 1).astype(np.int64)
    entry, number = steps(pieces)
    size = np.maximum((paths.length[path] - 2.0 * touch_mm) / pieces, 0.0)[entry]
    ahead, radius, run = paths.u[path][entry], radius[entry], asked.run[entry]
    start = paths.origin[path][entry] + (touch_mm + number * size)[:, None] * ahead
    low, high = straight_bounds(start, ahead, size)
    # A disc reaches to each side by its radius times the sine of the angle between its axis and that side.
    reach = radius[:, None] * np.sqrt(np.maximum(1.0 - ahead * ahead, 0.0))
    low, high = low - reach, high + reach
    stack = [(np.arange(len(run)), tree.root[asked.owner[entry]])]
    while stack:
        part, block = stack.pop()
        meet = ~out[run[part]]
        meet &= ((tree.low[block] <= high[part]) & (tree.high[block] >= low[part])).all(axis=1)
        part, block = part[meet], block[meet]
        if len(part) > PAIRS:
            stack.append((part[PAIRS:], block[PAIRS:]))
            part, block = part[:PAIRS], block[:PAIRS]
        leaf = tree.leaf[block]
        child, row = tree.children(block[~leaf])
        if len(child):
            stack.append((part[~leaf][row], child))
        triangle, row = tree.children(block[leaf])
        part = part[leaf][row]
        if len(part):
            corner = triangles.corner[triangle] - start[part][:, None]
            out[run[part[_enters(corner, ahead[part], size[part], radius[part])]]] = True
    return out


def _enters(corner: Floats, ahead: Floats, size: Floats, radius: Floats) -> Bools:
    """Return which triangles (n, 3, 3) pass through the cylinders from the origin on, one each."""
    u = normals_to(ahead)
    axes = np.stack([u, np.cross(ahead, u), ahead], axis=1)
    polygon = np.einsum("nij,nkj->nki", axes, corner)
    polygon = _cut(polygon, polygon[..., 2])
    polygon = _cut(polygon, size[:, None] - polygon[..., 2])
    flat, following = polygon[..., :2], np.roll(polygon[..., :2], -1, axis=1)
    edge = following - flat
    square = dots(edge, edge)
    share = np.clip(-dots(flat, edge) / np.where(square > 0.0, square, 1.0), 0.0, 1.0)
    least = lengths(flat + share[..., None] * edge)
    near = np.where(np.isnan(least), np.inf, least).min(axis=1) < radius
    # Round the middle, every edge passes it on the same side.
    side = flat[..., 0] * edge[..., 1] - flat[..., 1] * edge[..., 0]
    round_it = ((side >= 0.0).all(axis=1) | (side <= 0.0).all(axis=1)) & (np.abs(side).max(axis=1, initial=0.0) > 0.0)
    out: Bools = near | (round_it & ~np.isnan(least).any(axis=1))
    return out


def _cut(polygon: Floats, height: Floats) -> Floats:
    """Return convex polygons (n, k, 3) cut off where a height at their corners is below zero, (n, 2 k, 3).

    After Sutherland and Hodgman, Communications of the ACM 17, 1974. Corners may repeat; of a polygon that is cut away
    nothing is left but nan.
    """
    other, rise = np.roll(polygon, -1, axis=1), np.roll(height, -1, axis=1)
    crosses = (height < 0.0) != (rise < 0.0)
    share = height / np.where(crosses, height - rise, 1.0)
    between = polygon + np.where(crosses, share, np.nan)[..., None] * (other - polygon)
    kept = np.where((height >= 0.0)[..., None], polygon, np.nan)
    out = np.stack([kept, between], axis=2).reshape(len(polygon), -1, 3)
    return _filled(out)


def _filled(polygon: Floats) -> Floats:
    """Return polygons with the corner before it in place of each that is missing."""
    count = polygon.shape[1]
    known = ~np.isnan(polygon[..., 0])
    at = np.where(np.tile(known, 2), np.arange(2 * count), -1)
    last: Ints = np.maximum.accumulate(at, axis=1)[:, count:] % count
    out: Floats = np.take_along_axis(polygon, last[..., None], axis=1)
    return out
