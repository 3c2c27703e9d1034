"""How near the piece comes to the parts of a bender, through the whole pull and not only at its end.

The tube is a ball of its own radius moved along its axis, so its ends count as rounded. Every part is convex or
a half-space with a closed formula for the signed distance d of a point, and d changes by at most as much as the
point moves. So the value at the middle of a cell, a stretch of tube during a stretch of the pull, bounds the
whole cell: those that stay clear are dropped, the others are halved, until a touch is found or nothing is left.
What is called clear is proven clear; what is called a clash comes nearer than `NEAR_MM`.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats
from pipemodel.geometry.centreline import LinePiece, Straight
from pipemodel.geometry.distance.things import rows_by_kind
from pipemodel.pulls.pair_search import DEPTH_MM, NEAR_MM
from pipemodel.trade.benders import BenderPart

MOST_CELLS = 100_000
"""More cells than this at once mean tube lying along a part within a hair: taken as a touch."""


class PointMotion(Enum):
    """How a point of the piece moves against the parts, as the pull goes on."""

    STILL = "the held side against what stands still, or the free side against what moves with it"
    UNDER_LEVER = "the held side against the lever, which swings over it"
    SWING = "the free side against what stands still"
    SLIDE = "the free side against the lever: carried round with it, drawn in by the bend"


@dataclass(frozen=True)
class Pulling:
    """One pull in radians: the tube of `radius` and axis radius `former`, drawn in by `draw` mm per radian."""

    tube_radius: float
    former: float
    draw: float
    to: float


@dataclass(frozen=True)
class NearestPart:
    """The nearest that a piece comes to some parts: signed distance, where on the piece, when, and to which."""

    distance: float
    s: float
    pull: float
    part: str


class SweptAxis:
    """The axis of one side of the piece, to be asked for many points at once."""

    def __init__(self, pieces: Sequence[LinePiece]) -> None:
        lengths = np.array([p.length for p in pieces])
        self._from = np.concatenate(([0.0], np.cumsum(lengths)))
        self.length = float(self._from[-1])
        # A straight is p + d * s; an arc is centre + R (spoke cos + tangent sin), and a straight has R = 0.
        self._base = np.array([p.start if isinstance(p, Straight) else p.centre for p in pieces])
        self._ahead = np.array([p.direction for p in pieces])
        self._spoke = np.array([(0.0, 0.0, 0.0) if isinstance(p, Straight) else p.spoke for p in pieces])
        self._radius = np.array([0.0 if isinstance(p, Straight) else p.radius for p in pieces])

    def points(self, s: Floats) -> Floats:
        """Return the points (n, 3) at the positions s (n,), in mm from the beginning of the pull."""
        i = np.clip(np.searchsorted(self._from, s, side="right") - 1, 0, len(self._radius) - 1)
        within, radius = s - self._from[i], self._radius[i]
        curved = radius > 0.0
        angle = within / np.where(curved, radius, 1.0)
        forward = np.where(curved, radius * np.sin(angle), within)
        outward = radius * np.cos(angle)
        points: Floats = self._base[i] + forward[:, None] * self._ahead[i] + outward[:, None] * self._spoke[i]
        return points


class Solids:
    """Some parts, kind by kind, to be asked for the signed distance of many points at once."""

    def __init__(self, parts: Sequence[BenderPart]) -> None:
        self._kinds = rows_by_kind([part.shape for part in parts], range(len(parts)))
        self.names = [parts[i].name for kind in self._kinds for i in kind.owner.tolist()]

    def distances(self, points: Floats) -> Floats:
        """Return the signed distances (n, parts) of points (n, 3), in the order of `names`; below zero inside."""
        found = [kind.values(points) for kind in self._kinds]
        return found[0] if len(found) == 1 else np.concatenate(found, axis=1)


def nearest(
    path: SweptAxis, begin: float, solids: Solids, motion: PointMotion, pulling: Pulling, deepest: bool = False
) -> NearestPart | None:
    """Return a touch between a side of the piece, from `begin` mm on, and some parts; None when it stays clear.

    With `deepest` it is the deepest one there is, within `DEPTH_MM`; without, the first one found.
    """
    if not solids.names or path.length <= begin:
        return None
    turns = motion is not PointMotion.STILL and pulling.to > 0.0
    swings = max(1, round(pulling.to / 0.4)) if turns else 1
    # Only where to begin: a stretch that may touch is halved all the same, so a very long tube begins coarser.
    stretches = max(1, min(round((path.length - begin) / 60.0), MOST_CELLS // 10 // swings))
    s_half = (path.length - begin) / stretches / 2.0
    t_half = pulling.to / swings / 2.0 if turns else 0.0
    s, t = np.meshgrid(
        begin + s_half * (2 * np.arange(stretches) + 1), t_half * (2 * np.arange(swings) + 1), indexing="ij"
    )
    cells = np.stack([s.ravel(), np.full(s.size, s_half), t.ravel(), np.full(s.size, t_half)])
    found: NearestPart | None = None
    while cells.shape[1]:
        points, speed = _moved(path.points(cells[0]), cells[0], cells[2], cells[3], motion, pulling)
        gaps = solids.distances(points) - pulling.tube_radius
        gap = gaps.min(axis=1)
        reach_t = cells[3] * speed
        # Tube in the groove is drawn along an arc a little longer than itself: it has yet to spring back to its radius.
        reach = cells[1] * max(1.0, pulling.former / pulling.draw) + reach_t
        best = int(gap.argmin())
        if gap[best] <= 0.0 and (found is None or gap[best] < found.distance):
            found = _seen(gaps, best, cells, solids)
            if not deepest:
                return found
        limit = 0.0 if found is None else found.distance - DEPTH_MM
        open_ = gap - reach < limit
        if found is None:
            tight = open_ & (reach < NEAR_MM)
            if tight.any() or cells.shape[1] > MOST_CELLS:
                return _seen(gaps, int(np.where(open_, gap, np.inf).argmin()), cells, solids)
        elif cells.shape[1] > MOST_CELLS // 5:
            return found
        cells = _halved(cells[:, open_], (cells[1] >= reach_t)[open_])
    return found


def _seen(gaps: Floats, i: int, cells: Floats, solids: Solids) -> NearestPart:
    return NearestPart(
        float(gaps[i].min()), float(cells[0, i]), float(cells[2, i]), solids.names[int(gaps[i].argmin())]
    )


def _moved(
    points: Floats, s: Floats, t: Floats, half: Floats, motion: PointMotion, pulling: Pulling
) -> tuple[Floats, Floats]:
    """Return where points, s mm along, are in the frame of the parts when the pull has gone t, and how fast they move.

    The speed is a bound, in mm per radian, good for the whole of t - half to t + half.
    """
    if motion is PointMotion.STILL:
        return points, np.zeros(len(points))
    if motion is PointMotion.UNDER_LEVER:
        return _turned(points, t), np.hypot(points[:, 0], points[:, 1])
    drawn = points.copy()
    drawn[:, 0] -= pulling.draw * t
    if motion is PointMotion.SLIDE:
        return drawn, np.full(len(points), pulling.draw)
    # The tube rolls off the former: its free side turns about the point where it leaves the groove. What was drawn
    # in before lies still in the groove, at the angle at which it came to lie there.
    laid = s < pulling.draw * t
    leaves = np.hypot(drawn[:, 0], drawn[:, 1] - pulling.draw)
    speed = np.where(laid, 0.0, leaves) + pulling.draw * half
    drawn[laid, 0] = 0.0
    return _turned(drawn, -np.where(laid, s / pulling.draw, t)), speed


def _turned(points: Floats, angle: Floats) -> Floats:
    c, s = np.cos(angle), np.sin(angle)
    x, y = points[:, 0], points[:, 1]
    return np.stack([c * x - s * y, s * x + c * y, points[:, 2]], axis=1)


def _halved(cells: Floats, along: Bools) -> Floats:
    """Halve cells along the tube where `along`, along the pull otherwise."""
    low, high = cells.copy(), cells.copy()
    for middle, half, which in ((0, 1, along), (2, 3, ~along)):
        step = cells[half, which] / 2.0
        low[middle, which] -= step
        high[middle, which] += step
        low[half, which] = high[half, which] = step
    return np.concatenate([low, high], axis=1)
