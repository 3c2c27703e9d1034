"""Exact distances from the outside of tubes."""

from pipemodel.geometry.distance.itself import self_distance
from pipemodel.geometry.distance.nearest import Nearest
from pipemodel.geometry.distance.runs import tube_distance
from pipemodel.geometry.distance.things import least_distances

__all__ = ["Nearest", "least_distances", "self_distance", "tube_distance"]
