"""Boxes with their faces along the axes."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import ClassVar

from pipemodel.geometry.arrays import Bools, Floats, Ints, lengths, np
from pipemodel.geometry.cuts import edge_crossings
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes.base import Colour, Shape, Targets, rows, to_block
from pipemodel.geometry.shapes.extrusion import Extrusion
from pipemodel.geometry.shapes.face import Face, rectangle
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.solids_of_triangles import block
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, along, scale, sub


@dataclass(frozen=True)
class Box(Shape):
    """A block with its faces along the axes; `low` and `high` are opposite corners, low < high on each axis."""

    kind: ClassVar[str] = "box"
    colour: ClassVar[Colour] = (0.80, 0.74, 0.62)
    convex: ClassVar[bool] = True

    low: Vec3
    high: Vec3

    def placed(self, placing: Placing) -> Shape:
        """Return it turned and moved: a box again after a quarter turn, else a plan outline carried up."""
        corners = [placing.point(p) for p in (self.low, self.high)]
        if placing.square:
            (a, b, c), (x, y, z) = corners
            return Box((min(a, x), min(b, y), min(c, z)), (max(a, x), max(b, y), max(c, z)))
        (west, south, low), (east, north, _) = self.low, self.high
        plan = [placing.point((x, y, low))[:2] for x, y in ((west, south), (east, south), (east, north), (west, north))]
        return Extrusion(tuple(plan), corners[0][2], corners[1][2])

    def bounds(self) -> tuple[Vec3, ...]:
        """Return its own corners."""
        return (self.low, self.high)

    def reach(self, direction: Vec3) -> tuple[float, float]:
        """Return the least and the greatest of point . direction over it."""
        low = sum(min(a * d, b * d) for a, b, d in zip(self.low, self.high, direction, strict=True))
        return low, sum(max(a * d, b * d) for a, b, d in zip(self.low, self.high, direction, strict=True))

    def distance(self, p: Vec3) -> float:
        """Return the distance from a point, below zero inside."""
        return to_block([max(lo - c, c - hi) for lo, c, hi in zip(self.low, p, self.high, strict=True)])

    def flat_faces(self) -> Iterator[Face]:
        """Yield its six sides, east and west first."""
        size = sub(self.high, self.low)
        middle = along(self.low, size, 0.5)
        for k, axis in enumerate((EAST, NORTH, UP)):
            for end, normal in ((self.high, axis), (self.low, scale(axis, -1.0))):
                point, one, opposite = (_level(c, end, k) for c in (middle, self.low, self.high))
                yield rectangle(point, normal, one, opposite)

    def mesh(self, chord_mm: float, extent: Extent) -> Mesh:
        """Return its twelve triangles."""
        return block_between(self.low, self.high)

    @classmethod
    def targets(cls, shapes: Sequence["Box"], owner: Ints) -> Targets:
        """Lay out boxes as rows."""
        return Boxes(rows([s.low for s in shapes]), rows([s.high for s in shapes]), owner)


def _level(p: Vec3, end: Vec3, k: int) -> Vec3:
    """Return a point with one coordinate of another."""
    x, y, z = (end[i] if i == k else p[i] for i in range(3))
    return (x, y, z)


def block_between(low: Vec3, high: Vec3) -> Mesh:
    """Return the block along the axes between opposite corners as triangles."""
    x, y, z = sub(high, low)
    return block(low, scale(EAST, x), scale(NORTH, y), scale(UP, z))


@cache
def _corners() -> Bools:
    out: Bools = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=bool)
    return out


@cache
def _edges() -> Ints:
    return np.array([[a, b] for a in range(8) for b in range(8) if bin(a ^ b).count("1") == 1 and a < b])


@dataclass(frozen=True)
class Boxes(Targets):
    """Boxes, a row each: clamp the point to the box; inside, the nearest face. See `Targets`."""

    low: Floats
    high: Floats
    owner: Ints

    @property
    def rows(self) -> tuple[Floats, Floats]:
        """Their own corners."""
        return self.low, self.high

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

    def values(self, points: Floats) -> Floats:
        """Return the distance of every point to every box."""
        p = points[:, None, :]
        q = np.maximum(self.low - p, p - self.high)
        inside = np.minimum(q.max(axis=2), 0.0)
        out: Floats = lengths(np.maximum(q, 0.0, out=q)) + inside
        return out

    def _corners(self, index: Ints) -> Floats:
        return np.where(_corners(), self.high[index][:, None], self.low[index][:, None])

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the eight corners."""
        return self._corners(index)

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where the twelve edges cross the plane."""
        corners, edges = self._corners(index), _edges()
        return edge_crossings(corners[:, edges[:, 0]], corners[:, edges[:, 1]], centre, normal)
