"""Prisms as a room has them: in mm, in axes that are square, and a block seen along each of its axes."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes.face import Vec2, edges
from pipemodel.geometry.shapes.plan import sides_cross
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.job.outline import outline_fault
from pipemodel.messages.values import message
from pipemodel.models.ifc.placing import HardError, OddError
from pipemodel.models.ifc.profiles import Loop
from pipemodel.models.ifc.solids import Prism

TOUCH = 1e-6
"""What is nearer than this touches, mm."""
_RIGHT = 1e-9


@dataclass(frozen=True)
class Outlined:
    """A prism in the room: `axes` (3, 3) has across, up and the way it is carried as rows; mm.

    `outer` and `inner` are outlines (n, 2), counter-clockwise, or circles. `block` if it is a rectangle with nothing
    cut out; then `origin` is a corner and the rectangle begins at (0, 0).
    """

    origin: Floats
    axes: Floats
    outer: Loop
    inner: tuple[Loop, ...]
    depth: float
    block: bool = False

    @property
    def sides(self) -> "list[Outlined]":
        """Itself; and a block as it is carried along its other two axes."""
        if not self.block:
            return [self]
        size = (*np.asarray(self.outer)[2], self.depth)
        return [self._along(size, k) for k in range(3)]

    def _along(self, size: tuple[float, ...], k: int) -> "Outlined":
        a, b, c = (k + 1) % 3, (k + 2) % 3, k
        outer = np.array([(0.0, 0.0), (size[a], 0.0), (size[a], size[b]), (0.0, size[b])])
        return Outlined(self.origin, self.axes[[a, b, c]], outer, (), size[c], True)


def outlined(prism: Prism, unit_mm: float) -> Outlined:
    """Return a placed prism in mm.

    Args:
        prism: in the model's axes and the units of the file.
        unit_mm: what one unit of the file is.

    Raises:
        HardError: if its outline crosses itself.
        OddError: if it has no thickness.
    """
    even = prism.evened()
    outer, *inner = (_in_mm(loop, unit_mm) for loop in (even.outer, *even.inner))
    axes = np.asarray(even.matrix[:3, :3].T)
    found = Outlined(even.matrix[:3, 3] * unit_mm, axes, outer, tuple(inner), even.depth * unit_mm)
    if found.depth < TOUCH:
        raise OddError(message("odd.thickness"))
    return _as_block(found) if not inner and not isinstance(outer, Round) and len(outer) == 4 else found


def _in_mm(loop: Loop, unit_mm: float) -> Loop:
    if isinstance(loop, Round):
        return Round(loop.x * unit_mm, loop.y * unit_mm, loop.radius * unit_mm)
    return closed_outline(loop * unit_mm)


def closed_outline(points: Floats) -> Floats:
    """Return an outline (n, 2), mm, counter-clockwise and without corners at which it goes straight on.

    Raises:
        HardError: if it touches itself.
        OddError: if it crosses itself, or has no area.
    """
    points = _without_straight_corners(points)
    if fault := outline_fault(vec2s(points)):
        if _crosses_itself(vec2s(points)):
            raise OddError(message("odd.crosses"))
        raise HardError(fault)
    x, y = points.T
    left = np.dot(x, np.roll(y, -1)) > np.dot(np.roll(x, -1), y)
    return points if left else points[::-1]


def _crosses_itself(points: Sequence[Vec2]) -> bool:
    """Return whether two sides of an outline go through each other, and do not only touch."""
    sides = list(edges(tuple(points)))
    return any(sides_cross(*one, *other) for one, other in combinations(sides, 2))


def _without_straight_corners(points: Floats) -> Floats:
    """Leave out corners at which an outline goes straight on, and those that repeat the one before."""
    if not np.all(np.isfinite(points)):
        raise OddError(message("odd.coordinate"))
    points = points[np.linalg.norm(points - np.roll(points, 1, axis=0), axis=1) > TOUCH]
    if len(points) < 3:
        raise OddError(message("odd.outline"))
    back, on = points - np.roll(points, 1, axis=0), np.roll(points, -1, axis=0) - points
    turn = back[:, 0] * on[:, 1] - back[:, 1] * on[:, 0]
    size = np.linalg.norm(back, axis=1) * np.linalg.norm(on, axis=1)
    ahead = (back * on).sum(axis=1) > 0.0
    kept = points[(np.abs(turn) > _RIGHT * size) | ~ahead]
    if len(kept) < 3:
        raise OddError(message("odd.outline"))
    return np.asarray(kept)


def _as_block(prism: Outlined) -> Outlined:
    corners = np.asarray(prism.outer)
    a, b = corners[1] - corners[0], corners[3] - corners[0]
    size = float(np.linalg.norm(a)), float(np.linalg.norm(b))
    if abs(a @ b) > _RIGHT * size[0] * size[1] or np.abs(corners[0] + a + b - corners[2]).max() > TOUCH:
        return prism
    along, up, way = prism.axes
    across = (a[0] * along + a[1] * up) / size[0]
    origin = prism.origin + corners[0][0] * along + corners[0][1] * up
    outer = np.array([(0.0, 0.0), (size[0], 0.0), size, (0.0, size[1])])
    return Outlined(origin, np.array([across, np.cross(way, across), way]), outer, (), prism.depth, True)


def vec2s(points: Floats) -> tuple[Vec2, ...]:
    """Return corners (n, 2) as plain numbers."""
    return tuple((x, y) for x, y in points.tolist())
