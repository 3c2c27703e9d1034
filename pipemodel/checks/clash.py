"""Does a run clash: with a thing in the room, with another run, or with itself.

| code | severity | what |
|---|---|---|
| C101 | error | a run overlaps a thing or another run |
| C102 | error | a run is nearer to a thing or another run than the clearance asked for |
| C103 | error | a run overlaps itself, or comes nearer to itself than the clearance asked for |
| C104 | note | a mesh is open: it is a surface without an inside, so nothing counts as lying in it |
| C105 | note | a thing was measured on flats in place of its curved faces |
| C106 | note | there are very many pairs of runs; those far apart are left out of the distances |

Distances run from the outside of the tube, flat ends and all, to the thing's surface. Below zero they say how
deep: how far the axis lies beyond the point where the tube just touches, and at a flat end how deep its rim
lies. To a half space that is exactly how far the tube must move. What is asked for is the clearance, and on top of
it the insulation round a run, which has to fit in between.
"""

from functools import lru_cache

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Distance, Finding
from pipemodel.checks.where import near_words, where_words
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance import (
    Nearest,
    distances_between_runs,
    distances_to_things,
    pairs_within,
    self_distances,
)
from pipemodel.geometry.shapes import Mesh
from pipemodel.job.model import Job

CHECK = "clash"
TOUCH_MM = 1e-6
"""A clearance missed by less than this is kept: the numbers are no finer."""
MOST_PAIRS = 20_000
"""With more pairs of runs than this, only those nearer than `FAR_MM` are reported."""
FAR_MM, NEAR_MM = 500.0, 10.0
MOST_REPORTED = 100_000
"""Of very many pairs no more than about so many are reported, but for those that are nearer than asked for."""


def clash(schedule: Schedule) -> tuple[tuple[Finding, ...], tuple[Distance, ...]]:
    """Measure every run of a solved job against every thing, every other run and itself.

    The mesh files in the room must have been read.

    Returns:
        The findings, and the least distances: for each run to every thing and to every other run.
    """
    findings: list[Finding] = []
    distances: list[Distance] = []
    to_things = _things(schedule)
    to_runs = _runs(schedule)
    for number, solved in enumerate(schedule.runs):
        for against, required, nearest, once in (*to_things[number], *to_runs[number]):
            distances.append(Distance(solved.name, against, nearest.distance, nearest.at, nearest.point))
            if once and nearest.distance + TOUCH_MM < max(required, 0.0):
                findings.append(_too_near(solved, against, required, nearest))
    findings += _selves(schedule)
    findings += _notes(schedule)
    return tuple(findings), tuple(distances)


_Measured = tuple[str, float, Nearest, bool]
"""Against what, how much is asked for, what there is, and whether it is to be judged here: a pair of runs is once."""


def _things(schedule: Schedule) -> list[list[_Measured]]:
    job = schedule.job
    lines, outside = _tubes(schedule)
    table = distances_to_things(lines, outside, [thing.shape for thing in job.things])
    return [
        [
            (thing.name, job.clearance_to(thing) + solved.run.insulation_mm, nearest, True)
            for thing, nearest in zip(job.things, row, strict=True)
        ]
        for solved, row in zip(schedule.runs, table, strict=True)
    ]


def _runs(schedule: Schedule) -> list[list[_Measured]]:
    clearance, thick = schedule.job.clearance_mm, [solved.run.insulation_mm for solved in schedule.runs]
    names = [solved.name for solved in schedule.runs]
    out: list[list[_Measured]] = [[] for _ in names]
    within = _far(schedule) if _many(schedule) else float("inf")
    for pair in distances_between_runs(*_tubes(schedule), within):
        required = clearance + thick[pair.first] + thick[pair.second]
        out[pair.first].append((names[pair.second], required, pair.from_first, True))
        out[pair.second].append((names[pair.first], required, pair.from_second, False))
    return out


def _selves(schedule: Schedule) -> list[Finding]:
    findings: list[Finding] = []
    for solved, nearest in zip(schedule.runs, self_distances(*_tubes(schedule), _most(schedule)), strict=True):
        required = schedule.job.clearance_mm + 2.0 * solved.run.insulation_mm
        if nearest is None or nearest.distance + TOUCH_MM >= max(required, 0.0):
            continue
        where = where_words(solved, nearest.at)
        if nearest.distance < -TOUCH_MM:
            message = f"run {solved.name!r} runs into itself: it overlaps by {near_words(-nearest.distance)}, {where}"
        else:
            message = f"run {solved.name!r} comes within {near_words(nearest.distance, required)} of itself, {where}"
            message += f"; {near_words(required)} is asked for"
        findings.append(
            Finding(
                "C103",
                CHECK,
                "error",
                message,
                solved.name,
                solved.name,
                nearest.distance,
                required,
                nearest.at,
                nearest.point,
            )
        )
    return findings


def _too_near(solved: SolvedRun, against: str, required: float, nearest: Nearest) -> Finding:
    where = where_words(solved, nearest.at)
    if nearest.distance < -TOUCH_MM:
        code = "C101"
        message = (
            f"run {solved.name!r} clashes with {against!r}: they overlap by {near_words(-nearest.distance)}, {where}"
        )
    else:
        code = "C102"
        message = f"run {solved.name!r} comes within {near_words(nearest.distance, required)} of {against!r}, {where}"
    if required > 0.0:
        message += f"; {near_words(required)} is asked for"
    return Finding(
        code, CHECK, "error", message, solved.name, against, nearest.distance, required, nearest.at, nearest.point
    )


def _notes(schedule: Schedule) -> list[Finding]:
    notes: list[tuple[str, str, str | None]] = []
    for thing in schedule.job.things:
        shape = thing.shape
        if not isinstance(shape, Mesh):
            continue
        if not shape.closed:
            words = f"{thing.name!r} is an open mesh: a surface only, so a run within it does not count as overlapping"
            notes.append(("C104", words, thing.name))
        if shape.flats_mm > 0.0:
            words = f"{thing.name!r} was measured on flats that stand off its true faces by up to {shape.flats_mm:g} mm"
            notes.append(("C105", words, thing.name))
    if _many(schedule):
        words = (
            f"there are {_pairs(schedule.job)} pairs of runs: those more than "
            f"{_far(schedule):g} mm apart are left out of the distances"
        )
        notes.append(("C106", words, None))
    return [Finding(code, CHECK, "note", words, against=against) for code, words, against in notes]


def _tubes(schedule: Schedule) -> tuple[list[Centreline], list[float]]:
    return [solved.centreline for solved in schedule.runs], [solved.tube.outside_mm for solved in schedule.runs]


def _most(schedule: Schedule) -> float:
    """Return the most that is asked for between any two runs."""
    return schedule.job.clearance_mm + 2.0 * max((s.run.insulation_mm for s in schedule.runs), default=0.0)


@lru_cache(maxsize=1)
def _far(schedule: Schedule) -> float:
    """Return how far apart pairs of very many runs may be and still be reported: nearer where they lie close."""
    least = _most(schedule)
    far = max(FAR_MM, least)
    while far > least and pairs_within(*_tubes(schedule), far) > MOST_REPORTED:
        far = max(far / 2.0, least) if far > NEAR_MM else least
    return far


def _pairs(job: Job) -> int:
    return len(job.runs) * (len(job.runs) - 1) // 2


def _many(schedule: Schedule) -> bool:
    return _pairs(schedule.job) > MOST_PAIRS
