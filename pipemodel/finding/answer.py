"""The ways of a whole job: its runs whose way is to be found, each found among those that are there already.

What was found is kept as long as its job is there, so that whoever asks again gets the same and waits for nothing.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice, permutations
from typing import NamedTuple
from weakref import ref

from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import SolvedRun, solve_run
from pipemodel.finding.ends import end_faults
from pipemodel.finding.new_cuts import with_cuts
from pipemodel.finding.values import Way, Ways
from pipemodel.finding.ways import WAYS, Finder, Tell, quiet
from pipemodel.geometry.vectors import Vec3
from pipemodel.job.model import BEGINNING, Fault, Job, JobError, Run
from pipemodel.messages.values import Length, Message, Name, Value, listed, message

ORDERS = 6
"""In so many orders several runs are laid at most, where one leaves no way for another."""


@dataclass(frozen=True, eq=False)
class Answer:
    """The ways of every run that is to be found, in the order of the job."""

    ways: tuple[Ways, ...]
    job: Job
    """The job with the best way of each in its place, and what these need cut; those without any are as they were."""
    finders: Mapping[str, Finder]
    """What found them, by run."""

    @cached_property
    def to_list(self) -> tuple[Ways, ...]:
        """The ways with others beside the best, looked for once somebody wants to see them."""
        return tuple(
            replace(one, ways=tuple(self.finders[one.run].ways(WAYS))) if one.ways else one for one in self.ways
        )


class _Laid(NamedTuple):
    """The ways of runs that were laid in some order, what found them, and ends that others' ways come too near to."""

    ways: dict[str, Ways]
    finders: dict[str, Finder]
    faults: list[Fault]


_KEPT: "list[tuple[ref[Job], ref[Job], Answer]]" = []
_MOST_KEPT = 4


def to_find(job: Job) -> tuple[Run, ...]:
    """Return the runs of a job whose way is to be found."""
    return tuple(run for run in job.runs if run.route.find is not None)


def found(job: Job, tell: Tell = quiet) -> Job:
    """Return a job with a way for each run that is to be found; without any, the job as it is.

    The mesh files of its room must have been read.

    Raises:
        JobError: with every run for which there is none, and what stands in its way.
    """
    if not to_find(job):
        return job
    answer = answer_to(job, tell)
    faults = [fault for one in answer.ways for fault in _none_found(job, one)]
    if faults:
        raise JobError(str(job.path), faults)
    return answer.job


def answer_to(job: Job, tell: Tell = quiet) -> Answer:
    """Return the best way of each of a job's runs, looked for once, also for the job that it is in."""
    for before, after, answer in _KEPT:
        if job is before() or job is after():
            return answer
    answer = search(job, 1, tell)
    _KEPT.append((ref(job), ref(answer.job), answer))
    del _KEPT[:-_MOST_KEPT]
    return answer


def search(
    job: Job, count: int, tell: Tell = quiet, only: str | None = None, best: Callable[[Finder], None] | None = None
) -> Answer:
    """Look for the ways of runs.

    Args:
        job: the job.
        count: how many ways of each.
        tell: is called with what is being done.
        only: the name of the one run to list ways of; the others are found as far as they stand in its way.
        best: is called with each finder before it begins, so that what it has found can be seen if it is stopped.

    Raises:
        JobError: with every end that lies in something or too near to it, other ways among that in whatever order.
    """
    runs = to_find(job)
    written = [one for run in job.runs if run.route.find is None and (one := _solved(run)) is not None]
    _refuse(job, [fault for run in runs for fault in _end_faults(Finder(job, run, written))])
    laid_in: list[_Laid] = []
    for order in islice(filter(_in_turn, permutations(runs)), ORDERS):
        laid_in.append(_in_order(job, order, written, count, tell, best))
        if all(one.ways for one in laid_in[-1].ways.values()):
            laid_in.reverse()
            break
    first = min(laid_in, key=lambda laid: len(laid.faults))
    _refuse(job, first.faults)
    listed = {run.name: first.ways[run.name] for run in runs}
    for name, own in listed.items():
        if not own.ways:
            listed[name] = replace(own, missed=_missed(job, name, written, listed, tell))
    laid = tuple(
        listed[run.name].ways[0].solved.run if run.name in listed and listed[run.name].ways else run for run in job.runs
    )
    kept = tuple(one for one in listed.values() if only is None or one.run == only)
    new = [cut for one in listed.values() for way in one.ways[:1] for cut in way.cuts]
    return Answer(kept, replace(job, runs=laid, things=with_cuts(job.things, new)), first.finders)


def _beside(run: Run) -> str:
    """Return the name of the run that one to be found is to lie beside, "" for none."""
    find = run.route.find
    return find.beside.run if find is not None and find.beside is not None else ""


