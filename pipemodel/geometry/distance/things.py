"""Runs against the things in the room, kind by kind."""

from collections.abc import Callable, Sequence
from functools import cache, lru_cache, partial

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, vec3
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.broad import Asked, measure
from pipemodel.geometry.distance.depth import measure_depths
from pipemodel.geometry.distance.meshes import Meshes, SignedSurface
from pipemodel.geometry.distance.paths import PathEnds, Paths, paths_of
from pipemodel.geometry.distance.pierce import reached_by
from pipemodel.geometry.distance.round_holes import RoundHoles
from pipemodel.geometry.distance.targets import Least, Nearest, Reached
from pipemodel.geometry.distance.within import deepened
from pipemodel.geometry.shapes.base import Shape, Signed, Targets
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.polyhedron import Polyhedron, polyhedron_of
from pipemodel.geometry.shapes.triangles import triangles_of
from pipemodel.geometry.vectors import Vec3

CLEAR_MM = 1e-6
"""What reaches into a tube by less than this does not count: the numbers are no finer."""
FEW = 32
"""Of so few things all blocks are held against all tubes at once."""
FIRST_LOOK = 32
"""So many things, those with the nearest blocks, are measured first where the nearest is looked for."""


def least_distances(centreline: Centreline, outside_mm: float, shapes: Sequence[Shape]) -> list[Nearest]:
    """Return the least distance from the outside of a tube to each shape, in the order of `shapes`.

    Args:
        centreline: the tube's axis.
        outside_mm: its outside diameter; the ends are flat, and the bore counts as filled.
        shapes: what to measure against.
    """
    (row,) = Surroundings(shapes).distances([centreline], [outside_mm])
    return row


@lru_cache(maxsize=1)
def surroundings_of(shapes: tuple[Shape, ...]) -> "Surroundings":
    """Return shapes laid out; the last ones are kept, since checks one after the other ask of the same room."""
    return Surroundings(shapes)


