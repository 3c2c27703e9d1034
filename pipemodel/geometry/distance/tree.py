"""Blocks within blocks over triangles, and the descent that finds which triangles a curve can be nearest to.

Each leaf holds a few neighbouring triangles, each block above it a few blocks, up to one root for each owner. The
descent begins with whole pieces of tube and roots, and divides the larger of the two, nearest pairs first; a pair
whose blocks are farther apart than a point of the triangles is known to be goes no further. So both the work and the
memory follow what is near, and not the length of the tube times the number of triangles.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, lengths, steps
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.distance.paths import Paths
from pipemodel.geometry.shapes.triangles import Triangles, middles

LEAF, FAN = 4, 4
"""How many triangles lie in a leaf, and how many blocks in the one above them."""
AT_ONCE = 1024
"""Few points begin with so many pairs of point and block, below the uppermost blocks: that saves most of the levels."""
BATCH = 4096
"""How many pairs are divided in one go: with the depth of the tree, this bounds the memory taken."""
SHORT_MM = 20.0
"""A curve whose block is this narrow is not divided further."""
SAME_MM = 1e-9


@dataclass(frozen=True)
class Tree:
    """The blocks: where each lies, and its children, blocks or (of a leaf) triangles, from `first` on.

    `some` is one triangle of each. `root` holds the uppermost block of each owner, -1 for an owner with no triangles.
    `area` is the sum of the area vectors of a block's triangles, `middle` their middle weighted by area, and nothing
    of the block lies farther than `reach` from there.
    """

    low: Floats
    high: Floats
    first: Ints
    count: Ints
    leaf: Bools
    some: Ints
    root: Ints
    area: Floats
    middle: Floats
    reach: Floats

    def children(self, block: Ints) -> tuple[Ints, Ints]:
        """Return the children of blocks, and for each of them which entry of `block` it comes from."""
        row, number = steps(self.count[block])
        return self.first[block][row] + number, row

    def outset(self, owner: int, count: int) -> tuple[Ints, Ints]:
        """Return `count` rows, each with every block of an owner on the lowest level with at most `AT_ONCE` in all.

        As row and block; the uppermost block if even two were too many.
        """
        low, high = int(self.root[owner]), int(self.root[owner]) + 1
        while not self.leaf[low]:
            below = int(self.first[low]), int(self.first[high - 1] + self.count[high - 1])
            if count * (below[1] - below[0]) > max(AT_ONCE, count):
                break
            low, high = below
        return np.repeat(np.arange(count), high - low), np.tile(np.arange(low, high), count)


def tree_of(triangles: Triangles) -> Tree:
    """Build the blocks over triangles."""
    owners = triangles.owner
    area = 0.5 * triangles.twice
    weight = lengths(area)
    level = _Level(
        *triangles.rows,
        owners,
        np.arange(len(owners)),
        area,
        weight,
        weight[:, None] * middles(triangles.corner),
    )
    levels: list[_Level] = []
    firsts: list[Ints] = []
    counts: list[Ints] = []
    below, fan = 0, LEAF
    roots = np.count_nonzero(np.diff(owners)) + 1
    while not levels or len(level.owner) > roots:
        place = np.arange(len(level.owner)) - np.searchsorted(level.owner, level.owner)
        first = np.flatnonzero(place % fan == 0)
        counts.append(np.diff(np.append(first, len(level.owner))))
        firsts.append(first + below)
        below = sum(len(x.owner) for x in levels) if levels else 0
        level = level.grouped(first)
        levels.append(level)
        fan = FAN
    low, high, owner, some, area, weight, moment = (np.concatenate(part) for part in zip(*levels, strict=True))
    first_top = len(owner) - len(level.owner)
    root = np.full(int(owners[-1]) + 1, -1, dtype=np.int64)
    root[level.owner] = np.arange(first_top, len(owner))
    leaf = np.zeros(len(owner), dtype=bool)
    leaf[: len(levels[0].owner)] = True
    middle = np.where(weight[:, None] > 0.0, moment / np.where(weight > 0.0, weight, 1.0)[:, None], 0.5 * (low + high))
    reach = lengths(np.maximum(high - middle, middle - low))
    return Tree(low, high, np.concatenate(firsts), np.concatenate(counts), leaf, some, root, area, middle, reach)


class _Level(NamedTuple):
    """Blocks of one level: where they lie, whose they are, a triangle, area vectors, areas, areas times middles."""

    low: Floats
    high: Floats
    owner: Ints
    some: Ints
    area: Floats
    weight: Floats
    moment: Floats

    def grouped(self, first: Ints) -> "_Level":
        return _Level(
            np.minimum.reduceat(self.low, first, axis=0),
            np.maximum.reduceat(self.high, first, axis=0),
            self.owner[first],
            self.some[first],
            *(np.add.reduceat(x, first, axis=0) for x in (self.area, self.weight, self.moment)),
        )


class _Pairs(NamedTuple):
    """Stretches of curves, from `lo` to `hi` along row `path`, each with a block; and the answer each counts for."""

    path: Ints
    lo: Floats
    hi: Floats
    block: Ints
    key: Ints
    bound: Floats

    def take(self, which: Ints | Bools) -> "_Pairs":
        return _Pairs._make(column[which] for column in self)


Take: TypeAlias = Callable[[Ints, Floats, Floats, Ints, Ints], None]
"""Measures stretches (path, lo, hi) against triangles, one each, for the keys given."""


class TreeSearch:
    """Finds which triangles curves can be nearest to, and has them measured.

    Args:
        paths: the curves.
        triangles: what they are measured against.
        tree: the blocks over it.
        known: the least distance known for each key; `take` makes it smaller.
        take: measures.
    """

    def __init__(self, paths: Paths, triangles: Triangles, tree: Tree, known: Floats, take: Take) -> None:
        self.paths, self.triangles, self.tree, self.known, self.take = paths, triangles, tree, known, take
        self.upper = known.copy()

    def run(self, path: Ints, block: Ints, key: Ints) -> None:
        """Measure whole curves against blocks, for the answers given."""
        zero = np.zeros(len(path))
        waiting = self._pairs(path, zero, self.paths.length[path], block, key)
        stack = [waiting] if len(waiting.path) else []
        while stack:
            work = stack.pop()
            work = work.take(self._worth(work.bound, work.key))
            if len(work.path) > BATCH:
                order = np.argsort(work.bound, kind="stable")
                stack.append(work.take(order[BATCH:]))
                work = work.take(order[:BATCH])
            if len(work.path):
                further = self._divide(work)
                if len(further.path):
                    stack.append(further)

    def _worth(self, bound: Floats, key: Ints) -> Bools:
        out: Bools = (bound < self.known[key] - SAME_MM) & (bound <= self.upper[key] + SAME_MM)
        return out

    def _pairs(self, path: Ints, lo: Floats, hi: Floats, block: Ints, key: Ints) -> _Pairs:
        """Bound pairs from below, note how far each surely is at most, and keep those that are worth more."""
        low, high = self.paths.bounds_of(path, lo, hi)
        bound = gaps(low, high, self.tree.low[block], self.tree.high[block]) - self.paths.tube[path]
        worth = np.flatnonzero(self._worth(bound, key))
        out = _Pairs(path, lo, hi, block, key, bound).take(worth)
        self._note_upper(out)
        return out

    def _note_upper(self, pairs: _Pairs) -> None:
        """Some corner of some triangle of a block is no nearer than the nearest."""
        corner = self.triangles.corner[self.tree.some[pairs.block], 0]
        straight = ~self.paths.bent[pairs.path]
        reach = dots(corner - self.paths.origin[pairs.path], self.paths.u[pairs.path])
        s = np.where(straight, np.minimum(np.maximum(reach, pairs.lo), pairs.hi), 0.5 * (pairs.lo + pairs.hi))
        point, _ = self.paths.at(pairs.path, s)
        # Within a ball of the tube's size that does not reach its flat ends, all is tube; at an end the axis is.
        inside = np.where(self.paths.within_tube(pairs.path, s), self.paths.tube[pairs.path], 0.0)
        np.minimum.at(self.upper, pairs.key, lengths(point - corner) - inside)

    def _divide(self, work: _Pairs) -> _Pairs:
        """Have what is small enough measured; divide the rest, the larger of the two in each pair."""
        low, high = self.paths.bounds_of(work.path, work.lo, work.hi)
        # How wide the block round a curve is: along an axis it fits closely, however long it is.
        extent = high - low
        width = extent.sum(axis=1) - extent.max(axis=1) - extent.min(axis=1)
        size = (self.tree.high[work.block] - self.tree.low[work.block]).max(axis=1)
        leaf = self.tree.leaf[work.block]
        halve = (width > SHORT_MM) & (leaf | (width > size))
        self._measure(work.take(leaf & ~halve), low[leaf & ~halve], high[leaf & ~halve])
        one, other = work.take(halve), work.take(~leaf & ~halve)
        middle = 0.5 * (one.lo + one.hi)
        block, row = self.tree.children(other.block)
        return self._pairs(
            np.concatenate([one.path, one.path, other.path[row]]),
            np.concatenate([one.lo, middle, other.lo[row]]),
            np.concatenate([middle, one.hi, other.hi[row]]),
            np.concatenate([one.block, one.block, block]),
            np.concatenate([one.key, one.key, other.key[row]]),
        )

    def _measure(self, ready: _Pairs, low: Floats, high: Floats) -> None:
        if not len(ready.path):
            return
        triangle, row = self.tree.children(ready.block)
        corner = self.triangles.corner[triangle]
        bound = gaps(low[row], high[row], corner.min(axis=1), corner.max(axis=1)) - self.paths.tube[ready.path[row]]
        key = ready.key[row]
        near = np.flatnonzero(self._worth(bound, key))
        near = near[np.argsort(bound[near], kind="stable")]
        # The likeliest first: what it gives rules many others out.
        for some in (near[:64], near[64:]):
            some = some[self._worth(bound[some], key[some])]
            if len(some):
                rows = row[some]
                self.take(ready.path[rows], ready.lo[rows], ready.hi[rows], triangle[some], key[some])
