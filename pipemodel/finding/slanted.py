"""Slanted legs: between a bend of 45 degrees and one of 90 out of its plane."""

from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from pipemodel.bending.bends import gain
from pipemodel.finding.around import Around
from pipemodel.finding.figures import SQUARE_DEG, Figures
from pipemodel.finding.ground import Ground
from pipemodel.finding.lattice import AXES
from pipemodel.finding.states import States
from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.geometry.vectors import Vec3

SLANT_DEG = 45.0
MOST_FROM = 200
"""Of more corners going one way the shortest so many are followed, but for the last two bends of a way."""
MOST_SLANTS = 1_000
"""Of more slanted legs one way, the shortest so many are followed."""
_PART = cos(radians(SLANT_DEG))
_EPS = 1e-6


@dataclass(frozen=True)
class Slanted:
    """Finds legs that lead from one direction to one square to it, and aside of both, in two bends."""

    figures: Figures
    around: Around
    ground: Ground
    finish: Vec3
    arriving: int
    """The direction in which the tube arrives; -1 where that is along no axis."""

    def after(self, states: States, numbers: Ints, way: int, reach: Floats, left: int) -> list[States]:
        """Return the corners to which such legs lead.

        Args:
            states: the corners from which they set out.
            numbers: the rows of these.
            way: the direction that is taken at them.
            reach: how far one may go straight on from each.
            left: so many bends are left beyond them.
        """
        if not self.figures.can_bend(SQUARE_DEG):
            return []
        if left and len(states) > MOST_FROM:
            rows = np.argsort(states.cost, kind="stable")[:MOST_FROM]
            states, numbers, reach = states.take(rows), numbers[rows], reach[rows]
        out: list[States] = []
        for turn in range(6) if left else (self.arriving,) if self.arriving >= 0 else ():
            if turn // 2 != way // 2:
                for first, second in ((SLANT_DEG, SQUARE_DEG), (SQUARE_DEG, SLANT_DEG)):
                    out.append(self._by(states, numbers, way, turn, first, second, reach, left))
        return out

    def _by(
        self, states: States, numbers: Ints, way: int, turn: int, first: float, second: float, reach: Floats, left: int
    ) -> States:
        """Return the corners that two bends by two angles lead to."""
        axis, across, figures = way // 2, 3 - way // 2 - turn // 2, self.figures
        planes = [self.ground.lattice.planes[k] if left else np.array([self.finish[k]]) for k in (axis, across)]
        ahead = AXES[way, axis] * (planes[0] - states.point[:, axis, None])
        aside = planes[1] - states.point[:, across, None]
        back, straight = figures.setback(first), min(figures.straight(first), figures.straight(second))
        level = np.abs(aside)
        before = ahead[:, :, None] - (level[:, None, :] if first == SLANT_DEG else 0.0 * level[:, None, :])
        fits = before >= (states.setback + figures.straight(first) + back)[:, None, None] - _EPS
        fits &= before <= reach[:, None, None] + _EPS
        fits &= (level / _PART >= back + figures.setback(second) + straight - _EPS)[:, None, :]
        if left:
            rise = level * AXES[turn, turn // 2] if second == SLANT_DEG else 0.0 * level
            fits &= self.ground.nodes_worth(states.point[:, turn // 2, None] + rise, turn, axis, across, left)
        row, i, j = np.nonzero(fits)
        before, level, aside = before[row, i, j], level[row, j], aside[row, j]
        side = np.sign(aside)[:, None] * np.abs(AXES[2 * across])
        slope = (AXES[way if first == SLANT_DEG else turn] + side) * sin(radians(SLANT_DEG))
        one = states.point[row] + before[:, None] * AXES[way]
        two = one + (level / _PART)[:, None] * slope
        cost = states.cost[row] + self.ground.counted(states.point[row], way, before)
        cost += level / _PART * self.ground.off_faces - gain(figures.radius, first) - gain(figures.radius, second)
        rows = np.argsort(cost, kind="stable")[:MOST_SLANTS]
        after = figures.setback(second)
        rows = rows[self._clear((states.point[row[rows]], one[rows], two[rows], two[rows] + after * AXES[turn]))]
        n = len(rows)
        parent = numbers[row[rows]]
        return States(two[rows], np.full(n, turn), np.full(n, after), cost[rows], parent, one[rows])

    def _clear(self, points: tuple[Floats, ...]) -> Ints:
        """Return which rows of points are clear along the legs between them, and inside their corners."""
        rows: Ints = np.arange(len(points[0]))
        ways: list[Floats] = []
        for a, b in zip(points, points[1:], strict=False):
            leg = b[rows] - a[rows]
            long = np.linalg.norm(leg, axis=1)
            way = leg / np.maximum(long, 1e-12)[:, None]
            good: Bools = self.around.free(a[rows], way, long) >= long - _EPS
            rows, way = rows[good], way[good]
            ways = [*(one[good] for one in ways), way]
        inside: list[Floats] = []
        for corner, before, after in zip(points[1:], ways, ways[1:], strict=False):
            across = after - before
            size = np.linalg.norm(across, axis=1)
            # 1/cos of half the angle, from the chord of the two directions.
            off = self.figures.radius * (1.0 / np.sqrt(1.0 - size**2 / 4.0) - 1.0)
            inside.append(corner[rows] + (off / np.maximum(size, 1e-12))[:, None] * across)
        if len(rows):
            # Asked of all at once: it is long by the number of things, whatever the number of points.
            rows = rows[self.around.clear(np.concatenate(inside)).reshape(len(inside), -1).all(axis=0)]
        return rows
