"""Surfaces of triangles: tubes and points measured against them, and what lies inside those that close."""

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, lengths
from pipemodel.geometry.bounds import inside
from pipemodel.geometry.distance.broad import Asked, portions
from pipemodel.geometry.distance.ends import measure_ends
from pipemodel.geometry.distance.paths import PathEnds, Paths, spots_of
from pipemodel.geometry.distance.points import nearest_points
from pipemodel.geometry.distance.sweep import Sweep
from pipemodel.geometry.distance.targets import Least, Pairs
from pipemodel.geometry.distance.tree import AT_ONCE, BATCH, TreeSearch, tree_of
from pipemodel.geometry.shapes.triangles import Triangles, solid_angles

FAR = 3.0
"""A block seen from this many times its own reach counts as one small triangle. The winding number is then wrong by
a few hundredths at most, and inside it differs from outside by 1."""
SURELY = 0.999
"""So much of the distance from a surface counts where that no surface lies between is concluded from it."""
KEPT = 512
"""So many points are kept of which it is known whether they lie inside."""
POINTS = 8192
"""How many points are measured in one go; bounds the memory taken."""


class Meshes:
    """Triangles of several owners with the blocks over them, built once and asked as often as need be."""

    def __init__(self, triangles: Triangles) -> None:
        self.triangles = triangles
        self.tree = tree_of(triangles)
        self.owners: Ints = np.flatnonzero(self.tree.root >= 0)

    def bounds_of(self, owner: Ints) -> tuple[Floats, Floats]:
        """Return the low and high corners of the blocks that hold the triangles of owners."""
        root = self.tree.root[owner]
        return self.tree.low[root], self.tree.high[root]

    def measure(self, paths: Paths, ends: PathEnds, least: Least, asked: Asked) -> None:
        """Measure the sides and the flat ends of runs against the triangles of owners, as sheets without an inside."""

        def slide(path: Ints, lo: Floats, hi: Floats, triangle: Ints, key: Ints) -> None:
            stretches = paths.part(path, lo, hi)
            Sweep(stretches, self.triangles, least).run(Pairs(np.arange(len(path)), triangle, key))

        def end_on(path: Ints, lo: Floats, hi: Floats, triangle: Ints, key: Ints) -> None:
            measure_ends(ends, self.triangles, least, Pairs(path, triangle, key))

        known = (asked.owner < len(self.tree.root)) & (asked.key >= 0)
        some = asked.take(np.flatnonzero(known))
        some = some.take(np.flatnonzero(self.tree.root[some.owner] >= 0))
        sides = TreeSearch(paths, self.triangles, self.tree, least.distance, slide)
        for row, path in portions(paths.owner, some.run):
            sides.run(path, self.tree.root[some.owner[row]], some.key[row])
        tips = TreeSearch(spots_of(ends.centre, ends.tube), self.triangles, self.tree, least.distance, end_on)
        for row, end in portions(ends.owner, some.run):
            tips.run(end, self.tree.root[some.owner[row]], some.key[row])

    def nearest(self, owner: int, points: Floats) -> tuple[Floats, Floats]:
        """Return the distances from points to the surface of an owner, and the nearest points on it."""
        distance, nearest = np.empty(len(points)), np.empty_like(points)
        for begin in range(0, len(points), POINTS):
            some = slice(begin, begin + POINTS)
            distance[some], nearest[some] = nearest_points(self.triangles, self.tree, owner, points[some])
        return distance, nearest

    def is_inside(self, owner: int, points: Floats) -> Bools:
        """Return which points lie inside the closed surface of an owner, by its winding number about them.

        The solid angles of the triangles as seen from a point add up to 4 pi inside and to nothing outside; far blocks
        count as one triangle each, after the tree method of J. Barnes and P. Hut, Nature 324, 1986.

        Args:
            owner: whose surface.
            points: (n, 3), not on the surface.
        """
        out = np.zeros(len(points), dtype=bool)
        low, high = self.bounds_of(np.array([owner]))
        for begin in range(0, len(points), POINTS):
            rows = np.arange(begin, min(begin + POINTS, len(points)))
            rows = rows[inside(points[rows], low, high)]
            out[rows] = np.abs(self._solid_angles(owner, points[rows])) > 2.0 * np.pi
        return out

    def _solid_angles(self, owner: int, points: Floats) -> Floats:
        total = np.zeros(len(points))
        tree = self.tree
        stack = [tree.outset(owner, len(points), AT_ONCE)]
        while stack:
            point, block = stack.pop()
            if len(point) > BATCH:
                stack.append((point[BATCH:], block[BATCH:]))
                point, block = point[:BATCH], block[:BATCH]
            rel = tree.middle[block] - points[point]
            size = lengths(rel)
            far = size > FAR * tree.reach[block]
            whole = np.flatnonzero(far)
            np.add.at(total, point[whole], dots(tree.area[block[whole]], rel[whole]) / size[whole] ** 3)
            leaf = np.flatnonzero(~far & tree.leaf[block])
            triangle, row = tree.children(block[leaf])
            np.add.at(total, point[leaf][row], solid_angles(self.triangles.corner[triangle], points[point[leaf][row]]))
            rest = np.flatnonzero(~far & ~tree.leaf[block])
            if len(rest):
                child, row = tree.children(block[rest])
                stack.append((point[rest][row], child))
        return total


class SignedSurface:
    """A closed mesh."""

    def __init__(self, meshes: Meshes, owner: int) -> None:
        self.meshes, self.owner = meshes, owner
        low, high = meshes.bounds_of(np.array([owner]))
        self.low, self.high = low[0], high[0]
        self.seen = np.empty((0, 3)), np.empty(0), np.empty(0, dtype=bool)

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and the nearest points of the surface."""
        distance, nearest = self.meshes.nearest(self.owner, points)
        within = np.zeros(len(points), dtype=bool)
        off = np.flatnonzero(distance > 0.0)
        if len(off):
            within[off] = self._within(points[off], SURELY * distance[off])
        return np.where(within, -distance, distance), nearest

    def _within(self, points: Floats, free: Floats) -> Bools:
        """Return which points lie inside, given how far off any surface is at the least.

        No surface passes between points whose free balls meet: one of a chain of such points tells for all of it, and
        so does one asked for before.
        """
        first = np.append(True, lengths(np.diff(points, axis=0)) >= free[:-1] + free[1:])
        some, reach, (seen, its_free, inner) = points[first], free[first], self.seen
        known = np.full(len(some), -1)
        for begin in range(0, len(some) if len(seen) else 0, KEPT):
            part = slice(begin, begin + KEPT)
            meet = lengths(some[part, None] - seen) < reach[part, None] + its_free
            known[part] = np.where(meet.any(axis=1), inner[np.argmax(meet, axis=1)], -1)
        asked = np.flatnonzero(known < 0)
        if len(asked):
            known[asked] = self.meshes.is_inside(self.owner, some[asked])
        inside_now = known[asked] > 0
        parts = ((some[asked], seen), (reach[asked], its_free), (inside_now, inner))
        points, free, inner = (np.concatenate(pair)[:KEPT] for pair in parts)
        self.seen = points, free, inner
        out: Bools = (known > 0)[np.cumsum(first) - 1]
        return out
