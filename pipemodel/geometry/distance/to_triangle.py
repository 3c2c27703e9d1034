"""Distance to triangles: the surfaces of meshes and of outlines carried up.

A triangle is a sheet: it has no inside, and the direction away from it at the sheet itself is its normal.
What lies inside a closed surface is for `depth` to say.
"""

from dataclasses import dataclass

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, dots, lengths, steps
from pipemodel.geometry.distance.cuts import edge_crossings

BLOCK = 32
"""How many neighbouring triangles share one block in the first look."""


@dataclass(frozen=True)
class Triangles:
    """Triangles; see `Targets`. For the first look its rows are blocks of neighbouring triangles.

    `corner` is (m, 3, 3): triangle, corner, x y z. Block b of owner `owner[b]` holds the triangles from
    `first[b]` to `first[b + 1]` and lies between `low[b]` and `high[b]`.
    """

    corner: Floats
    normal: Floats
    first: Ints
    owner: Ints
    low: Floats
    high: Floats

    @property
    def concavity(self) -> Floats:
        """Triangles are convex."""
        return np.zeros(len(self.corner))

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return distances and the directions away from the triangles."""
        corner, normal = self.corner[index], self.normal[index]
        rel = points[:, None] - corner
        height = dots(rel[:, 0], normal)
        # Over the triangle when to the left of all three edges; else the nearest of the edges.
        nearest = np.full(len(index), np.inf)
        away = np.empty_like(points)
        over = np.ones(len(index), dtype=bool)
        for k in range(3):
            edge = corner[:, (k + 1) % 3] - corner[:, k]
            size = dots(edge, edge)
            share = dots(rel[:, k], edge) / np.where(size > 0.0, size, 1.0)
            offset = rel[:, k] - np.minimum(np.maximum(share, 0.0), 1.0)[:, None] * edge
            square = dots(offset, offset)
            closer = square < nearest
            nearest = np.where(closer, square, nearest)
            away[closer] = offset[closer]
            over &= dots(np.cross(edge, rel[:, k]), normal) > 0.0
        distance = np.where(over, np.abs(height), np.sqrt(nearest))
        touching = distance == 0.0
        away /= np.where(touching | over, 1.0, distance)[:, None]
        flat = over | touching
        away[flat] = np.where(height[flat] < 0.0, -1.0, 1.0)[:, None] * normal[flat]
        return distance, away

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the three corners."""
        out: Floats = self.corner[index]
        return out

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where the edges cross the plane."""
        corner = self.corner[index]
        return edge_crossings(corner, np.roll(corner, -1, axis=1), centre, normal)

    def members(self, block: Ints) -> tuple[Ints, Ints]:
        """Return the triangles of blocks, and for each of them which entry of `block` it comes from."""
        row, number = steps(self.first[block + 1] - self.first[block])
        return self.first[block][row] + number, row

    def bounds_of_owners(self) -> tuple[Floats, Floats]:
        """Return the low and high corners of the blocks that hold each owner's triangles, infinite for none."""
        count = int(self.owner[-1]) + 1
        low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
        np.minimum.at(low, self.owner, self.low)
        np.maximum.at(high, self.owner, self.high)
        return low, high

    def triangle_bounds(self, index: Ints) -> tuple[Floats, Floats]:
        """Return the low and high corners of the blocks that hold single triangles."""
        corner = self.corner[index]
        return corner.min(axis=1), corner.max(axis=1)


def triangles_of(corner: Floats, owner: Ints) -> Triangles:
    """Sort triangles into blocks of neighbours.

    Args:
        corner: (m, 3, 3) mm: triangle, corner, x y z.
        owner: which thing each belongs to, (m,).
    """
    middle = corner.mean(axis=1)
    order = np.lexsort((_along_a_curve(middle), owner))
    corner, owner = corner[order], owner[order]
    place = np.arange(len(owner)) - np.searchsorted(owner, owner)
    first = np.flatnonzero(place % BLOCK == 0)
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    size = lengths(normal)
    return Triangles(
        corner=corner,
        normal=normal / np.where(size > 0.0, size, 1.0)[:, None],
        first=np.append(first, len(owner)),
        owner=owner[first],
        low=np.minimum.reduceat(corner.min(axis=1), first, axis=0),
        high=np.maximum.reduceat(corner.max(axis=1), first, axis=0),
    )


def _along_a_curve(points: Floats) -> Ints:
    """Return places along a space-filling curve (Morton's), so that neighbours in the list are neighbours in space."""
    low, high = points.min(axis=0), points.max(axis=0)
    grid = ((points - low) / max(float((high - low).max()), 1e-300) * 1023.0).astype(np.int64)
    code = np.zeros(len(points), dtype=np.int64)
    for bit in range(10):
        for axis in range(3):
            code |= ((grid[:, axis] >> bit) & 1) << (3 * bit + axis)
    return code
