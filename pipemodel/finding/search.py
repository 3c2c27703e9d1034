"""The search: corner after corner on the lattice, so many bends at a time.

All corners that so many bends can lead to are found together. Of those on one line, going the same way up to the same
hindrance, one is beaten by another that lets the next bend come as soon and takes no more tube. What cannot reach the
finish with the bends that are left, were a bend to take no room, is dropped.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from math import cos, radians, sin, tan
from typing import NamedTuple

import numpy as np

from pipemodel.bending.bends import gain
from pipemodel.finding.around import Around
from pipemodel.finding.closing import Closings
from pipemodel.finding.figures import FIRST_ANGLES, OTHER_ANGLES, SQUARE_DEG, Figures
from pipemodel.finding.ground import Ground
from pipemodel.finding.lattice import AXES, Lattice
from pipemodel.finding.planes import WayEnds, places_on
from pipemodel.finding.slanted import Slanted
from pipemodel.finding.states import States, Store
from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.vectors import Vec3, scale

MOST_BENDS = 7
"""Ways of more bends are not looked for."""
MOST_SET_MM = 500.0
"""Sets of more than this are looked for as two bends of 90 degrees only."""
MOST_SETS = 8_000
"""Of more sets to one side, by one angle, the shortest so many are followed."""
MOST_ROWS = 30_000
"""Of more corners at one number of bends the shortest so many are followed."""
FEW_BENDS = 3
"""Before more bends are tried it is looked whether the room about the finish lets them come to anything."""
MANY_ROWS = 100
"""With more corners than this at one number of bends, the room about the finish is not small."""
MOST_FOUND = 60
"""So many ways, the shortest, are handed on to be judged at each number of bends."""
_EPS = 1e-6
_BELOW = 1 << 36


class FoundWay(NamedTuple):
    """Start, corners and finish of a way, and about how long it is."""

    corners: tuple[Vec3, ...]
    cost: float


@dataclass(frozen=True)
class SearchTerms:
    """What a search goes by. `angles` are those of sets; `off_faces` is what a leg off the clips' planes counts for."""

    lattice: Lattice
    around: Around
    figures: Figures
    ends: WayEnds
    angles: tuple[float, ...]
    near_faces: tuple[Bools, Bools, Bools]
    """Which planes lie at the standoff of clips."""
    off_faces: float = 1.0 + 1e-4
    slanted: bool = False
    """Whether legs between two bends may be slanted."""
    axes: Placing = Placing()  # noqa: RUF009
    """How the axes lie in the room, along which it goes; what it is given lies along them."""

    def ways(self, bends: int) -> list[FoundWay]:
        """Return ways of just so many bends, the shortest first; none where none is found."""
        found = _Running(self, bends).found()
        return [one._replace(corners=tuple(map(self.axes.point, one.corners))) for one in found]

    def too_many(self, bends: int) -> bool:
        """Tell whether a way of so many bends need not be looked for.

        Where backwards from the finish corners come to an end, as in a box that it lies in, no more than to there and
        the two of a set.
        """
        return bends > FEW_BENDS and bends > self._at_most

    @cached_property
    def _at_most(self) -> int:
        if self.arriving is None:
            return MOST_BENDS
        ends = self.ends
        back = WayEnds(ends.finish, scale(ends.arriving, -1.0), ends.start, scale(ends.heading, -1.0))
        other = replace(self, ends=back, angles=(*FIRST_ANGLES, *OTHER_ANGLES), slanted=True)
        return _Running(other, MOST_BENDS).ends_after() + 2

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

    def __init__(self, search: SearchTerms, bends: int) -> None:
        self.s, self.bends = search, bends
        self.store = Store()
        # A slanted leg gets past what legs along the axes need a bend more for.
        more = int(search.slanted)
        if search.arriving is None:
            places = np.array(places_on(search.ends, search.figures, True))
            fewest = search.lattice.bends_to_any(places, bends + more)
        else:
            fewest = search.lattice.bends_to(np.array(search.ends.finish), search.arriving, bends + more)
        if fewest is not None:
            fewest = tuple(one - more for one in fewest)
        self.ground = Ground(search.lattice, search.around, search.figures, fewest, search.near_faces, search.off_faces)
        arriving = -1 if search.arriving is None else search.arriving
        slanted = Slanted(search.figures, search.around, self.ground, search.ends.finish, arriving)
        self.slanted = slanted if search.slanted else None
        self.closings = Closings(search.figures, search.around, search.ends, search.angles)
        self.candidates: list[FoundWay] = []
        self.seen: dict[tuple[int, ...], list[tuple[float, int]]] = {}

    def found(self) -> list[FoundWay]:
        for made, states, numbers in self._layers():
            self._close(states, numbers, made)
        best = sorted(self.candidates, key=lambda way: (round(way.cost, 3), way.corners))
        unique: dict[tuple[Vec3, ...], FoundWay] = {}
        for one in best:
            unique.setdefault(tuple(tuple(round(c, 3) for c in p) for p in one.corners), one)  # type: ignore[misc]
        return list(unique.values())[:MOST_FOUND]

    def ends_after(self) -> int:
        """Return after how many bends no corner leads to another; all that are asked for, if they become many."""
        last = 0
        for made, states, _ in self._layers():
            if len(states) > MANY_ROWS:
                return self.bends
            last = made
        return last

    def _layers(self) -> Iterator[tuple[int, States, Ints]]:
        """Yield the corners that so many bends can lead to, and their numbers, with one bend more after the other."""
        layers: list[list[States]] = [[] for _ in range(self.bends + 3)]
        start = States.one(self.s.ends.start, -1 if self.s.heading is None else self.s.heading)
        if self.s.heading is None:
            numbers = self.store.keep(start)
            yield 0, start, numbers
            layers[1].append(self.closings.turned(start, numbers))
        else:
            layers[0].append(start)
        for made in range(self.bends + 1):
            states = self._thinned(States.joined(layers[made]))
            if not len(states):
                continue
            numbers = self.store.keep(states)
            yield made, states, numbers
            if made < self.bends:
                for way in range(6):
                    rows = np.flatnonzero(states.way == way)
                    if len(rows):
                        self._from(states.take(rows), numbers[rows], way, made, layers)

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
            if self.slanted:
                layers[made + 2] += self.slanted.after(states, numbers, way, reach, self.bends - made - 2)

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
        at = sign * states.point[:, axis]
        out: list[States] = []
        for angle in self.s.angles:
            if not figures.can_bend(angle):
                continue
            back, straight = figures.setback(angle), figures.straight(angle)
            least = states.setback + straight + back
            first = np.ceil(at + least - _EPS) - at
            starts = np.concatenate([first[:, None], t], axis=1)
            may = np.concatenate([(first <= reach + _EPS)[:, None], ahead & (t >= least[:, None] - _EPS)], axis=1)
            if not may.any():
                continue
            for side in range(6):
                if side // 2 != axis:
                    out += self._set_to(states, numbers, way, side, angle, starts, may, made)
        return out

    def _set_to(
        self, states: States, numbers: Ints, way: int, side: int, angle: float, starts: Floats, may: Bools, made: int
    ) -> list[States]:
        figures, other, toward = self.s.figures, side // 2, 1.0 - 2.0 * (side % 2)
        back, straight = figures.setback(angle), figures.straight(angle)
        sine, cosine = sin(radians(angle)), cos(radians(angle))
        plane = self.s.lattice.planes[other]
        offset = toward * (plane - states.point[:, other, None])
        fits = (offset >= (2.0 * back + straight) * sine - _EPS) & (offset <= MOST_SET_MM)
        fits &= self.ground.lines_worth(states.point, way, other, self.bends - made)
        state, target = np.nonzero(fits)
        pair, column = np.nonzero(may[state])
        if not len(pair):
            return []
        row = state[pair]
        move = offset[row, target[pair]]
        begin = starts[row, column]
        landed = states.point[row] + (begin + move / tan(radians(angle)))[:, None] * AXES[way]
        landed[:, other] = plane[target[pair]]
        keep = np.flatnonzero(self.ground.worth(landed, way, self.bends - made, passing=True))
        row, move, begin, landed = row[keep], move[keep], begin[keep], landed[keep]
        long = move / sine
        cost = states.cost[row] + self.ground.counted(states.point[row], way, begin)
        cost += long * self.s.off_faces - 2.0 * gain(figures.radius, angle)
        if len(cost) > MOST_SETS:
            keep = np.argsort(cost, kind="stable")[:MOST_SETS]
            row, begin, landed, long, cost = row[keep], begin[keep], landed[keep], long[keep], cost[keep]
        if not len(cost):
            return []
        corner = states.point[row] + begin[:, None] * AXES[way]
        direction = cosine * AXES[way] + sine * AXES[side]
        ways = np.broadcast_to(direction, (len(long), 3))
        clear = np.flatnonzero(self.s.around.free(corner, ways, long) >= long - _EPS)
        clear = clear[self.ground.bend_clear(corner[clear], way, direction, angle)]
        n = len(clear)
        return [
            States(
                landed[clear],
                np.full(n, way),
                np.full(n, back),
                cost[clear],
                numbers[row[clear]],
                corner[clear],
            )
        ]

    def _thinned(self, states: States) -> States:
        """Return those corners that no other beats."""
        kept: list[States] = []
        for way in range(6):
            rows = np.flatnonzero(states.way == way)
            if len(rows):
                some = states.take(rows)
                kept.append(some.take(self._unbeaten(some, way)))
        out = States.joined(kept)
        if len(out) > MOST_ROWS:
            out = out.take(np.sort(np.argsort(out.cost, kind="stable")[:MOST_ROWS]))
        return out

    def _unbeaten(self, states: States, way: int) -> Ints:
        """Return which corners are beaten by none on their line: no other lets one turn sooner for as little tube."""
        axis, sign = way // 2, 1.0 - 2.0 * (way % 2)
        number, _ = self.s.lattice.node(states.point)
        _, last = self.ground.reach(states, way)
        s = sign * states.point[:, axis] + states.setback
        # What all lengths farther along the line have in common, to a thousandth.
        base = np.round((states.cost - sign * states.point[:, axis]) * 1000.0).astype(np.int64)
        line = [k for k in range(3) if k != axis]
        key = np.stack([number[:, line[0]], number[:, line[1]], last], axis=1)
        tied = np.flatnonzero(last >= 0)
        order = tied[np.lexsort((base[tied], s[tied], *key[tied].T))]
        chosen = [np.flatnonzero(last < 0)]
        if len(order):
            group = np.cumsum(np.any(np.diff(key[order], axis=0, prepend=-2) != 0, axis=1))
            # Every group below all before it, so that the least so far is always of the group itself.
            value = base[order] - group * _BELOW
            least = np.minimum.accumulate(value)
            chosen.append(order[np.concatenate([[True], value[1:] < least[:-1]])])
        rows = np.sort(np.concatenate(chosen))
        kept = [i for i in rows.tolist() if last[i] < 0 or self._new((way, *key[i].tolist()), s[i], base[i])]
        return np.array(kept, dtype=np.int64)

    def _new(self, name: tuple[int, ...], s: float, base: int) -> bool:
        """Return whether no corner with fewer bends beats one, and keep it for those to come."""
        front = self.seen.setdefault(name, [])
        if any(other <= s + _EPS and less <= base for other, less in front):
            return False
        front.append((float(s), int(base)))
        return True
