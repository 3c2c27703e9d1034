"""The search: corner after corner on the lattice, so many bends at a time.

All corners that so many bends can lead to are found together. Of those on one line, going the same way up to the same
hindrance, the one whose next bend can come first and the one with the shortest tube are kept: any other is beaten by
one of these. What cannot reach the finish with the bends that are left, were a bend to take no room, is dropped.
"""

from dataclasses import dataclass
from functools import cached_property
from math import cos, radians, sin, tan
from typing import NamedTuple

import numpy as np

from pipemodel.bending.bends import gain
from pipemodel.finding.around import Around
from pipemodel.finding.closing import Closings
from pipemodel.finding.figures import SQUARE_DEG, Figures
from pipemodel.finding.ground import Ground
from pipemodel.finding.lattice import AXES, Lattice
from pipemodel.finding.planes import Ends
from pipemodel.finding.states import States, Store
from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.geometry.vectors import Vec3

MOST_SET_MM = 500.0
"""Sets of more than this are looked for as two bends of 90 degrees only."""
MOST_SETS = 60_000
"""Of more sets at one number of bends the shortest so many are followed."""
MOST_ROWS = 30_000
"""Of more corners at one number of bends the shortest so many are followed."""
MOST_FOUND = 60
"""So many ways, the shortest, are handed on to be judged at each number of bends."""
_EPS = 1e-6


class FoundWay(NamedTuple):
    """Start, corners and finish of a way, and about how long it is."""

    corners: tuple[Vec3, ...]
    cost: float


@dataclass(frozen=True)
class Search:
    """What a search goes by. `angles` are those of sets; `off_faces` is what a leg off the clips' planes counts for."""

    lattice: Lattice
    around: Around
    figures: Figures
    ends: Ends
    angles: tuple[float, ...]
    near_faces: tuple[Bools, Bools, Bools]
    """Which planes lie at the standoff of clips."""
    off_faces: float = 1.0 + 1e-4

    def ways(self, bends: int) -> list[FoundWay]:
        """Return ways of just so many bends, the shortest first; none where none is found."""
        run = _Running(self, bends)
        return run.found()

    @cached_property
    def heading(self) -> int | None:
        """The direction in which the tube sets out, None where that is along no axis."""
        return axis_number(self.ends.heading)

    @cached_property
    def arriving(self) -> int | None:
        """The direction in which it arrives, None where that is along no axis."""
        return axis_number(self.ends.arriving)


def axis_number(direction: Vec3) -> int | None:
    """Return which of the six directions along the axes one is, None for none."""
    at = AXES @ np.array(direction)
    return int(np.argmax(at)) if float(at.max()) > 1.0 - 1e-12 else None


