"""Whether what stands about closes a place in, but for one opening: what the proofs of no way in rest on.

Such a proof is about a piece that crosses the opening's plane within its outline only. That it must do so is shown by
balls as wide as the tube: if from where its axis stands, inside, no ball gets anywhere else than through the opening,
the piece does not either. Space is divided into cells so small that a wall shuts every cell it goes through: a cell is
shut where all of it is too near to something for the middle of a ball. From the axis one goes from cell to cell until
no more are reached, or it gets out. Cells that are not shut count as wholly free, so a place is never called closed
that is not; one that is may be called open where it is large, or where gaps are hardly narrower than the tube.
"""

from collections.abc import Sequence
from math import inf, sqrt

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes import Shape
from pipemodel.job.model import Opening
from pipemodel.ways_in.closed_kernel import SIDE, stays_in
from pipemodel.ways_in.crossing import things_of
from pipemodel.ways_in.judge_kernel import BOX
from pipemodel.ways_in.judge_room import Room
from pipemodel.ways_in.proofs import gate_of

FINE = 2.2
"""A cell's side goes so many times into what the middle of a ball keeps off: with 1.9, a sheet shuts all it cuts."""
ROUND_MM = 1500.0
"""What is farther than this from the place and from all things with a size is outside."""
MOST_MM = 4000.0
"""What is farther than this from the place is not looked at, and counts as outside."""
MOST_TRIANGLES = 3000


def closed_in(
    line: Centreline,
    outside_mm: float,
    margin_mm: float,
    opening: Opening,
    shapes: Sequence[Shape],
    block: tuple[Floats, Floats],
) -> bool:
    """Tell whether it is shown that the piece can get out of its place by nothing but the opening.

    Args:
        line: the run's axis in its place.
        outside_mm: its tube's outside diameter.
        margin_mm: what it keeps off everything.
        opening: where it may get out.
        shapes: what it keeps off.
        block: low and high corners of the block that holds everything with a size.
    """
    keep = outside_mm / 2.0 + margin_mm
    size = keep / FINE
    gate, things = gate_of(opening), things_of(shapes)
    cut = outside_mm / 2.0
    at = np.linspace(cut, line.length - cut, max(int(line.length / outside_mm), 2))
    axis = np.array([line.point_at(float(s)) for s in at])
    inside = axis[(axis - gate.origin) @ gate.axes[2] > 2.0 * size]
    if not len(inside) or line.length < 2.0 * outside_mm:
        return False
    low = np.maximum(np.minimum(block[0], inside.min(axis=0)) - ROUND_MM, inside.min(axis=0) - MOST_MM)
    high = np.minimum(np.maximum(block[1], inside.max(axis=0)) + ROUND_MM, inside.max(axis=0) + MOST_MM)
    count = np.ceil((high - low) / (SIDE * size)).astype(np.int64)
    triangles = things[6] if len(things[6]) <= MOST_TRIANGLES else things[6][:0]
    return any(
        stays_in(
            things[0], things[1], triangles, low, count, size, inside, gate.origin, gate.axes, gate.outline,
            keep - 1e-6, fine,
        )
        for fine in (_fine(things, keep), np.full(len(things[0]), SIDE))
    )  # fmt: skip


def _fine(things: Room, keep: float) -> Ints:
    """Return into how many cells the side of a block is parted beside each thing, so that a wall like it lets none by.

    What the middle of a ball keeps off reaches `keep` beyond both sides of a wall. Of that, half the diagonal of a cell
    is lost on either side, and what is left must be as deep as a cell.
    """
    deep = np.where(things[0] == BOX, 2.0 * things[1][:, 3:6].min(axis=1), inf) + 2.0 * keep
    side = keep / FINE * SIDE
    out: Ints = np.select([deep >= (1.0 + sqrt(3.0)) * side / parts for parts in (2, 4)], [2, 4], SIDE)
    return out
