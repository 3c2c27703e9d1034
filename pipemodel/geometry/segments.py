"""How far two straight segments are from each other, as a closed formula on tuples."""

from math import sqrt

from pipemodel.geometry.vectors import Vec3


def segment_distance(a: Vec3, b: Vec3, c: Vec3, d: Vec3) -> tuple[float, float, float]:
    """Return how near the segment a to b comes to the segment c to d, and where: as shares 0 to 1 of each.

    Either may have no length. The squared distance is a quadratic in the two shares. Its free minimum is clamped to
    one segment, the other share follows, and where that is clamped in turn the first follows once more.

    >>> segment_distance((0, 0, 0), (100, 0, 0), (25, -50, 30), (25, 50, 30))
    (30.0, 0.25, 0.5)
    """
    ax, ay, az = a
    cx, cy, cz = c
    ux, uy, uz = b[0] - ax, b[1] - ay, b[2] - az
    vx, vy, vz = d[0] - cx, d[1] - cy, d[2] - cz
    wx, wy, wz = ax - cx, ay - cy, az - cz
    uu = ux * ux + uy * uy + uz * uz
    vv = vx * vx + vy * vy + vz * vz
    uv = ux * vx + uy * vy + uz * vz
    uw = ux * wx + uy * wy + uz * wz
    vw = vx * wx + vy * wy + vz * wz
    square = uu * vv - uv * uv
    # Nearly parallel: any share will do to begin with, and the other follows.
    s = 0.0
    if square > 1e-12 * uu * vv:
        s = (uv * vw - vv * uw) / square
        s = 0.0 if s < 0.0 else 1.0 if s > 1.0 else s
    t = (uv * s + vw) / vv if vv > 0.0 else 0.0
    if t < 0.0 or t > 1.0 or vv == 0.0:
        t = 0.0 if t < 0.0 else 1.0 if t > 1.0 else t
        s = (uv * t - uw) / uu if uu > 0.0 else 0.0
        s = 0.0 if s < 0.0 else 1.0 if s > 1.0 else s
    x, y, z = wx + s * ux - t * vx, wy + s * uy - t * vy, wz + s * uz - t * vz
    return sqrt(x * x + y * y + z * z), s, t
