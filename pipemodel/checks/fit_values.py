"""How well every run of a job is likely to fit, worked out once; numpy, and no more of the room than stands near."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np

from pipemodel.accuracy.fit import fit_of, pieces_for, run_errors, simulated
from pipemodel.accuracy.touching import (
    ALL_BETWEEN_RUNS,
    ALL_TRIED,
    FEWEST_BETWEEN_RUNS,
    FEWEST_TRIED,
    TRIED,
    TRIED_BETWEEN_RUNS,
    Tried,
    chance_of_run,
    chance_of_thing,
    to_try,
)
from pipemodel.accuracy.values import Chance, RunFit, TouchChance
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.joints import joins
from pipemodel.checks.pair_distances import PairDistance, to_runs, to_things
from pipemodel.job.model import Hands, Thing


@lru_cache(maxsize=1)
def fits_of(schedule: Schedule) -> tuple[RunFit, ...]:
    """Return how well each run is likely to fit, in the order of the job; empty where the job says nothing of hands.

    The mesh files of the room must have been read.
    """
    hands = schedule.job.hands
    return () if hands is None else tuple(_fits(schedule, hands))


def _fits(schedule: Schedule, hands: Hands) -> Iterator[RunFit]:
    count = pieces_for(len(schedule.runs))
    fits: list[RunFit] = []
    tried: list[Tried] = []
    for solved in schedule.runs:
        errors = run_errors(solved, hands)
        pieces = simulated(solved, errors, count)
        fits.append(fit_of(solved, hands, errors, pieces))
        tried.append(Tried(solved, pieces))
    things, runs = to_things(schedule), to_runs(schedule)
    place = {solved.name: i for i, solved in enumerate(schedule.runs)}
    of_thing = sum(row.nearest.distance <= tried[i].farthest for i, rows in enumerate(things) for row in rows)
    of_thing = to_try(of_thing, TRIED, FEWEST_TRIED, ALL_TRIED)
    between = sum(
        row.once and row.nearest.distance <= tried[i].farthest + tried[place[row.against]].farthest
        for i, rows in enumerate(runs)
        for row in rows
    )
    between = to_try(between, TRIED_BETWEEN_RUNS, FEWEST_BETWEEN_RUNS, ALL_BETWEEN_RUNS)
    pairs: dict[tuple[int, int], Chance] = {}
    for i, fit in enumerate(fits):
        touches = []
        for row in (*things[i], *runs[i]):
            if not _connected(schedule, i, row):
                chance = _of_thing(tried[i], row, of_thing) or _of_run(
                    pairs, tried, i, place[row.against], row, between
                )
                touches.append(TouchChance(row.against, chance, row.nearest.distance))
        yield replace(fit, touches=tuple(touches))


def _connected(schedule: Schedule, run: int, row: PairDistance) -> bool:
    """Tell whether a run may touch what it is measured against, since an end of one joins the other."""
    solved, other = schedule.runs[run], row.other
    return joins(solved, row.against) or (not isinstance(other, Thing) and joins(other, solved.name))


def _of_thing(tried: Tried, row: PairDistance, count: int) -> Chance | None:
    if not isinstance(row.other, Thing):
        return None
    return chance_of_thing(tried, row.other.shape, row.nearest.distance, np.zeros(tried.pieces.count), count)


def _of_run(
    pairs: dict[tuple[int, int], Chance], tried: list[Tried], one: int, other: int, row: PairDistance, count: int
) -> Chance:
    """Return the chance that two runs touch, which is the same seen from both."""
    pair = min(one, other), max(one, other)
    if pair not in pairs:
        pairs[pair] = chance_of_run(tried[pair[0]], tried[pair[1]], row.nearest.distance, count)
    return pairs[pair]
