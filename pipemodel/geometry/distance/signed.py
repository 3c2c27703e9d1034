"""The signed distance to closed solids from any point: outlines carried up, and closed meshes."""

from typing import Protocol

import numpy as np

from pipemodel.geometry.arrays import Floats, dots
from pipemodel.geometry.distance.meshes import Meshes
from pipemodel.geometry.shapes import Extrusion

CELLS = 200_000
"""How many pairs of point and edge are worked out in one go; bounds the memory taken."""


class Signed(Protocol):
    """A closed solid that any points can be measured against; it lies in the block from `low` to `high`."""

    low: Floats
    high: Floats

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances of points, (n, 3), below zero inside, and the nearest points of the surface."""


class SignedOutline:
    """An outline carried up: the distance to the outline in plan, and to bottom and top."""

    def __init__(self, shape: Extrusion) -> None:
        self.plan = np.array(shape.outline, dtype=np.float64)
        self.edge = np.roll(self.plan, -1, axis=0) - self.plan
        self.bottom, self.top = shape.bottom, shape.top
        self.low = np.append(self.plan.min(axis=0), shape.bottom)
        self.high = np.append(self.plan.max(axis=0), shape.top)

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and nearest points."""
        step = max(CELLS // len(self.plan), 1)
        parts = [self._some(points[begin : begin + step]) for begin in range(0, len(points), step)]
        value, nearest = (np.concatenate(part) for part in zip(*parts, strict=True))
        return value, nearest

    def _some(self, points: Floats) -> tuple[Floats, Floats]:
        rel = points[:, None, :2] - self.plan
        size = dots(self.edge, self.edge)
        share = np.clip(dots(rel, self.edge) / np.where(size > 0.0, size, 1.0), 0.0, 1.0)
        offset = rel - share[..., None] * self.edge
        square = dots(offset, offset)
        nearest = np.argmin(square, axis=1)
        row = np.arange(len(points))
        on_wall = points[:, :2] - offset[row, nearest]
        # A line to the east crosses the outline an odd number of times from inside.
        y, ends = points[:, 1, None], np.roll(self.plan[:, 1], -1)
        spans = (self.plan[:, 1] > y) != (ends > y)
        slope = np.divide(rel[..., 1], self.edge[:, 1], out=np.zeros_like(square), where=spans)
        inside = (spans & (rel[..., 0] < slope * self.edge[:, 0])).sum(axis=1) % 2 == 1

        wall = np.where(inside, -1.0, 1.0) * np.sqrt(square[row, nearest])
        z = points[:, 2]
        cap = np.where(z - self.bottom < self.top - z, self.bottom, self.top)
        over = np.maximum(self.bottom - z, z - self.top)
        value = np.where(
            (wall > 0.0) | (over > 0.0), np.hypot(np.maximum(wall, 0.0), np.maximum(over, 0.0)), np.maximum(wall, over)
        )
        surface = points.copy()
        to_wall = (wall > 0.0) | ((over <= 0.0) & (wall >= over))
        to_cap = (over > 0.0) | ((wall <= 0.0) & (over > wall))
        surface[to_wall, :2] = on_wall[to_wall]
        surface[to_cap, 2] = cap[to_cap]
        return value, surface


class SignedSurface:
    """A closed mesh."""

    def __init__(self, meshes: Meshes, owner: int) -> None:
        self.meshes, self.owner = meshes, owner
        low, high = meshes.bounds_of(np.array([owner]))
        self.low, self.high = low[0], high[0]

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the nearest points of the surface."""
        distance, nearest = self.meshes.nearest(self.owner, points)
        off = np.flatnonzero(distance > 0.0)
        within = np.zeros(len(points), dtype=bool)
        within[off] = self.meshes.is_inside(self.owner, points[off])
        return np.where(within, -distance, distance), nearest
