"""What "outside" is: beyond the plane of an opening, or beyond everything there is."""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.shapes.face import inside_outline
from pipemodel.job.model import Opening
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.turning import about as turn_about
from pipemodel.ways_in.turning import held, matrix, share_of, times, turn_between

LOOK_MM = 4.0
"""How closely the axis is looked at where it crosses an opening's plane."""
OUT_MM = 1.0
"""So far beyond the plane counts as outside."""


def plane_of(opening: Opening) -> tuple[Floats, Floats, Floats, Floats]:
    """Return an opening's middle, its unit normal towards the outside, and two unit directions across it."""
    corners = np.array(opening.corners)
    middle = corners.mean(axis=0)
    rel = corners - middle
    normal = np.cross(rel, np.roll(rel, -1, axis=0)).sum(axis=0)
    normal /= np.linalg.norm(normal)
    if (np.array(opening.outside) - middle) @ normal < 0.0:
        normal = -normal
    across = rel[1] - rel[0]
    across /= np.linalg.norm(across)
    return middle, normal, across, np.cross(normal, across)


class Through:
    """Outside is beyond an opening's plane, and the way out leads through the opening."""

    def __init__(self, judge: Judge, opening: Opening) -> None:
        self.judge = judge
        self.middle, self.normal, self.across, self.up = plane_of(opening)
        self.ways: list[Floats] = [self.normal, self.across, self.up]
        flat = (np.array(opening.corners) - self.middle) @ np.array([self.across, self.up]).T
        self.outline = tuple((float(x), float(y)) for x, y in flat)
        held_in = np.concatenate([judge.piece[3] + judge.middle, opening.corners, [opening.outside]])
        self.near, self.seeded = (held_in.min(axis=0), held_in.max(axis=0)), True
        self.low = held_in.min(axis=0) - 0.5 * judge.reach_mm
        self.high = held_in.max(axis=0) + 0.5 * judge.reach_mm
        count = max(int(np.ceil(judge.length_mm / LOOK_MM)), 2)
        at = np.linspace(0.0, judge.length_mm, count + 1).tolist()
        self.points = np.array([judge.line.point_at(s) for s in at]) - judge.middle
        self.headings = np.array([judge.line.direction_at(s) for s in at])
        self.picks = np.unique(np.linspace(0, len(at) - 1, min(len(at), 48)).astype(int))
        self.carried = self._carried()

    def outness(self, pose: Floats) -> float:
        """Return how far the innermost point is beyond the plane, less what counts as outside."""
        hull = self.judge.piece[3] @ matrix(pose).T + pose[:3]
        least: float = ((hull - self.middle) @ self.normal).min()
        return float(least) - self.judge.tube_mm - OUT_MM

    def passed(self, states: Sequence[Floats]) -> bool:
        """Tell whether the piece is somewhere on its way in the opening, and nowhere else in its plane."""
        return any(self._passes(a, b) for a, b in zip(states[::-1], states[-2::-1], strict=False))

    def _passes(self, a: Floats, b: Floats) -> bool:
        steps = max(int(np.linalg.norm(b[:3] - a[:3]) / 20.0), 8)
        poses = np.array([share_of(a, b, k / steps) for k in range(steps + 1)])
        w, v = poses[:, None, 3:4], poses[:, None, 4:]
        turned = self.points + 2.0 * np.cross(v, np.cross(v, self.points) + w * self.points)
        rel = turned + poses[:, None, :3] - self.middle
        height = rel @ self.normal
        crosses = (height[:, :-1] < 0.0) != (height[:, 1:] < 0.0)
        for here, high, at in zip(rel, height, crosses, strict=True):
            if at.any() and self._in_outline(here[:-1][at], here[1:][at], high[:-1][at], high[1:][at]):
                return True
        # A flat piece may come through all at once.
        for k in np.flatnonzero((height[:-1] >= 0.0).all(axis=1) & (height[1:] < 0.0).all(axis=1)):
            if self._in_outline(rel[k], rel[k + 1], height[k], height[k + 1]):
                return True
        return False

    def _in_outline(self, before: Floats, after: Floats, first: Floats, last: Floats) -> bool:
        """Tell whether all lines from one row of points to another cross the plane in the opening."""
        spots = before + (first / (first - last))[:, None] * (after - before)
        return all(inside_outline(self.outline, x, y) for x, y in (spots @ np.array([self.across, self.up]).T).tolist())

    def seeds(self, rng: np.random.Generator) -> list[Floats]:
        """Return rows of poses in which the piece is threaded through the opening along its own axis."""
        rows = []
        for sign in (1.0, -1.0):
            for tilt in range(2):
                spot, facing = self.middle, sign * self.normal
                if tilt:
                    spot = self._somewhere(rng)
                    facing = facing + 0.25 * rng.normal(size=3)
                    facing /= np.linalg.norm(facing)
                for k in range(16):
                    rows.append(self._threaded(spot, facing, 2.0 * np.pi * (k + float(rng.random())) / 16.0))
        return rows

    def _somewhere(self, rng: np.random.Generator) -> Floats:
        weights = rng.dirichlet(np.ones(len(self.outline)))
        flat = weights @ np.array(self.outline)
        out: Floats = self.middle + flat[0] * self.across + flat[1] * self.up
        return out

    def _threaded(self, spot: Floats, facing: Floats, roll: float) -> Floats:
        """Return the poses in which one place of the axis after another stands at a point, heading one way."""
        first = times(turn_about(facing, roll), turn_between(self.headings[0], facing))
        turns = np.array([times(first, own) for own in self.carried])
        points = self.points[self.picks]
        w, v = turns[:, :1], turns[:, 1:]
        moved = points + 2.0 * np.cross(v, np.cross(v, points) + w * points)
        return np.concatenate([spot - moved, turns], axis=1)

    def _carried(self) -> list[Floats]:
        """Return the turns that bring the heading of each place to that of the first.

        Each is as little as may be from the one before, so that the piece slides through itself.
        """
        turn = np.array([1.0, 0.0, 0.0, 0.0])
        out = []
        for i in self.picks.tolist():
            now = matrix(held(np.zeros(3), turn)) @ self.headings[i]
            turn = times(turn_between(now, self.headings[0]), turn)
            out.append(turn)
        return out


