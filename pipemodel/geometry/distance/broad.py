"""The first, cheap look: which piece of which run can be nearest to which target, told from their blocks."""

from collections.abc import Iterator
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints, steps
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.distance.ends import measure_ends
from pipemodel.geometry.distance.paths import Ends, Paths
from pipemodel.geometry.distance.sweep import Sweep
from pipemodel.geometry.distance.targets import Least, Pairs, Targets
from pipemodel.geometry.distance.to_triangle import Triangles

CELLS = 200_000
"""How many pairs of piece and target are looked at in one go; bounds the memory taken."""


class _Group(NamedTuple):
    """Rows sorted by owner, owner by owner: where each one's begin and how many, and the blocks that hold them."""

    first: Ints
    size: Ints
    low: Floats
    high: Floats


def measure(paths: Paths, ends: Ends, targets: Targets, least: Least, keys: Ints) -> None:
    """Measure the sides and ends of runs against targets of one kind, where the least distance can lie.

    Args:
        paths: pieces of runs, run after run.
        ends: flat ends of runs.
        targets: what they are measured against, owner after owner.
        least: takes the answers.
        keys: the answer that run i against owner j counts for, (runs, owners); below zero where there is none.
    """
    measure_sides(paths, targets, least, keys)
    measure_flat_ends(ends, targets, least, keys)


def measure_sides(paths: Paths, targets: Targets, least: Least, keys: Ints) -> None:
    """Measure the sides of runs against targets.

    For each answer the pair whose blocks are nearest is measured first; what it gives rules most others out.
    """
    low, high = targets.low, targets.high
    runs = _grouped(paths.owner, paths.low - paths.tube[:, None], paths.high + paths.tube[:, None], len(keys))
    for answer, path, target, key in _cells(runs, _grouped(targets.owner, low, high, keys.shape[1]), least, keys):
        gap = _bounds(gaps(paths.low[path], paths.high[path], low[target], high[target]), paths.tube[path])
        nearest = np.minimum.reduceat(gap, np.flatnonzero(np.diff(answer, prepend=-1)))
        likely = np.flatnonzero(gap <= nearest[answer])
        # Of pairs equally near the first serves.
        likely = likely[np.diff(answer[likely], prepend=-1) != 0]
        _slide(paths, targets, least, Pairs(path[likely], target[likely], key[likely]))
        gap[likely] = np.inf
        rest = np.flatnonzero(gap < least.distance[key] - 1e-9)
        _slide(paths, targets, least, Pairs(path[rest], target[rest], key[rest]))


def measure_flat_ends(ends: Ends, targets: Targets, least: Least, keys: Ints) -> None:
    """Measure the flat ends of runs against targets."""
    low, high = targets.low, targets.high
    reach = ends.tube[:, None]
    runs = _grouped(ends.owner, ends.centre - reach, ends.centre + reach, len(keys))
    for _, end, target, key in _cells(runs, _grouped(targets.owner, low, high, keys.shape[1]), least, keys):
        centre = ends.centre[end]
        gap = _bounds(gaps(centre, centre, low[target], high[target]), ends.tube[end])
        near = np.flatnonzero(gap < least.distance[key] - 1e-9)
        pairs = Pairs(end[near], target[near], key[near])
        measure_ends(ends, targets, least, _split(targets, pairs) if isinstance(targets, Triangles) else pairs)


def _grouped(owner: Ints, low: Floats, high: Floats, owners: int) -> _Group:
    """Return where the rows of each owner lie, and the blocks that hold them."""
    first = np.searchsorted(owner, np.arange(owners + 1))
    count = np.diff(first)
    whole = np.full((2, owners, 3), np.inf)
    some = np.flatnonzero(count)
    if len(some):
        whole[0, some] = np.minimum.reduceat(low, first[some], axis=0)
        whole[1, some] = np.maximum.reduceat(high, first[some], axis=0)
    return _Group(first[:-1], count, whole[0], whole[1])


def _cells(runs: _Group, owners: _Group, least: Least, keys: Ints) -> Iterator[tuple[Ints, Ints, Ints, Ints]]:
    """Yield every pair of a run's row and an owner's row that could matter, some hundred thousand at a time.

    As the number of the answer among those yielded at once, the two rows, and the key.
    """
    run, owner = np.nonzero((keys >= 0) & (runs.size > 0)[:, None] & (owners.size > 0))
    key = keys[run, owner]
    gap = gaps(runs.low[run], runs.high[run], owners.low[owner], owners.high[owner])
    near = np.flatnonzero((gap <= 0.0) | (gap < least.distance[key]))
    run, owner, key = run[near], owner[near], key[near]
    cells = runs.size[run] * owners.size[owner]
    batch = np.cumsum(cells) // CELLS
    for some in np.split(np.arange(len(key)), np.flatnonzero(np.diff(batch)) + 1):
        if not len(some):
            continue
        answer, number = steps(cells[some])
        which = some[answer]
        wide = owners.size[owner[which]]
        yield answer, runs.first[run[which]] + number // wide, owners.first[owner[which]] + number % wide, key[which]


def _bounds(gap: Floats, tube: Floats) -> Floats:
    """Return bounds from below on distances, from the gaps between blocks: none where the blocks overlap."""
    return np.where(gap > 0.0, gap - tube, -np.inf)


def _slide(paths: Paths, targets: Targets, least: Least, pairs: Pairs) -> None:
    """Slide along the curves; of blocks of triangles only those triangles that can be nearest are taken."""
    if isinstance(targets, Triangles):
        pairs = _split(targets, pairs)
        low, high = targets.triangle_bounds(pairs.target)
        gap = _bounds(gaps(paths.low[pairs.path], paths.high[pairs.path], low, high), paths.tube[pairs.path])
        pairs = pairs.take(np.flatnonzero(gap < least.distance[pairs.key] - 1e-9))
    Sweep(paths, targets, least).run(pairs)


def _split(triangles: Triangles, pairs: Pairs) -> Pairs:
    member, row = triangles.members(pairs.target)
    return Pairs(pairs.path[row], member, pairs.key[row])
