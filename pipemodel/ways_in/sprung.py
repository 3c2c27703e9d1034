"""A way in for a piece that is sprung by hand: held sprung from outside up to some place, let go there, and moved on.

Where it is let go it is moved on from as it is, so that these places are those which the search for a way of the rigid
piece has come to from its place. From all of them at once a way out is looked for, in one sprung shape after the other.
Nothing comes nearer than the margin while the shape changes either: no point goes farther than `_travel` says, in
proportion to how far it is sprung, and shapes between are judged as closely as that asks for.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import product
from math import inf
from typing import TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.geometry.centreline import Centreline
from pipemodel.job.model import Spread
from pipemodel.ways_in.changing import Changing, of_piece
from pipemodel.ways_in.gate import Gate
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_room import NOT_JOINED, Obstacle
from pipemodel.ways_in.planner import Found, Search
from pipemodel.ways_in.planner_moves import Moves
from pipemodel.ways_in.shorten import shorten
from pipemodel.ways_in.springs import lever_at, sprung_ends, sprung_line
from pipemodel.ways_in.turning import array_of, pose_of
from pipemodel.ways_in.values import Pose, SprungEnd
from pipemodel.ways_in.verify import verified

GateOf: TypeAlias = Callable[[Judge], Gate]
CLOSE_MM = 0.25
"""So closely is measured what stays clear while it is sprung or let go."""
MOST_PLACES = 24
"""So many places at most are tried to let go of it in."""
SOON = 8
"""Shapes are first tried with so many times less than all of the effort."""


@dataclass(frozen=True)
class SprungShape:
    """A piece as it is sprung: its ends, as many as are, its axis and the strain of its worst fibre."""

    ends: tuple[SprungEnd, ...]
    line: Centreline
    strain: float

    def less(self, line: Centreline, share: float) -> "SprungShape":
        """Return it sprung by a share of that; `line` is the axis of the finished run."""
        ends = tuple(replace(one, by_mm=share * one.by_mm) for one in self.ends)
        return SprungShape(ends, _line_of(line, ends), share * self.strain)

    @property
    def joined(self) -> tuple[bool, bool]:
        """Whether start and finish are where they belong."""
        sprung = {one.end for one in self.ends}
        return "start" not in sprung, "finish" not in sprung


@dataclass(frozen=True)
class SprungWay:
    """A way out, from the place to the outside: poses of the finished and of the sprung piece, and the clearances."""

    rigid: list[Floats]
    sprung: list[Floats]
    shape: SprungShape
    middle: Floats
    least_mm: float


def shapes_of(line: Centreline, outside_mm: float, spread: Spread) -> tuple[SprungShape, ...]:
    """Return the shapes a piece may be sprung to, as far as it may be: either end and both, closed and open."""
    ends = sprung_ends(line, outside_mm, spread)
    rows = [(end,) for end in ends] + ([ends] if len(ends) > 1 else [])
    out = []
    for row, sign in product(rows, (-1.0, 1.0)):
        made = tuple(replace(one, by_mm=sign * one.by_mm) for one in row)
        strains = (lever_at(line, outside_mm, one.end) for one in row)
        strain = max(lever.strain_of(one.by_mm) for lever, one in zip(strains, row, strict=True) if lever is not None)
        out.append(SprungShape(made, _line_of(line, made), strain))
    return tuple(out)


def _line_of(line: Centreline, ends: Sequence[SprungEnd]) -> Centreline:
    for one in ends:
        line = sprung_line(line, one.end, one.by_mm)
    return line


class _FromAny(Search):
    """A search that begins in any of some poses, all of one tree."""

    def __init__(self, judge: Judge, gate: Gate, seed: int, effort: int, places: Floats, line: Centreline) -> None:
        super().__init__(judge, gate, seed, effort)
        self.places = places
        # The moves of a hand go by the legs, which the sprung piece has not.
        self.moves = Moves(line, judge.middle, self.moves.size_mm, gate.ways)

    def run(self) -> Found:
        """Search until a way out of any of them is found, or the effort is spent."""
        try:
            for number, pose in enumerate(self.places):
                out = self.gate.outness(pose)
                if number:
                    self.forest.grow(0, pose, out, False)
                else:
                    self.forest.plant(pose, out, False)
            self._search()
        except KeyboardInterrupt:
            self.found.interrupted = self.judge.stopped = True
        return self.found

    @property
    def way(self) -> list[Floats] | None:
        """The way that was found, from the last of the places on it."""
        way = self.found.way
        if way is None:
            return None
        last = max(i for i, pose in enumerate(way) if any(np.array_equal(pose, place) for place in self.places))
        return way[last:]


@dataclass
class SprungSearch:
    """Looks for a way of a sprung piece, once the search for one of the rigid piece has found none.

    Args:
        line: the axis of the finished run.
        outside_mm: the outside diameter of its tube.
        obstacles: what it keeps off.
        rigid: the search that found none.
        judge: judges the finished run by the margin asked for.
        gate_of: makes the gate of a judge.
        seed: what the random numbers begin with.
    """

    line: Centreline
    outside_mm: float
    obstacles: Sequence[Obstacle]
    rigid: Search
    judge: Judge
    gate_of: GateOf
    seed: int
    tried: int = 0
    stopped: bool = False

    def way(self, spread: Spread, effort: int) -> SprungWay | None:
        """Return a way out; sprung by half as much where that does as well.

        All shapes are first tried with little of the effort, so that one which soon goes in does not wait for others
        that do not; then each has its part of the rest. Measuring a way that was found is not counted against it.
        """
        shapes = shapes_of(self.line, self.outside_mm, spread)
        for within in (effort // SOON, effort):
            for number, shape in enumerate(shapes):
                part = (within - self.tried) // (len(shapes) - number)
                found = self._of(shape, part)
                if self.stopped:
                    return found
                if found is not None:
                    return self._of(shape.less(self.line, 0.5), part) or found
        return None

    def _of(self, shape: SprungShape, effort: int) -> SprungWay | None:
        obstacles = [
            one._replace(
                start=one.start if shape.joined[0] else NOT_JOINED, finish=one.finish if shape.joined[1] else NOT_JOINED
            )
            for one in self.obstacles
        ]
        # Where no end joins anything, the room is the same.
        free = all(one.start == one.finish == NOT_JOINED for one in self.obstacles)
        judge, searching = (
            of_piece(one, shape.line) if free else Judge(shape.line, self.outside_mm, obstacles, one.margin_mm)
            for one in (self.judge, self.rigid.judge)
        )
        change = _Change(judge, self.line, shape)
        try:
            return self._found(shape, judge, searching, change, effort)
        finally:
            self.tried += judge.tried + searching.tried + change.tried

    def _found(
        self, shape: SprungShape, judge: Judge, searching: Judge, change: "_Change", effort: int
    ) -> SprungWay | None:
        places = self._places(judge, searching, change, effort // 2)
        if not places:
            return None
        effort -= change.tried
        poses = np.array(list(places.values()))
        search = _FromAny(searching, self.gate_of(searching), self.seed, effort, poses, self.line)
        self.stopped = search.run().interrupted
        way = search.way
        if way is None:
            return None
        rng = np.random.default_rng(self.seed)
        node = next(node for node, pose in places.items() if np.array_equal(pose, way[0]))
        forest, gate = self.rigid.forest, self.rigid.gate
        on = [forest.poses[k].copy() for k in forest.way(node)]
        for rigid, sprung in product((shorten(self.rigid.judge, on, rng), on), (shorten(searching, way, rng), way)):
            if not (search.gate.passed(sprung) or gate.passed(rigid)):
                continue
            states, held = verified(self.judge, rigid), verified(judge, sprung)
            if states is None or held is None:
                continue
            inside, outside = (change.least(pose_of(held[i], judge.middle), CLOSE_MM) for i in (0, -1))
            if inside is not None and outside is not None:
                least = min(self.judge.least_along(states)[0], judge.least_along(held)[0], inside, outside)
                return SprungWay(states, held, shape, judge.middle, least)
        return None

    def _places(self, judge: Judge, searching: Judge, change: "_Change", effort: int) -> dict[int, Floats]:
        """Return where the piece can be let go and be moved on to its place: nodes of the rigid search, and poses.

        None is looked at any more once so many placements were judged.
        """
        forest = self.rigid.forest
        mine = forest.of_tree(0)
        held = [pose_of(forest.poses[node], self.judge.middle) for node in mine.tolist()]
        poses = np.array([array_of(pose, judge.middle) for pose in held])
        clear = np.flatnonzero(searching.clear(poses))
        # The place itself, what is farthest out, and others at random.
        far = clear[np.argsort(-forest.outness[mine[clear]], kind="stable")][: MOST_PLACES // 3]
        some = np.random.default_rng(self.seed).permutation(clear)
        row = list(dict.fromkeys([*clear[clear == 0].tolist(), *far.tolist(), *some.tolist()]))[:MOST_PLACES]
        good = (k for k in row if change.tried < effort and change.least(held[k]) is not None)
        return {int(mine[k]): poses[k] for k in good}


class _Change:
    """What stays clear of both ends of a piece while it is sprung, or let go."""

    def __init__(self, judge: Judge, line: Centreline, shape: SprungShape) -> None:
        """Take a judge of the sprung piece, and the axis of the finished run."""
        self.ends = []
        for one in shape.ends:
            lever = lever_at(line, 2.0 * judge.tube_mm, one.end)
            if lever is not None:
                line_of = partial(_partly, line, one)
                travel = lever.travel_mm(one.by_mm)
                self.ends.append(Changing(judge, line_of, one.end, lever.leg_mm + lever.arc_mm, travel))

    def least(self, pose: Pose, close_mm: float = inf) -> float | None:
        """Return what stays clear, never too much; None where that is less than the margin; see `Changing.least`."""
        found = [change.least(pose, close_mm) for change in self.ends]
        return None if None in found else min(one for one in found if one is not None)

    @property
    def tried(self) -> int:
        """How many placements were judged."""
        return sum(change.tried for change in self.ends)


def _partly(line: Centreline, end: SprungEnd, share: float) -> Centreline:
    """Return a piece sprung at an end by a share of how far it is sprung."""
    return sprung_line(line, end.end, share * end.by_mm)
