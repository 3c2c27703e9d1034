"""A piece that rolls in its jig: all its cradles hold legs in one line, and what lies between may go right round.

A passover held by its outer legs is one. What is out of true with it then points any way across that line. A slot is as
wide across as it is high; it leaves most room halfway between, and that is how such a piece lies in it with most out.
"""

from math import atan2, degrees

import numpy as np

from pipemodel.geometry.vectors import Vec3
from pipemodel.jigs.run_in_jig import Array, rotation_about

FREE = 0.003
"""A movement is free that moves the judged points by no more than this share of what others move them."""
HALFWAY_DEG = 45.0


def free_roll(moves: Array) -> Vec3 | None:
    """Return the line about which a piece may be rolled and lie as before, a unit vector; None where it may not.

    Args:
        moves: (n, 6), what small movements and turns of the piece add to every point that is judged.
    """
    _, sizes, ways = np.linalg.svd(moves)
    turn = ways[-1][3:]
    size = float(np.linalg.norm(turn))
    if sizes[-1] > FREE * sizes[0] or size < 0.5:
        return None
    x, y, z = (turn / size).tolist()
    return x, y, z


def rolled_halfway(off: Array, axis: Vec3) -> Array:
    """Return the rotation (3, 3) about a level or sloping line by which what is off it comes halfway to upright.

    Args:
        off: (n, 3), how far points of the piece lie off.
        axis: the line.
    """
    along = np.array(axis)
    beside = off - np.outer(off @ along, along)
    across = np.cross([0.0, 0.0, 1.0], along)
    across /= np.linalg.norm(across)
    up = np.cross(along, across)
    x, y = beside[int(np.argmax(np.linalg.norm(beside, axis=1)))] @ np.array([across, up]).T
    by = HALFWAY_DEG - degrees(atan2(y, x))
    return rotation_about(axis, by)