def _with_room_beside(job: Job, finder: Finder, other: Run, laid: Sequence[SolvedRun], tell: Tell) -> list[Way]:
    """Return the way of a run beside which another lies from end to end; none where it lies so beside no way of it."""
    aside = other.route.find and other.route.find.beside
    assert aside, "asked of runs that lie beside another"
    for way in finder.with_room(aside.centres_mm):
        after = replace(job, things=with_cuts(job.things, way.cuts))
        if Finder(after, other, (*laid, way.solved), tell).beside is not None:
            return [way]
    return []


def _in_turn(order: Sequence[Run]) -> bool:
    """Tell whether each run that lies beside another comes after it."""
    names = [run.name for run in order]
    return all(_beside(run) not in names[i:] for i, run in enumerate(order))


def _missed(job: Job, name: str, written: Sequence[SolvedRun], listed: Mapping[str, Ways], tell: Tell) -> Way | None:
    """Return the nearest miss of a run, the others in their places."""
    laid = [*written, *(one.ways[0].solved for one in listed.values() if one.ways)]
    return Finder(job, next(run for run in job.runs if run.name == name), tuple(laid), tell).missed()


def searched(job: Job, count: int, only: str | None, tell: Tell | None) -> tuple[tuple[Ways, ...], bool]:
    """Look for ways as `search` does, and return what there is when an interrupt stops it, and whether one did.

    Raises:
        JobError: if no run of that name, or none at all, is to be found; and as `search` does.
    """
    names = [run.name for run in to_find(job) if only in (None, run.name)]
    if not names:
        place = next((run.place for run in job.runs if run.name == only), BEGINNING)
        said = message("fault.find written") if only else message("fault.find none")
        raise JobError(str(job.path), [Fault(said, place)])
    finders: list[Finder] = []
    try:
        return search(job, count, tell or quiet, only, finders.append).ways, False
    except KeyboardInterrupt:
        latest = {one.run.name: one for one in finders}
        return tuple(
            Ways(name, tuple(latest[name].different()) if name in latest else (), stopped=True) for name in names
        ), True


def _in_order(
    job: Job,
    order: Sequence[Run],
    laid: Sequence[SolvedRun],
    count: int,
    tell: Tell,
    best: Callable[[Finder], None] | None,
) -> _Laid:
    """Return the ways of runs laid one after the other, each clear of those before it."""
    out: dict[str, Ways] = {}
    finders: dict[str, Finder] = {}
    faults: list[Fault] = []
    laid = list(laid)
    for run in order:
        tell(message("finding.run", run=Name(run.name)))
        finder = finders[run.name] = Finder(job, run, tuple(laid), tell)
        if best is not None:
            best(finder)
        if blocked := _end_faults(finder):
            faults += blocked
            out[run.name] = Ways(run.name)
            continue
        if beside := [one for one in order if one.route.find and _beside(one) == run.name]:
            finder.found[:] = _with_room_beside(job, finder, beside[0], laid, tell)
        ways = finder.ways(count)
        out[run.name] = Ways(run.name, tuple(ways))
        if ways:
            laid.append(ways[0].solved)
            job = replace(job, things=with_cuts(job.things, ways[0].cuts))
    return _Laid(out, finders, faults)


def _end_faults(finder: Finder) -> list[Fault]:
    return end_faults(finder.job, finder.run, finder.others, finder.ends, finder.things)


def _refuse(job: Job, faults: Sequence[Fault]) -> None:
    if faults:
        raise JobError(str(job.path), faults)


def _solved(run: Run) -> SolvedRun | None:
    try:
        return solve_run(run)
    except UnbendableError:
        return None  # said of the job when it is solved


def _none_found(job: Job, ways: Ways) -> list[Fault]:
    if ways.ways:
        return []
    run = next(run for run in job.runs if run.name == ways.run)
    asked = run.route.find
    assert asked is not None
    return [Fault(message("fault.of run", run=Name(run.name), why=why_none(ways)), asked.place)]


def why_none(ways: Ways) -> Message:
    """Return in words that there is no way, and what stands in it, or that the search was stopped before."""
    missed = ways.missed
    if ways.stopped:
        return message("finding.stopped")
    if missed is None:
        return message("finding.no room")
    through = listed([Name(_shown(point), quoted=False) for point in missed.corners], ",")
    said: list[Value] = [
        message("finding.into", against=Name(one.against), by=Length(-one.distance_mm, ".1f"))
        if one.distance_mm < 0.0
        else message("finding.lacking", against=Name(one.against), by=Length(-one.spare_mm, ".1f"))
        for one in missed.near
        if one.against in missed.too_near
    ]
    if not said:
        return message("finding.near itself" if missed.too_near else "finding.breaks rules", through=through)
    return message("finding.nearest miss", what=listed(said), through=through)


def _shown(p: Vec3) -> str:
    return "[" + ", ".join(f"{round(c, 1) + 0.0:g}" for c in p) + "]"
