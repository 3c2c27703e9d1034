"""Which distances of a job are measured: every run to every thing and to every other run.

Of very many pairs those far apart are left out, and a note says so.
"""

from collections.abc import Iterator
from functools import lru_cache
from typing import NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance import (
    Nearest,
    distances_between_runs,
    least_distances,
    pairs_within,
    surroundings_of,
)
from pipemodel.job.model import Job, Thing
from pipemodel.messages.values import Count, Length, Message, message

MOST_PAIRS = 20_000
"""With more pairs of runs than this, or of a run and a thing, only those nearer than `FAR_MM` are reported."""
FAR_MM, NEAR_MM = 500.0, 10.0
MOST_REPORTED = 100_000
"""Of very many pairs no more than about so many are reported, but for those that are nearer than asked for."""


class PairDistance(NamedTuple):
    """Against what, which thing or run it is, how much is asked for, what there is; a pair of runs is judged once."""

    against: str
    other: Thing | SolvedRun
    required: float
    nearest: Nearest
    once: bool


def to_things(schedule: Schedule) -> list[list[PairDistance]]:
    """Return for each run what stands between it and the things it is measured against, in their order."""
    out: list[list[PairDistance]] = []
    for solved, row in zip(schedule.runs, _distances_to_things(schedule), strict=True):
        there = [(schedule.job.things[i], row[i]) for i in sorted(row)]
        asked = schedule.job.asked_of(solved.run)
        out.append([PairDistance(thing.name, thing, asked[thing.name], nearest, True) for thing, nearest in there])
    return out


@lru_cache(maxsize=1)
def _distances_to_things(schedule: Schedule) -> list[dict[int, Nearest]]:
    """Return for each run the distances to the things it is measured against, by their places in the job."""
    things, (lines, outside) = schedule.job.things, tubes_of(schedule)
    around = surroundings_of(tuple(thing.shape for thing in things))
    if not _many_things(schedule):
        return _meant(schedule, around.within(lines, outside, float("inf")))
    table = _meant(schedule, around.within(lines, outside, far_thing_mm(schedule)))
    for solved, row in zip(schedule.runs, table, strict=True):
        # What an end is to join is measured however far off it is.
        named = solved.run.ends.start.joined | solved.run.ends.finish.joined
        joined = [i for i, thing in enumerate(things) if thing.name in named and i not in row]
        shapes = [things[i].shape for i in joined]
        row |= zip(joined, least_distances(solved.centreline, solved.tube.outside_mm, shapes), strict=True)
    return table


def _meant(schedule: Schedule, table: list[dict[int, Nearest]]) -> list[dict[int, Nearest]]:
    """Return the distances without those to voids and to what is kept free that is meant for other runs."""
    only = {i: thing.runs for i, thing in enumerate(schedule.job.things) if thing.runs is not None}
    if not only:
        return table
    return [
        {i: nearest for i, nearest in row.items() if i not in only or solved.name in only[i]}
        for solved, row in zip(schedule.runs, table, strict=True)
    ]


def _many_things(schedule: Schedule) -> bool:
    return len(schedule.job.things) * len(schedule.runs) > MOST_PAIRS


def far_thing_mm(schedule: Schedule) -> float:
    """Return how far things of very many may be and still be reported: what is asked for, at the least."""
    return max(FAR_MM, asked_of_things_mm(schedule))


def asked_of_things_mm(schedule: Schedule) -> float:
    """Return the most that is asked for between a run's tube and a thing."""
    job = schedule.job
    thick = max(solved.run.insulation_mm for solved in schedule.runs)
    return max((job.clearance_to(thing) + thick for thing in job.things), default=0.0)


@lru_cache(maxsize=1)
def to_runs(schedule: Schedule) -> list[list[PairDistance]]:
    """Return for each run what stands between it and the other runs."""
    clearance, runs = schedule.job.clearance_mm, schedule.runs
    out: list[list[PairDistance]] = [[] for _ in runs]
    within = _far(schedule) if _many(schedule) else float("inf")
    for pair in distances_between_runs(*tubes_of(schedule), within):
        one, two = runs[pair.first], runs[pair.second]
        required = clearance + one.run.insulation_mm + two.run.insulation_mm
        out[pair.first].append(PairDistance(two.name, two, required, pair.from_first, True))
        out[pair.second].append(PairDistance(one.name, one, required, pair.from_second, False))
    return out


def tubes_of(schedule: Schedule) -> tuple[list[Centreline], list[float]]:
    """Return the axis and the outside diameter of every run."""
    return [solved.centreline for solved in schedule.runs], [solved.tube.outside_mm for solved in schedule.runs]


def most_between_runs(schedule: Schedule) -> float:
    """Return the most that is asked for between any two runs."""
    return schedule.job.clearance_mm + 2.0 * max((s.run.insulation_mm for s in schedule.runs), default=0.0)


@lru_cache(maxsize=1)
def _far(schedule: Schedule) -> float:
    """Return how far apart pairs of very many runs may be and still be reported: nearer where they lie close."""
    least = most_between_runs(schedule)
    far = max(FAR_MM, least)
    while far > least and pairs_within(*tubes_of(schedule), far) > MOST_REPORTED:
        far = max(far / 2.0, least) if far > NEAR_MM else least
    return far


def _pairs(job: Job) -> int:
    return len(job.runs) * (len(job.runs) - 1) // 2


def _many(schedule: Schedule) -> bool:
    return _pairs(schedule.job) > MOST_PAIRS


def left_out(schedule: Schedule) -> Iterator[tuple[str, Message]]:
    """Yield the code and the words of what is left out of the distances, if anything is."""
    if _many(schedule):
        said = message("clash.many pairs", n=Count(_pairs(schedule.job)), far=Length(_far(schedule)))
        yield "C106", said
    if _many_things(schedule):
        near = set().union(*_distances_to_things(schedule))
        pairs, off = len(schedule.runs) * len(schedule.job.things), len(schedule.job.things) - len(near)
        said = message("clash.many things", n=Count(pairs), far=Length(far_thing_mm(schedule)), off=Count(off))
        yield "C108", said
