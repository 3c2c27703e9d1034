"""The first, cheap look: which piece of which run can be nearest to which target, from their blocks."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, steps
from pipemodel.geometry.bounds import Blocks, blocks_of, gaps
from pipemodel.geometry.distance.ends import measure_ends
from pipemodel.geometry.distance.paths import PathEnds, Paths
from pipemodel.geometry.distance.sweep import Sweep
from pipemodel.geometry.distance.targets import Least, Pairs
from pipemodel.geometry.shapes.base import Targets

CELLS = 40_000
"""How many pairs of piece and target are looked at in one go; bounds the memory taken."""


class Asked(NamedTuple):
    """What is asked for: run `run` against owner `owner`, the answer to count for `key`; an array of each."""

    run: Ints
    owner: Ints
    key: Ints

    def take(self, which: Ints) -> "Asked":
        """Return some of them."""
        return Asked(self.run[which], self.owner[which], self.key[which])

    def turned(self) -> "Asked":
        """Return the same with runs for owners and owners for runs."""
        return Asked(self.owner, self.run, self.key)

    def both_ways(self) -> "Asked":
        """Return these and the same turned."""
        return Asked(*(np.concatenate(pair) for pair in zip(self, self.turned(), strict=True)))


def measure(paths: Paths, ends: PathEnds, targets: Targets, least: Least, asked: Asked) -> None:
    """Measure the sides and ends of runs against targets of one kind, where the least distance can lie.

    Args:
        paths: pieces of runs, run after run.
        ends: flat ends of runs.
        targets: what they are measured against, owner after owner.
        least: takes the answers.
        asked: which runs against which owners.
    """
    measure_sides(paths, targets, least, asked)
    measure_flat_ends(ends, targets, least, asked)


def measure_sides(paths: Paths, targets: Targets, least: Least, asked: Asked) -> None:
    """Measure the sides of runs against targets.

    For each answer the pair whose blocks are nearest is measured first; what it gives rules most others out.
    """
    low, high = targets.rows
    runs = blocks_of(paths.owner, paths.low - paths.tube[:, None], paths.high + paths.tube[:, None])
    for answer, path, target, key in _cells(runs, targets.blocks, least, asked):
        gap = _bounds(gaps(paths.low[path], paths.high[path], low[target], high[target]), paths.tube[path])
        nearest = np.minimum.reduceat(gap, np.flatnonzero(np.diff(answer, prepend=-1)))
        likely = np.flatnonzero(gap <= nearest[answer])
        # Of pairs equally near the first serves.
        likely = likely[np.diff(answer[likely], prepend=-1) != 0]
        sweep = Sweep(paths, targets, least)
        sweep.run(Pairs(path[likely], target[likely], key[likely]))
        gap[likely] = np.inf
        rest = np.flatnonzero(gap < least.distance[key] - 1e-9)
        sweep.run(Pairs(path[rest], target[rest], key[rest]))


def measure_flat_ends(ends: PathEnds, targets: Targets, least: Least, asked: Asked) -> None:
    """Measure the flat ends of runs against targets."""
    low, high = targets.rows
    reach = ends.tube[:, None]
    runs = blocks_of(ends.owner, ends.centre - reach, ends.centre + reach)
    for _, end, target, key in _cells(runs, targets.blocks, least, asked):
        centre = ends.centre[end]
        gap = _bounds(gaps(centre, centre, low[target], high[target]), ends.tube[end])
        near = np.flatnonzero(gap < least.distance[key] - 1e-9)
        measure_ends(ends, targets, least, Pairs(end[near], target[near], key[near]))


def portions(owner: Ints, run: Ints) -> Iterator[tuple[Ints, Ints]]:
    """Yield the rows of each run asked for, some ten thousand at a time: which entry of `run`, and the row.

    Args:
        owner: the run of each row, sorted.
        run: the runs asked for.
    """
    first = np.searchsorted(owner, run, "left")
    count = np.searchsorted(owner, run, "right") - first
    for some in _batches(count):
        row, number = steps(count[some])
        yield some[row], first[some][row] + number


def _cells(runs: Blocks, owners: Blocks, least: Least, asked: Asked) -> Iterator[tuple[Ints, Ints, Ints, Ints]]:
    """Yield every pair of a run's row and an owner's row that could matter, some ten thousand at a time.

    As the number of the answer among those yielded at once, the two rows, and the key.
    """
    asked = asked.take(np.flatnonzero((asked.run < len(runs.size)) & (asked.owner < len(owners.size))))
    asked = asked.take(np.flatnonzero((runs.size[asked.run] > 0) & (owners.size[asked.owner] > 0)))
    gap = gaps(runs.low[asked.run], runs.high[asked.run], owners.low[asked.owner], owners.high[asked.owner])
    run, owner, key = asked.take(np.flatnonzero((gap <= 0.0) | (gap < least.distance[asked.key])))
    cells = runs.size[run] * owners.size[owner]
    for some in _batches(cells):
        for answer, number in _numbered(cells[some]):
            which = some[answer]
            wide = owners.size[owner[which]]
            path, target = runs.first[run[which]] + number // wide, owners.first[owner[which]] + number % wide
            yield answer, path, target, key[which]


def _numbered(counts: Ints) -> Iterator[tuple[Ints, Ints]]:
    """Yield rows that stand for `counts` items and the numbers of their items; one row of too many in portions."""
    if len(counts) > 1:
        yield steps(counts)
        return
    for begin in range(0, int(counts[0]), CELLS):
        number = np.arange(begin, min(begin + CELLS, int(counts[0])))
        yield np.zeros(len(number), dtype=np.int64), number


def _batches(cells: Ints) -> Iterator[Ints]:
    """Yield which entries to take together, so that their cells come to no more than `CELLS` or it is one alone."""
    # Rounded up, so that what is too much for one batch has one to itself.
    batch = (np.cumsum(cells) - 1) // CELLS
    for some in np.split(np.arange(len(cells)), np.flatnonzero(np.diff(batch)) + 1):
        if len(some):
            yield some


def _bounds(gap: Floats, tube: Floats) -> Floats:
    """Return bounds from below on distances, from the gaps between blocks: none where the blocks overlap."""
    return np.where(gap > 0.0, gap - tube, -np.inf)
