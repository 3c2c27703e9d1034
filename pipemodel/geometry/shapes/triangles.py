"""Triangles as what is measured against: the surfaces of meshes and of outlines carried up.

A triangle is a sheet: it has no inside, and the direction away from it at the sheet itself is its normal.
What lies inside a closed surface is for `depth` to say.
"""

from dataclasses import dataclass
from functools import cached_property

from pipemodel.geometry.arrays import Floats, Ints, crosses, dots, lengths, np
from pipemodel.geometry.bounds import blocks_of
from pipemodel.geometry.cuts import edge_crossings
from pipemodel.geometry.shapes.base import Targets

CURVE_BITS = 30
"""Places along the space-filling curve have so many bits."""


@dataclass(frozen=True)
class Triangles(Targets):
    """Triangles, owner by owner; see `Targets`. Within an owner, neighbours in the list are neighbours in space.

    `corner` is (m, 3, 3): triangle, corner, x y z; `twice` (m, 3) the vector of twice the area.
    """

    corner: Floats
    twice: Floats
    owner: Ints

    @cached_property
    def normal(self) -> Floats:
        """The unit normals, (m, 3)."""
        size = lengths(self.twice)
        out: Floats = self.twice / np.where(size > 0.0, size, 1.0)[:, None]
        return out

    @cached_property
    def edge(self) -> Floats:
        """The edges from each corner to the next, (m, 3, 3)."""
        return np.roll(self.corner, -1, axis=1) - self.corner

    @cached_property
    def size(self) -> Floats:
        """The squares of the edges' lengths, (m, 3); 1 for one of no length."""
        square = dots(self.edge, self.edge)
        return np.where(square > 0.0, square, 1.0)

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corners of the blocks that hold the triangles."""
        a, b, c = (self.corner[:, k] for k in range(3))
        return np.minimum(np.minimum(a, b), c), np.maximum(np.maximum(a, b), c)

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return distances and the directions away from the triangles."""
        corner, normal, edge = self.corner[index], self.normal[index], self.edge[index]
        rel = points[:, None] - corner
        height = dots(rel[:, 0], normal)
        # Over the triangle when to the left of all three edges; else the nearest of the edges.
        share = np.minimum(np.maximum(dots(rel, edge) / self.size[index], 0.0), 1.0)
        offset = rel - share[..., None] * edge
        square = dots(offset, offset)
        row, closest = np.arange(len(index)), np.argmin(square, axis=1)
        nearest, away = square[row, closest], offset[row, closest]
        over = (dots(crosses(edge, rel), normal[:, None]) > 0.0).all(axis=1)
        distance = np.where(over, np.abs(height), np.sqrt(nearest))
        touching = distance == 0.0
        away /= np.where(touching | over, 1.0, distance)[:, None]
        flat = over | touching
        away[flat] = np.where(height[flat] < 0.0, -1.0, 1.0)[:, None] * normal[flat]
        return distance, away

    def sheets(self, index: Ints) -> Floats:
        """Return the normals."""
        out: Floats = self.normal[index]
        return out

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return the three corners."""
        out: Floats = self.corner[index]
        return out

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where the edges cross the plane, and which point between two crossings is nearest to the centre.

        A sheet has no inside: where only its middle cuts off a piece of a disc, no other point tells.
        """
        corner = self.corner[index]
        crossings = edge_crossings(corner, np.roll(corner, -1, axis=1), centre, normal)
        way = np.roll(crossings, -1, axis=1) - crossings
        size = dots(way, way)
        share = dots(centre[:, None] - crossings, way) / np.where(size > 0.0, size, 1.0)
        between = crossings + np.minimum(np.maximum(share, 0.0), 1.0)[..., None] * way
        return np.concatenate([crossings, between], axis=1)


def triangles_of(corner: Floats, owner: Ints) -> Triangles:
    """Lay out triangles so that neighbours in the list are neighbours in space.

    Args:
        corner: (m, 3, 3) mm: triangle, corner, x y z.
        owner: which thing each belongs to, sorted, (m,).
    """
    order = np.argsort(along_a_curve(middles(corner), owner) | owner << CURVE_BITS, kind="stable")
    corner = np.take(corner, order, axis=0)
    return Triangles(corner, crosses(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0]), owner)


def solid_angles(corner: Floats, point: Floats) -> Floats:
    """Return the solid angles of triangles as seen from points, one each.

    After A. van Oosterom, J. Strackee, "The solid angle of a plane triangle", IEEE Trans. Biomed. Eng. 30, 1983.
    """
    a, b, c = (corner[:, k] - point for k in range(3))
    la, lb, lc = lengths(a), lengths(b), lengths(c)
    volume = dots(a, crosses(b, c))
    below = la * lb * lc + dots(a, b) * lc + dots(b, c) * la + dots(c, a) * lb
    out: Floats = 2.0 * np.arctan2(volume, below)
    return out


def edge_ways(faces: Ints) -> Ints:
    """Return both ends of every side of faces (m, 3), as they run round each, (3 m, 2)."""
    return np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]])


def closes(faces: Ints) -> bool:
    """Return whether every edge is shared by just two faces that run along it in opposite directions."""
    if not len(faces):
        return False
    (a, b), count = edge_ways(faces).T, int(faces.max()) + 1
    there, back = a * count + b, b * count + a
    return len(np.unique(there)) == len(there) and bool(np.isin(back, there).all())


def middles(corner: Floats) -> Floats:
    """Return the middles of triangles, (m, 3)."""
    return (corner[:, 0] + corner[:, 1] + corner[:, 2]) / 3.0


def along_a_curve(points: Floats, owner: Ints) -> Ints:
    """Return places along a space-filling curve (Morton's) through the points of each owner, sorted by owner."""
    _, count, low, high = blocks_of(owner, points, points)
    some = np.flatnonzero(count)  # those without a point have no block
    place, low = np.repeat(np.arange(len(some)), count[some]), low[some]
    size = np.maximum((high[some] - low).max(axis=1), 1e-300)[place]
    code = np.zeros(len(points), dtype=np.int32)
    for axis in range(3):
        grid = ((points[:, axis] - low[:, axis][place]) / size * 1023.0).astype(np.int32)
        # Two free bits after each.
        for shift, mask in ((16, 0x30000FF), (8, 0x300F00F), (4, 0x30C30C3), (2, 0x9249249)):
            grid = (grid | grid << shift) & mask
        code |= grid << axis
    return code.astype(np.int64)
