"""What a kind of shape must answer so that a tube can be measured against it, and the least found so far."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints


class Targets(Protocol):
    """Many shapes of one kind, a row each. `index` picks a row for each point; points are (n, 3), mm."""

    @property
    def owner(self) -> Ints:
        """Which thing (or run) each row belongs to, (m,)."""

    @property
    def low(self) -> Floats:
        """Low corners of the blocks that hold them, (m, 3)."""

    @property
    def high(self) -> Floats:
        """High corners of the blocks that hold them, (m, 3)."""

    @property
    def concavity(self) -> Floats:
        """How hollow each row is, 1/mm: 0 for convex shapes.

        The distance to it, followed along any straight line, has a second derivative of at least minus this.
        """

    def field(self, index: Ints, points: Floats) -> tuple[Floats, Floats]:
        """Return the distances to the surfaces, below zero inside, and the unit directions away from them."""

    def extremes(self, index: Ints, direction: Floats) -> Floats:
        """Return points of the shapes, (n, k, 3), among them all that reach furthest in `direction` locally.

        Where a whole edge or face reaches equally far, its corners are among them; NaN fills what is not needed.
        """

    def piercings(self, index: Ints, centre: Floats, normal: Floats) -> Floats:
        """Return points of the shapes in the planes through `centre` square to `normal`, (n, k, 3).

        Wherever a piece of the cut between shape and plane is bounded, one of the points lies in it. NaN where
        there is no such point.
        """


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
