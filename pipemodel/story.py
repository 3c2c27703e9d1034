"""The whole program as a short list of steps, in the order the data flows; read this first.

    read      what the user wrote, as a Job
    with_ways the ways of runs that say no more than from where to where
    schedule  bends, turns, marks and cut lengths of every run, as a Schedule
    plans     the order of pulls, as one Plan per run
    check     what is wrong, as a Report
    results   all of that in one value, `Results`, from which every document is written
    write     the documents, in a folder

Each step takes what the ones before it gave, and changes none of it. What a step needs is loaded when it is
taken, so that a schedule never pays for solids or pictures.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule, SolvedRun, solve
from pipemodel.geometry.in_libraries import Makers, hand_in
from pipemodel.geometry.shapes import MeshFile
from pipemodel.job.jig import JigSettings
from pipemodel.job.model import Fault, Job, JobError, Thing
from pipemodel.messages.units import Language
from pipemodel.pulls.plan import Plan, plan_pulls

if TYPE_CHECKING:
    import cadquery

    from pipemodel.calibration.finished_piece import PieceFacts
    from pipemodel.calibration.values import Calibration
    from pipemodel.checks.findings import Report
    from pipemodel.correction.values import Correction
    from pipemodel.cutting.cuts import Cutting
    from pipemodel.finding.values import Ways
    from pipemodel.jigs.of_job import JigAnswer
    from pipemodel.learning.summary import Summary
    from pipemodel.lists.jig_totals import JigTotals
    from pipemodel.messages.values import Message
    from pipemodel.output.history_file import Added
    from pipemodel.pulls.cards import Card
    from pipemodel.results.paper_options import PaperOptions
    from pipemodel.results.results import Results


def _warn(line: str) -> None:
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
            faults.append(Fault(f"room {thing.name!r}: {error}", thing.place))
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


def _libraries() -> Makers:
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


def measured(job: Job, run: str, readings: str | Path) -> "Correction":
    """Work out from the checks read on a piece what was probably bent, and what to do with what is left to bend.

    Args:
        job: the job.
        run: the name of the run that was measured.
        readings: the file of readings.

    Raises:
        ValueError: if there is no run of that name.
        JobError: with everything that is wrong with the readings, or with the job; see `check`.
    """
    from pipemodel.correction.answer import correct
    from pipemodel.correction.readings_file import read_readings

    solved = schedule(furnish(job))
    [one] = chosen_runs(solved, run)
    return correct(solved, one, read_readings(readings, one, cards(one)))


def chosen_runs(solved: Schedule, name: str | None) -> tuple[SolvedRun, ...]:
    """Return the run of a name, or all of them for None.

    Raises:
        ValueError: if there is no run of that name.
    """
    runs = tuple(run for run in solved.runs if name is None or run.name == name)
    if not runs:
        raise ValueError(f"there is no run {name!r}; there are {', '.join(run.name for run in solved.runs)}")
    return runs


def jigs(solved: Schedule, runs: Sequence[SolvedRun], anyway: bool = False) -> "tuple[JigAnswer, ...]":
    """Design the checking jigs of some runs of a schedule: each the jig, or that it needs none, or why there is none.

    With `anyway` a run that is not worth a jig gets one too.
    """
    from pipemodel.jigs.of_job import jigs_of

    settings = solved.job.jig or JigSettings()
    return jigs_of(runs, replace(settings, when="always") if anyway else settings)


def write_jigs(
    solved: Schedule,
    designed: "Sequence[JigAnswer]",
    out: str | Path,
    miss: Callable[[str], None] = _warn,
    language: Language | None = None,
) -> "tuple[list[Path], JigTotals]":
    """Write the files of jigs into a folder, whole or not at all; see `write` for `miss`.

    Returns their paths, and what the jigs take together. Their papers are written in `language`; as the job says if
    left out.
    """
    from pipemodel.documents.jig.files import JigsWritten, write_answers
    from pipemodel.output.file_names import Folder, run_stems
    from pipemodel.output.folder import write_whole

    stems, written = run_stems(solved), list[JigsWritten]()

    def files(folder: Folder) -> None:
        written.append(write_answers(designed, stems, folder, language or solved.job.language))

    paths = write_whole(Path(out), files)
    for line in written[-1].left_out:
        miss(line)
    return paths, written[-1].totals


def jig(job: Job, out: str | Path, run: str | None = None, anyway: bool = False) -> list[Path]:
    """Write the checking jig of every run, or of one of them by name, into a folder; see `jigs` and `write_jigs`.

    Raises:
        ValueError: if there is no run of that name.
        JigRefusedError: if a run gets no jig; then nothing is written.
    """
    solved = schedule(job)
    designed = jigs(solved, chosen_runs(solved, run), anyway)
    for one in designed:
        if isinstance(one, Exception):
            raise one
    return write_jigs(solved, designed, out)[0]


def calibrate(path: str | Path, per_degree: float = 0.0) -> "Calibration":
    """Fit a former's radius, mark and springback to the test pieces of a file.

    Args:
        path: the file of test pieces.
        per_degree: the springback for each degree that is taken for true where all pieces have one angle.

    Raises:
        JobError: with everything that is wrong with the file.
        ContradictionError: if a piece is impossible in itself.
    """
    from pipemodel.calibration.calibrate import calibrate as fitted
    from pipemodel.calibration.pieces_file import read_pieces

    read = read_pieces(path)
    return fitted(read.pieces, read.outside_mm, read.tape_mm, read.protractor_deg, per_degree, read.least_mm)


def learn(
    job: Job,
    run: str | None,
    readings: str | Path,
    history: str | Path,
    facts: "PieceFacts | None" = None,
    as_measured: bool = False,
) -> "Added":
    """Keep what was measured of a finished piece in a history file; `learned` says what that comes to.

    Args:
        job: the job by which it was bent.
        run: the run that it is of; None where the job has but one.
        readings: the file of its readings: those of the checks on its cards, or angle, start and roll of each bend.
        history: the history file, made if it is not there.
        facts: what else is said of the piece: date, batch of tube, who bent it, which of several.
        as_measured: take readings that look like a slip.

    Raises:
        ValueError: if there is no such run, or it is not said which.
        JobError: with everything that is wrong with the job, the readings or the history.
        HistoryError: if the same piece is in the history with other readings, or it cannot be written.
    """
    from pipemodel.calibration.finished_piece import PieceFacts, records_of_piece
    from pipemodel.correction.kept import is_of_checks, records_of_checks
    from pipemodel.output.history_file import add_to_history

    of_checks = is_of_checks(readings)
    # What corrected cards asked for goes by what stands in the room.
    solution = schedule(furnish(job) if of_checks else job)
    runs = chosen_runs(solution, run)
    if len(runs) > 1:
        raise ValueError(f"the job has {len(runs)} runs; say which one: {', '.join(one.name for one in runs)}")
    [solved] = runs
    if of_checks:
        records = records_of_checks(readings, solution, solved, cards(solved), facts or PieceFacts())
    else:
        records = records_of_piece(readings, job, solved, plan_pulls(solved), facts or PieceFacts(), as_measured)
    return add_to_history(Path(history), records)


def learned(history: str | Path, job: Job | None = None) -> "Summary":
    """Return what a history file says of every former in it, and of the hands that bent.

    Args:
        history: the history file.
        job: a job whose own figures of its formers are gone out from; those of common practice without.

    Raises:
        JobError: with everything that is wrong with the file, or every corner of the job that cannot be bent.
    """
    from pipemodel.job.history import read_history
    from pipemodel.learning.records import FormerKey
    from pipemodel.learning.summary import summary

    runs = () if job is None else schedule(job).runs
    before = {FormerKey.of(one, run.tube): one.untaught or one for run in runs for one in run.formers_used}
    return summary(read_history(history).records, before)


def write(
    results: "Results",
    out: str | Path,
    only: Sequence[str] | None = None,
    tell: Callable[[str], None] = lambda _: None,
    miss: Callable[[str], None] = _warn,
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
