"""What stands between an eye and some points, and how far one sees from them."""

from collections.abc import Sequence

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import Vec3
from pipemodel.geometry.view import View

NEAR_MM = 1e-6
"""A face no farther off than this is the one the point lies on."""
MOST_POINTS = 60
_AT_ONCE = 1_000_000


def free_mm(mesh: Mesh, points: Sequence[Vec3], view: View) -> Floats:
    """Return how far the way from each point towards a view's eye is free of a mesh, (n,) mm; inf where it never ends.

    Args:
        mesh: what may stand in the way.
        points: from where, n of them, mm.
        view: towards whose eye.
    """
    axes = np.array([view.right, view.upright, view.eye])
    at = np.array(points, dtype=np.float64) @ axes.T
    corners = (np.asarray(mesh.vertices, dtype=np.float64) @ axes.T)[mesh.faces]
    free = np.full(len(at), np.inf)
    step = max(1, _AT_ONCE // len(at))
    for k in range(0, len(corners), step):
        np.minimum(free, _to_first(at, corners[k : k + step]), out=free)
    return free


def hidden_share(meshes: Sequence[Mesh], points: Sequence[Vec3], view: View) -> float:
    """Return which share of some points lies behind one of the meshes in a view; of many points, a part counts."""
    few = points[:: len(points) // MOST_POINTS + 1]
    hidden = np.zeros(len(few), dtype=bool)
    for mesh in meshes:
        hidden |= np.isfinite(free_mm(mesh, few, view))
    return float(hidden.mean())


def places_along(lines: Sequence[Centreline]) -> list[tuple[Vec3, Vec3]]:
    """Return about `MOST_POINTS` places spread evenly along some tubes, each with the way the tube goes there."""
    whole = sum(line.length for line in lines)
    return [
        (line.point_at(at), line.direction_at(at))
        for line in lines
        for n in [max(1, round(MOST_POINTS * line.length / whole))]
        for at in (line.length * (k + 0.5) / n for k in range(n))
    ]


def _to_first(at: Floats, corners: Floats) -> Floats:
    """Return how far each point (n, 3) is from the first triangle (m, 3, 3) above it, along z; (n,)."""
    a, ab, ac = corners[:, 0], corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]
    twice = ab[:, 0] * ac[:, 1] - ab[:, 1] * ac[:, 0]
    # A triangle seen edge-on hides nothing.
    seen = np.abs(twice) > 1e-9
    a, ab, ac, twice = a[seen], ab[seen], ac[seen], twice[seen]
    x, y = at[:, None, 0] - a[:, 0], at[:, None, 1] - a[:, 1]
    s, t = (x * ac[:, 1] - y * ac[:, 0]) / twice, (y * ab[:, 0] - x * ab[:, 1]) / twice
    far = a[:, 2] + s * ab[:, 2] + t * ac[:, 2] - at[:, None, 2]
    hit = (s >= -1e-9) & (t >= -1e-9) & (s + t <= 1.0 + 1e-9) & (far > NEAR_MM)
    return np.asarray(np.where(hit, far, np.inf).min(axis=1, initial=np.inf))
