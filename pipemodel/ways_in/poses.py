"""Poses as plain tuples: where a point of the piece stands, what lies between two poses, the piece's axis in one."""

from functools import partial
from math import acos, atan2, cos, degrees, hypot, radians, sin

from pipemodel.geometry.centreline import Centreline, carried
from pipemodel.geometry.vectors import Vec3, add, cross, dot, scale
from pipemodel.ways_in.values import NO_TURN, Pose, Quaternion

_EVEN = 1.0 - 1e-12
"""Two turns whose quaternions have at least this product are the same turn."""


def turned(turn: Quaternion, v: Vec3) -> Vec3:
    """Return a direction after a turn."""
    w, axis = turn[0], turn[1:]
    t = scale(cross(axis, v), 2.0)
    return add(add(v, scale(t, w)), cross(axis, t))


def stands(pose: Pose, p: Vec3) -> Vec3:
    """Return where a point of the finished run stands when it is held in a pose."""
    return add(turned(pose.rotation, p), pose.position)


def product(a: Quaternion, b: Quaternion) -> Quaternion:
    """Return the turn that first turns by b, then by a."""
    w, u = a[0], a[1:]
    x, v = b[0], b[1:]
    i, j, k = add(add(scale(v, w), scale(u, x)), cross(u, v))
    return (w * x - dot(u, v), i, j, k)


def turn_between(a: Quaternion, b: Quaternion) -> tuple[Vec3, float]:
    """Return the unit axis and the angle, 0 to 180 degrees, of the turn from one to the other, right-handed."""
    w, x, y, z = product(b, (a[0], -a[1], -a[2], -a[3]))
    if w < 0.0:
        w, x, y, z = -w, -x, -y, -z
    size = hypot(x, y, z)
    if size == 0.0:
        return (0.0, 0.0, 1.0), 0.0
    return (x / size, y / size, z / size), degrees(2.0 * atan2(size, w))


def between(a: Pose, b: Pose, share: float) -> Pose:
    """Return the pose at a share of the way: position straight, turn even about one axis, the shorter way round."""
    position = add(scale(a.position, 1.0 - share), scale(b.position, share))
    p, q = a.rotation, b.rotation
    same = sum(x * y for x, y in zip(p, q, strict=True))
    if same < 0.0:
        q, same = (-q[0], -q[1], -q[2], -q[3]), -same
    if same >= _EVEN:
        return Pose(position, b.rotation if share >= 0.5 else a.rotation)
    angle = acos(min(same, 1.0))
    m, n = sin((1.0 - share) * angle) / sin(angle), sin(share * angle) / sin(angle)
    return Pose(position, (m * p[0] + n * q[0], m * p[1] + n * q[1], m * p[2] + n * q[2], m * p[3] + n * q[3]))


def turn_about(axis: Vec3, angle_deg: float) -> Quaternion:
    """Return the turn about a unit axis, right-handed."""
    half = radians(angle_deg) / 2.0
    x, y, z = scale(axis, sin(half))
    return (cos(half), x, y, z) if angle_deg else NO_TURN


def line_at(line: Centreline, pose: Pose) -> Centreline:
    """Return the axis of a run as it stands in a pose."""
    return Centreline(carried(line.pieces, partial(stands, pose), partial(turned, pose.rotation)))