class Anywhere:
    """Outside is beyond everything that has a size: a ball that holds the piece is clear of the block round it all."""

    def __init__(self, judge: Judge, low: Floats, high: Floats) -> None:
        self.judge = judge
        hull = judge.piece[3] + judge.middle
        self.block_low = np.minimum(low, hull.min(axis=0))
        self.block_high = np.maximum(high, hull.max(axis=0))
        self.low, self.high = self.block_low - 2.0 * judge.reach_mm, self.block_high + 2.0 * judge.reach_mm
        self.near, self.seeded = (self.block_low, self.block_high), False
        self.ways: list[Floats] = []

    def outness(self, pose: Floats) -> float:
        """Return how far the ball round the piece is from the block."""
        out = np.maximum(np.maximum(self.block_low - pose[:3], pose[:3] - self.block_high), 0.0)
        gap = float(np.linalg.norm(out))
        if gap == 0.0:
            gap = -float(np.minimum(pose[:3] - self.block_low, self.block_high - pose[:3]).min())
        return gap - self.judge.reach_mm - self.judge.tube_mm - OUT_MM

    def seeds(self, rng: np.random.Generator) -> list[Floats]:
        """Return none."""
        return []

    def passed(self, states: Sequence[Floats]) -> bool:
        """Any way will do."""
        return True


Gate: TypeAlias = Through | Anywhere
"""Where a piece comes from. `ways` are directions worth sliding along; `low` and `high` hold where the search looks,
and the block `near` the place and what leads out; `seeded` tells whether there are seeds."""
