"""What is done beside the story, at the bench: jigs, readings taken while bending, test pieces, finished pieces.

Each begins with steps of `story`, and loads what it needs when it is called.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.job.expressions import none_called
from pipemodel.job.jig import JigSettings
from pipemodel.job.model import Job
from pipemodel.messages.units import Language
from pipemodel.messages.values import Count, bare, message
from pipemodel.pulls.plan import plan_pulls
from pipemodel.story import cards, furnish, schedule, warn

if TYPE_CHECKING:
    from pipemodel.calibration.finished_piece import PieceFacts
    from pipemodel.calibration.values import Calibration
    from pipemodel.correction.values import Correction
    from pipemodel.jigs.of_job import JigAnswer
    from pipemodel.learning.summary import Summary
    from pipemodel.lists.jig_totals import JigTotals
    from pipemodel.output.history_file import Added


def measured(job: Job, run: str, readings: str | Path) -> "Correction":
    """Work out from the checks read on a piece what was probably bent, and what to do with what is left to bend.

    Args:
        job: the job.
        run: the name of the run that was measured.
        readings: the file of readings.

    Raises:
        ValueError: if there is no run of that name.
        JobError: with everything that is wrong with the readings, or with the job; see `story.check`.
    """
    from pipemodel.correction.answer import correct
    from pipemodel.correction.readings_file import read_readings

    solved = schedule(furnish(job))
    one = one_run(solved, run)
    return correct(solved, one, read_readings(readings, one, cards(one)), str(readings))


def chosen_runs(solved: Schedule, name: str | None) -> tuple[SolvedRun, ...]:
    """Return the run of a name, or all of them for None.

    Raises:
        ValueError: if there is no run of that name.
    """
    runs = tuple(run for run in solved.runs if name is None or run.name == name)
    if not runs:
        raise ValueError(none_called("run", str(name), (run.name for run in solved.runs)))
    return runs


def one_run(solved: Schedule, name: str | None) -> SolvedRun:
    """Return the run of a name, or for None the only one there is.

    Raises:
        ValueError: if there is no run of that name, or there are several and it is not said which.
    """
    runs = chosen_runs(solved, name)
    if len(runs) > 1:
        there = bare(", ".join(run.name for run in runs))
        raise ValueError(message("fault.which run", n=Count(len(runs)), there=there))
    return runs[0]


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
    miss: Callable[[str], None] = warn,
    language: Language | None = None,
) -> "tuple[list[Path], JigTotals]":
    """Write the files of jigs into a folder, whole or not at all; see `story.write` for `miss`.

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
    solved = one_run(solution, run)
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
