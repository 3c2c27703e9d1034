"""Surfaces given face by face: as triangles that close where the faces do."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.messages.values import Count, message
from pipemodel.models.ifc.placing import HardError, OddError

MOST_FACES = 1_000_000
"""An element with more faces than this is no part of a room."""


def faceted(item: Any) -> tuple[Floats, Ints]:
    """Return a faceted item as corners (n, 3), in the units of the file, and triangles (m, 3).

    Raises:
        HardError: if it is no item of flat faces.
        OddError: if there is no triangle in it.
    """
    kind = item.is_a()
    if kind in ("IfcFacetedBrep", "IfcFacetedBrepWithVoids"):
        shells = [item.Outer, *(item.Voids if kind == "IfcFacetedBrepWithVoids" else ())]
        vertices, faces = _of_loops(face for shell in shells for face in shell.CfsFaces)
    elif kind == "IfcShellBasedSurfaceModel":
        vertices, faces = _of_loops(face for shell in item.SbsmBoundary for face in shell.CfsFaces)
    elif kind == "IfcFaceBasedSurfaceModel":
        vertices, faces = _of_loops(face for shell in item.FbsmFaces for face in shell.CfsFaces)
    elif kind == "IfcTriangulatedFaceSet":
        vertices = _points(item.Coordinates)
        faces = _indexed(item, np.array(item.CoordIndex, dtype=np.int64).reshape(-1, 3), len(vertices))
    elif kind == "IfcPolygonalFaceSet":
        vertices, faces = _of_polygons(item)
    else:
        raise HardError(f"a body that is {kind}")
    vertices, faces = welded(vertices, faces)
    if not len(faces):
        raise OddError(message("odd.no face"))
    return vertices, faces


def _of_loops(faces: Iterable[Any]) -> tuple[Floats, Ints]:
    points: dict[int, int] = {}
    coordinates: list[Sequence[float]] = []
    polygons: list[list[list[int]]] = []
    for face in faces:
        if face.is_a() != "IfcFace":
            raise HardError("faces that are not flat")
        loops: list[list[int]] = []
        for bound in face.Bounds:
            if not bound.Bound.is_a("IfcPolyLoop"):
                raise HardError("faces that are not bounded by straight lines")
            loop = []
            for point in bound.Bound.Polygon:
                if point.id() not in points:
                    points[point.id()] = len(coordinates)
                    coordinates.append(point.Coordinates)
                loop.append(points[point.id()])
            loop = loop if bound.Orientation else loop[::-1]
            # The outer bound first, wherever it is written.
            loops.insert(0, loop) if bound.is_a("IfcFaceOuterBound") else loops.append(loop)
        polygons.append(loops)
        if len(polygons) > MOST_FACES:
            raise OddError(message("odd.faces", n=Count(MOST_FACES)))
    vertices = np.array(coordinates, dtype=np.float64).reshape(-1, 3)
    return vertices, triangles_of(vertices, polygons)


def _of_polygons(item: Any) -> tuple[Floats, Ints]:
    vertices = _points(item.Coordinates)
    polygons = []
    for face in item.Faces:
        loops = [list(face.CoordIndex)]
        if face.is_a("IfcIndexedPolygonalFaceWithVoids"):
            loops += [list(loop) for loop in face.InnerCoordIndices]
        polygons.append([[i - 1 for i in loop] for loop in loops])
    through = None if item.PnIndex is None else np.array(item.PnIndex, dtype=np.int64) - 1
    if through is not None:
        polygons = [[[int(through[i]) for i in loop] for loop in loops] for loops in polygons]
    if any(not 0 <= i < len(vertices) for loops in polygons for loop in loops for i in loop):
        raise OddError(message("odd.corner"))
    return vertices, triangles_of(vertices, polygons)


def _points(coordinates: Any) -> Floats:
    return np.array(coordinates.CoordList, dtype=np.float64).reshape(-1, 3)


def _indexed(item: Any, faces: Ints, count: int) -> Ints:
    through = getattr(item, "PnIndex", None)
    faces = faces - 1 if through is None else np.array(through, dtype=np.int64)[faces - 1] - 1
    if len(faces) and (faces.min() < 0 or faces.max() >= count):
        raise OddError(message("odd.corner"))
    return faces


def triangles_of(vertices: Floats, polygons: Iterable[list[list[int]]]) -> Ints:
    """Return the triangles of flat faces, each by its loops of corners, the outer one first."""
    out: list[Sequence[int]] = []
    for loops in polygons:
        loops = [loop for loop in loops if len(loop) > 2]
        if not loops:
            continue
        if len(loops) == 1 and len(loops[0]) == 3:
            out.append(loops[0])
        else:
            out += _cut_up(vertices, loops)
    return np.array(out, dtype=np.int64).reshape(-1, 3)


def _cut_up(vertices: Floats, loops: list[list[int]]) -> list[Sequence[int]]:
    """Return the triangles of one flat face, its outer loop first; every corner of its loops is a corner of one."""
    from mapbox_earcut import triangulate_float64

    outer = vertices[loops[0]]
    normal = np.cross(outer, np.roll(outer, -1, axis=0)).sum(axis=0)
    drop = int(np.argmax(np.abs(normal)))
    keep = [k for k in range(3) if k != drop]
    order = [i for loop in loops for i in loop]
    ends = np.cumsum([len(loop) for loop in loops]).astype(np.uint32)
    flat = np.ascontiguousarray(vertices[order][:, keep])
    cap = triangulate_float64(flat, ends).reshape(-1, 3).astype(np.int64)
    found = [[order[i] for i in triangle] for triangle in cap.tolist()]
    a, b, c = (vertices[[triangle[k] for triangle in found]] for k in range(3))
    turned = (np.cross(b - a, c - a) @ normal < 0.0).tolist()
    found = [triangle[::-1] if back else triangle for triangle, back in zip(found, turned, strict=True)]
    return _with_straight_corners(found, loops)


def _with_straight_corners(triangles: list[list[int]], loops: list[list[int]]) -> list[Sequence[int]]:
    """Put in the corners at which a loop goes straight on: the face beside has an edge that ends there."""
    used = {i for triangle in triangles for i in triangle}
    for loop in loops:
        lost = [k for k, i in enumerate(loop) if i not in used]
        if not lost or len(lost) == len(loop):
            continue
        begin = next(k for k, i in enumerate(loop) if i in used)
        ring = loop[begin:] + loop[: begin + 1]
        run = [ring[0]]
        for i in ring[1:]:
            run.append(i)
            if i in used:
                if len(run) > 2:
                    _split(triangles, run)
                run = [i]
    return list(triangles)


def _split(triangles: list[list[int]], run: list[int]) -> None:
    """Replace the triangle along the edge between the ends of a run of corners by one for each piece of the edge."""
    for number, triangle in enumerate(triangles):
        for k in range(3):
            ends = triangle[k], triangle[(k + 1) % 3]
            if ends in ((run[0], run[-1]), (run[-1], run[0])):
                third, way = triangle[(k + 2) % 3], run if ends[0] == run[0] else run[::-1]
                triangles[number : number + 1] = [[a, b, third] for a, b in zip(way, way[1:], strict=False)]
                return


def welded(vertices: Floats, faces: Ints) -> tuple[Floats, Ints]:
    """Return a surface with one corner for those in the same place, without triangles that have lost a side by it.

    Raises:
        OddError: if a coordinate is no number.
    """
    if not len(faces):
        return vertices, faces
    if not np.all(np.isfinite(vertices)):
        raise OddError(message("odd.coordinate"))
    used, faces = np.unique(faces, return_inverse=True)
    kept, where = np.unique(vertices[used], axis=0, return_inverse=True)
    faces = where.reshape(-1)[faces.reshape(-1, 3)]
    a, b, c = faces.T
    return kept, faces[(a != b) & (b != c) & (c != a)]
