"""Whether a rigid set of balls can stand anywhere with one of them in the plane of an opening: no, or not shown.

All placements with that ball's middle in the opening are divided into cells: where in the opening, which way the piece
looks, how it is rolled about that way. No ball's middle strays farther from where it stands at the middle of a cell
than a bound that follows from the cell's size; distances change no faster than places. So a cell is empty where one
ball, with that bound taken off, still reaches nearer to something than it may. Cells that are not empty are halved. All
cells empty: a proof. A cell whose middle is clear, or too many cells: nothing is shown. `crossing_kernel` does it.

Directions are cells on the six faces of a cube. `LOOSE` bounds how much more than the direction the frame turns that
is carried from the middle of a face: 1 / cos(t / 2) for t up to the corner of a face, 54.74 degrees.
"""

from collections.abc import Callable, Sequence
from math import pi
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes import Shape
from pipemodel.ways_in.crossing_kernel import stuck
from pipemodel.ways_in.judge_room import Obstacle, Room, room_of

Field: TypeAlias = Callable[[Floats], Floats]
"""From points, (n, 3), to signed distances, (n,); no two points differ by more than they are apart."""
LOOSE = 1.126
NEAR = 8.0
"""Cells are halved by what the balls do that are no farther from the first than so many times what they keep off."""


class GateFrame(NamedTuple):
    """An opening in its own frame: origin, rows of unit vectors across, up and inwards, (3, 3), and outline, (n, 2).

    `solid` says that its edges are those of things, which the piece keeps off as well; else only its axis stays within.
    """

    origin: Floats
    axes: Floats
    outline: Floats
    solid: bool = True

    def edge_points(self, out_mm: float) -> Floats:
        """Return points in the plane all round, (n, 3), so far outside the edges and about 5 mm apart."""
        points = []
        after = np.roll(self.outline, -1, axis=0)
        area = float((self.outline[:, 0] * after[:, 1] - self.outline[:, 1] * after[:, 0]).sum())
        for p, q in zip(self.outline, after, strict=True):
            size = float(np.linalg.norm(q - p))
            if size == 0.0:
                continue
            out = np.array([q[1] - p[1], p[0] - q[0]]) / size * (1.0 if area > 0.0 else -1.0)
            shares = (np.arange(max(int(size / 5.0), 2)) + 0.5) / max(int(size / 5.0), 2)
            points.append(p + shares[:, None] * (q - p) + out_mm * out)
        flat = np.concatenate(points)
        whole: Floats = flat @ self.axes[:2] + self.origin
        return whole


def things_of(shapes: Sequence[Shape]) -> Room:
    """Lay out things as rows for the compiled code."""
    return room_of([Obstacle(str(number), shape) for number, shape in enumerate(shapes)])


def cannot_cross(
    points: Floats,
    gate: GateFrame,
    things: Room,
    keep_mm: float,
    looks_in: bool = False,
    most: int = 1_000_000,
) -> bool:
    """Tell whether it is proved that balls cannot stand with the first of them in an opening.

    Args:
        points: middles of the balls, (n, 3): the first is the origin, the first axis is the way the piece looks.
        gate: the opening.
        things: what stands about it; see `things_of`.
        keep_mm: no ball's middle may be nearer than this to anything: the tube's radius and the margin.
        looks_in: whether the piece looks inwards (or along the plane) when it crosses.
        most: distances that are measured before nothing is said.
    """
    far = np.linalg.norm(points, axis=1)
    off = np.linalg.norm(points[:, 1:], axis=1)
    rolls = bool((off > 1e-9).any())
    # What bends away is stopped near the opening, what is straight far from it.
    near = far <= (NEAR * keep_mm if rolls else np.inf)
    weights = np.array([1.0, 1.0, far[near].max(), far[near].max(), off[near].max()])
    ordered = np.ascontiguousarray(points[np.argsort(far, kind="stable")])
    kinds, data = things[:2]
    return bool(
        stuck(
            kinds, data, ordered, gate.origin, gate.axes, gate.outline, gate.solid, keep_mm, looks_in,
            pi if rolls else 0.0, LOOSE, weights, most,
        )
    )  # fmt: skip
