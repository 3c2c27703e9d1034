"""The last bends of a way: onto the line on which the tube arrives."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from math import acos, cos, degrees, radians, sin, tan

import numpy as np

from pipemodel.bending.bends import gain
from pipemodel.finding.around import Around
from pipemodel.finding.figures import Figures
from pipemodel.finding.lattice import AXES
from pipemodel.finding.planes import WayEnds, places_on
from pipemodel.finding.states import States
from pipemodel.geometry.arrays import Floats, Ints, vec3
from pipemodel.geometry.vectors import Vec3

LEAST_DEG = 5.0
"""The smallest bend that is looked for between two directions that are given."""
ON_LINE_MM = 1e-6
MOST_CLOSED = 3000
"""Of more corners from which a set may lead to the finish, the shortest so many are tried."""
Closed = tuple[int, list[Vec3], float]
"""From which row, the corners still to come and the finish, and the length of it all."""


@dataclass(frozen=True)
class Closings:
    """Finds how a way may end."""

    figures: Figures
    around: Around
    ends: WayEnds
    angles: tuple[float, ...]

    @cached_property
    def _finish(self) -> Floats:
        return np.array(self.ends.finish)

    @cached_property
    def _arriving(self) -> Floats:
        return np.array(self.ends.arriving)

    def of(self, states: States, left: int) -> Iterator[Closed]:
        """Yield the ways that end with just `left` more bends."""
        ahead = np.where((states.way >= 0)[:, None], AXES[states.way], np.array(self.ends.heading))
        if left == 0:
            yield from self._straight(states, ahead)
        elif left == 1:
            yield from self._one_bend(states, ahead)
        elif left == 2:
            yield from self._set(states, ahead)

    def _straight(self, states: States, ahead: Floats) -> Iterator[Closed]:
        """Yield those that are on the last line already."""
        to = self._finish - states.point
        long = to @ self._arriving
        off = np.linalg.norm(to - long[:, None] * self._arriving, axis=1)
        need = states.setback + np.where(states.setback > 0.0, self.figures.straight(90.0), 0.0)
        rows = np.flatnonzero((ahead @ self._arriving > 1.0 - 1e-12) & (off < ON_LINE_MM) & (long >= need - ON_LINE_MM))
        clear = self.around.free(states.point[rows], ahead[rows], long[rows]) >= long[rows] - ON_LINE_MM
        for row in rows[clear].tolist():
            yield row, [self.ends.finish], float(states.cost[row] + long[row])

    def _one_bend(self, states: States, ahead: Floats) -> Iterator[Closed]:
        """Yield those whose leg meets the last line, where that is along no axis or met from along none."""
        slanted = np.abs(ahead).max(axis=1) < 1.0 - 1e-12
        if float(np.abs(self._arriving).max()) > 1.0 - 1e-12 and not slanted.any():
            return
        for row in range(len(states)):
            angle = degrees(acos(float(np.clip(ahead[row] @ self._arriving, -1.0, 1.0))))
            if not LEAST_DEG <= angle <= self.figures.greatest_deg or angle > 170.0:
                continue
            back, straight = self.figures.setback(angle), self.figures.straight(angle)
            to = self._finish - states.point[row]
            # point + t ahead = finish - u arriving
            (t, u), *_ = np.linalg.lstsq(np.stack([ahead[row], self._arriving], axis=1), to, rcond=None)
            off = float(np.linalg.norm(t * ahead[row] + u * self._arriving - to))
            before = states.setback[row] + back + straight
            if off > ON_LINE_MM or t < before or u < back + straight:
                continue
            corner = states.point[row] + t * ahead[row]
            if self._clear(states.point[row], corner, self._finish):
                cost = float(states.cost[row] + t + u - gain(self.figures.radius, angle))
                yield row, [vec3(corner), self.ends.finish], cost

    def _set(self, states: States, ahead: Floats) -> Iterator[Closed]:
        """Yield those that a set brings onto the last line: to one side, or rolled, to two at once."""
        along = np.flatnonzero(ahead @ self._arriving > 1.0 - 1e-12)
        along = along[np.argsort(states.cost[along], kind="stable")][:MOST_CLOSED]
        if not len(along):
            return
        to = self._finish - states.point[along]
        long = to @ self._arriving
        aside = to - long[:, None] * self._arriving
        offset = np.linalg.norm(aside, axis=1)
        for angle in self.angles:
            if not self.figures.can_bend(angle):
                continue
            back, straight = self.figures.setback(angle), self.figures.straight(angle)
            first = np.ceil(states.setback[along] + straight + back)
            spare = long - offset / tan(radians(angle)) - back - straight
            fits = offset >= (2.0 * back + straight) * sin(radians(angle)) - ON_LINE_MM
            for late in (0.0, 1.0, 0.5):
                begin = first + late * np.maximum(np.floor(spare - first), 0.0)
                rows = np.flatnonzero(fits & (begin <= spare + ON_LINE_MM))
                if len(rows):
                    yield from self._sets_from(states, along, rows, begin, aside, offset, angle, long)

    def _sets_from(
        self,
        states: States,
        along: Ints,
        rows: Ints,
        begin: Floats,
        aside: Floats,
        offset: Floats,
        angle: float,
        long: Floats,
    ) -> Iterator[Closed]:
        way = np.broadcast_to(self._arriving, (len(rows), 3))
        one = states.point[along[rows]] + begin[rows, None] * self._arriving
        side = aside[rows] / offset[rows, None]
        slope = cos(radians(angle)) * self._arriving + sin(radians(angle)) * side
        size = offset[rows] / sin(radians(angle))
        two = one + size[:, None] * slope
        rest = (self._finish - two) @ self._arriving
        clear = self.around.free(states.point[along[rows]], way, begin[rows]) >= begin[rows] - ON_LINE_MM
        clear[clear] &= self.around.free(one[clear], slope[clear], size[clear]) >= size[clear] - ON_LINE_MM
        clear[clear] &= self.around.free(two[clear], way[clear], rest[clear]) >= rest[clear] - ON_LINE_MM
        saved = 2.0 * gain(self.figures.radius, angle)
        for i in np.flatnonzero(clear).tolist():
            row = int(along[rows[i]])
            cost = float(states.cost[row] + begin[rows[i]] + size[i] + rest[i] - saved)
            yield row, [vec3(one[i]), vec3(two[i]), self.ends.finish], cost

    def turned(self, states: States, numbers: Ints) -> States:
        """Return the corners at which a tube that sets out along no axis first turns along one."""
        ahead, start = np.array(self.ends.heading), states.point[0]
        parts: list[States] = []
        for way in range(6):
            angle = degrees(acos(float(np.clip(ahead @ AXES[way], -1.0, 1.0))))
            if not LEAST_DEG <= angle <= min(self.figures.greatest_deg, 170.0):
                continue
            back = self.figures.setback(angle)
            least = self.figures.straight(angle) + back
            t = [float((np.array(place) - start) @ ahead) for place in places_on(self.ends, self.figures, False)]
            at = np.array(sorted(one for one in t if one >= least))
            if not len(at):
                continue
            at = at[at <= float(self.around.free(start[None], ahead[None], np.array([at.max()]))[0])]
            n = len(at)
            cost = at - gain(self.figures.radius, angle)
            point = start + at[:, None] * ahead
            parts.append(
                States(point, np.full(n, way), np.full(n, back), cost, np.full(n, numbers[0]), np.full((n, 3), np.nan))
            )
        return States.joined(parts)

    def _clear(self, *points: Floats) -> bool:
        for one, other in zip(points, points[1:], strict=False):
            long = float(np.linalg.norm(other - one))
            way = (other - one) / max(long, 1e-12)
            if float(self.around.free(one[None], way[None], np.array([long]))[0]) < long - ON_LINE_MM:
                return False
        return True
