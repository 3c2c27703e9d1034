"""How far the search has come: corners reached, the direction taken there, and how."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, vec3
from pipemodel.geometry.vectors import Vec3


@dataclass(frozen=True)
class States:
    """Corners reached, a row each.

    At `point` the tube turns to the direction `way` (0 to 5, see `lattice.AXES`) with a bend that begins `setback` mm
    before it; 0 at the start. `cost` is the length to it, of the legs less what the bends save. `parent` is the row
    that it was reached from, -1 for none; where a set lies between the two, `middle` is its first corner, else NaN.
    """

    point: Floats
    way: Ints
    setback: Floats
    cost: Floats
    parent: Ints
    middle: Floats

    def __len__(self) -> int:
        return len(self.way)

    def take(self, which: Ints) -> "States":
        """Return some of the rows."""
        return States(**{one.name: getattr(self, one.name)[which] for one in fields(self)})

    @classmethod
    def one(cls, point: Vec3, way: int) -> "States":
        """Return the start."""
        return cls(
            np.array([point], dtype=float),
            np.array([way]),
            np.zeros(1),
            np.zeros(1),
            np.full(1, -1),
            np.full((1, 3), np.nan),
        )

    @classmethod
    def joined(cls, parts: Sequence["States"]) -> "States":
        """Return several one after the other."""
        if not parts:
            empty = np.zeros(0)
            none = np.zeros(0, dtype=np.int64)
            return cls(np.zeros((0, 3)), none, empty, empty, none, np.zeros((0, 3)))
        return cls(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in fields(cls)))


class Store:
    """All rows of a search in one, so that a way can be followed back to its start."""

    def __init__(self) -> None:
        self.parts: list[States] = []
        self.count = 0

    def keep(self, states: States) -> Ints:
        """Keep rows, and return their numbers."""
        numbers = np.arange(self.count, self.count + len(states))
        self.parts.append(states)
        self.count += len(states)
        return numbers

    def corners(self, number: int) -> list[Vec3]:
        """Return the corners from the start to a row, both with it."""
        points: list[Vec3] = []
        while number >= 0:
            first = 0
            for part in self.parts:
                if number < first + len(part):
                    break
                first += len(part)
            row = number - first
            points.append(vec3(part.point[row]))
            if not np.isnan(part.middle[row, 0]):
                points.append(vec3(part.middle[row]))
            number = int(part.parent[row])
        return points[::-1]
