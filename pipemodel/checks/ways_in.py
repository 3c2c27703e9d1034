"""Can the bent piece be brought to its place: asked where the job names an opening, or says `bring in`.

A run's ends may touch what they join; insulation goes round it afterwards, and clips are open until it is in.
"""

from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.checks.joints import joins, judged_part
from pipemodel.geometry.distance.obstacle import MeasuredObstacle, obstacle_of, obstacle_of_tube
from pipemodel.job.model import Fault, JobError
from pipemodel.messages.values import Count, Length, Name, Number, Value, Word, bare, listed, message
from pipemodel.ways_in.springs import sprung_ends as may_be_sprung
from pipemodel.ways_in.sprung_words import sprung_ends
from pipemodel.ways_in.values import WayIn

if TYPE_CHECKING:
    from pipemodel.ways_in.judge_room import Joined
    from pipemodel.ways_in.order import Joins, WaysIn

CHECK = "ways in"
BASIS = (
    "the finished run as a rigid tube with flat ends, exact distances; search by trees of poses from the place and "
    "from outside (Kuffner and LaValle 2000), every move proved by conservative advancement (Mirtich 1996)"
)
SPRUNG = (
    "the end leg and its bend as a beam held beside the bend (Castigliano), within half of the strain at the proof "
    "stress, or the job's own"
)


def ways_in(schedule: Schedule) -> tuple[Finding, ...]:
    """Say of each run that is to be brought in whether it can be, and how; in the order of the job."""
    if not asked(schedule):
        return ()
    answer = answer_of(schedule)
    findings = [_finding(way) for way in answer.ways]
    if len(answer.order) > 1:
        first, *rest = answer.order
        said = message("ways in.order", first=Name(first), rest=Name(", ".join(rest)))
        findings.append(Finding("I104", CHECK, "note", said, basis=BASIS))
    said_of = (_sprung(schedule, way) for way in answer.ways if way.found or not answer.stopped)
    findings += [one for one in said_of if one is not None]
    return (*findings, *helped_of(schedule).findings)


def _sprung(schedule: Schedule, way: WayIn) -> Finding | None:
    """Say how a piece is sprung on its way, or that it would not help; nothing where that is not asked."""
    solved = next(run for run in schedule.runs if run.name == way.run)
    asked_of = solved.run.bring_in
    spread = asked_of.spread if asked_of is not None else None
    if spread is None or way.impossible or (way.found and way.sprung is None):
        return None
    limit: dict[str, Value] = {"limit": Number(100.0 * spread.strain, ".3f"), "basis": message("way in.own strain")}
    if spread.proof_n_mm2 is not None:
        limit["basis"] = message("way in.half of proof", proof=Number(spread.proof_n_mm2))
    run = Name(way.run)
    if way.sprung is not None:
        strain = Number(100.0 * way.sprung.strain, ".3f")
        said = message("way in.sprung", run=run, ends=sprung_ends(way.sprung.ends), strain=strain, **limit)
        return Finding("I106", CHECK, "note", said, way.run, basis=SPRUNG)
    ends = may_be_sprung(solved.centreline, solved.tube.outside_mm, spread)
    if not ends:
        return Finding("I107", CHECK, "note", message("way in.not sprung", run=run, **limit), way.run, basis=SPRUNG)
    reach = listed([message("way in.reach", end=Word(one.end), by=Length(one.by_mm, ".1f", "down")) for one in ends])
    said = message("way in.sprung in vain", run=run, reach=reach, **limit)
    return Finding("I107", CHECK, "note", said, way.run, basis=SPRUNG)


class Helped(NamedTuple):
    """What would help the runs that cannot be brought in; and whether whoever waits has stopped the search for that."""

    findings: tuple[Finding, ...]
    stopped: bool


