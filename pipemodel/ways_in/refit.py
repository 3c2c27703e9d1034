"""A way refitted as few motions of the hands: slides, and turns about an end, a leg or another point of the piece.

Any two poses are joined by one turn about any point of the piece and one slide, in either order; or by a slide, a turn
and another slide. So poses along a way that was found are taken as stations, and the cheapest row of such motions from
the first to the last is looked for, each judged all along; then others are put in beside them at random, and it is done
again. From any station the piece may also be slid straight out.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from math import acos, ceil, cos, degrees, inf, radians
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.gate import Gate
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_kernel import between
from pipemodel.ways_in.motions import FREE_DEG, MOST_DEG, ON_LEG_DEG
from pipemodel.ways_in.planner_moves import Moves
from pipemodel.ways_in.turning import held, matrix, share_of, times, turn_between, turned_about

SLIDE, HELD, FREE, BOTH = 1.0, 1.0, 1.4, 1.8
"""What motions cost: a slide; a turn with an end or a leg held; one about another point; a turn and slide at once."""
NARROW, WIDE_MM = 0.3, 10.0
"""What a motion costs more that does not keep off by so much more than it must."""
STATIONS = 20
"""So many poses at the most are stations."""
ROUNDS = 8
"""So often stations are put in."""
LOOSE_MM = 60.0
"""How far beside the way they stand."""
VIA = 3
"""So many ways with a turn between two slides are judged all along."""
SAME_MM, SAME_RAD = 1e-6, 1e-7
ON_MM = 1e-6
"""A point so near to a leg's line lies on it."""
STRAY_MM, LEAST_STEP_DEG, MOST_STEP_DEG = 0.5, 2.5, 10.0
"""A turn goes in steps so short that the point it is about strays no farther between them, within these limits."""
LOOK_DEG = 15.0
"""While it is looked for, a turn is judged in steps no larger than this."""


class RefitStep(NamedTuple):
    """One motion: what it costs, the pose after it, and the point of the piece that a turn is about, if it is one."""

    cost: float
    pose: Floats
    pivot: Floats | None = None


Steps: TypeAlias = tuple[RefitStep, ...]


