"""Slanted legs: between a bend of 45 degrees and one of 90 out of its plane, as the first or the last of a way."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import cos, radians, sin

import numpy as np

from pipemodel.bending.bends import gain
from pipemodel.finding.around import Around
from pipemodel.finding.figures import SQUARE_DEG, Figures
from pipemodel.finding.ground import Ground
from pipemodel.finding.lattice import AXES
from pipemodel.finding.planes import WayEnds
from pipemodel.finding.states import States
from pipemodel.geometry.arrays import Bools, Floats, Ints, vec3
from pipemodel.geometry.vectors import Vec3

SLANT_DEG = 45.0
_PART = cos(radians(SLANT_DEG))
_EPS = 1e-6


@dataclass(frozen=True)
class Slanted:
    """Finds legs that lead from one direction to one square to it, and aside of both, in two bends."""

    figures: Figures
    around: Around
    ends: WayEnds

    def last(self, states: States, ahead: Floats) -> Iterator[tuple[int, list[Vec3], float]]:
        """Yield the ways that end so: from which row, the corners still to come and the finish, and the length."""
        arriving = np.array(self.ends.arriving)
        rows = np.flatnonzero(np.abs(ahead @ arriving) < 1e-9)
        way, point = ahead[rows], states.point[rows]
        to = np.array(self.ends.finish) - point
        aside = np.cross(way, np.broadcast_to(arriving, way.shape))
        for first, second in self._angles():
            legs = _legs(np.sum(to * way, axis=1), np.sum(to * aside, axis=1), to @ arriving, first)
            one, two = _corners(point, way, aside, arriving, legs, first)
            clear = legs[2] >= self.figures.setback(second) + self.figures.straight(second) - _EPS
            clear &= self._long_enough(states.setback[rows], legs, first, second)
            clear = self._clear(clear, (point, one, two, np.broadcast_to(self.ends.finish, two.shape)))
            for i in np.flatnonzero(clear).tolist():
                row = int(rows[i])
                cost = states.cost[row] + legs[0, i] + abs(legs[1, i]) + legs[2, i] - self._saved
                yield row, [vec3(one[i]), vec3(two[i]), self.ends.finish], float(cost)

    def first(self, heading: int, number: int, ground: Ground, left: int) -> list[States]:
        """Return the corners to which such a leg leads from the start, in lines of the lattice.

        Args:
            heading: the direction in which the tube sets out.
            number: the row of the start.
            ground: the room.
            left: so many bends are left beyond it.
        """
        out: list[States] = []
        start, way = np.array(self.ends.start), AXES[heading]
        for turn in range(6):
            if turn // 2 == heading // 2:
                continue
            side = np.cross(way, AXES[turn])
            ahead, off = (ground.lattice.planes[int(np.argmax(np.abs(v)))] for v in (way, side))
            x, y = np.meshgrid((ahead - start @ np.abs(way)) * way.sum(), (off - start @ np.abs(side)) * side.sum())
            x, y = x.ravel(), y.ravel()
            point, sides = np.broadcast_to(start, (x.size, 3)), np.broadcast_to(side, (x.size, 3))
            for first, second in self._angles():
                legs = _legs(x, y, np.zeros(x.size), first)
                one, two = _corners(point, np.broadcast_to(way, point.shape), sides, AXES[turn], legs, first)
                back = self.figures.setback(second)
                clear = self._long_enough(np.zeros(x.size), legs, first, second)
                clear[clear] = ground.worth(two[clear], turn, left, passing=True)
                rows = np.flatnonzero(self._clear(clear, (point, one, two, two + back * AXES[turn])))
                n = len(rows)
                cost = (legs[0] + np.abs(legs[1]) - self._saved)[rows]
                parent = np.full(n, number)
                out.append(States(two[rows], np.full(n, turn), np.full(n, back), cost, parent, one[rows]))
        return out

    def _angles(self) -> tuple[tuple[float, float], ...]:
        possible = self.figures.can_bend(SQUARE_DEG)
        return ((SLANT_DEG, SQUARE_DEG), (SQUARE_DEG, SLANT_DEG)) if possible else ()

    @property
    def _saved(self) -> float:
        return gain(self.figures.radius, SLANT_DEG) + gain(self.figures.radius, SQUARE_DEG)

    def _long_enough(self, setback: Floats, legs: Floats, first: float, second: float) -> Bools:
        """Return where the leg before the slant and the slant itself have room for their bends."""
        figures = self.figures
        straight = min(figures.straight(first), figures.straight(second))
        out: Bools = legs[0] >= setback + figures.straight(first) + figures.setback(first) - _EPS
        out &= np.abs(legs[1]) >= figures.setback(first) + figures.setback(second) + straight - _EPS
        return out

    def _clear(self, may: Bools, points: tuple[Floats, ...]) -> Bools:
        """Return which of those that may be are clear along their legs, and inside their corners."""
        rows: Ints = np.flatnonzero(may)
        ways: list[Floats] = []
        for a, b in zip(points, points[1:], strict=False):
            leg = b[rows] - a[rows]
            long = np.linalg.norm(leg, axis=1)
            way = leg / np.maximum(long, 1e-12)[:, None]
            good = self.around.free(a[rows], way, long) >= long - _EPS
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
        out = np.zeros(len(may), dtype=bool)
        out[rows] = True
        return out


def _legs(ahead: Floats, aside: Floats, on: Floats, first: float) -> Floats:
    """Return the lengths of the leg before, the slant (to the other side below zero) and the leg after, (3, n)."""
    level = np.abs(aside)
    if first == SLANT_DEG:
        return np.array([ahead - level, aside / _PART, on])
    return np.array([ahead, aside / _PART, on - level])


def _corners(
    point: Floats, way: Floats, aside: Floats, after: Floats, legs: Floats, first: float
) -> tuple[Floats, Floats]:
    """Return both ends of the slant; `after` is the direction beyond it."""
    one = point + legs[0][:, None] * way
    along = way if first == SLANT_DEG else np.broadcast_to(after, way.shape)
    slope = np.abs(legs[1])[:, None] * along + legs[1][:, None] * aside
    return one, one + slope * sin(radians(SLANT_DEG))
