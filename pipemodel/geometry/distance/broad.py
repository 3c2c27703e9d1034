"""The first, cheap look: which piece of which run can be nearest to which target, told from their blocks."""

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.distance.ends import measure_ends
from pipemodel.geometry.distance.paths import Ends, Paths
from pipemodel.geometry.distance.sweep import Sweep
from pipemodel.geometry.distance.targets import Least, Pairs, Targets
from pipemodel.geometry.distance.to_triangle import Triangles

CELLS = 300_000
"""How many pairs of piece and target are looked at in one go; bounds the memory taken."""


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
    if not len(paths) or not len(targets.owner):
        return
    low, high = targets.low, targets.high
    groups = np.flatnonzero(np.diff(targets.owner, prepend=-1))
    group_of = np.cumsum(np.diff(targets.owner, prepend=targets.owner[0]) != 0)
    single = len(groups) == len(targets.owner)
    for rows in _chunks(paths.owner, len(targets.owner)):
        gap = _bounds(
            gaps(paths.low[rows, None], paths.high[rows, None], low[None], high[None]), paths.tube[rows, None]
        )
        owner = paths.owner[rows]
        key = keys[owner[:, None], targets.owner[None]]
        runs = np.flatnonzero(np.diff(owner, prepend=-1))
        run_of = np.cumsum(np.diff(owner, prepend=owner[0]) != 0)
        nearest: Floats = np.minimum.reduceat(gap, runs, axis=0)
        if not single:
            nearest = np.minimum.reduceat(nearest, groups, axis=1)[:, group_of]
        path, target = np.nonzero((gap <= nearest[run_of]) & (key >= 0))
        if not len(path):
            continue
        # Of pairs equally near the first serves.
        found, first = np.unique(key[path, target], return_index=True)
        path, target = path[first], target[first]
        _slide(paths, targets, least, Pairs(path + rows.start, target, found))
        gap[path, target] = np.inf
        path, target = np.nonzero((gap < least.distance[key] - 1e-9) & (key >= 0))
        _slide(paths, targets, least, Pairs(path + rows.start, target, key[path, target]))


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


def measure_flat_ends(ends: Ends, targets: Targets, least: Least, keys: Ints) -> None:
    """Measure the flat ends of runs against targets."""
    low, high = targets.low, targets.high
    for rows in _chunks(ends.owner, len(targets.owner)):
        centre = ends.centre[rows, None]
        key = keys[ends.owner[rows, None], targets.owner[None]]
        gap = _bounds(gaps(centre, centre, low[None], high[None]), ends.tube[rows, None])
        end, target = np.nonzero((gap < least.distance[key] - 1e-9) & (key >= 0))
        pairs = Pairs(end + rows.start, target, key[end, target])
        measure_ends(ends, targets, least, _split(targets, pairs) if isinstance(targets, Triangles) else pairs)


def _chunks(owner: Ints, columns: int) -> list[slice]:
    """Cut rows into stretches of whole runs, each of about `CELLS` cells at most."""
    starts = np.flatnonzero(np.diff(owner, prepend=-1))
    cuts = [0]
    for start, end in zip(starts, [*starts[1:], len(owner)], strict=True):
        if (end - cuts[-1]) * columns > CELLS and start > cuts[-1]:
            cuts.append(int(start))
    return [slice(a, b) for a, b in zip(cuts, [*cuts[1:], len(owner)], strict=True)]