@lru_cache(maxsize=1)
def helped_of(schedule: Schedule) -> Helped:
    """Return what would help each run that could not be brought in; worked out once."""
    from pipemodel.ways_in.helped import helps_for

    answer = answer_of(schedule)
    findings, stopped = [], answer.stopped
    for way in answer.ways:
        if way.found or stopped:
            continue
        helps, stopped = helps_for(schedule, way, _joins_of(schedule))
        run = Name(way.run)
        if helps:
            said = message("way in.would help", run=run, helps=listed([one.said for one in helps], ";"))
        elif stopped or (way.why_not is not None and way.why_not.template == "ways in.place too near"):
            # Where the very place is too near to something, no search would find more.
            continue
        else:
            said = message("way in.no help found", run=run)
        findings.append(Finding("I105", CHECK, "note", said, way.run, basis=BASIS))
    return Helped(tuple(findings), stopped)


def ways_of(schedule: Schedule) -> tuple[WayIn, ...]:
    """Return the way in of every run of which one is asked, worked out once."""
    return answer_of(schedule).ways if asked(schedule) else ()


def was_stopped(schedule: Schedule) -> bool:
    """Tell whether whoever asked has stopped the search for ways in, or for what would help, with Ctrl-C."""
    return asked(schedule) and helped_of(schedule).stopped


@lru_cache(maxsize=1)
def answer_of(schedule: Schedule, plain: bool = True) -> "WaysIn":
    """Return the ways in of all runs of which one is asked, and their order; worked out once."""
    from pipemodel.ways_in.order import find_ways

    return find_ways(schedule, _joins_of(schedule), plain)


def asked(schedule: Schedule) -> bool:
    """Tell whether a way in is asked for at all; see to it that what that needs is there.

    Raises:
        JobError: at the line that asks, if the library it needs is missing.
    """
    run = next((solved.run for solved in schedule.runs if solved.run.bring_in is not None), None)
    if run is None or run.bring_in is None:
        return False
    try:
        import numba  # noqa: F401
    except ImportError as error:
        said = message("missing.numba", reason=bare(str(error)))
        raise JobError(str(schedule.job.path), [Fault(said, run.bring_in.place)]) from None
    return True


def _finding(way: WayIn) -> Finding:
    run = Name(way.run)
    if way.found:
        where = (
            message("ways in.from open space")
            if way.opening is None
            else message("ways in.through opening", opening=Name(way.opening))
        )
        said = message(
            "ways in.found",
            run=run,
            where=where,
            n=Count(len(way.states)),
            least=Length(way.least_mm or 0.0, ".1f", "down"),
        )
        return Finding("I101", CHECK, "note", said, way.run, None, way.least_mm, way.margin_mm, basis=BASIS)
    assert way.why_not is not None, "a way that was not found says why"
    if way.impossible:
        return Finding("I102", CHECK, "error", way.why_not, way.run, None, None, way.margin_mm, basis=BASIS)
    return Finding("I103", CHECK, "warning", way.why_not, way.run, None, None, way.margin_mm, basis=BASIS)


def _joins_of(schedule: Schedule) -> "Joins":
    """Return what says how far the ends of runs may touch what they join, as in the check for clashes."""
    from pipemodel.ways_in.judge_room import NOT_JOINED, Joined

    def touching(name: str) -> MeasuredObstacle:
        for thing in schedule.job.things:
            if thing.name == name:
                return obstacle_of(thing.shape)
        other = next(run for run in schedule.runs if run.name == name)
        return obstacle_of_tube(other.centreline, other.tube.outside_mm)

    def of(solved: SolvedRun, name: str, margin_mm: float) -> "tuple[Joined, Joined]":
        whole = solved.centreline.length
        low, high = 0.0, whole
        if joins(solved, name):
            low, high = judged_part(solved, name, touching(name), margin_mm)
        elif name in schedule.job.joined_to(solved.run):
            # The other one's end lies on this run, anywhere along it.
            return Joined(whole, whole), NOT_JOINED
        return tuple(Joined(cut, cut + margin_mm) if cut > 0.0 else NOT_JOINED for cut in (low, whole - high))  # type: ignore[return-value]

    return of
