"""Convex solids with flat sides, made of triangles: measured as a box is, so that it does not count how one is written.

Inside, the nearest place is on the side whose plane is nearest; outside, the triangles say.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

from pipemodel.geometry.arrays import Floats, Ints, lengths, np
from pipemodel.geometry.cuts import edge_crossings
from pipemodel.geometry.shapes.base import Signed, Targets
from pipemodel.geometry.shapes.triangles import closes, edge_ways

MOST_TRIANGLES = 400
"""Solids of more are not looked at: they are round rather than flat-sided."""
FLAT = 1e-9
"""How far a corner may stand off a plane, in parts of the solid's size, and normals of one plane from each other."""


@dataclass(frozen=True)
class Polyhedron(Targets):
    """One convex solid, as the only row; see `Targets`. `normal` (k, 3) and `offset` (k,) are its sides' planes.

    `tips` (m, 3) are its corners and `edges` (e, 2, 3) where two sides meet; `signed` measures points outside it.
    """

    normal: Floats
    offset: Floats
    tips: Floats
    edges: Floats
    signed: Callable[[], Signed]
    owner: Ints

    @cached_property
    def rows(self) -> tuple[Floats, Floats]:
        """The low and the high corner of the block that holds it."""
        return self.tips.min(axis=0)[None], self.tips.max(axis=0)[None]

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the directions away from it."""
        height = points @ self.normal.T - self.offset
        side = np.argmax(height, axis=1)
        distance, away = height[np.arange(len(points)), side], self.normal[side]
        out = np.flatnonzero(distance > FLAT)
        if len(out):
            value, nearest = self.signed()(points[out])
            rest = points[out] - nearest
            size = lengths(rest)
            sure = np.flatnonzero((value > 0.0) & (size > FLAT))
            distance[out[sure]] = value[sure]
            away[out[sure]] = rest[sure] / size[sure, None]
        return distance, away

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return its corners."""
        return np.broadcast_to(self.tips, (len(index), *self.tips.shape))

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return where its edges cross the plane."""
        a, b = (np.broadcast_to(self.edges[:, k], (len(index), len(self.edges), 3)) for k in (0, 1))
        return edge_crossings(a, b, centre, normal)


def polyhedron_of(corner: Floats, signed: Callable[[], Signed]) -> Polyhedron | None:
    """Return triangles (m, 3, 3), outward, as a convex solid; None where they are too many, open, or hollow anywhere.

    Args:
        corner: triangle, corner, x y z.
        signed: makes what measures points against the same solid.
    """
    if not 4 <= len(corner) <= MOST_TRIANGLES:
        return None
    vertices, number = np.unique(corner.reshape(-1, 3), axis=0, return_inverse=True)
    faces = number.reshape(-1, 3)
    normal = np.cross(corner[:, 1] - corner[:, 0], corner[:, 2] - corner[:, 0])
    size = lengths(normal)
    if not closes(faces) or not (size > 0.0).all():
        return None
    normal = normal / size[:, None]
    reach = float(np.ptp(vertices, axis=0).max())
    offset = (vertices @ normal.T).max(axis=0)
    # Every corner on or behind every plane: then the solid is what all planes leave.
    if float((offset - (corner[:, 0] * normal).sum(axis=1)).max()) > FLAT * reach:
        return None
    plane = _planes(normal, offset, FLAT * reach)
    first = np.unique(plane, return_index=True)[1]
    # In the order in which a box goes through its sides: of equally near ones the first counts.
    order = first[
        np.lexsort((-normal[first, 2], -normal[first, 1], -normal[first, 0], *-np.abs(normal[first].T[::-1])))
    ]
    pairs = _edges(faces, plane)
    tips = np.unique(pairs)
    edges = vertices[pairs]
    return Polyhedron(normal[order], offset[order], vertices[tips], edges, signed, np.zeros(1, dtype=np.int64))


def _planes(normal: Floats, offset: Floats, near: float) -> Ints:
    """Return for each side the first one in the same plane."""
    same = (np.abs(normal[:, None] - normal[None]).max(axis=2) <= FLAT) & (np.abs(offset[:, None] - offset) <= near)
    out: Ints = np.argmax(same, axis=1)
    return out


def _edges(faces: Ints, plane: Ints) -> Ints:
    """Return the ends of the edges where two planes meet, (e, 2)."""
    ways, of = edge_ways(faces), np.tile(plane, 3)
    there = {(int(a), int(b)): int(p) for (a, b), p in zip(ways, of, strict=True)}
    return np.array([[a, b] for (a, b), p in there.items() if a < b and there[b, a] != p], dtype=np.int64)
