"""Solids put together of triangles: blocks, and what lies between two like outlines."""

from collections.abc import Sequence
from math import acos, ceil, pi

from pipemodel.geometry.arrays import Floats, Ints, np
from pipemodel.geometry.shapes.face import Vec2
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.vectors import Vec3, any_normal, cross

FEWEST_AROUND = 6
"""What is round is never drawn with fewer sides than this, however coarse the tolerance."""


def sides_for(radius: float, chord_mm: float) -> int:
    """Return how many flat sides a circle needs so that none stands off it by more than a tolerance."""
    if chord_mm >= radius:
        return FEWEST_AROUND
    return max(FEWEST_AROUND, ceil(pi / acos(1.0 - chord_mm / radius) - 1e-9))


def ring_round(axis: Vec3, radius: float, sides: int) -> Floats:
    """Return points of a circle about an axis through the origin, (n, 3)."""
    across = any_normal(axis)
    angle = np.arange(sides) * (2.0 * pi / sides)
    out: Floats = radius * (np.cos(angle)[:, None] * across + np.sin(angle)[:, None] * np.array(cross(axis, across)))
    return out


def block(corner: Vec3, a: Vec3, b: Vec3, c: Vec3) -> Mesh:
    """Return the block from a corner along three edges, square to each other and right-handed."""
    edges = np.array([a, b, c])
    vertices = np.array(corner) + np.array([[i, j, k] for i in (0, 1) for j in (0, 1) for k in (0, 1)]) @ edges
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    faces = [triangle for p, q, r, s in quads for triangle in ((p, q, r), (p, r, s))]
    return Mesh(vertices, np.array(faces))


def swept(first: Floats, last: Floats, cap: Ints) -> Mesh:
    """Close the space between two like outlines (n, 3); `cap` covers one, right-handed from the first to the last."""
    return carried(first, last, cap, [len(first)])


def carried(first: Floats, last: Floats, cap: Ints, loops: Sequence[int]) -> Mesh:
    """Close the space between two like sets of loops (n, 3), the solid to the left of all their sides.

    Args:
        first: the corners of all loops, loop after loop.
        last: those at the other side, in the same order.
        cap: triangles that cover one side, right-handed from the first to the last.
        loops: how many corners each loop has; those at the end that are left out get no sides.
    """
    n, sides, begin = len(first), [], 0
    for count in loops:
        here = np.arange(begin, begin + count)
        after = np.roll(here, -1)
        sides += [np.stack([here, after, after + n], axis=-1), np.stack([here, after + n, here + n], axis=-1)]
        begin += count
    return Mesh(np.concatenate([first, last]), np.concatenate([*sides, cap[:, ::-1], cap + n]))


def triangulated(loops: Sequence[Sequence[Vec2]]) -> tuple[Ints, Floats]:
    """Return counter-clockwise triangles (m, 3) over an outline with holes in it, and the corners of all loops (n, 2).

    Args:
        loops: the outline, then the holes.
    """
    from mapbox_earcut import triangulate_float64

    plan = np.concatenate([np.array(loop, dtype=np.float64) for loop in loops])
    ends = np.cumsum([len(loop) for loop in loops]).astype(np.uint32)
    cap = triangulate_float64(plan, ends).reshape(-1, 3).astype(np.int64)
    a, b, c = plan[cap[:, 0]], plan[cap[:, 1]], plan[cap[:, 2]]
    area = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    return np.where(area[:, None] < 0.0, cap[:, ::-1], cap), plan
