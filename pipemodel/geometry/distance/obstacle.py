"""One thing, or one other run, that a run is measured against: how near any point is, and how near a whole tube is."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.nearest import Nearest
from pipemodel.geometry.distance.paths import paths_of
from pipemodel.geometry.distance.runs import solids_of, tube_distance
from pipemodel.geometry.distance.signed import Signed
from pipemodel.geometry.distance.surfaces import distance_to_surface
from pipemodel.geometry.distance.targets import Least, Targets
from pipemodel.geometry.distance.things import answers, by_kind, least_distances, measure_surfaces, surfaces_of
from pipemodel.geometry.shapes import Mesh, Shape

Field: TypeAlias = Callable[[Floats], Floats]
"""From points, (n, 3), to their distances from a surface, below zero inside; (n,)."""


@dataclass(frozen=True)
class Obstacle:
    """What a run is measured against.

    `field` measures points, `measure` the least distance from the outside of a tube on a centreline with an outside
    diameter. `slow` marks a mesh, where every point costs much more than elsewhere.
    """

    field: Field
    measure: Callable[[Centreline, float], Nearest]
    slow: bool = False


def obstacle_of(shape: Shape) -> Obstacle:
    """Return a thing's shape to measure against; a mesh file must have been read."""

    def measure(line: Centreline, outside_mm: float) -> Nearest:
        return least_distances(line, outside_mm, [shape])[0]

    surfaces = surfaces_of([shape])
    if surfaces is None:
        (rows,) = by_kind([shape])
        return Obstacle(_nearest_of([rows]), measure)
    triangles, solids = surfaces
    made = {owner: make() for owner, make in solids.items()}
    blocks = np.arange(len(triangles.owner))

    def sheet(points: Floats) -> Floats:
        return distance_to_surface(triangles, blocks, points)[0]

    def measure_surface(line: Centreline, outside_mm: float) -> Nearest:
        least = Least(1)
        ready = {owner: partial(_itself, signed) for owner, signed in made.items()}
        measure_surfaces(*paths_of([line], [outside_mm]), triangles, ready, least, np.zeros((1, 1), dtype=np.int64))
        return answers(least, 0, 1)[0]

    field = _values(made[0]) if made else sheet
    return Obstacle(field, measure_surface, slow=isinstance(shape, Mesh))


def obstacle_of_tube(line: Centreline, outside_mm: float) -> Obstacle:
    """Return another run to measure against."""
    legs, bends = solids_of(paths_of([line], [outside_mm])[0])
    solids: list[Targets] = [solid for solid in (legs, bends) if len(solid.owner)]

    def measure(other: Centreline, other_outside_mm: float) -> Nearest:
        return tube_distance(other, other_outside_mm, line, outside_mm)

    return Obstacle(_nearest_of(solids), measure)


def _itself(signed: Signed) -> Signed:
    return signed


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