class Refit:
    """Finds few motions for ways of one piece.

    Args:
        judge: holds the margin.
        gate: says what is outside.
        moves: the points of the piece that turns may be about, its legs, and the directions in the room.
        rng: gives the random numbers.
    """

    def __init__(self, judge: Judge, gate: Gate, moves: Moves, rng: np.random.Generator) -> None:
        self.judge, self.gate, self.moves, self.rng = judge, gate, moves, rng
        self.wide = judge.keeping(WIDE_MM)
        legs = [(np.array(leg.start) - judge.middle, np.array(leg.direction)) for leg in judge.line.straights]
        self.along = [
            np.array([way for at, way in legs if np.linalg.norm(np.cross(p - at, way)) < ON_MM]).reshape(-1, 3)
            for p in moves.pivots
        ]
        """Of each such point the directions of the legs that it lies on, or on whose line."""

    def few(self, way: Sequence[Floats]) -> Steps:
        """Return motions between the same place and the outside, as few as are found.

        Stopped by the keyboard, it says so to the judge and returns what it has come to.
        """
        best: Steps = ()
        for a, b in pairwise(way):
            best += self.priced(a, (RefitStep(self.both(a, b), b),))
        try:
            idle = 0
            for _ in range(ROUNDS):
                stations, known = self._stations(way[0], best)
                found = self._row(stations, known)
                idle = 0 if cost_of(found) < cost_of(best) - 1e-9 else idle + 1
                best = found
                if idle == 3 or len(best) == 1:
                    break
        except KeyboardInterrupt:
            self.judge.stopped = True
        return best

    def states(self, home: Floats, steps: Sequence[RefitStep]) -> list[Floats]:
        """Return the poses of a row of motions, with those between that a turn takes."""
        out = [home]
        for step in steps:
            out += self._in_steps(out[-1], step._replace(pose=self._met(out[-1], step.pose)))
        return out

    def _met(self, a: Floats, b: Floats) -> Floats:
        """Return a pose; of a straight piece one that stands the same, not turned about itself on the way there."""
        if self.judge.line.arcs:
            return b
        along = np.array(self.judge.line.direction_at(0.0))
        return held(b[:3], times(turn_between(matrix(a) @ along, matrix(b) @ along), a[3:]))

    def _stations(self, home: Floats, best: Steps) -> tuple[list[Floats], dict[tuple[int, int], Steps]]:
        """Return poses along a row of motions and beside it, and the motions between those of them that are its own."""
        stations, before = [home], 0
        known: dict[tuple[int, int], Steps] = {}
        spare = max(STATIONS - len(best) - 1, 4)
        each = [spare // len(best) + (k < spare % len(best)) for k in range(len(best))]
        for step, count in zip(best, each, strict=True):
            a = stations[before]
            for share in np.sort(self.rng.random(count)).tolist():
                there = _share(a, step, share)
                if self.rng.random() < 0.5:
                    turn = (a, step.pose, there)[int(self.rng.integers(3))][3:]
                    there = held(there[:3] + LOOSE_MM * self.rng.random() * self.rng.normal(size=3), turn)
                stations.append(there)
            stations.append(step.pose)
            known[before, len(stations) - 1] = (step,)
            before = len(stations) - 1
        return stations, known

    def _row(self, stations: Sequence[Floats], known: Mapping[tuple[int, int], Steps]) -> Steps:
        """Return the cheapest row of motions from the first station to the last, or to anywhere outside."""
        clear = self.judge.clear(np.array(stations)).tolist()
        costs = [0.0]
        rows: list[Steps] = [()]
        ended: tuple[float, Steps] = (inf, ())
        for j in range(1, len(stations)):
            cost: float = inf
            row: Steps = ()
            for i in sorted(range(j), key=lambda i: costs[i]):
                if costs[i] + min(SLIDE, HELD) >= cost:
                    break
                steps = known.get((i, j)) or (clear[j] and self._edge(stations, i, j, cost - costs[i]))
                if steps and costs[i] + cost_of(steps) < cost:
                    cost, row = costs[i] + cost_of(steps), (*rows[i], *steps)
            costs.append(cost)
            rows.append(row)
            if cost + SLIDE < min(ended[0], costs[-1] if j == len(stations) - 1 else inf):
                out = self._out(stations[j])
                if out is not None:
                    ended = min(ended, (cost + cost_of(out), (*row, *out)), key=lambda one: one[0])
        return rows[-1] if costs[-1] <= ended[0] else ended[1]

    def _out(self, pose: Floats) -> Steps | None:
        """Return a slide from a pose to the outside."""
        legs = self.moves.legs @ matrix(pose).T
        for way in (*self.moves.ways, *-self.moves.ways, *legs, *-legs):
            low, high = 0.0, self.moves.size_mm
            if self._slid_out(pose, high * way) < 0.0:
                continue
            while high - low > 1.0:
                middle = 0.5 * (low + high)
                low, high = (low, middle) if self._slid_out(pose, middle * way) >= 0.0 else (middle, high)
            out = RefitStep(SLIDE, held(pose[:3] + high * way, pose[3:]))
            if self.keeps(pose, out, self.judge):
                return self.priced(pose, (out,))
        return None

    def _slid_out(self, pose: Floats, by: Floats) -> float:
        return self.gate.outness(held(pose[:3] + by, pose[3:]))

    def _edge(self, stations: Sequence[Floats], i: int, j: int, below: float) -> Steps | None:
        """Return the cheapest motions found from one station to another that cost less than so much; None for none."""
        a, b = stations[i], self._met(stations[i], stations[j])
        if below <= SLIDE:
            return None
        if between(a, b)[3] <= SAME_RAD:
            return self._first(a, [(RefitStep(SLIDE, b),)], 1)
        options = sorted(self._pairs(a, b), key=cost_of)
        options = [option for option in options if cost_of(option) < below - 1e-9]
        if found := self._first(a, options, len(options)):
            return found
        if below > 2.0 * SLIDE + HELD and j > i + 2:
            options = [option for option in self._via(stations, i, j, b) if cost_of(option) < below - 1e-9]
            return self._first(a, options, VIA)
        return None

    def _first(self, a: Floats, options: Sequence[Steps], most: int) -> Steps | None:
        """Return the first of some rows of motions that keeps clear, no more than `most` of them looked at."""
        if not options:
            return None
        inner = [step.pose for option in options for step in option[:-1]]
        clear = self.judge.clear(np.array(inner)).tolist() if inner else []
        good = []
        for option in options:
            here, clear = clear[: len(option) - 1], clear[len(option) - 1 :]
            if all(here):
                good.append(option)
        for option in good[:most]:
            begins = (a, *(step.pose for step in option))
            if all(self.keeps(p, step, self.judge) for p, step in zip(begins, option, strict=False)):
                return self.priced(a, option)
        return None

    def priced(self, a: Floats, steps: Steps) -> Steps:
        """Return motions that keep clear, those that do so narrowly at a higher price."""
        out = []
        for step in steps:
            out.append(step if self.keeps(a, step, self.wide) else step._replace(cost=step.cost + NARROW))
            a = step.pose
        return tuple(out)

    def _pairs(self, a: Floats, b: Floats) -> Iterator[Steps]:
        """Yield motions from one pose to another: one turn, with one slide before or after it where that is needed."""
        spin, other = matrix(a), matrix(b)
        for number, pivot in enumerate(self.moves.pivots):
            slide = b[:3] + other @ pivot - a[:3] - spin @ pivot
            turn = self.turn_cost(a, b, number)
            if np.linalg.norm(slide) <= SAME_MM:
                yield (RefitStep(turn, b, pivot),)
                continue
            yield RefitStep(SLIDE, held(a[:3] + slide, a[3:])), RefitStep(turn, b, pivot)
            yield RefitStep(turn, held(b[:3] - slide, b[3:]), pivot), RefitStep(SLIDE, b)
        yield (RefitStep(self.both(a, b), b),)

    def _via(self, stations: Sequence[Floats], i: int, j: int, b: Floats) -> list[Steps]:
        """Return motions from one station to another with a turn between two slides, where stations between stand."""
        a = stations[i]
        spin, other = matrix(a), matrix(b)
        out: list[Steps] = []
        for k in self.rng.permutation(np.arange(i + 1, j))[:6].tolist():
            there = stations[k][:3] + (LOOSE_MM * self.rng.normal(size=3) if self.rng.random() < 0.5 else 0.0)
            for number, pivot in enumerate(self.moves.pivots):
                cost = self.turn_cost(a, b, number)
                if cost <= HELD:
                    before, after = held(there, a[3:]), held(there + spin @ pivot - other @ pivot, b[3:])
                    out.append((RefitStep(SLIDE, before), RefitStep(cost, after, pivot), RefitStep(SLIDE, b)))
        return out

    def turn_cost(self, a: Floats, b: Floats, number: int) -> float:
        """What a turn costs: little where an end or a leg is held, more where nothing is."""
        x, y, z, angle = between(a, b)
        on_leg = np.abs(self.along[number] @ matrix(a).T @ (x, y, z)) > cos(radians(ON_LEG_DEG))
        if number < self.moves.held or on_leg.any():
            return HELD * ceil(degrees(angle) / MOST_DEG)
        return FREE * ceil(degrees(angle) / FREE_DEG)

    def both(self, a: Floats, b: Floats) -> float:
        """What it costs to turn and slide at once."""
        angle: float = between(a, b)[3]
        return BOTH * ceil(degrees(angle) / FREE_DEG) if angle > SAME_RAD else SLIDE

    def keeps(self, a: Floats, step: RefitStep, judge: Judge) -> bool:
        """Tell whether a motion is clear all along."""
        if step.pivot is None:
            return judge.advance(a, step.pose).share >= 1.0
        parts = max(ceil(degrees(between(a, step.pose)[3]) / LOOK_DEG), 1)
        poses = [a, *(_share(a, step, k / parts) for k in range(1, parts)), step.pose]
        return all(judge.advance(p, q).share >= 1.0 for p, q in pairwise(poses))

    def _in_steps(self, a: Floats, step: RefitStep) -> list[Floats]:
        """Return the poses of a motion, the first left out."""
        if step.pivot is None:
            return [step.pose]
        reach = max(float(np.linalg.norm(step.pivot)), float(np.linalg.norm(step.pivot + self.judge.middle)), 1.0)
        fine = 2.0 * degrees(acos(max(1.0 - STRAY_MM / reach, 0.0)))
        each = min(max(fine, LEAST_STEP_DEG), MOST_STEP_DEG)
        parts = max(ceil(degrees(between(a, step.pose)[3]) / each), 1)
        return [*(_share(a, step, k / parts) for k in range(1, parts)), step.pose]


def _share(a: Floats, step: RefitStep, share: float) -> Floats:
    """Return the pose a share of a motion on."""
    if step.pivot is None:
        return share_of(a, step.pose, share)
    x, y, z, angle = between(a, step.pose)
    return turned_about(a, a[:3] + matrix(a) @ step.pivot, np.array([x, y, z]), share * angle)


def cost_of(steps: Steps) -> float:
    """Return what motions cost."""
    return sum(step.cost for step in steps)
