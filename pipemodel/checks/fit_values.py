"""How well every run of a job is likely to fit, worked out once; numpy, and no more of the room than stands near."""

from collections.abc import Iterator
from dataclasses import replace
from functools import lru_cache

import numpy as np

from pipemodel.accuracy.between_runs import chances_of_runs
from pipemodel.accuracy.fit import fit_of, pieces_for, run_errors
from pipemodel.accuracy.measured_room import RoomDoubts
from pipemodel.accuracy.simulate import simulate
from pipemodel.accuracy.touching import OF_RUNS, OF_THINGS, TRIED, HeldAgainst, HeldPieces, chance_of_thing, to_try
from pipemodel.accuracy.values import Chance, RunFit, TouchChance
from pipemodel.bending.schedule import Schedule
from pipemodel.checks.joints import joins
from pipemodel.checks.pair_distances import PairDistance, to_runs, to_things
from pipemodel.checks.stock import LOOKED_AT
from pipemodel.cutting.cuts import plan_cutting
from pipemodel.cutting.split import Split
from pipemodel.cutting.whole import must_split
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.job.model import Hands, Thing


@lru_cache(maxsize=1)
def fits_of(schedule: Schedule) -> tuple[RunFit, ...]:
    """Return how well each run is likely to fit, in the order of the job; empty where the job says nothing of hands.

    The mesh files of the room must have been read.
    """
    hands = schedule.job.hands
    return () if hands is None else tuple(_fits(schedule, hands))


def _fits(schedule: Schedule, hands: Hands) -> Iterator[RunFit]:
    job, count = schedule.job, pieces_for(len(schedule.runs))
    room = RoomDoubts(job, TRIED) if job.measured is not None and job.with_points is not None else None
    fits: list[RunFit] = []
    tried: list[HeldPieces] = []
    for solved, split in zip(schedule.runs, _jointed(schedule), strict=True):
        errors = run_errors(solved, hands, split)
        pieces = simulate(solved.table, errors, count)
        target = None if room is None else room.target_cov(solved.run)
        fits.append(fit_of(solved, hands, errors, pieces, target, split))
        tried.append(HeldPieces(solved, pieces, None if room is None else room.starts(solved.run)))
    touches = _touches(schedule, tried, room)
    yield from (replace(fit, touches=touches[i]) for i, fit in enumerate(fits))


def _jointed(schedule: Schedule) -> list[Split | None]:
    """Return the pieces of each run that is jointed; None for one that is one piece, or that cannot be jointed.

    Of very many long runs no joints are looked for, as in `stock`.
    """
    longest = schedule.job.stock.length_mm
    if not 0 < sum(must_split(solved, longest) for solved in schedule.runs) <= LOOKED_AT:
        return [None] * len(schedule.runs)
    runs = plan_cutting(schedule).runs
    return [one if one.joints else None for one in runs]


def _touches(schedule: Schedule, tried: list[HeldPieces], room: RoomDoubts | None) -> list[tuple[TouchChance, ...]]:
    """Return for each run the chances of touching things and other runs."""
    things, runs = to_things(schedule), to_runs(schedule)
    place = {solved.name: i for i, solved in enumerate(schedule.runs)}
    near = sum(row.nearest.distance <= tried[i].farthest for i, rows in enumerate(things) for row in rows)
    count = to_try(near, *OF_THINGS)
    of_runs = _between(schedule, tried, runs, place)
    out = []
    for i, rows in enumerate(things):
        touches = []
        for row in rows:
            if isinstance(row.other, Thing) and not _connected(schedule, i, row):
                near_by = room.near(row.other, schedule.runs[i]) if room is not None else _near(row.other)
                chance = chance_of_thing(tried[i], near_by, row.nearest.distance, count)
                touches.append(TouchChance(row.against, chance, row.nearest.distance))
        for row in runs[i]:
            pair = _pair(i, place[row.against])
            if pair in of_runs:
                touches.append(TouchChance(row.against, of_runs[pair], row.nearest.distance))
        out.append(tuple(touches))
    return out


def _pair(one: int, other: int) -> tuple[int, int]:
    return min(one, other), max(one, other)


def _between(
    schedule: Schedule, tried: list[HeldPieces], runs: list[list[PairDistance]], place: dict[str, int]
) -> dict[tuple[int, int], Chance]:
    """Return the chances that two runs touch, for every two that may not, the lower number first."""
    pairs = {
        _pair(i, place[row.against]): row.nearest.distance
        for i, rows in enumerate(runs)
        for row in rows
        if row.once and not _connected(schedule, i, row)
    }
    near = [pair for pair, apart in pairs.items() if apart <= tried[pair[0]].farthest + tried[pair[1]].farthest]
    count = to_try(len(near), *OF_RUNS)
    chances = chances_of_runs([(tried[i], tried[j]) for i, j in near], count)
    return {pair: Chance(0, TRIED) for pair in pairs} | dict(zip(near, chances, strict=True))


def _near(thing: Thing) -> HeldAgainst:
    field = obstacle_of(thing.shape).field
    return HeldAgainst(lambda places, _: field(places), field, np.zeros(TRIED), thing.shape.convex)


def _connected(schedule: Schedule, run: int, row: PairDistance) -> bool:
    """Tell whether a run may touch what it is measured against, since an end of one joins the other."""
    solved, other = schedule.runs[run], row.other
    return joins(solved, row.against) or (not isinstance(other, Thing) and joins(other, solved.name))
