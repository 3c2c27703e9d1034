"""One thing, or one other run, that a run is measured against: how near any point is, and how near a whole tube is."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.paths import paths_of
from pipemodel.geometry.distance.runs import solids_of, tube_distance
from pipemodel.geometry.distance.targets import Nearest
from pipemodel.geometry.distance.things import Surroundings
from pipemodel.geometry.shapes.base import Shape, Signed, Targets

Field: TypeAlias = Callable[[Floats], Floats]
"""From points, (n, 3), to their distances from a surface, below zero inside; (n,)."""

Within: TypeAlias = Callable[[Floats, Floats], Floats]
"""The same of points outside, with how far off is of interest, (n,): of what is farther it says more than that."""


@dataclass(frozen=True)
class MeasuredObstacle:
    """What a run is measured against.

    `field` measures points, `measure` the least distance from the outside of a tube on a centreline with an outside
    diameter. `slow` marks a mesh, where every point costs much more than elsewhere. `outside_within` there measures
    points known to lie outside, for less, and `block` is the low and the high corner of what holds it.
    """

    field: Field
    measure: Callable[[Centreline, float], Nearest]
    slow: bool = False
    outside_within: Within | None = None
    block: tuple[Floats, Floats] | None = None


def obstacle_of(shape: Shape, number: int = 0, around: Surroundings | None = None) -> MeasuredObstacle:
    """Return a thing's shape to measure against; a mesh file must have been read.

    Where a mesh is number `number` of shapes that are laid out already, `around` spares laying it out again.
    """
    if around is None or not shape.slow:
        around, number = Surroundings([shape]), 0
    laid = around

    def measure(line: Centreline, outside_mm: float) -> Nearest:
        return laid.within([line], [outside_mm], np.inf, number)[0][number]

    meshes = around.meshes
    if meshes is None:
        return MeasuredObstacle(_nearest_of(around.kinds), measure)

    def sheet(points: Floats) -> Floats:
        return meshes.nearest(number, points)[0]

    def outside_within(points: Floats, within: Floats) -> Floats:
        return meshes.nearest(number, points, within)[0]

    field = _values(around.solids[number]()) if number in around.solids else sheet
    if not shape.slow:
        return MeasuredObstacle(field, measure)
    return MeasuredObstacle(field, measure, True, outside_within, (around.low[number], around.high[number]))


def obstacle_of_tube(line: Centreline, outside_mm: float) -> MeasuredObstacle:
    """Return another run to measure against."""
    legs, bends = solids_of(paths_of([line], [outside_mm])[0])
    solids: list[Targets] = [solid for solid in (legs, bends) if len(solid.owner)]

    def measure(other: Centreline, other_outside_mm: float) -> Nearest:
        return tube_distance(other, other_outside_mm, line, outside_mm)

    return MeasuredObstacle(_nearest_of(solids), measure)


def _values(signed: Signed) -> Field:
    return lambda points: signed(points)[0]


def _nearest_of(solids: list[Targets]) -> Field:
    """Return the distance to the nearest of some solids."""

    def field(points: Floats) -> Floats:
        least = np.full(len(points), np.inf)
        for solid in solids:
            for row in range(len(solid.owner)):
                index = np.full(len(points), row, dtype=np.int64)
                np.minimum(least, solid.field(index, points)[0], out=least)
        return least

    return field
