"""The room for the page's picture: every thing as triangles, with the points its name may stand at."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, radians

import numpy as np

from pipemodel.bending.schedule import Schedule
from pipemodel.geometry.arrays import Floats, vec3
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import FaceSlab, MeshFile, Shape
from pipemodel.geometry.vectors import Vec3, add, scale, sub
from pipemodel.solids.extent import job_extent
from pipemodel.solids.near import near_things

CHORD_MM = 0.15
"""How far a flat of a round thing may stand off it."""
MOST_TRIANGLES = 20_000
"""A thing with more triangles than this is drawn as its bounding box, which the page says."""
CREASE_DEG = 40.0
_ALONG = (0.5, 0.2, 0.8, 0.05, 0.95)


@dataclass(frozen=True, eq=False)
class RoomPart:
    """A thing in the room: corners of its triangles (n, 3, 3), its edges (m, 2, 3), points for its name (k, 3); mm.

    `endless` is true of a wall, of which only the face is drawn; `boxed` of a thing drawn as its bounding box.
    """

    name: str
    triangles: Floats
    edges: Floats
    anchors: tuple[Vec3, ...]
    endless: bool = False
    boxed: bool = False


def room_parts(schedule: Schedule) -> tuple[RoomPart, ...]:
    """Return the things near the runs of a solved job; mesh files that were not read are left out."""
    extent = job_extent(schedule, near_things(schedule))
    things = [thing for thing in near_things(schedule) if not isinstance(thing.shape, MeshFile)]
    return tuple(room_part(thing.name, thing.shape, extent) for thing in things)


def room_part(name: str, shape: Shape, extent: Extent) -> RoomPart:
    """Return one shape as triangles; `extent` is how far an endless one is drawn."""
    if (slab := shape.slab(extent)) is not None:
        return _wall(name, slab)
    mesh = shape.mesh(CHORD_MM, extent)
    corners = np.asarray(mesh.vertices, dtype=np.float64)[mesh.faces]
    low, high = mesh.vertices.min(axis=0), mesh.vertices.max(axis=0)
    boxed = len(corners) > MOST_TRIANGLES
    if boxed:
        corners = _box(low, high)
    if (axis := shape.axis) is not None:
        anchors = tuple(_between(axis.start, axis.finish, k) for k in _ALONG)
    else:
        anchors = _within(vec3(low), vec3(high))
    return RoomPart(name, corners, edges_of(corners), anchors, boxed=boxed)


def _wall(name: str, slab: FaceSlab) -> RoomPart:
    """The face of a wall alone: the tube never goes behind it, and its back would only be in the way."""
    across, up = scale(slab.across, slab.width_mm), scale(slab.up, slab.height_mm)
    a, b, c, d = slab.corners
    spots = ((0.5, 0.5), (0.1, 0.1), (0.9, 0.1), (0.1, 0.9), (0.9, 0.9), (0.5, 0.1), (0.5, 0.9))
    anchors = tuple(add(a, add(scale(across, i), scale(up, j))) for i, j in spots)
    corners = np.array([[a, b, c], [a, c, d]])
    return RoomPart(name, corners, edges_of(corners), anchors, endless=True)


def edges_of(triangles: Floats) -> Floats:
    """Return the edges where faces meet at more than `CREASE_DEG`, or where a face ends; (m, 2, 3).

    Args:
        triangles: their corners, (n, 3, 3).
    """
    points, ids = np.unique(np.round(triangles.reshape(-1, 3), 3), axis=0, return_inverse=True)
    faces = ids.reshape(-1, 3)
    normals = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    sizes = np.linalg.norm(normals, axis=1)
    # A sliver has no direction worth comparing.
    whole = sizes > 1e-9
    faces, normals = faces[whole], normals[whole] / sizes[whole, None]
    sides = np.sort(np.concatenate([faces[:, [0, 1]], faces[:, [1, 2]], faces[:, [2, 0]]]), axis=1)
    owner = np.tile(np.arange(len(faces)), 3)
    order = np.lexsort((sides[:, 1], sides[:, 0]))
    sides, owner = sides[order], owner[order]
    starts = np.flatnonzero(np.r_[True, np.any(sides[1:] != sides[:-1], axis=1)]) if len(sides) else np.zeros(0, int)
    counts = np.diff(np.r_[starts, len(sides)])
    second = owner[np.minimum(starts + 1, len(owner) - 1)] if len(owner) else owner
    bends = np.einsum("ij,ij->i", normals[owner[starts]], normals[second]) < cos(radians(CREASE_DEG))
    return np.asarray(points[sides[starts[(counts != 2) | bends]]])


def _within(low: Vec3, high: Vec3) -> tuple[Vec3, ...]:
    """The middle of a block, then places nearer to its ends, along its longest side first."""
    middle = _between(low, high, 0.5)
    sides = sub(high, low)
    out = [middle]
    for axis in sorted(range(3), key=lambda i: -sides[i]):
        for part in (-0.4, 0.4):
            point = list(middle)
            point[axis] += part * sides[axis]
            out.append((point[0], point[1], point[2]))
    return tuple(out)


def _between(a: Vec3, b: Vec3, part: float) -> Vec3:
    return add(a, scale(sub(b, a), part))


def _box(low: Sequence[float], high: Sequence[float]) -> Floats:
    """The twelve triangles of a block, (12, 3, 3)."""
    c = np.array([[(low, high)[(k >> a) & 1][a] for a in range(3)] for k in range(8)])
    quads = ((0, 2, 3, 1), (4, 5, 7, 6), (0, 1, 5, 4), (2, 6, 7, 3), (0, 4, 6, 2), (1, 3, 7, 5))
    return np.array([[c[q[0]], c[q[1]], c[q[2]]] for q in quads] + [[c[q[0]], c[q[2]], c[q[3]]] for q in quads])
