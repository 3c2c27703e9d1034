"""Ways out for a run that no order of pulls gives, held against the room: none that makes it clash where it did not."""

from dataclasses import replace
from functools import lru_cache
from math import inf

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.clash import clash
from pipemodel.geometry.centreline import block_of, blocks_meet
from pipemodel.geometry.shapes import MeshFile
from pipemodel.messages.units import MM_PER_INCH
from pipemodel.pulls.other_ways import WayOut, ways_out
from pipemodel.pulls.plan import plan_pulls

STEP_MM, QUARTER_INCH_MM = 5.0, MM_PER_INCH / 4.0
SAME_MM = 0.01
"""A clash that is deeper by no more is the same one."""
MOST_KEPT = 1000
"""Of so many runs what was found is kept: schedule, checks and papers ask for it."""


@lru_cache(maxsize=MOST_KEPT)
def clear_ways(schedule: Schedule, number: int) -> tuple[WayOut, ...]:
    """Return up to three proved changes that give a run of a job an order of pulls; none where it has one.

    A change that moves the tube is measured against the room and the other runs, and left out where the run then comes
    too near to something that it kept clear of, or nearer still. Mesh files that have not been read are not measured.

    Args:
        schedule: the solved job.
        number: which of its runs, from 0.
    """
    solved = schedule.runs[number]
    plan = plan_pulls(solved)
    if plan.possible:
        return ()
    things = [thing for thing in schedule.job.things if not isinstance(thing.shape, MeshFile)]
    others = [other for other in schedule.runs if other is not solved]
    asked = schedule.job.asked_of(solved.run)

    def too_near(run: SolvedRun) -> dict[tuple[str | None, str | None], float]:
        block, wide = block_of(run.centreline.pieces), max(one.tube.outside_mm for one in schedule.runs)
        near = tuple(one for one in things if blocks_meet(block, one.shape.bounds(), asked[one.name] + wide))
        blocks = [(other, block_of(other.centreline.pieces)) for other in others]
        beside = tuple(one for one, its in blocks if blocks_meet(block, its, asked[one.name] + wide))
        findings, _ = clash(Schedule(replace(schedule.job, things=near), (run, *beside)), moves=False)
        errors = [f for f in findings if f.severity == "error" and solved.name in (f.run, f.against)]
        return {(f.run, f.against): f.distance_mm or 0.0 for f in errors}

    before: list[dict[tuple[str | None, str | None], float]] = []

    def fits(run: SolvedRun) -> bool:
        if not before:
            before.append(too_near(solved))
        return all(far >= before[0].get(pair, inf) - SAME_MM for pair, far in too_near(run).items())

    return ways_out(solved, plan, STEP_MM if schedule.job.units == "mm" else QUARTER_INCH_MM, fits)
