"""Distance to boxes: clamp the point to the box; inside, the nearest face."""

from dataclasses import dataclass

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, lengths
from pipemodel.geometry.distance.cuts import edge_crossings

_CORNERS = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=bool)
_EDGES = np.array([[a, b] for a in range(8) for b in range(8) if bin(a ^ b).count("1") == 1 and a < b])


@dataclass(frozen=True)
class Boxes:
    """Boxes with faces along the axes, a row each; see `Targets`."""

    low: Floats
    high: Floats
    owner: Ints

    @property
    def concavity(self) -> Floats:
        """Boxes are convex."""
        return np.zeros(len(self.owner))

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from the box."""
        low, high = self.low[index], self.high[index]
        away = points - np.minimum(np.maximum(points, low), high)
        distance = lengths(away)
        within = np.flatnonzero(distance == 0.0)
        distance[within] = 1.0
        away /= distance[:, None]
        if len(within):
            p, lo, hi = points[within], low[within], high[within]
            depth = np.minimum(p - lo, hi - p)
            axis = np.argmin(depth, axis=1)
            row = np.arange(len(within))
            distance[within] = -depth[row, axis]
            away[within, axis] = np.where(p[row, axis] - lo[row, axis] < hi[row, axis] - p[row, axis], -1.0, 1.0)
        return distance, away

    def _corners(self, index: Ints) -> Floats:
        return np.where(_CORNERS, self.high[index][:, None], self.low[index][:, None])

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the eight corners."""
        return self._corners(index)

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where the twelve edges cross the plane."""
        corners = self._corners(index)
        return edge_crossings(corners[:, _EDGES[:, 0]], corners[:, _EDGES[:, 1]], centre, normal)
