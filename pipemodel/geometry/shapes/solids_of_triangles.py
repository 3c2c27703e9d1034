"""Solids put together of triangles: blocks, and what lies between two like outlines."""

from math import acos, ceil, pi

from pipemodel.geometry.arrays import Floats, Ints, np
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
    n = len(first)
    here = np.arange(n)
    after = np.roll(here, -1)
    sides = [np.stack([here, after, after + n], axis=-1), np.stack([here, after + n, here + n], axis=-1)]
    return Mesh(np.concatenate([first, last]), np.concatenate([*sides, cap[:, ::-1], cap + n]))
