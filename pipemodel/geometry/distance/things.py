"""Runs against the things in the room, kind by kind."""

from collections.abc import Callable, Sequence
from functools import partial

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.bounds import inside
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.broad import Asked, measure
from pipemodel.geometry.distance.depth import measure_depths
from pipemodel.geometry.distance.meshes import Meshes, SignedSurface
from pipemodel.geometry.distance.nearest import Nearest
from pipemodel.geometry.distance.paths import PathEnds, Paths, paths_of
from pipemodel.geometry.distance.targets import Least
from pipemodel.geometry.distance.within import deepened
from pipemodel.geometry.shapes.base import Shape, Signed, Targets
from pipemodel.geometry.shapes.triangles import triangles_of
from pipemodel.geometry.vectors import Vec3

CLEAR_MM = 1e-6
"""What reaches into a tube by less than this does not count: the numbers are no finer."""


def least_distances(centreline: Centreline, outside_mm: float, shapes: Sequence[Shape]) -> list[Nearest]:
    """Return the least distance from the outside of a tube to each shape, in the order of `shapes`.

    Args:
        centreline: the tube's axis.
        outside_mm: its outside diameter; the ends are flat, and the bore counts as filled.
        shapes: what to measure against.
    """
    (row,) = distances_to_things([centreline], [outside_mm], shapes)
    return row


def distances_to_things(
    lines: Sequence[Centreline], outside_mm: Sequence[float], shapes: Sequence[Shape]
) -> list[list[Nearest]]:
    """Return the least distance from each tube to each shape, a row per tube."""
    return Surroundings(shapes).distances(lines, outside_mm)


class Surroundings:
    """Shapes laid out once, to measure tubes against as often as need be."""

    def __init__(self, shapes: Sequence[Shape]) -> None:
        self.count = len(shapes)
        corners = [shape.corners() for shape in shapes]
        self.kinds = rows_by_kind(shapes, [i for i, own in enumerate(corners) if own is None])
        self.meshes, self.solids = _surfaces(shapes, corners)

    def distances(self, lines: Sequence[Centreline], outside_mm: Sequence[float]) -> list[list[Nearest]]:
        """Return the least distance from each tube to each shape, a row per tube."""
        n = self.count
        least = Least(len(lines) * n)
        run, owner = np.repeat(np.arange(len(lines)), n), np.tile(np.arange(n), len(lines))
        asked = Asked(run, owner, np.arange(len(lines) * n))
        paths, ends = self._measure(lines, outside_mm, least, asked)
        if self.meshes is not None:
            measure_depths(paths, ends, self.meshes, self.solids, least, asked)
        table = [answers(least, run * n, n) for run in range(len(lines))]
        for targets in self.kinds:
            for number, one in enumerate(targets.owner.tolist()):
                for line, outside, row in zip(lines, outside_mm, table, strict=True):
                    if row[one].distance < 0.0:
                        row[one] = deepened(line, outside, targets, number, row[one])
        return table

    def nearest(self, line: Centreline, outside_mm: float) -> tuple[int, Vec3]:
        """Return which shape's surface is nearest to a tube, and where on it."""
        n = self.count
        least = Least(n)
        self._measure([line], [outside_mm], least, Asked(np.zeros(n, dtype=np.int64), np.arange(n), np.arange(n)))
        i = int(np.argmin(least.distance))
        return i, answers(least, i, 1)[0].other

    def clear(self, lines: Sequence[Centreline], outside_mm: Sequence[float]) -> list[bool]:
        """Tell of each tube whether no shape reaches into it."""
        least = Least(len(lines), -CLEAR_MM)
        run, owner = np.repeat(np.arange(len(lines)), self.count), np.tile(np.arange(self.count), len(lines))
        _, ends = self._measure(lines, outside_mm, least, Asked(run, owner, run))
        clear = least.by < 0
        # What touches no surface lies all inside or all outside, so one place tells.
        for i, solid in self.solids.items():
            left = np.flatnonzero(clear)
            start = ends.centre[2 * left]
            assert self.meshes is not None
            near = inside(start, *(x[0] for x in self.meshes.bounds_of(np.array([i]))))
            if near.any():
                clear[left[near]] = solid()(start[near])[0] >= 0.0
        return [bool(c) for c in clear]

    def _measure(
        self, lines: Sequence[Centreline], outside_mm: Sequence[float], least: Least, asked: Asked
    ) -> tuple[Paths, PathEnds]:
        """Measure against all surfaces, as sheets where they are made of triangles."""
        paths, ends = paths_of(lines, outside_mm)
        for targets in self.kinds:
            measure(paths, ends, targets, least, asked)
        if self.meshes is not None:
            self.meshes.measure(paths, ends, least, asked)
        return paths, ends


def answers(least: Least, first: int, count: int) -> list[Nearest]:
    """Return some of the answers as plain numbers."""
    rows = slice(first, first + count)
    return [
        Nearest(d, at, tuple(p), tuple(q))
        for d, at, p, q in zip(
            least.distance[rows].tolist(),
            least.at[rows].tolist(),
            least.point[rows].tolist(),
            least.other[rows].tolist(),
            strict=True,
        )
    ]


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
    meshes = Meshes(triangles_of(np.concatenate([own for _, own in made]), owner))
    solids: dict[int, Callable[[], Signed]] = {
        i: partial(shapes[i].signed, partial(SignedSurface, meshes, i)) for i, _ in made if shapes[i].closed
    }
    return meshes, solids
