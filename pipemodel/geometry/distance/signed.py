"""The signed distance to closed solids from any point: outlines carried up, and closed meshes."""

from typing import Protocol

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, dots, lengths
from pipemodel.geometry.distance.surfaces import distance_to_surface, is_inside
from pipemodel.geometry.distance.to_triangle import Triangles
from pipemodel.geometry.shapes import Extrusion

KEPT_BALLS = 64
"""How many balls are kept from one call to the next."""


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
    """A closed mesh, with what is known of its inside and outside kept.

    A ball round a point that does not reach the surface lies all on one side, so most points need no test.
    """

    def __init__(self, triangles: Triangles, owner: int) -> None:
        self.triangles = triangles
        self.blocks = np.flatnonzero(triangles.owner == owner)
        rows = slice(triangles.first[self.blocks[0]], triangles.first[self.blocks[-1] + 1])
        self.corner = triangles.corner[rows]
        self.low = triangles.low[self.blocks].min(axis=0)
        self.high = triangles.high[self.blocks].max(axis=0)
        self.centres = np.empty((0, 3))
        self.radii = np.empty(0)
        self.signs = np.empty(0)

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the nearest points of the surface."""
        distance, nearest = distance_to_surface(self.triangles, self.blocks, points)
        return self._signs(points, distance) * distance, nearest

    def _signs(self, points: Floats, distance: Floats) -> Floats:
        sign = np.ones(len(points))
        open_ = np.flatnonzero(((points >= self.low) & (points <= self.high)).all(axis=1) & (distance > 0.0))
        # Those farthest from the surface first: their balls settle most of the others.
        open_ = open_[np.argsort(-distance[open_], kind="stable")]
        for k in range(len(self.radii)):
            if not len(open_):
                break
            open_ = self._settle(k, points, sign, open_)
        while len(open_):
            first = open_[0]
            kept = min(len(self.radii), KEPT_BALLS - 1)
            self.centres = np.vstack([self.centres[:kept], points[first]])
            self.radii = np.append(self.radii[:kept], distance[first])
            inside = is_inside(self.corner, points[first][None])[0]
            self.signs = np.append(self.signs[:kept], -1.0 if inside else 1.0)
            sign[first] = self.signs[-1]
            open_ = self._settle(kept, points, sign, open_[1:])
        return sign

    def _settle(self, ball: int, points: Floats, sign: Floats, open_: Ints) -> Ints:
        """Give those points that lie in a ball its sign, and return the others."""
        within = lengths(points[open_] - self.centres[ball]) < self.radii[ball]
        sign[open_[within]] = self.signs[ball]
        out: Ints = open_[~within]
        return out
