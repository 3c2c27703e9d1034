"""The least width of points over all directions: between parallel planes that hold them all, the closest there are.

The width in a direction changes no faster than the direction turns, times how far the points are apart. So directions
are divided into cells, on three faces of a cube, and those that cannot hold the least are left out.
"""

from math import sqrt

import numpy as np

from pipemodel.geometry.arrays import Floats

CLOSE_MM = 0.05
MOST = 200_000


def least_width(points: Floats, close_mm: float = CLOSE_MM) -> tuple[float, float]:
    """Return a lower and an upper bound on the least width of points, (n, 3), no farther apart than `close_mm`.

    With too many cells open the bounds are what was reached by then; they hold all the same.
    """
    points = points - points.mean(axis=0)
    apart = 2.0 * float(np.linalg.norm(points, axis=1).max())
    spots = np.zeros((3, 2))
    face = np.arange(3)
    half, best, looked = 1.0, np.inf, 0
    while True:
        looked += len(face)
        looks = np.ones((len(face), 3))
        rows = np.arange(len(face))
        looks[rows, (face + 1) % 3] = spots[:, 0]
        looks[rows, (face + 2) % 3] = spots[:, 1]
        looks /= np.linalg.norm(looks, axis=1)[:, None]
        heights = looks @ points.T
        width = heights.max(axis=1) - heights.min(axis=1)
        best = min(best, float(width.min()))
        # On the face a direction is nearer to the middle of its cell than half the diagonal.
        floor = width - apart * sqrt(2.0) * half
        open_ = floor < best - close_mm
        if not open_.any() or looked + 4 * int(open_.sum()) > MOST:
            return max(min(best - close_mm, best) if not open_.any() else float(floor.min()), 0.0), best
        half /= 2.0
        spots = np.concatenate([spots[open_] + (i * half, j * half) for i in (-1, 1) for j in (-1, 1)])
        face = np.tile(face[open_], 4)
