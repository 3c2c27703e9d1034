"""Runs against the things in the room, kind by kind."""

from collections.abc import Callable, Iterable, Sequence
from functools import partial

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, lengths
from pipemodel.geometry.bounds import inside
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.broad import Asked, measure
from pipemodel.geometry.distance.depth import measure_depths
from pipemodel.geometry.distance.meshes import Meshes
from pipemodel.geometry.distance.nearest import Nearest
from pipemodel.geometry.distance.paths import Ends, Paths, paths_of
from pipemodel.geometry.distance.signed import Signed, SignedOutline, SignedSurface
from pipemodel.geometry.distance.surfaces import extrusion_corners, mesh_corners
from pipemodel.geometry.distance.targets import Least, Targets
from pipemodel.geometry.distance.to_box import Boxes
from pipemodel.geometry.distance.to_cylinder import Cylinders
from pipemodel.geometry.distance.to_half_space import HalfSpaces
from pipemodel.geometry.distance.to_triangle import triangles_of
from pipemodel.geometry.distance.within import deepened
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile, Shape
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
        self.kinds = _by_kind(shapes)
        self.meshes, self.solids = _surfaces(shapes)

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
    ) -> tuple[Paths, Ends]:
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


def _by_kind(shapes: Sequence[Shape]) -> list[Targets]:
    """Lay out the shapes that need no triangles as rows, kind by kind."""
    kinds: list[Targets] = []
    boxes = [(i, s) for i, s in enumerate(shapes) if isinstance(s, Box)]
    if boxes:
        kinds.append(Boxes(_rows(s.low for _, s in boxes), _rows(s.high for _, s in boxes), _numbers(boxes)))
    faces = [(i, s) for i, s in enumerate(shapes) if isinstance(s, HalfSpace)]
    if faces:
        kinds.append(HalfSpaces(_rows(s.point for _, s in faces), _rows(s.normal for _, s in faces), _numbers(faces)))
    rounds = [(i, s) for i, s in enumerate(shapes) if isinstance(s, Cylinder)]
    if rounds:
        start, finish = _rows(s.start for _, s in rounds), _rows(s.finish for _, s in rounds)
        length = lengths(finish - start)
        radius = np.array([s.diameter / 2.0 for _, s in rounds])
        real = np.ones(len(rounds), dtype=bool)
        axis = (finish - start) / length[:, None]
        kinds.append(Cylinders(start, axis, length, radius, _numbers(rounds), real, real))
    return kinds


def _surfaces(shapes: Sequence[Shape]) -> tuple[Meshes | None, dict[int, Callable[[], Signed]]]:
    """Lay out meshes and outlines as triangles; also return what measures the depth in those that are closed."""
    corners: list[tuple[int, Floats]] = []
    for i, shape in enumerate(shapes):
        if isinstance(shape, MeshFile):
            raise TypeError(f"{shape.path!r} has not been read yet: there is no distance to a file")
        if isinstance(shape, Extrusion):
            corners.append((i, extrusion_corners(shape)))
        elif isinstance(shape, Mesh):
            corners.append((i, mesh_corners(shape)))
    if not corners:
        return None, {}
    owner = np.repeat(_numbers(corners), [len(c) for _, c in corners])
    meshes = Meshes(triangles_of(np.concatenate([c for _, c in corners]), owner))
    solids: dict[int, Callable[[], Signed]] = {}
    for i, _ in corners:
        shape = shapes[i]
        if isinstance(shape, Extrusion):
            solids[i] = partial(SignedOutline, shape)
        elif isinstance(shape, Mesh) and shape.closed:
            solids[i] = partial(SignedSurface, meshes, i)
    return meshes, solids


def _rows(vectors: Iterable[Vec3]) -> Floats:
    return np.array(list(vectors), dtype=np.float64)


def _numbers(numbered: Sequence[tuple[int, object]]) -> Ints:
    return np.array([i for i, _ in numbered], dtype=np.int64)
