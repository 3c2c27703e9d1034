"""How far two straight segments are from each other, as a closed formula on tuples."""

from math import sqrt
from typing import NamedTuple

from pipemodel.geometry.vectors import Vec3


class Nearness(NamedTuple):
    """The shortest way between two segments: its length, and where it ends as shares 0 to 1 of each."""

    distance: float
    share: float
    other_share: float


def segment_distance(a: Vec3, b: Vec3, c: Vec3, d: Vec3) -> Nearness:
    """Return how near the segment a to b comes to the segment c to d; either may have no length.

    The squared distance is a quadratic in the two shares. Its free minimum is clamped to one segment, the other
    share follows, and where that is clamped in turn the first follows once more.
    """
    ux, uy, uz = b[0] - a[0], b[1] - a[1], b[2] - a[2]
    vx, vy, vz = d[0] - c[0], d[1] - c[1], d[2] - c[2]
    wx, wy, wz = a[0] - c[0], a[1] - c[1], a[2] - c[2]
    uu = ux * ux + uy * uy + uz * uz
    vv = vx * vx + vy * vy + vz * vz
    uv = ux * vx + uy * vy + uz * vz
    uw = ux * wx + uy * wy + uz * wz
    vw = vx * wx + vy * wy + vz * wz
    square = uu * vv - uv * uv
    # Nearly parallel: any share will do to begin with, and the other follows.
    s = min(1.0, max(0.0, (uv * vw - vv * uw) / square)) if square > 1e-12 * uu * vv else 0.0
    t = (uv * s + vw) / vv if vv > 0.0 else 0.0
    if t < 0.0 or t > 1.0 or vv == 0.0:
        t = min(1.0, max(0.0, t))
        s = min(1.0, max(0.0, (uv * t - uw) / uu)) if uu > 0.0 else 0.0
    x, y, z = wx + s * ux - t * vx, wy + s * uy - t * vy, wz + s * uz - t * vz
    return Nearness(sqrt(x * x + y * y + z * z), s, t)
