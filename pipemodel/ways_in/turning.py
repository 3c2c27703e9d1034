"""Poses as arrays: seven figures, the middle of the piece and a unit quaternion w, x, y, z; and how they are turned.

The search moves the middle of the piece straight and turns about it. A way that is handed on names the room's
origin instead, as `values.Pose` does: `pose_of` and `array_of` go from one to the other.
"""

from math import cos, sin, sqrt
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.judge_kernel import turn_of
from pipemodel.ways_in.values import Pose

Turn: TypeAlias = Floats
"""A unit quaternion, (4,)."""


def held(centre: Floats, turn: Turn) -> Floats:
    """Return the pose with the middle of the piece at a point, turned."""
    return np.concatenate([centre, turn])


def matrix(pose: Floats) -> Floats:
    """Return the rotation matrix of a pose, (3, 3)."""
    return np.array(turn_of(pose)).reshape(3, 3)


def about(axis: Floats, angle: float) -> Turn:
    """Return the turn by an angle in radians about a unit axis, right-handed."""
    half = 0.5 * angle
    return np.array([cos(half), *(sin(half) * axis)])


def times(a: Turn, b: Turn) -> Turn:
    """Return the turn b and then a."""
    w, x, y, z = a.tolist()
    p, q, r, s = b.tolist()
    out = np.array(
        [
            w * p - x * q - y * r - z * s,
            w * q + x * p + y * s - z * r,
            w * r - x * s + y * p + z * q,
            w * s + x * r - y * q + z * p,
        ]
    )
    return out / sqrt(float(out @ out))


def turned_about(pose: Floats, pivot: Floats, axis: Floats, angle: float) -> Floats:
    """Return a pose turned by an angle in radians about an axis through a point."""
    turn = about(axis, angle)
    spin = matrix(held(pivot, turn))
    return held(spin @ (pose[:3] - pivot) + pivot, times(turn, pose[3:]))


def turn_between(a: Floats, b: Floats) -> Turn:
    """Return the least turn that brings one unit vector to another."""
    axis = np.cross(a, b)
    size = float(np.linalg.norm(axis))
    if size < 1e-12:
        if float(a @ b) > 0.0:
            return np.array([1.0, 0.0, 0.0, 0.0])
        pick = np.zeros(3)
        pick[int(np.argmin(np.abs(a)))] = 1.0
        square = np.cross(a, pick)
        return about(square / np.linalg.norm(square), np.pi)
    return about(axis / size, float(np.arctan2(size, a @ b)))


def random_turn(rng: np.random.Generator) -> Turn:
    """Return any turn, all equally likely."""
    out = rng.normal(size=4)
    size = float(np.linalg.norm(out))
    return out / size if size > 0.0 else np.array([1.0, 0.0, 0.0, 0.0])


def turn_angle(a: Turn, b: Turn) -> float:
    """Return the angle from one turn to another, 0 to pi radians."""
    return 2.0 * float(np.arccos(min(1.0, abs(float(a @ b)))))


def share_of(a: Floats, b: Floats, share: float) -> Floats:
    """Return the pose a share of the way from one to another, the middle straight, the turn even."""
    q = b[3:] if a[3:] @ b[3:] >= 0.0 else -b[3:]
    half = 0.5 * turn_angle(a[3:], b[3:])
    if half < 1e-7:
        turn = a[3:] + share * (q - a[3:])
    else:
        turn = (np.sin((1.0 - share) * half) * a[3:] + np.sin(share * half) * q) / np.sin(half)
    return held(a[:3] + share * (b[:3] - a[:3]), turn / np.linalg.norm(turn))


def pose_of(array: Floats, middle: Floats) -> Pose:
    """Return a pose as it is handed on; `middle` is the middle of the piece in its place."""
    x, y, z = (array[:3] - matrix(array) @ middle).tolist()
    w, p, q, r = (array[3:] if array[3] >= 0.0 else -array[3:]).tolist()
    return Pose((x + 0.0, y + 0.0, z + 0.0), (w, p + 0.0, q + 0.0, r + 0.0))


def array_of(pose: Pose, middle: Floats) -> Floats:
    """Return a pose as the search has it."""
    out = held(np.zeros(3), np.array(pose.rotation))
    out[:3] = np.array(pose.position) + matrix(out) @ middle
    return out
