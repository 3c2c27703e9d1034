"""A solid with pockets in it, given in layers as well: one thing to measure against, as a wall with chases is.

Outside, the nearest layer is the nearest of it; but where two layers meet there is no surface. Inside, the nearest
surface is that of the solid without its pockets, or that of a pocket.
"""

from collections.abc import Callable, Sequence

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.depth import measure_depth
from pipemodel.geometry.distance.obstacle import MeasuredObstacle
from pipemodel.geometry.distance.targets import Nearest
from pipemodel.geometry.distance.things import Surroundings
from pipemodel.geometry.shapes.base import Shape


def pocketed(whole: Shape, pockets: Sequence[Shape], layers: Sequence[Shape]) -> MeasuredObstacle:
    """Return a solid with pockets to measure against.

    Args:
        whole: the solid without its pockets.
        pockets: what is taken out of it.
        layers: the same solid, pockets and all, in pieces that only touch each other.
    """
    signed, around = _Pocketed(whole, pockets, layers), Surroundings(layers)

    def measure(line: Centreline, outside_mm: float) -> Nearest:
        nearest = min(around.distances([line], [outside_mm])[0], key=lambda one: one.distance)
        if nearest.distance > 0.0:
            return nearest
        return measure_depth(line, outside_mm, signed) or nearest

    return MeasuredObstacle(lambda points: signed(points)[0], measure)


class _Pocketed:
    """Signed distances to a solid with pockets."""

    def __init__(self, whole: Shape, pockets: Sequence[Shape], layers: Sequence[Shape]) -> None:
        self.whole = _signed(whole)
        self.pockets = [_signed(pocket) for pocket in pockets]
        self.layers = [_signed(layer) for layer in layers]
        self.low, self.high = (np.array(corner) for corner in whole.bounds())

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances of points, (n, 3), below zero inside, and the nearest points of the surface."""
        value, nearest = self.whole(points)
        inside = value < 0.0
        for pocket in self.pockets:
            out, on = pocket(points)
            inside &= out > 0.0
            nearer = -out > value
            value, nearest = np.where(nearer, -out, value), np.where(nearer[:, None], on, nearest)
        beside, on_layer = np.full(len(points), np.inf), points.copy()
        for layer in self.layers:
            out, on = layer(points)
            # Within a layer by rounding only: a point that is outside the whole of it is so of each.
            out = np.maximum(out, 0.0)
            nearer = out < beside
            beside, on_layer = np.where(nearer, out, beside), np.where(nearer[:, None], on, on_layer)
        return np.where(inside, value, beside), np.where(inside[:, None], nearest, on_layer)


def _signed(shape: Shape) -> Callable[[Floats], tuple[Floats, Floats]]:
    """Return what gives the signed distances of points to a closed shape, and the nearest points of its surface."""
    around = Surroundings([shape])
    if around.solids:
        return around.solids[0]()
    (targets,) = around.kinds

    def signed(points: Floats) -> tuple[Floats, Floats]:
        value, away = targets.field(np.zeros(len(points), dtype=np.int64), points)
        return value, points - value[:, None] * away

    return signed
