"""Which curve is measured against which target, the least found so far, and what a measurement says."""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
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


@dataclass(frozen=True)
class Pairs:
    """Which curve is to be measured against which target, and the answer (`key`) it counts for."""

    path: Ints
    target: Ints
    key: Ints

    def __len__(self) -> int:
        return len(self.key)

    def take(self, which: Ints) -> "Pairs":
        """Return some of the pairs."""
        return Pairs(self.path[which], self.target[which], self.key[which])


class Least:
    """The least distance found so far for each key: how far, by which run, where along it, between which points.

    Nothing farther than `within` is kept; `by` stays below zero for a key with no answer.
    """

    def __init__(self, count: int, within: float = np.inf) -> None:
        self.distance: Floats = np.full(count, within)
        self.by: Ints = np.full(count, -1, dtype=np.int64)
        self.at: Floats = np.zeros(count)
        self.point: Floats = np.zeros((count, 3))
        self.other: Floats = np.zeros((count, 3))

    def offer(self, key: Ints, distance: Floats, by: Ints, at: Floats, point: Floats, other: Floats) -> None:
        """Keep each offer that beats what its key has; among equals the first offered stays."""
        better = np.flatnonzero(distance < self.distance[key])
        if not len(better):
            return
        order = better[np.lexsort((distance[better], key[better]))]
        keys, first = np.unique(key[order], return_index=True)
        win = order[first]
        self.distance[keys] = distance[win] + 0.0  # never minus zero
        self.by[keys] = by[win]
        self.at[keys] = at[win]
        self.point[keys] = point[win]
        self.other[keys] = other[win]

    def answers(self) -> list[Nearest]:
        """Return the answers as plain numbers, in the order of their keys."""
        rows = zip(self.distance.tolist(), self.at.tolist(), self.point.tolist(), self.other.tolist(), strict=True)
        return [Nearest(d, at, tuple(p), tuple(q)) for d, at, p, q in rows]


class Reached(Least):
    """Tells for each key no more than whether anything is nearer than `within`: the first found ends the search."""

    def offer(self, key: Ints, distance: Floats, by: Ints, at: Floats, point: Floats, other: Floats) -> None:
        """Note the keys with an offer that is near enough; nothing beats that."""
        near = np.flatnonzero(distance < self.distance[key])
        self.by[key[near]] = by[near]
        self.distance[key[near]] = -np.inf
