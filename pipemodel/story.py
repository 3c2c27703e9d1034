"""The whole program as a short list of steps, in the order the data flows; read this first.

    read      what the user wrote, as a Job
    with_ways the ways of runs that say no more than from where to where
    schedule  bends, turns, marks and cut lengths of every run, as a Schedule
    plans     the order of pulls, as one Plan per run
    check     what is wrong, as a Report
    results   all of that in one value, `Results`, from which every document is written
    write     the documents, in a folder

What hands measure before, between and after the pulls, and jigs, are in `bench`.

Each step takes what the ones before it gave, and changes none of it. What a step needs is loaded when it is
taken, so that a schedule never pays for solids or pictures.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from types import ModuleType
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule, SolvedRun, solve
from pipemodel.geometry.in_libraries import hand_in
from pipemodel.geometry.shapes import MeshFile
from pipemodel.job.model import Fault, Job, JobError, Thing
from pipemodel.messages.values import Name, message
from pipemodel.pulls.plan import Plan, plan_pulls

if TYPE_CHECKING:
    import cadquery

    from pipemodel.checks.findings import Report
    from pipemodel.cutting.cuts import Cutting
    from pipemodel.finding.values import Ways
    from pipemodel.messages.values import Message
    from pipemodel.pulls.cards import Card
    from pipemodel.results.paper_options import PaperOptions
    from pipemodel.results.results import Results


def warn(line: str) -> None:
    """Warn of something that was left out, as what a step does where nobody listens."""
    import warnings

    warnings.warn(line, RuntimeWarning, stacklevel=2)


def read(path: str | Path, parameters: Mapping[str, float | str] | None = None, allow_outside: bool = False) -> Job:
    """Read a job file.

    Args:
        path: the YAML file.
        parameters: values that win over the job's own `parameters`.
        allow_outside: let mesh files lie outside the job's folder.

    Raises:
        JobError: with everything that is wrong with the file, each at its line and column.
    """
    from pipemodel.job.read import read_job

    try:
        return read_job(path, parameters or {}, allow_outside=allow_outside)
    except JobError as error:
        raise _with_unbendable(error) from None


def _with_unbendable(error: JobError) -> JobError:
    """Return an error with the corners that cannot be bent in the runs that could be read, for all faults in one go."""
    try:
        if error.sound is not None:
            schedule(error.sound)
    except JobError as more:
        return JobError(error.path, [*error.faults, *more.faults])
    return error


def load(path: str | Path, parameters: Mapping[str, float | str] | None = None, allow_outside: bool = False) -> Job:
    """Read a job file and see that every corner in it can be bent; see `read`.

    Raises:
        JobError: with everything that is wrong with the file, or every corner that cannot be bent.
    """
    job = read(path, parameters, allow_outside)
    schedule(job)
    return job


def furnish(job: Job) -> Job:
    """Read the mesh and STEP files that stand in the room; without any, the job comes back as it is.

    Raises:
        JobError: with every file that cannot be read, at its thing's place in the job, and with every corner that
            cannot be bent.
    """
    if not any(isinstance(thing.shape, MeshFile) for thing in job.things):
        return job
    from pipemodel.solids.meshfile import MeshError, load_mesh

    things: list[Thing] = []
    faults: list[Fault] = []
    for thing in job.things:
        if not isinstance(thing.shape, MeshFile):
            things.append(thing)
            continue
        try:
            things.append(replace(thing, shape=load_mesh(thing.shape)))
        except MeshError as error:
            faults.append(Fault(message("mesh.of thing", thing=Name(thing.name), why=error.said), thing.place))
    furnished = replace(job, things=tuple(things))
    if faults:
        raise _with_unbendable(JobError(str(job.path), faults, furnished))
    return furnished


def schedule(job: Job) -> Schedule:
    """Work out the bends, turns, marks and cut lengths of every run; a way that is to be found is found first.

    Raises:
        JobError: with every corner that cannot be bent, and every run for which no way is found.
    """
    return solve(with_ways(job))


def with_ways(job: Job) -> Job:
    """Find the way of every run that says from where to where, and no more; a job without any comes back as it is.

    What was found is kept as long as the job is there. The room's files are read if need be.

    Raises:
        JobError: with every run for which no way is found, and every file of the room that cannot be read.
    """
    if all(run.route.find is None for run in job.runs):
        return job
    from pipemodel.finding.answer import found

    return found(furnish(job))


def ways(
    job: Job, count: int = 3, run: str | None = None, tell: "Callable[[Message], None] | None" = None
) -> "tuple[tuple[Ways, ...], bool]":
    """Find ways for the runs of a job that say from where to where; also return whether an interrupt cut that short.

    Args:
        job: the job.
        count: how many of each run.
        run: the name of the one run to list; all of them if left out.
        tell: is called with what is being looked for.

    Raises:
        JobError: if no run is to be found, or a file of the room cannot be read.
    """
    from pipemodel.finding.answer import searched

    return searched(furnish(job), count, run, tell)


def jointed(solved: Schedule) -> Schedule:
    """Find where the couplings of runs that cannot be one piece go, so that clips keep off them.

    Where no such run asks for clips, the schedule comes back as it is; the room's files are read if need be.
    """
    from pipemodel.cutting.whole import clips_need_joints

    if not clips_need_joints(solved):
        return solved
    from pipemodel.cutting.cuts import with_couplings

    job = furnish(solved.job)
    return with_couplings(solved if job is solved.job else schedule(job))


def plans(solved: Schedule) -> tuple[Plan, ...]:
    """Plan the pulls of every run, one plan per run."""
    return tuple(plan_pulls(run) for run in solved.runs)


def check(job: Job) -> "Report":
    """Ask every question of a job: does it clash, can it be bent, held and supported.

    Raises:
        JobError: with every corner that cannot be bent and every file of the room that cannot be read.
    """
    from pipemodel.checks.table import run_checks

    return run_checks(jointed(schedule(furnish(job))))


def results(job: Job, chord_mm: float | None = None, paper_options: "PaperOptions | None" = None) -> "Results":
    """Work out all there is to say about a job.

    Args:
        job: the job.
        chord_mm: how far a flat of an STL may stand off the true surface; 0.05 if left out.
        paper_options: how the papers are to be written; as the job says if left out.

    Raises:
        JobError: as `schedule` and `check` do.
    """
    from pipemodel.results.paper_options import paper_options_for
    from pipemodel.results.results import CHORD_MM, Results

    solved = jointed(schedule(furnish(job)))
    results = Results(solved, CHORD_MM if chord_mm is None else chord_mm, paper_options or paper_options_for(job))
    _ = results.report  # before documents are written side by side
    return results


def assembly(job: Job) -> "cadquery.Assembly":
    """Return the room and the runs of a job as a CadQuery assembly, each a named and coloured part; mm.

    Raises:
        JobError: with every corner that cannot be bent and every file of the room that cannot be read.
        LibraryMissingError: if the CAD kernel cannot be loaded on this machine.
    """
    whole: cadquery.Assembly = schedule(furnish(job)).cadquery()
    return whole


def _libraries() -> ModuleType:
    from pipemodel.solids import libraries

    return libraries


hand_in(_libraries)


def cut(job: Job) -> "Cutting":
    """Work out the pieces of every run, jointed where it must be, and the stock they are cut from.

    Raises:
        JobError: with every corner that cannot be bent and every file of the room that cannot be read.
    """
    from pipemodel.cutting.cuts import plan_cutting

    return plan_cutting(schedule(furnish(job)))


def cards(run: SolvedRun) -> "tuple[Card, ...]":
    """Return what the hands do at each pull of a run, with what is checked after it; none where no order works."""
    from pipemodel.pulls.cards import cards_of

    return cards_of(run, plan_pulls(run))


def write(
    results: "Results",
    out: str | Path,
    only: Sequence[str] | None = None,
    tell: Callable[[str], None] = lambda _: None,
    miss: Callable[[str], None] = warn,
) -> list[Path]:
    """Write documents into a folder, whole or not at all, and return their paths.

    Args:
        results: a job with its answers.
        out: the folder; if there already, it may hold nothing but what was written here before.
        only: names out of `documents.formats.FORMATS`; everything if left out.
        tell: is called with a line of progress before each document.
        miss: is called with a line for each document that was left out because this machine cannot write it; warns
            if left out.

    Raises:
        UnknownFormatError: if a name in `only` is not in the table.
        FolderError: if the folder must not be replaced, or the disk refuses.
        UnavailableError: if a document asked for by name cannot be written on this machine.
    """
    from pipemodel.documents.formats import chosen, write_formats
    from pipemodel.output.folder import write_whole

    formats = chosen(only)
    return write_whole(Path(out), lambda folder: write_formats(results, folder, formats, bool(only), tell, miss))


def make(
    job: Job,
    out: str | Path,
    only: Sequence[str] | None = None,
    chord_mm: float | None = None,
    paper_options: "PaperOptions | None" = None,
) -> list[Path]:
    """Work out a job and write its documents into a folder; see `results` and `write`."""
    return write(results(job, chord_mm, paper_options), out, only)
