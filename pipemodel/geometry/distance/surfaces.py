"""Meshes and outlines as triangles, and what lies inside them."""

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, lengths
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.distance.to_triangle import Triangles
from pipemodel.geometry.shapes import Extrusion, Mesh

POINTS = 200_000
"""How many pairs of point and triangle are worked out in one go; bounds the memory taken."""


def mesh_corners(mesh: Mesh) -> Floats:
    """Return the corners of a mesh's triangles, (m, 3, 3)."""
    out: Floats = np.asarray(mesh.vertices, dtype=np.float64)[mesh.faces]
    return out


def extrusion_corners(shape: Extrusion) -> Floats:
    """Return triangles that bound an extruded outline exactly, (m, 3, 3), outward by the right hand."""
    import mapbox_earcut

    plan = np.array(shape.outline, dtype=np.float64)
    turned = np.roll(plan, -1, axis=0)
    if float(np.sum(plan[:, 0] * turned[:, 1] - plan[:, 1] * turned[:, 0])) < 0.0:
        plan = plan[::-1].copy()
    n = len(plan)
    cap = mapbox_earcut.triangulate_float64(plan, np.array([n], dtype=np.uint32)).astype(np.int64).reshape(-1, 3)
    a, b, c = plan[cap[:, 0]], plan[cap[:, 1]], plan[cap[:, 2]]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    cap = np.where((area < 0.0)[:, None], cap[:, ::-1], cap)
    low = np.column_stack([plan, np.full(n, shape.bottom)])
    high = np.column_stack([plan, np.full(n, shape.top)])
    low2, high2 = np.roll(low, -1, axis=0), np.roll(high, -1, axis=0)
    return np.concatenate(
        [
            high[cap],
            low[cap[:, ::-1]],
            np.stack([low, low2, high2], axis=1),
            np.stack([low, high2, high], axis=1),
        ]
    )


def is_inside(corners: Floats, points: Floats) -> Bools:
    """Return which points lie inside a closed surface, by its winding number about them.

    The solid angles of the triangles as seen from the point add up to 4 pi inside and to nothing outside
    (A. van Oosterom, J. Strackee, "The solid angle of a plane triangle", IEEE Trans. Biomed. Eng. 30, 1983).

    Args:
        corners: (m, 3, 3).
        points: (n, 3), not on the surface.
    """
    turns = np.zeros(len(points))
    step = max(POINTS // max(len(corners), 1), 1)
    for start in range(0, len(points), step):
        rel = corners[None] - points[start : start + step, None, None]
        a, b, c = rel[..., 0, :], rel[..., 1, :], rel[..., 2, :]
        la, lb, lc = lengths(a), lengths(b), lengths(c)
        volume = dots(a, np.cross(b, c))
        below = la * lb * lc + dots(a, b) * lc + dots(b, c) * la + dots(c, a) * lb
        turns[start : start + step] = 2.0 * np.arctan2(volume, below).sum(axis=1)
    out: Bools = np.abs(turns) > 2.0 * np.pi
    return out


def distance_to_surface(triangles: Triangles, blocks: Ints, points: Floats) -> tuple[Floats, Floats]:
    """Return the distances from points to the surface made of some blocks, and the nearest points on it."""
    low, high = triangles.low[blocks], triangles.high[blocks]
    corner = triangles.corner[triangles.first[blocks], 0]
    distance, nearest = np.empty(len(points)), np.empty((len(points), 3))
    step = max(POINTS // max(len(blocks), 1), 1)
    for start in range(0, len(points), step):
        p = points[start : start + step]
        bound = lengths(p[:, None] - corner[None]).min(axis=1)
        who, near = np.nonzero(gaps(p[:, None], p[:, None], low[None], high[None]) <= bound[:, None] + 1e-9)
        triangle, row = triangles.members(blocks[near])
        who = who[row]
        value, away = triangles.field(triangle, p[who])
        order = np.lexsort((value, who))
        best = order[np.searchsorted(who[order], np.arange(len(p)))]
        distance[start : start + step] = value[best]
        nearest[start : start + step] = p - value[best][:, None] * away[best]
    return distance, nearest
