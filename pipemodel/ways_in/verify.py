"""A way as it is handed on, and the proof that it holds.

Between two states the room's origin, carried along with the piece, goes straight (`values.Pose`), while the search
moves the middle of the piece straight. So each turn is parted into states so close together that the two come to the
same, and every move between them is gone through again by conservative advancement: nothing comes nearer than the
margin between them, however closely one looks (B. Mirtich, Impulse-based dynamic simulation, thesis, 1996).
"""

from math import ceil, degrees

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.turning import share_of, turn_angle

FIRST_DEG = 15.0
"""Turns are parted into steps no larger than this at first."""
MOST_PARTS = 256
"""A move that does not hold in so many parts does not hold."""


def verified(judge: Judge, way: list[Floats]) -> list[Floats] | None:
    """Return the states of a way, proved to keep the margin between them; None where one of its moves does not.

    Args:
        judge: holds the margin.
        way: poses between which the middle of the piece goes straight.
    """
    out = [way[0]]
    for a, b in zip(way, way[1:], strict=False):
        parts = max(ceil(degrees(turn_angle(a[3:], b[3:])) / FIRST_DEG), 1)
        while parts <= MOST_PARTS:
            steps = [share_of(a, b, k / parts) for k in range(parts + 1)]
            if all(judge.goes(p, q) for p, q in zip(steps, steps[1:], strict=False)):
                break
            parts *= 2
        else:
            return None
        out += [*steps[1:-1], b]
    return out
