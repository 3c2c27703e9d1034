"""Vectors in space as plain tuples, and trigonometry in degrees that is exact at quarter turns.

Tuples, not arrays: a run has a handful of corners, and for a handful a tuple is many times faster than an
array and keeps `schedule` free of any heavy import. Millimetres everywhere; right-handed axes, x east,
y north, z up.
"""

from math import atan2, cos, degrees, hypot, radians, sin
from typing import TypeAlias

Vec3: TypeAlias = tuple[float, float, float]

ORIGIN: Vec3 = (0.0, 0.0, 0.0)
EAST: Vec3 = (1.0, 0.0, 0.0)
NORTH: Vec3 = (0.0, 1.0, 0.0)
UP: Vec3 = (0.0, 0.0, 1.0)


def add(a: Vec3, b: Vec3) -> Vec3:
    """Return a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


def sub(a: Vec3, b: Vec3) -> Vec3:
    """Return a - b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def scale(a: Vec3, k: float) -> Vec3:
    """Return a times the number k."""
    return (a[0] * k, a[1] * k, a[2] * k)


def along(origin: Vec3, direction: Vec3, distance: float) -> Vec3:
    """Return the point `distance` from `origin` in `direction` (a unit vector).

    >>> along((600.0, 0.0, 0.0), UP, 350.0)
    (600.0, 0.0, 350.0)
    """
    return (
        origin[0] + direction[0] * distance,
        origin[1] + direction[1] * distance,
        origin[2] + direction[2] * distance,
    )


def dot(a: Vec3, b: Vec3) -> float:
    """Return the scalar product of a and b."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec3, b: Vec3) -> Vec3:
    """Return the vector product of a and b: square to both, right-handed.

    >>> cross(EAST, NORTH) == UP
    True
    """
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def length(a: Vec3) -> float:
    """Return the length of a; free of overflow and underflow."""
    return hypot(a[0], a[1], a[2])


def distance(a: Vec3, b: Vec3) -> float:
    """Return the distance between the points a and b.

    >>> distance((0, 0, 0), (300, 400, 0))
    500.0
    """
    return hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2])


def unit(a: Vec3) -> Vec3:
    """Return a divided by its length.

    Raises:
        ZeroDivisionError: if a has no length.
    """
    n = hypot(a[0], a[1], a[2])
    return (a[0] / n, a[1] / n, a[2] / n)


def angle_deg(a: Vec3, b: Vec3) -> float:
    """Return the angle between the directions a and b in degrees, 0 to 180; accurate near both ends.

    >>> angle_deg((1, 0, 0), (0, 2, 0))
    90.0
    """
    return degrees(atan2(length(cross(a, b)), dot(a, b)))


def any_normal(a: Vec3) -> Vec3:
    """Return some unit vector square to a, the same one each time: level where a allows it."""
    level = cross(UP, a)
    if length(level) > 1e-9 * length(a):
        return unit(level)
    return unit(sub(EAST, scale(a, dot(EAST, a) / dot(a, a))))


def cos_deg(angle: float) -> float:
    """Return the cosine of an angle in degrees; exactly 0, 1 or -1 at quarter turns."""
    return sin_deg(angle + 90.0)


def sin_deg(angle: float) -> float:
    """Return the sine of an angle in degrees; exactly 0, 1 or -1 at quarter turns.

    >>> sin_deg(180.0), sin_deg(270.0)
    (0.0, -1.0)
    """
    turn = angle % 360.0
    quarter, rest = divmod(turn, 90.0)
    if rest == 0.0:
        return (0.0, 1.0, 0.0, -1.0)[int(quarter) % 4]
    # Reduce to the first octant either way, so that sin 30 is the same to the last bit wherever it comes from.
    r = radians(rest)
    return (sin(r), cos(r), -sin(r), -cos(r))[int(quarter) % 4]


def rotate(v: Vec3, axis: Vec3, angle: float) -> Vec3:
    """Return v turned by `angle` degrees about `axis` (a unit vector), right-handed (Rodrigues' formula).

    >>> rotate(EAST, UP, 90.0) == NORTH
    True
    """
    c, s = cos_deg(angle), sin_deg(angle)
    k = dot(axis, v) * (1.0 - c)
    w = cross(axis, v)
    return (
        v[0] * c + w[0] * s + axis[0] * k,
        v[1] * c + w[1] * s + axis[1] * k,
        v[2] * c + w[2] * s + axis[2] * k,
    )
