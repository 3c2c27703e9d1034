"""Legs that fall: a leg that would be level goes down by its ratio, and no other leg goes against the fall.

A ratio is down over level, as levels are read with a tape and a spirit level: a leg at 1 in 80 goes 1 down for each
80 of its length in plan.
"""

from math import hypot

from pipemodel.geometry.vectors import Vec3, unit
from pipemodel.job.fall import Fall
from pipemodel.job.routing.directions import clean
from pipemodel.job.routing.faults import ItemError
from pipemodel.messages.values import Number, Word, message

_LEVEL = 1e-9


def is_level(direction: Vec3) -> bool:
    """Whether a unit vector neither rises nor falls."""
    return abs(direction[2]) <= _LEVEL


def falling(direction: Vec3, fall: Fall | None) -> Vec3:
    """Return the heading of a leg that is meant to run in `direction` (a unit vector) with a fall.

    Raises:
        ItemError: if it is not level, and goes against the fall or down by less.
    """
    if fall is None:
        return direction
    if is_level(direction):
        return clean(unit((direction[0], direction[1], fall.rise)))
    must_fall(direction, fall)
    return direction


def must_fall(direction: Vec3, fall: Fall) -> None:
    """Refuse a leg in `direction` that is not to be level and goes against a fall, or down by less.

    Raises:
        ItemError: saying so.
    """
    down = -direction[2] if fall.towards == "finish" else direction[2]
    if down >= fall.slope * hypot(direction[0], direction[1]) - _LEVEL:
        return
    way, little = Word("up" if direction[2] > 0.0 else "down"), Word("little" if down > 0.0 else "wrong")
    ratio = Number(1.0 / fall.slope, ".6g")
    raise ItemError(message("fault.against fall", way=way, little=little, ratio=ratio, end=Word(str(fall.towards))))
