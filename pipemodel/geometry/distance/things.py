"""Runs against the things in the room, kind by kind."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, lengths
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.broad import measure
from pipemodel.geometry.distance.depth import measure_depths
from pipemodel.geometry.distance.nearest import Nearest
from pipemodel.geometry.distance.paths import Ends, Paths, paths_of
from pipemodel.geometry.distance.signed import Signed, SignedOutline, SignedSurface
from pipemodel.geometry.distance.surfaces import extrusion_corners, mesh_corners
from pipemodel.geometry.distance.targets import Least, Targets
from pipemodel.geometry.distance.to_box import Boxes
from pipemodel.geometry.distance.to_cylinder import Cylinders
from pipemodel.geometry.distance.to_half_space import HalfSpaces
from pipemodel.geometry.distance.to_triangle import Triangles, triangles_of
from pipemodel.geometry.distance.within import deepened
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile, Shape
from pipemodel.geometry.vectors import Vec3

CUT_MM = 80.0
"""Against triangles, runs are cut into pieces this short, so that few triangles lie in each piece's block."""


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
    paths, ends = paths_of(lines, outside_mm)
    n = len(shapes)
    least = Least(len(lines) * n)
    keys = np.arange(len(lines) * n).reshape(len(lines), n)
    kinds = by_kind(shapes)
    for targets in kinds:
        measure(paths, ends, targets, least, keys)
    surfaces = surfaces_of(shapes)
    if surfaces is not None:
        measure_surfaces(paths, ends, *surfaces, least, keys)
    table = [answers(least, run * n, n) for run in range(len(lines))]
    for targets in kinds:
        for number, owner in enumerate(targets.owner.tolist()):
            for line, outside, row in zip(lines, outside_mm, table, strict=True):
                if row[owner].distance < 0.0:
                    row[owner] = deepened(line, outside, targets, number, row[owner])
    return table


def measure_surfaces(
    paths: Paths, ends: Ends, triangles: Triangles, solids: Mapping[int, Callable[[], Signed]], least: Least, keys: Ints
) -> None:
    """Measure runs against surfaces laid out by `surfaces_of`."""
    measure(paths.cut(CUT_MM), ends, triangles, least, keys)
    measure_depths(paths, ends, triangles, solids, least, keys)


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


def by_kind(shapes: Sequence[Shape]) -> list[Targets]:
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


def surfaces_of(shapes: Sequence[Shape]) -> tuple[Triangles, dict[int, Callable[[], Signed]]] | None:
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
        return None
    owner = np.repeat(_numbers(corners), [len(c) for _, c in corners])
    triangles = triangles_of(np.concatenate([c for _, c in corners]), owner)
    solids: dict[int, Callable[[], Signed]] = {}
    for i, _ in corners:
        shape = shapes[i]
        if isinstance(shape, Extrusion):
            solids[i] = partial(SignedOutline, shape)
        elif isinstance(shape, Mesh) and shape.closed:
            solids[i] = partial(SignedSurface, triangles, i)
    return triangles, solids


def _rows(vectors: Iterable[Vec3]) -> Floats:
    return np.array(list(vectors), dtype=np.float64)


def _numbers(numbered: Sequence[tuple[int, object]]) -> Ints:
    return np.array([i for i, _ in numbered], dtype=np.int64)