class Surroundings:
    """Shapes laid out once, to measure tubes against as often as need be."""

    def __init__(self, shapes: Sequence[Shape]) -> None:
        self.count = len(shapes)
        corners = [shape.corners() for shape in shapes]
        self.kinds = rows_by_kind(shapes, [i for i, own in enumerate(corners) if own is None])
        self.meshes, self.solids = _surfaces(shapes, corners)
        self.polyhedra: dict[int, Polyhedron | None] = {}
        self.holes = RoundHoles([(i, s) for i, s in enumerate(shapes) if isinstance(s, Plate) and s.rounds])
        self.low, self.high = self._blocks()

    def _blocks(self) -> tuple[Floats, Floats]:
        """Return the low and high corners of the blocks that hold the shapes, a row each."""
        low, high = np.full((self.count, 3), np.inf), np.full((self.count, 3), -np.inf)
        for targets in self.kinds:
            np.minimum.at(low, targets.owner, targets.rows[0])
            np.maximum.at(high, targets.owner, targets.rows[1])
        if self.meshes is not None:
            made = self.meshes.owners
            low[made], high[made] = self.meshes.bounds_of(made)
        return low, high

    def distances(self, lines: Sequence[Centreline], outside_mm: Sequence[float]) -> list[list[Nearest]]:
        """Return the least distance from each tube to each shape, a row per tube."""
        return [[row[i] for i in range(self.count)] for row in self.within(lines, outside_mm, np.inf)]

    def within(
        self, lines: Sequence[Centreline], outside_mm: Sequence[float], far_mm: float, only: int | None = None
    ) -> list[dict[int, Nearest]]:
        """Return for each tube the least distance to every shape that is no farther from it, by the shape's place.

        Of one shape alone where `only` gives its place.
        """
        if not lines:
            return []
        paths, ends = paths_of(lines, outside_mm)
        if only is None:
            run, owner = self._close_by(paths, len(lines), far_mm)
        else:
            run = np.arange(len(lines))
            owner = np.full(len(lines), only)
        least, asked = Least(len(run), far_mm), Asked(run, owner, np.arange(len(run)))
        self._measure(paths, ends, least, asked)
        if self.meshes is not None:
            measure_depths(paths, ends, self.meshes, self.solids, self._polyhedron, least, asked)
        table: list[dict[int, Nearest]] = [{} for _ in lines]
        found = zip(run.tolist(), owner.tolist(), (least.by >= 0).tolist(), least.answers(), strict=True)
        for tube, thing, known, nearest in found:
            if known or far_mm == np.inf:
                table[tube][thing] = nearest
        deep = {one for row in table for one, nearest in row.items() if nearest.distance < 0.0}
        rows: list[tuple[Targets, int, int]] = [
            (targets, int(k), int(targets.owner[k]))
            for targets in self.kinds
            for k in np.flatnonzero(np.isin(targets.owner, list(deep)))
        ]
        rows += [(solid, 0, one) for one, solid in self.polyhedra.items() if solid is not None]
        for targets, number, one in rows:
            for line, outside, row in zip(lines, outside_mm, table, strict=True):
                if one in row and row[one].distance < 0.0:
                    row[one] = deepened(line, outside, targets, number, row[one])
        return table

    def _polyhedron(self, owner: int) -> Polyhedron | None:
        """Return a closed surface of triangles as a convex solid with flat sides, None where it is none."""
        if owner not in self.polyhedra:
            assert self.meshes is not None
            triangles = self.meshes.triangles
            begin, end = np.searchsorted(triangles.owner, [owner, owner + 1]).tolist()
            self.polyhedra[owner] = polyhedron_of(triangles.corner[begin:end], self.solids[owner])
        return self.polyhedra[owner]

    def nearest(self, line: Centreline, outside_mm: float) -> tuple[int, Vec3]:
        """Return which shape's surface is nearest to a tube, and where on it."""
        paths, ends = paths_of([line], [outside_mm])
        low, high = paths.low.min(axis=0), paths.high.max(axis=0)
        gap = gaps(low, high, self.low, self.high) - outside_mm / 2.0
        order = np.argsort(gap, kind="stable")
        least = Least(self.count)
        begin, size = 0, FIRST_LOOK
        # From the nearest block on, until none can hold anything nearer.
        while begin < len(order) and (gap[order[begin]] <= 0.0 or gap[order[begin]] <= least.distance.min()):
            some = np.sort(order[begin : begin + size])
            self._measure(paths, ends, least, Asked(np.zeros(len(some), dtype=np.int64), some, some))
            begin, size = begin + size, 2 * size
        i = int(np.argmin(least.distance))
        return i, vec3(least.other[i])

    def clear(self, lines: Sequence[Centreline], outside_mm: Sequence[float]) -> list[bool]:
        """Tell of each tube whether no shape reaches into it."""
        if not lines:
            return []
        least = Reached(len(lines), -CLEAR_MM)
        paths, ends = paths_of(lines, outside_mm)
        run, owner = self._close_by(paths, len(lines), 0.0)
        asked = Asked(run, owner, run)
        for targets in self.kinds:
            measure(paths, ends, targets, least, asked)
        self._reaches(paths, ends, least, asked)
        self.holes.measure(paths, ends, least, asked)
        clear = least.by < 0
        # What touches no surface lies all inside or all outside, so one place tells.
        start = ends.centre[::2]
        for i in np.unique(owner).tolist():
            left = run[owner == i]
            left = left[clear[left]]
            if i in self.solids and len(left):
                clear[left] = self.solids[i]()(start[left])[0] >= 0.0
        return [bool(c) for c in clear]

    def _reaches(self, paths: Paths, ends: PathEnds, least: Least, asked: Asked) -> None:
        """Note which tubes the surfaces of triangles reach into."""
        if self.meshes is None:
            return
        asked = asked.take(np.flatnonzero(np.isin(asked.owner, self.meshes.owners) & (least.by[asked.key] < 0)))
        pieces = np.bincount(paths.owner, minlength=len(least.by))
        bent = np.bincount(paths.owner, paths.bent, len(least.by))
        alone = (pieces == 1) & (bent == 0.0)
        straight = asked.take(np.flatnonzero(alone[asked.run]))
        reached = reached_by(paths, self.meshes.triangles, self.meshes.tree, straight, CLEAR_MM, len(least.by))
        least.by[reached] = 0
        self.meshes.measure(paths, ends, least, asked.take(np.flatnonzero(~alone[asked.run])))

    def _close_by(self, paths: Paths, count: int, far_mm: float) -> tuple[Ints, Ints]:
        """Return the pairs of tube and shape with blocks no farther apart along any axis: rows of tubes, of shapes."""
        low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
        np.minimum.at(low, paths.owner, paths.low - paths.tube[:, None] - far_mm)
        np.maximum.at(high, paths.owner, paths.high + paths.tube[:, None] + far_mm)
        if self.count <= FEW:
            tube, shape = np.nonzero(np.all((self.low <= high[:, None]) & (self.high >= low[:, None]), axis=2))
            return tube, shape
        found: list[Ints] = []
        for bottom, top in zip(low, high, strict=True):
            # Along one axis first, which leaves few of thousands.
            some = np.flatnonzero((self.low[:, 0] <= top[0]) & (self.high[:, 0] >= bottom[0]))
            found.append(some[np.all((self.low[some] <= top) & (self.high[some] >= bottom), axis=1)])
        return np.repeat(np.arange(count), [len(own) for own in found]), np.concatenate(found)

    def _measure(self, paths: Paths, ends: PathEnds, least: Least, asked: Asked) -> None:
        """Measure against all surfaces, as sheets where they are made of triangles."""
        for targets in self.kinds:
            measure(paths, ends, targets, least, asked)
        if self.meshes is not None:
            self.meshes.measure(paths, ends, least, asked)
        self.holes.measure(paths, ends, least, asked)


def rows_by_kind(shapes: Sequence[Shape], which: Sequence[int]) -> list[Targets]:
    """Lay out those shapes that need no triangles as rows, kind by kind in the order of their names."""
    by_kind: dict[type[Shape], list[int]] = {}
    for i in which:
        by_kind.setdefault(type(shapes[i]), []).append(i)
    return [
        kind.targets([shapes[i] for i in numbers], np.array(numbers, dtype=np.int64))
        for kind, numbers in sorted(by_kind.items(), key=lambda item: item[0].kind)
    ]


def _surfaces(
    shapes: Sequence[Shape], corners: Sequence[Floats | None]
) -> tuple[Meshes | None, dict[int, Callable[[], Signed]]]:
    """Lay out the shapes made of triangles; also return what measures the depth in those that are closed."""
    made = [(i, own) for i, own in enumerate(corners) if own is not None]
    if not made:
        return None, {}
    owner = np.repeat([i for i, _ in made], [len(own) for _, own in made])
    corner = made[0][1] if len(made) == 1 else np.concatenate([own for _, own in made])
    meshes = Meshes(triangles_of(corner, owner))
    solids: dict[int, Callable[[], Signed]] = {
        i: cache(partial(shapes[i].signed, partial(SignedSurface, meshes, i))) for i, _ in made if shapes[i].closed
    }
    return meshes, solids
