"""A run against itself."""

from collections.abc import Sequence

import numpy as np

from pipemodel.geometry.arrays import Bools, Ints, steps
from pipemodel.geometry.bounds import gaps
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.ends import measure_ends
from pipemodel.geometry.distance.paths import PathEnds, Paths, paths_of
from pipemodel.geometry.distance.runs import solids_of
from pipemodel.geometry.distance.sweep import Sweep
from pipemodel.geometry.distance.targets import Least, Nearest, Pairs
from pipemodel.geometry.shapes.bends import Bends
from pipemodel.geometry.shapes.cylinder import Cylinders


def self_distances(
    lines: Sequence[Centreline], outside_mm: Sequence[float], within: float = np.inf
) -> list[Nearest | None]:
    """Return for each run how near it comes to itself, None where that is nowhere nearer than `within`.

    Pieces that touch are never compared, nor are the two legs of one bend: no bend of up to 180 degrees can
    bring its own legs nearer than the bend is wide. Of all others only places count where the shortest line
    between the two stands square on both. What is near only because it joins on a little further along has no
    such line, for sliding along the tube shortens it all the way to the joint.

    Args:
        lines: the axes.
        outside_mm: the outside diameters.
        within: what is farther apart than this is not looked for.
    """
    paths, ends = paths_of(lines, outside_mm)
    legs, bends = solids_of(paths)
    least = Least(len(lines), within)
    _legs_or_bends(paths, ends, legs, np.flatnonzero(~paths.bent), least)
    _legs_or_bends(paths, ends, bends, np.flatnonzero(paths.bent), least)
    return [near if by >= 0 else None for near, by in zip(least.answers(), least.by.tolist(), strict=True)]


def _legs_or_bends(paths: Paths, ends: PathEnds, targets: Cylinders | Bends, rows: Ints, least: Least) -> None:
    """Measure sides and ends of runs against their own legs, or their own bends; `rows` tells which pieces."""
    slide = np.flatnonzero(paths.bent) if isinstance(targets, Bends) else np.arange(len(paths))
    # A leg and a bend are measured by sliding along the bend.
    mine, target = _same_owner(paths.owner[slide], targets.owner)
    path = slide[mine]
    strangers = _strangers(paths.number[path], paths.bent[path], paths.number[rows[target]], paths.bent[rows[target]])
    near = gaps(paths.low[path], paths.high[path], *(corner[target] for corner in targets.rows))
    keep = strangers & (near - paths.tube[path] < least.distance[paths.owner[path]])
    path, target = path[keep], target[keep]
    Sweep(paths, targets, least, targets.square_to).run(Pairs(path, target, paths.owner[path]))

    end, target = _same_owner(ends.owner, targets.owner)
    last = np.searchsorted(paths.owner, ends.owner[end]) + ends.number[end]
    keep = _strangers(ends.number[end], paths.bent[last], paths.number[rows[target]], paths.bent[rows[target]])
    end, target = end[keep], target[keep]
    measure_ends(ends, targets, least, Pairs(end, target, ends.owner[end]), targets.square_to)


def _same_owner(a: Ints, b: Ints) -> tuple[Ints, Ints]:
    """Return the rows of a and b, both sorted, that belong to the same run."""
    first, beyond = np.searchsorted(b, a, "left"), np.searchsorted(b, a, "right")
    row, number = steps(beyond - first)
    return row, first[row] + number


def _strangers(number: Ints, bent: Bools, other: Ints, other_bent: Bools) -> Bools:
    """Return which pieces of a run neither touch nor are the two legs of one bend."""
    out: Bools = np.abs(number - other) >= np.where(bent | other_bent, 2, 3)
    return out
