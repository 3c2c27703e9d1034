"""The planes in which legs are looked for, and how far one may go along every line where they cross.

Planes lie as near to every face as the tube may come, a little farther off where a bend cuts the corner, at the
standoff of clips, through start and finish, and where nothing stands, at even distances. A node is where three planes
cross; its lines run along the axes of the room.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pipemodel.finding.around import HAIR_MM, Around, Obstruction
from pipemodel.geometry.arrays import Bools, Floats, Ints

SAMPLE_MM = 6.0
"""How closely a line is looked at beside what is no block."""
FARTHEST = 255
"""Stands for more bends than are ever counted."""

AXES: Floats = np.array([[1.0, 0, 0], [-1.0, 0, 0], [0, 1.0, 0], [0, -1.0, 0], [0, 0, 1.0], [0, 0, -1.0]])
"""The directions of the axes: number 2 k along axis k, 2 k + 1 against it."""


@dataclass(frozen=True)
class Lattice:
    """Planes across each axis, in rising order, and what is clear between them."""

    planes: tuple[Floats, Floats, Floats]
    shut: tuple[Bools, Bools, Bools]
    """Of each axis, whether the line from a node to the next along it is shut; one shorter along that axis."""

    @classmethod
    def of(cls, planes: tuple[Floats, Floats, Floats], around: Around) -> "Lattice":
        """Return the lattice of some planes in a room."""
        sizes = [len(p) for p in planes]
        shut = [np.zeros([n - (a == k) for k, n in enumerate(sizes)], dtype=bool) for a in range(3)]
        empty = cls(planes, (shut[0], shut[1], shut[2]))
        for one, low, high in zip(around.things, around.low, around.high, strict=True):
            empty.shut_by(one, low, high)
        return empty

    def also(self, more: Sequence[Obstruction]) -> "Lattice":
        """Return the same with more to keep clear of."""
        out = Lattice(self.planes, (self.shut[0].copy(), self.shut[1].copy(), self.shut[2].copy()))
        for one in more:
            out.shut_by(one, one.low - one.required, one.high + one.required)
        return out

    def shut_by(self, one: Obstruction, low: Floats, high: Floats) -> None:
        """Shut what comes too near to one thing; `low` and `high` hold where its axis must not go."""
        for axis in range(3):
            spans = [
                _span(self.planes[k], low[k], high[k], k == axis, len(self.planes[k]) - (k == axis)) for k in range(3)
            ]
            if any(a >= b for a, b in spans):
                continue
            part = tuple(slice(a, b) for a, b in spans)
            self.shut[axis][part] |= self._too_near(one, axis, spans)

    def _too_near(self, one: Obstruction, axis: int, spans: Sequence[tuple[int, int]]) -> Bools:
        begins = [self.planes[k][a:b] for k, (a, b) in enumerate(spans)]
        ends = [self.planes[k][a + (k == axis) : b + (k == axis)] for k, (a, b) in enumerate(spans)]
        if one.block and not one.spared:
            least = 0.0 if one.required >= 0.0 else -np.inf
            gaps = [np.maximum(np.maximum(one.low[k] - ends[k], begins[k] - one.high[k]), least) for k in range(3)]
            x, y, z = np.ix_(*gaps)
            if one.required < 0.0:
                inside: Bools = np.maximum(np.maximum(x, y), z) < one.required - HAIR_MM
                return inside
            near: Bools = x * x + y * y + z * z < (one.required - HAIR_MM) ** 2
            return near
        return _sampled(one, axis, begins, ends)

    @cached_property
    def last(self) -> tuple[Ints, ...]:
        """For each of the six directions, the plane up to which one may go from every node."""
        out: list[Ints] = []
        for axis in range(3):
            n = len(self.planes[axis])
            shape = [len(p) for p in self.planes]
            ahead, back = np.empty(shape, dtype=np.int64), np.empty(shape, dtype=np.int64)
            up, down, shut = (np.moveaxis(a, axis, 0) for a in (ahead, back, self.shut[axis]))
            up[n - 1], down[0] = n - 1, 0
            for i in range(n - 2, -1, -1):
                up[i] = np.where(shut[i], i, up[i + 1])
            for i in range(1, n):
                down[i] = np.where(shut[i - 1], i, down[i - 1])
            out += [ahead, back]
        return tuple(out)

    def node(self, points: Floats) -> tuple[Ints, Bools]:
        """Return the planes that points lie in, (n, 3), and of which axes they lie in one, (n, 3)."""
        number = np.empty((len(points), 3), dtype=np.int64)
        on = np.empty((len(points), 3), dtype=bool)
        for axis, plane in enumerate(self.planes):
            at = np.clip(np.searchsorted(plane, points[:, axis]), 0, len(plane) - 1)
            below = np.maximum(at - 1, 0)
            nearer = np.abs(plane[below] - points[:, axis]) < np.abs(plane[at] - points[:, axis])
            number[:, axis] = np.where(nearer, below, at)
            on[:, axis] = np.abs(plane[number[:, axis]] - points[:, axis]) < 1e-6
        return number, on

    def bends_to(self, finish: Floats, arriving: int, most: int) -> tuple[Ints, ...] | None:
        """Return for each direction the fewest turns from every node to the finish, were a bend to take no room.

        None where the finish lies in no planes. Nodes with more than `most` have `FARTHEST`.
        """
        number, on = self.node(finish[None])
        if not on.all():
            return None
        shape = [len(p) for p in self.planes]
        fewest = [np.full(shape, FARTHEST, dtype=np.int64) for _ in range(6)]
        i, j, k = number[0].tolist()
        back = self.last[arriving ^ 1][i, j, k]
        line: list[int | slice] = [i, j, k]
        axis = arriving // 2
        line[axis] = slice(int(back), line[axis] + 1) if arriving % 2 == 0 else slice(line[axis], int(back) + 1)  # type: ignore[operator]
        fewest[arriving][tuple(line)] = 0
        return self._onwards(fewest, 1, most)

    def bends_to_any(self, places: Floats, most: int) -> tuple[Ints, ...] | None:
        """Return the same where the last bend is made at one of some nodes, (n, 3), whichever way it is reached."""
        number, on = self.node(places)
        shape = [len(p) for p in self.planes]
        wanted = np.zeros(shape, dtype=bool)
        wanted[tuple(number[on.all(axis=1)].T)] = True
        fewest = [np.where(self._reaching(wanted, way), 1, FARTHEST) for way in range(6)]
        return self._onwards(fewest, 2, most)

    def _onwards(self, fewest: list[Ints], least: int, most: int) -> tuple[Ints, ...]:
        """Fill in how many bends it takes, from so many on, where one fewer is known already."""
        shape = [len(p) for p in self.planes]
        for bends in range(least, most + 1):
            seen = [one < bends for one in fewest]
            for way in range(6):
                turn = np.zeros(shape, dtype=bool)
                for other in range(6):
                    if other // 2 != way // 2:
                        turn |= seen[other]
                found = self._reaching(turn, way) & (fewest[way] == FARTHEST)
                fewest[way][found] = bends
        return tuple(fewest)

    def _reaching(self, wanted: Bools, way: int) -> Bools:
        """Return the nodes from which one reaches a wanted one, going straight in a direction."""
        axis = way // 2
        out = wanted.copy()
        nodes, shut = np.moveaxis(out, axis, 0), np.moveaxis(self.shut[axis], axis, 0)
        n = len(nodes)
        if way % 2 == 0:
            for i in range(n - 2, -1, -1):
                nodes[i] |= nodes[i + 1] & ~shut[i]
        else:
            for i in range(1, n):
                nodes[i] |= nodes[i - 1] & ~shut[i - 1]
        return out


def _span(plane: Floats, low: float, high: float, edges: bool, count: int) -> tuple[int, int]:
    """Return which nodes, or which lines between two of them, can lie in between."""
    first, last = int(np.searchsorted(plane, low, "right")), int(np.searchsorted(plane, high, "left"))
    return max(first - edges, 0), min(last, count)


def _sampled(one: Obstruction, axis: int, begins: Sequence[Floats], ends: Sequence[Floats]) -> Bools:
    shape = tuple(len(b) for b in begins)
    from_ = np.stack(np.meshgrid(*begins, indexing="ij"), axis=-1).reshape(-1, 3)
    half = (ends[axis] - begins[axis]) / 2.0
    halves = np.moveaxis(np.broadcast_to(half[:, None, None], (shape[axis], *np.delete(shape, axis))), 0, axis).ravel()
    middle = from_.copy()
    middle[:, axis] += halves
    short = one.lacking(middle)
    shut = short > HAIR_MM
    # Farther along the line it may be nearer by no more than it is long.
    unsure = np.flatnonzero(~shut & (short + halves > HAIR_MM))
    if len(unsure):
        count = int(np.ceil(2.0 * halves[unsure].max() / SAMPLE_MM)) + 1
        for part in np.linspace(0.0, 2.0, count).tolist():
            left = unsure[~shut[unsure]]
            points = from_[left].copy()
            points[:, axis] += part * halves[left]
            shut[left] |= one.lacking(points) > HAIR_MM
    return shut.reshape(shape)
