"""Things in the room as triangles."""

from math import acos, ceil, pi
from typing import TYPE_CHECKING, assert_never

import numpy as np

from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile, Shape
from pipemodel.geometry.vectors import EAST, NORTH, UP, Vec3, any_normal, cross, scale, sub, unit
from pipemodel.solids.extent import Extent, slab_of
from pipemodel.solids.mesh import FEWEST_AROUND, TriangleMesh

if TYPE_CHECKING:
    from numpy.typing import NDArray


def room_mesh(shape: Shape, chord_mm: float, extent: Extent) -> TriangleMesh:
    """Return a thing's shape as triangles, outward by the right hand.

    Args:
        shape: the shape; closed meshes come out closed, an open one stays open.
        chord_mm: how far a triangle may stray from the true surface of a cylinder, mm.
        extent: how far the job reaches; a half-space comes out as a slab of that size.

    Raises:
        TypeError: for a mesh file that has not been read yet.
    """
    match shape:
        case Box():
            return block_mesh(shape.low, shape.high)
        case HalfSpace():
            slab = slab_of(shape, extent)
            depth = scale(slab.normal, -slab.depth_mm)
            return _block(slab.corner, scale(slab.up, slab.height_mm), scale(slab.across, slab.width_mm), depth)
        case Cylinder():
            return _cylinder(shape, chord_mm)
        case Extrusion():
            return _prism(shape)
        case Mesh():
            return TriangleMesh(shape.vertices, shape.faces)
        case MeshFile():
            raise TypeError(f"{shape.path} has not been read yet")
        case _:
            assert_never(shape)


def block_mesh(low: Vec3, high: Vec3) -> TriangleMesh:
    """Return the block along the axes between opposite corners."""
    x, y, z = sub(high, low)
    return _block(low, scale(EAST, x), scale(NORTH, y), scale(UP, z))


def _block(corner: Vec3, a: Vec3, b: Vec3, c: Vec3) -> TriangleMesh:
    """Return the block from a corner along three edges, square to each other and right-handed."""
    edges = np.array([a, b, c])
    vertices = np.array(corner) + np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)]) @ edges
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = [triangle for p, q, r, s in quads for triangle in ((p, q, r), (p, r, s))]
    return TriangleMesh(vertices, np.array(faces))


def _cylinder(shape: Cylinder, chord_mm: float) -> TriangleMesh:
    radius = shape.diameter / 2.0
    around = FEWEST_AROUND
    if chord_mm < radius:
        around = max(around, ceil(pi / acos(1.0 - chord_mm / radius) - 1e-9))
    axis = unit(sub(shape.finish, shape.start))
    across = any_normal(axis)
    angle = np.arange(around) * (2.0 * pi / around)
    ring = radius * (np.cos(angle)[:, None] * across + np.sin(angle)[:, None] * np.array(cross(axis, across)))
    fan = np.array([(0, i, i + 1) for i in range(1, around - 1)])
    return _swept(ring + shape.start, ring + shape.finish, fan)


def _prism(shape: Extrusion) -> TriangleMesh:
    from mapbox_earcut import triangulate_float64

    outline = np.array(shape.outline, dtype=np.float64)
    x, y = outline.T
    if np.dot(x, np.roll(y, -1)) < np.dot(np.roll(x, -1), y):
        outline = outline[::-1]
    plan = triangulate_float64(outline, np.array([len(outline)], dtype=np.uint32)).reshape(-1, 3).astype(np.int64)
    a, b, c = outline[plan[:, 0]], outline[plan[:, 1]], outline[plan[:, 2]]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    plan = np.where(area[:, None] < 0.0, plan[:, ::-1], plan)
    level = np.ones((len(outline), 1))
    return _swept(np.hstack([outline, level * shape.bottom]), np.hstack([outline, level * shape.top]), plan)


def _swept(first: "NDArray[np.float64]", last: "NDArray[np.float64]", cap: "NDArray[np.int64]") -> TriangleMesh:
    """Close the space between two like outlines (n, 3); `cap` covers one, right-handed from the first to the last."""
    n = len(first)
    here = np.arange(n)
    after = np.roll(here, -1)
    sides = [np.stack([here, after, after + n], axis=-1), np.stack([here, after + n, here + n], axis=-1)]
    return TriangleMesh(np.concatenate([first, last]), np.concatenate([*sides, cap[:, ::-1], cap + n]))
