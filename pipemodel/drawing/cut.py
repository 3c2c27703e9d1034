"""What is cut away before a view is taken: the room is cut square to the line of sight, just before the tubes.

So one looks at an elevation as one looks at a section of a building (ISO 128-3): what stands between the eye and that
plane is gone, what the plane goes through is cut and hatched, and the rest is seen beyond it.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.solids.outlines import SeenTube

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Floats: TypeAlias = NDArray[np.float64]

BEFORE_MM = 50.0
"""So far before the tubes the room is cut; what is nearer to them is shown whole, as far as it hides little."""
_TOUCHING_MM = 0.01

CutRings: TypeAlias = tuple[tuple[FlatPoint, ...], ...]
"""Closed outlines on the view plane, mm of the room: a point is in what is cut if an odd number of them hold it."""


class CutMesh(NamedTuple):
    """What is left of a mesh behind the plane, None for nothing, and the outlines of where it is cut."""

    body: Mesh | None
    rings: CutRings = ()


def plane_before(tubes: Sequence[SeenTube], view: View) -> float:
    """Return how near the eye the plane lies, mm: before all of some tubes."""
    nearest = -np.inf
    for tube in tubes:
        for piece in tube.line.pieces:
            steps = 8 if isinstance(piece, Arc) else 1
            along = (view.nearness(piece.point_at(piece.length * k / steps)) for k in range(steps + 1))
            nearest = max(nearest, max(along) + tube.outside_mm / 2.0)
    return float(nearest) + BEFORE_MM


def cut_at(mesh: Mesh, view: View, plane_mm: float) -> CutMesh:
    """Cut a mesh by a plane square to the line of sight, and keep what lies behind it.

    Args:
        mesh: what is cut; one that encloses no volume is kept whole.
        view: from where it is seen.
        plane_mm: how near the eye the plane lies.
    """
    axes = np.array([view.right, view.upright, view.eye])
    points: Floats = np.asarray(mesh.vertices, dtype=np.float64) @ axes.T
    low, high = points[:, 2].min(), points[:, 2].max()
    if high <= plane_mm + _TOUCHING_MM:
        return CutMesh(mesh)
    if low >= plane_mm - _TOUCHING_MM:
        return CutMesh(None)
    return _cut(mesh, points, axes, plane_mm)


def _cut(mesh: Mesh, points: "Floats", axes: "Floats", plane_mm: float) -> CutMesh:
    import manifold3d

    # Its figures are short: near the middle of the mesh they are good to far less than a line is wide.
    middle = points.mean(axis=0)
    flat = np.asarray(points - middle, dtype=np.float32)
    solid = manifold3d.Manifold(manifold3d.Mesh(flat, np.asarray(mesh.faces, dtype=np.uint32)))
    if solid.status() is not manifold3d.Error.NoError or solid.is_empty():
        return CutMesh(mesh)
    at = plane_mm - float(middle[2])
    behind = solid.trim_by_plane((0.0, 0.0, -1.0), -at)
    left = behind.to_mesh()
    corners = (np.asarray(left.vert_properties, dtype=np.float64)[:, :3] + middle) @ axes
    rings = tuple(
        tuple((float(x + middle[0]), float(y + middle[1])) for x, y in ring) for ring in solid.slice(at).to_polygons()
    )
    faces = np.asarray(left.tri_verts, dtype=np.int64)
    return CutMesh(Mesh(corners, faces) if len(faces) else None, rings)
