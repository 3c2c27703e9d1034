"""What would help each run that could not be brought in, by the same search with less effort for each try."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import inf, radians

from pipemodel.bending.schedule import Schedule
from pipemodel.cutting.joint_places import FreePart, JointRoom
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes import tube as shapes
from pipemodel.geometry.vectors import distance
from pipemodel.job.model import Thing
from pipemodel.trade.fittings import FittingError, find_fitting
from pipemodel.trade.model import Tube
from pipemodel.ways_in.bring import bring
from pipemodel.ways_in.changing import Changing
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_room import NOT_JOINED, Joined, Obstacle
from pipemodel.ways_in.order import Joins, block_of
from pipemodel.ways_in.values import IN_PLACE, WayIn
from pipemodel.ways_in.would_help import KINDS, Help, Other, WayAsked, help_by, with_bend_open

EACH, LEAST = 20, 4_000
"""One try may judge so many times fewer placements than the search itself, but so many at least."""
OF_A_KIND, LEAST_OF_A_KIND = 2, 60_000
"""And all tries of one kind so many times fewer, but so many at least; the next kind has what is left."""
_SAME_MM = 1e-6


@dataclass(frozen=True)
class RunPart:
    """What is brought in of a run: its axis, or a piece of it."""

    name: str
    centreline: Centreline
    tube: Tube


def helps_for(schedule: Schedule, way: WayIn, joins: Joins) -> tuple[tuple[Help, ...], bool]:
    """Return what would help a run that could not be brought in, and whether whoever waits has stopped the search.

    Nothing helps where it was not asked for by an opening.

    Args:
        schedule: the solved job.
        way: the answer that it could not.
        joins: what says how far ends may touch what they join.
    """
    helped = _Helped(schedule, way, joins)
    return helped.found(), helped.stopped


class _Helped:
    def __init__(self, schedule: Schedule, way: WayIn, joins: Joins) -> None:
        self.schedule, self.job, self.way, self.joins = schedule, schedule.job, way, joins
        self.solved = next(solved for solved in schedule.runs if solved.name == way.run)
        self.runs = {solved.name: solved for solved in schedule.runs}
        self.left = 0
        self.stopped = False

    def found(self) -> tuple[Help, ...]:
        """Try what may help."""
        bring_in = self.solved.run.bring_in
        assert bring_in is not None, "only such runs are asked about"
        opening = next((one for one in self.job.openings if one.name == self.way.opening), None)
        # Those that go in after it are not there; of those that are, what is to be brought in too is as stuck as it is.
        others = tuple(
            Other(run.name, run.centreline, run.tube.outside_mm, run.run.bring_in is not None)
            for run in self.schedule.runs
            if run.name in self.way.past
        )
        asked = WayAsked(
            self.solved.name,
            self.solved.centreline,
            self.solved.tube.outside_mm,
            bring_in.margin_mm,
            self.job.things_for(self.solved.name),
            others,
            opening,
        )
        places, depth = self._joint_places(others)
        out = []
        try:
            for kind in KINDS:
                own = max(bring_in.effort // OF_A_KIND, LEAST_OF_A_KIND)
                self.left = min(max(self.left, 0) + own, max(bring_in.effort, own))
                out.append(help_by(kind, asked, self.plan, places, depth, self.swings))
                if self.stopped:
                    break
        except KeyboardInterrupt:
            self.stopped = True
        return tuple(one for one in out if one is not None)

    def plan(self, asked: WayAsked, tries: int = 0) -> WayIn:
        """Look for a way in for what is asked, as far as there is effort left; see `Planner`."""
        bring_in = self.solved.run.bring_in
        assert bring_in is not None
        nothing = WayIn(asked.run, False, False, None, asked.margin_mm, None, (), None, 0)
        if self.left <= 0 or self.stopped:
            return nothing
        effort = self.left // tries if tries else max(bring_in.effort // EACH, LEAST)
        less = replace(bring_in, effort=min(max(effort, LEAST), self.left), spread=None)
        part = RunPart(asked.run, asked.line, self.solved.tube)
        obstacles, block = self._obstacles(asked), block_of(self.schedule)
        brought = bring(part, less, asked.opening, obstacles, block, prove=False, plain=False)
        self.left -= max(brought.way.tried, 1)
        self.stopped = self.stopped or brought.stopped
        return brought.way

    def swings(self, asked: WayAsked, number: int) -> bool:
        """Tell whether what lies beyond a bend is clear while it is bent in its place, of all but what it joins."""
        finish = number == len(asked.line.arcs)
        start = not finish
        obstacles = [
            Obstacle(one.name, one.what, NOT_JOINED if start else one.start, NOT_JOINED if finish else one.finish)
            for one in self._obstacles(asked)
            if not (start and one.start != NOT_JOINED) and not (finish and one.finish != NOT_JOINED)
        ]
        arc = asked.line.arcs[number - 1]
        tail = (asked.line.straights[0] if start else asked.line.straights[-1]).length
        judge = Judge(asked.line, asked.outside_mm, obstacles, asked.margin_mm)
        moving = arc.length + tail
        line_of = partial(with_bend_open, asked.line, number)
        # No point goes farther than all that moves turns by, at its far end.
        change = Changing(judge, line_of, "finish" if finish else "start", moving, radians(arc.angle_deg) * moving)
        clear = change.least(IN_PLACE, inf) is not None
        self.left -= change.tried
        return clear

    def _obstacles(self, asked: WayAsked) -> list[Obstacle]:
        out = [Obstacle(thing.name, thing.shape, *self._joined(asked, thing.name)) for thing in asked.things]
        for other in asked.others:
            joined = (NOT_JOINED, NOT_JOINED) if other.name == asked.run else self._joined(asked, other.name)
            out.append(Obstacle(other.name, (other.line, other.outside_mm), *joined))
        return out

    def _joined(self, asked: WayAsked, name: str) -> tuple[Joined, Joined]:
        """What the ends may touch: only those of the run's own that are where they belong."""
        start, finish = self.joins(self.solved, name, asked.margin_mm)
        whole = self.solved.centreline
        return (
            start if distance(asked.line.start, whole.start) < _SAME_MM else NOT_JOINED,
            finish if distance(asked.line.finish, whole.finish) < _SAME_MM else NOT_JOINED,
        )

    def _joint_places(self, others: Sequence[Other]) -> tuple[Sequence[FreePart], float]:
        """Where a coupling can be made by hand and torch, and how deep the tube goes into it.

        The runs that are there stand in the way of hand and torch as things do.
        """
        try:
            coupling = find_fitting("capillary", self.solved.tube)
        except FittingError:
            return (), 0.0
        runs = [Thing(other.name, shapes.Tube(other.line, other.outside_mm)) for other in others]
        return JointRoom([*self.job.things, *runs]).free_parts([self.solved], coupling.depth_mm)[0], coupling.depth_mm
