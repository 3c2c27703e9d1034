"""What is cut away before a view is taken: the room is cut square to the line of sight, just before the tubes.

So one looks at an elevation as one looks at a section of a building (ISO 128-3): what stands between the eye and that
plane is gone, what the plane goes through is cut and hatched, and the rest is seen beyond it.
"""

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Arc
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.view import FlatPoint, View
from pipemodel.solids.outlines import SeenTube

BEFORE_MM = 50.0
"""So far before the tubes the room is cut; what is nearer to them is shown whole, as far as it hides little."""
_TOUCHING_MM = 0.01

_OFF = 1e-6
"""The plane stands so far, mm, beside where it is asked for, so that it lies in no flat face."""

Strokes: TypeAlias = list[tuple[FlatPoint, FlatPoint]]
"""The outline of what is cut in straight parts, in any order, on the view plane in mm of the room."""


class CutMesh(NamedTuple):
    """What is left of a mesh behind the plane, None for nothing, and the outline of where it is cut."""

    body: Mesh | None
    outline: Strokes


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
    points, axes = _seen(mesh, view)
    low, high = points[:, 2].min(), points[:, 2].max()
    if high <= plane_mm + _TOUCHING_MM:
        return CutMesh(mesh, [])
    if low >= plane_mm - _TOUCHING_MM:
        return CutMesh(None, [])
    behind = _behind(mesh, points, axes, plane_mm)
    return CutMesh(mesh, []) if behind is None else CutMesh(behind, sliced(mesh, view, plane_mm))


def sliced(mesh: Mesh, view: View, plane_mm: float) -> Strokes:
    """Return the outline in which a plane square to the line of sight cuts a mesh; see `cut_at`."""
    points, _ = _seen(mesh, view)
    depth = points[:, 2] - (plane_mm + _OFF)
    above = depth[mesh.faces] > 0.0
    cut = mesh.faces[above.any(axis=1) & ~above.all(axis=1)]
    ends = []
    for one, two in ((0, 1), (1, 2), (2, 0)):
        a, b = cut[:, one], cut[:, two]
        crossed = (depth[a] > 0.0) != (depth[b] > 0.0)
        share = np.divide(depth[a], depth[a] - depth[b], out=np.full(len(cut), np.nan), where=crossed)
        at = points[a, :2] + share[:, None] * (points[b, :2] - points[a, :2])
        ends.append(np.where(crossed[:, None], at, np.nan))
    strokes: Strokes = []
    for triple in np.stack(ends, axis=1):
        (x, y), (u, v) = triple[~np.isnan(triple[:, 0])].tolist()
        strokes.append(((x, y), (u, v)))
    return strokes


def _seen(mesh: Mesh, view: View) -> tuple[Floats, Floats]:
    """Return the corners of a mesh to the right, up and towards the eye, (n, 3), and these ways, (3, 3)."""
    axes = np.array([view.right, view.upright, view.eye])
    return np.asarray(mesh.vertices, dtype=np.float64) @ axes.T, axes


def _behind(mesh: Mesh, points: Floats, axes: Floats, plane_mm: float) -> Mesh | None:
    """Return what of a solid lies behind the plane, closed where it is cut; None of what encloses no volume."""
    import manifold3d

    # Its figures are short: near the middle of the mesh they are good to far less than a line is wide.
    middle = points.mean(axis=0)
    flat = np.asarray(points - middle, dtype=np.float32)
    solid = manifold3d.Manifold(manifold3d.Mesh(flat, np.asarray(mesh.faces, dtype=np.uint32)))
    if solid.status() is not manifold3d.Error.NoError or solid.is_empty():
        return None
    left = solid.trim_by_plane((0.0, 0.0, -1.0), float(middle[2]) - plane_mm).to_mesh()
    corners = (np.asarray(left.vert_properties, dtype=np.float64)[:, :3] + middle) @ axes
    return Mesh(corners, np.asarray(left.tri_verts, dtype=np.int64))
