"""Exact distances from the outside of tubes to things, to each other and to themselves.

`paths` and `geometry.shapes` hold the geometry, one file per kind of shape; `sweep` slides along the axis, `ends` sees
to the flat ends, `broad` rules out what cannot be nearest, `depth` measures inside closed meshes. `things`, `runs` and
`itself` ask the three questions. A tube is the solid within its outside, flat ends square to its axis.
"""

from pipemodel.geometry.distance.itself import self_distances
from pipemodel.geometry.distance.runs import Apart, distances_between_runs, pairs_within, tube_distance
from pipemodel.geometry.distance.targets import Nearest
from pipemodel.geometry.distance.things import Surroundings, least_distances, surroundings_of

__all__ = [
    "Apart",
    "Nearest",
    "Surroundings",
    "distances_between_runs",
    "least_distances",
    "pairs_within",
    "self_distances",
    "surroundings_of",
    "tube_distance",
]
