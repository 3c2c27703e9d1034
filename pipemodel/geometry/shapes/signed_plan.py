"""The signed distance to a plan carried up: outlines with straight sides, and round holes in them."""

from collections.abc import Sequence
from typing import NamedTuple

from pipemodel.geometry.arrays import Floats, dots, lengths, np
from pipemodel.geometry.shapes.face import Vec2

CELLS = 200_000
"""How many pairs of point and side are worked out in one go; bounds the memory taken."""


class Round(NamedTuple):
    """A round hole in a plan: where its middle lies, and its radius; mm."""

    x: float
    y: float
    radius: float


class SignedPlan:
    """Closed outlines (what lies within an odd number of them is solid) less round holes, from `bottom` to `top`.

    The holes lie within the solid, and touch neither each other nor a side.
    """

    def __init__(self, outlines: Sequence[Sequence[Vec2]], rounds: Sequence[Round], bottom: float, top: float) -> None:
        loops = [np.array(outline, dtype=np.float64) for outline in outlines]
        self.plan = np.concatenate(loops)
        self.ends = np.concatenate([np.roll(loop, -1, axis=0) for loop in loops])
        edge = self.ends - self.plan
        size = dots(edge, edge)
        # A row per side: what is worked out has a column per point, which is quick for many points and few sides.
        self.sides = tuple(
            v[:, None]
            for v in (*self.plan.T, *edge.T, np.where(size > 0.0, size, 1.0), self.plan[:, 1], self.ends[:, 1])
        )
        self.rounds = np.array(rounds, dtype=np.float64).reshape(-1, 3)
        self.bottom, self.top = bottom, top
        self.low = np.append(self.plan.min(axis=0), bottom)
        self.high = np.append(self.plan.max(axis=0), top)

    def __call__(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances and nearest points."""
        step = max(CELLS // (len(self.plan) + len(self.rounds)), 1)
        parts = [self._some(points[begin : begin + step]) for begin in range(0, max(len(points), 1), step)]
        value, nearest = (np.concatenate(part) for part in zip(*parts, strict=True))
        return value, nearest

    def _some(self, points: Floats) -> tuple[Floats, Floats]:
        wall, on_wall = self._in_plan(points[:, :2])
        z = points[:, 2]
        cap = np.where(z - self.bottom < self.top - z, self.bottom, self.top)
        over = np.maximum(self.bottom - z, z - self.top)
        value = np.where(
            (wall > 0.0) | (over > 0.0), np.hypot(np.maximum(wall, 0.0), np.maximum(over, 0.0)), np.maximum(wall, over)
        )
        surface = points.copy()
        to_wall = (wall > 0.0) | ((over <= 0.0) & (wall >= over))
        to_cap = (over > 0.0) | ((wall <= 0.0) & (over > wall))
        surface[to_wall, :2] = on_wall[to_wall]
        surface[to_cap, 2] = cap[to_cap]
        return value, surface

    def _in_plan(self, points: Floats) -> tuple[Floats, Floats]:
        """Return signed distances within the plan, (n,), and the nearest points of its sides and holes, (n, 2)."""
        x0, y0, ex, ey, size, low, high = self.sides
        east, north = points[:, 0] - x0, points[:, 1] - y0
        share = np.minimum(np.maximum((east * ex + north * ey) / size, 0.0), 1.0)
        off_east, off_north = east - share * ex, north - share * ey
        square = off_east * off_east + off_north * off_north
        nearest = square.argmin(axis=0), np.arange(len(points))
        away = np.sqrt(square[nearest])
        on_wall = points - np.stack([off_east[nearest], off_north[nearest]], axis=1)
        # A line to the east crosses the outlines an odd number of times from inside.
        spans = (low > points[:, 1]) != (high > points[:, 1])
        slope = np.divide(north, ey, out=np.zeros_like(square), where=spans)
        inside = (spans & (east < slope * ex)).sum(axis=0) % 2 == 1
        for *middle, radius in self.rounds.tolist():
            to = points - middle
            rho = lengths(to)
            inside &= rho >= radius
            rows = np.flatnonzero(np.abs(rho - radius) < away)
            away[rows] = np.abs(rho - radius)[rows]
            to[rho == 0.0] = (1.0, 0.0)
            on_wall[rows] = middle + (radius / np.where(rho == 0.0, 1.0, rho))[rows, None] * to[rows]
        return np.where(inside, -1.0, 1.0) * away, on_wall
