"""Ways out for a run that no order of pulls gives, held against the room: none that makes it clash where it did not."""

from dataclasses import replace
from functools import lru_cache
from math import inf

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.clash import clash
from pipemodel.geometry.shapes import MeshFile
from pipemodel.messages.units import MM_PER_INCH
from pipemodel.pulls.other_ways import WayOut, ways_out
from pipemodel.pulls.plan import plan_pulls

STEP_MM, QUARTER_INCH_MM = 5.0, MM_PER_INCH / 4.0
SAME_MM = 0.01
"""A clash that is deeper by no more is the same one."""


@lru_cache(maxsize=32)
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
    things = tuple(thing for thing in schedule.job.things if not isinstance(thing.shape, MeshFile))
    job = replace(schedule.job, things=things)

    def too_near(run: SolvedRun) -> dict[tuple[str | None, str | None], float]:
        runs = (*schedule.runs[:number], run, *schedule.runs[number + 1 :])
        findings, _ = clash(Schedule(job, runs))
        near = [f for f in findings if f.severity == "error" and solved.name in (f.run, f.against)]
        return {(f.run, f.against): f.distance_mm or 0.0 for f in near}

    before: list[dict[tuple[str | None, str | None], float]] = []

    def fits(run: SolvedRun) -> bool:
        if not before:
            before.append(too_near(solved))
        return all(far >= before[0].get(pair, inf) - SAME_MM for pair, far in too_near(run).items())

    return ways_out(solved, plan, STEP_MM if job.units == "mm" else QUARTER_INCH_MM, fits)
