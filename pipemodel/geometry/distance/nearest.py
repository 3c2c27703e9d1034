"""What a measurement says."""

from typing import NamedTuple

from pipemodel.geometry.vectors import Vec3


class Nearest(NamedTuple):
    """The least distance from the outside of a tube to something, mm; below zero when they overlap.

    `at` is measured along the centreline (0 or its length for a place on a flat end). `point` is the nearest
    point of the tube's outside; `other` the point of the thing's surface that faces it.
    """

    distance: float
    at: float
    point: Vec3
    other: Vec3