class _Running:
    """One search for ways of so many bends."""

    def __init__(self, search: Search, bends: int) -> None:
        self.s, self.bends = search, bends
        self.store = Store()
        fewest = search.lattice.bends_to(np.array(search.ends.finish), search.arriving, bends)
        self.ground = Ground(search.lattice, search.around, search.figures, fewest, search.near_faces, search.off_faces)
        self.closings = Closings(search.figures, search.around, search.ends, search.angles)
        self.candidates: list[FoundWay] = []
        self.base: dict[tuple[int, ...], float] = {}

    def found(self) -> list[FoundWay]:
        layers: list[list[States]] = [[] for _ in range(self.bends + 3)]
        start = States.one(self.s.ends.start, -1 if self.s.heading is None else self.s.heading)
        if self.s.heading is None:
            first = start
            numbers = self.store.keep(first)
            self._close(first, numbers, 0)
            layers[1].append(self.closings.turned(first, numbers, self.s.lattice))
        else:
            layers[0].append(start)
        seen: dict[tuple[int, ...], float] = {}
        for made in range(self.bends + 1):
            states = self._thinned(States.joined(layers[made]), seen)
            if not len(states):
                continue
            numbers = self.store.keep(states)
            self._close(states, numbers, made)
            if made < self.bends:
                for way in range(6):
                    rows = np.flatnonzero(states.way == way)
                    if len(rows):
                        self._from(states.take(rows), numbers[rows], way, made, layers)
        best = sorted(self.candidates, key=lambda way: (round(way.cost, 3), way.corners))
        unique: dict[tuple[Vec3, ...], FoundWay] = {}
        for one in best:
            unique.setdefault(tuple(tuple(round(c, 3) for c in p) for p in one.corners), one)  # type: ignore[misc]
        return list(unique.values())[:MOST_FOUND]

    def _close(self, states: States, numbers: Ints, made: int) -> None:
        """Note every way that ends from these corners with just the bends that are left."""
        for row, corners, cost in self.closings.of(states, self.bends - made):
            before = self.store.corners(int(numbers[row]))
            self.candidates.append(FoundWay((*before, *corners), cost))

    def _from(self, states: States, numbers: Ints, way: int, made: int, layers: list[list[States]]) -> None:
        axis, sign = way // 2, 1.0 - 2.0 * (way % 2)
        plane = self.s.lattice.planes[axis]
        reach, _ = self.ground.reach(states, way)
        t = sign * (plane - states.point[:, axis, None])
        ahead = (t > _EPS) & (t <= reach[:, None] + _EPS)
        layers[made + 1] += self._turns(states, numbers, way, t, ahead, made + 1)
        if made + 2 <= self.bends:
            layers[made + 2] += self._sets(states, numbers, way, t, ahead, reach, made + 2)

    def _turns(self, states: States, numbers: Ints, way: int, t: Floats, ahead: Bools, made: int) -> list[States]:
        """Return the corners at which the tube turns by 90 degrees."""
        figures = self.s.figures
        if not figures.can_bend(SQUARE_DEG):
            return []
        back = figures.setback(SQUARE_DEG)
        least = states.setback + back + figures.straight(SQUARE_DEG)
        row, stop = np.nonzero(ahead & (t >= least[:, None] - _EPS))
        if not len(row):
            return []
        point = states.point[row].copy()
        axis = way // 2
        point[:, axis] = self.s.lattice.planes[axis][stop]
        legs = self.ground.counted(states.point[row], way, t[row, stop])
        cost = states.cost[row] + legs - gain(figures.radius, SQUARE_DEG)
        out = []
        for other in range(6):
            if other // 2 == axis:
                continue
            keep = self.ground.worth(point, other, self.bends - made)
            keep[keep] &= self.ground.bend_clear(point[keep], way, AXES[other], SQUARE_DEG)
            n = int(keep.sum())
            if n:
                out.append(
                    States(
                        point[keep],
                        np.full(n, other),
                        np.full(n, back),
                        cost[keep],
                        numbers[row[keep]],
                        np.full((n, 3), np.nan),
                    )
                )
        return out

    def _sets(
        self, states: States, numbers: Ints, way: int, t: Floats, ahead: Bools, reach: Floats, made: int
    ) -> list[States]:
        """Return the corners at which sets to either side come back into line."""
        figures, axis, sign = self.s.figures, way // 2, 1.0 - 2.0 * (way % 2)
        out: list[States] = []
        for angle in self.s.angles:
            if not figures.can_bend(angle):
                continue
            back, straight = figures.setback(angle), figures.straight(angle)
            least = states.setback + straight + back
            first = np.ceil(sign * states.point[:, axis] + least - _EPS) - sign * states.point[:, axis]
            starts = np.concatenate([first[:, None], t], axis=1)
            may = np.concatenate([(first <= reach + _EPS)[:, None], ahead & (t >= least[:, None] - _EPS)], axis=1)
            row, column = np.nonzero(may)
            if not len(row):
                continue
            begin = starts[row, column]
            corner = states.point[row].copy()
            corner[:, axis] += sign * begin
            legs = self.ground.counted(states.point[row], way, begin)
            cost = states.cost[row] + legs - 2.0 * gain(figures.radius, angle)
            sides = [other for other in range(6) if other // 2 != axis]
            for side in sides:
                out += self._set_to(corner, cost, numbers[row], way, side, angle, made)
        return out

    def _set_to(
        self, corner: Floats, cost: Floats, parent: Ints, way: int, side: int, angle: float, made: int
    ) -> list[States]:
        figures, other, toward = self.s.figures, side // 2, 1.0 - 2.0 * (side % 2)
        back, straight = figures.setback(angle), figures.straight(angle)
        s, c = sin(radians(angle)), cos(radians(angle))
        offset = toward * (self.s.lattice.planes[other] - corner[:, other, None])
        row, target = np.nonzero((offset >= (2.0 * back + straight) * s - _EPS) & (offset <= MOST_SET_MM))
        if not len(row):
            return []
        move = offset[row, target]
        landed = corner[row] + (move / tan(radians(angle)))[:, None] * AXES[way]
        landed[:, other] = self.s.lattice.planes[other][target]
        long = move / s
        total = cost[row] + long * self.s.off_faces
        keep = np.flatnonzero(self.ground.worth(landed, way, self.bends - made, passing=True))
        if len(keep) > MOST_SETS // 8:
            keep = keep[np.argsort(total[keep], kind="stable")[: MOST_SETS // 8]]
        if not len(keep):
            return []
        direction = c * AXES[way] + s * AXES[side]
        ways = np.broadcast_to(direction, (len(keep), 3))
        clear = self.s.around.free(corner[row[keep]], ways, long[keep]) >= long[keep] - _EPS
        keep = keep[clear]
        keep = keep[self.ground.bend_clear(corner[row[keep]], way, direction, angle)]
        n = len(keep)
        return [
            States(
                landed[keep],
                np.full(n, way),
                np.full(n, back),
                total[keep],
                parent[row[keep]],
                corner[row[keep]],
            )
        ]

    def _thinned(self, states: States, seen: dict[tuple[int, ...], float]) -> States:
        """Return those corners that no other beats."""
        if not len(states):
            return states
        kept: list[States] = []
        for way in range(6):
            rows = np.flatnonzero(states.way == way)
            if not len(rows):
                continue
            some = states.take(rows)
            axis, sign = way // 2, 1.0 - 2.0 * (way % 2)
            number, _ = self.s.lattice.node(some.point)
            _, last = self.ground.reach(some, way)
            s = sign * some.point[:, axis] + some.setback
            base = some.cost - sign * some.point[:, axis]
            line = [k for k in range(3) if k != axis]
            key = np.stack([number[:, line[0]], number[:, line[1]], last], axis=1)
            loose = np.flatnonzero(last < 0)
            tied = np.flatnonzero(last >= 0)
            keep = set(loose.tolist())
            for order in (
                tied[np.lexsort((base[tied], s[tied], *key[tied].T))],
                tied[np.lexsort((s[tied], np.round(base[tied], 6), *key[tied].T))],
            ):
                if len(order):
                    new = np.any(np.diff(key[order], axis=0, prepend=-2) != 0, axis=1)
                    keep |= set(order[new].tolist())
            chosen = []
            for i in sorted(keep):
                if last[i] >= 0:
                    name = (way, *key[i].tolist())
                    if s[i] >= seen.get(name, np.inf) - _EPS and base[i] >= self.base.get(name, np.inf) - _EPS:
                        continue
                    seen[name] = min(seen.get(name, np.inf), float(s[i]))
                    self.base[name] = min(self.base.get(name, np.inf), float(base[i]))
                chosen.append(i)
            kept.append(some.take(np.array(chosen, dtype=np.int64)))
        out = States.joined(kept)
        if len(out) > MOST_ROWS:
            out = out.take(np.sort(np.argsort(out.cost, kind="stable")[:MOST_ROWS]))
        return out
