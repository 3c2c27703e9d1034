"""Several runs: which goes in first.

A run that comes out with all the others in their places can go in last. It is taken away, and the question asked again
of the rest: what is found backwards is an order in which every run goes in past those that are there already. Taking
runs away never closes a way, so if an order exists in which each goes in by one journey, none is missed by this.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.arrays import Floats
from pipemodel.job.build_sleeves import wall_of
from pipemodel.job.model import BringIn, Opening
from pipemodel.messages.values import Name, message
from pipemodel.ways_in.bring import Brought, bring
from pipemodel.ways_in.judge_room import Joined, Obstacle
from pipemodel.ways_in.values import WayIn

Joins: TypeAlias = Callable[[SolvedRun, str, float], tuple[Joined, Joined]]
"""From a run, the name of what it may join and a margin to what its start and its finish may touch there."""


@dataclass(frozen=True)
class WaysIn:
    """The ways in of runs, in the order of the job; and the order in which they go in, as far as one was found."""

    ways: tuple[WayIn, ...] = ()
    order: tuple[str, ...] = ()
    stopped: bool = False


def find_ways(schedule: Schedule, joins: Joins, plain: bool = True) -> WaysIn:
    """Return a way in for every run of which one is asked; the mesh files of the room must have been read.

    Where they need not be `plain`, they are as they were found; see `bring`.
    """
    return _Order(schedule, joins, plain).run()


class _Order:
    def __init__(self, schedule: Schedule, joins: Joins, plain: bool) -> None:
        self.schedule, self.job, self.joins, self.plain = schedule, schedule.job, joins, plain
        self.openings = {opening.name: opening for opening in self.job.openings}
        self.found: dict[str, WayIn] = {}
        self.order: list[str] = []
        self.stopped = False

    def run(self) -> WaysIn:
        left = [solved for solved in self.schedule.runs if solved.run.bring_in is not None]
        while left and not self.stopped:
            out = self._last_of(left)
            if out is None:
                if not self.stopped:
                    self._alone(left)
                break
            left.remove(out)
            self.order.insert(0, out.name)
        for solved in self.schedule.runs:
            asked = solved.run.bring_in
            if asked is not None and solved.name not in self.found:
                self.found[solved.name] = _not_looked_for(solved, asked)
        ways = tuple(self.found[run.name] for run in self.schedule.runs if run.name in self.found)
        return WaysIn(ways, tuple(self.order), self.stopped)

    def _last_of(self, left: Sequence[SolvedRun]) -> SolvedRun | None:
        """Return a run that comes out with the others there; the last of the job is tried first."""
        for solved in reversed(left):
            way = self._bring(solved, [other for other in left if other is not solved])
            if way.found:
                return solved
            if self.stopped:
                return None
        return None

    def _alone(self, left: Sequence[SolvedRun]) -> None:
        """None comes out past the others: say of each whether it would come in without those."""
        blocked = [solved for solved in left if not self.found[solved.name].impossible]
        if len(left) < 2:
            return
        for solved in blocked:
            if self.stopped:
                return
            past = self.found[solved.name]
            way = self._bring(solved, [])
            if way.found:
                others = [other.name for other in left if other is not solved]
                why = message("ways in.only alone", run=Name(solved.name), other=Name(", ".join(others)))
                self.found[solved.name] = replace(past, why_not=why, tried=past.tried + way.tried)

    def _bring(self, solved: SolvedRun, others: Sequence[SolvedRun]) -> WayIn:
        asked = solved.run.bring_in
        assert asked is not None, "only such runs are asked about"
        fixed = [run for run in self.schedule.runs if run.run.bring_in is None]
        there = [*fixed, *others]
        obstacles = self._obstacles(solved, asked, there)
        ways: list[WayIn] = []
        for opening in self._openings(asked):
            try:
                brought = bring(solved, asked, opening, obstacles, block_of(self.schedule), plain=self.plain)
            except KeyboardInterrupt:  # outside of what can say how far it came
                brought = Brought(_not_looked_for(solved, asked), stopped=True)
            ways.append(brought.way)
            self.stopped = self.stopped or brought.stopped
            if brought.way.found or self.stopped:
                break
        # Impossible is only what is so by every opening.
        way = replace(
            max(ways, key=lambda way: (way.found, not way.impossible)),
            tried=sum(way.tried for way in ways),
            past=tuple(run.name for run in self.schedule.runs if any(run is one for one in there)),
        )
        self.found[solved.name] = way
        return way

    def _openings(self, asked: BringIn) -> list[Opening | None]:
        if asked.through is not None:
            return [self.openings[asked.through]]
        return list(self.job.openings) or [None]

    def _obstacles(self, solved: SolvedRun, asked: BringIn, runs: Sequence[SolvedRun]) -> list[Obstacle]:
        out = [
            Obstacle(thing.name, thing.shape, *self.joins(solved, wall_of(thing), asked.margin_mm))
            for thing in self.job.things_for(solved.name)
        ]
        for run in runs:
            if run is not solved:
                joined = self.joins(solved, run.name, asked.margin_mm)
                out.append(Obstacle(run.name, (run.centreline, run.tube.outside_mm), *joined))
        return out


def _not_looked_for(solved: SolvedRun, asked: BringIn) -> WayIn:
    why = message("ways in.not looked for", run=Name(solved.name))
    return WayIn(solved.name, False, False, why, asked.margin_mm, None, (), asked.through, 0)


def block_of(schedule: Schedule) -> tuple[Floats, Floats]:
    """Return the low and high corners of the block along the axes that holds everything with a size."""
    corners = [corner for thing in schedule.job.things for corner in thing.shape.bounds()]
    corners += [corner for run in schedule.runs for corner in run.run.route.corners]
    points = np.array(corners, dtype=np.float64)
    return points.min(axis=0), points.max(axis=0)
