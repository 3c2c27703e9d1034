"""`pipemodel make JOB.yaml ...`: everything into a folder."""

import signal
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from pipemodel import story
from pipemodel.cli.interrupt import on_signal
from pipemodel.cli.job_file import job_files
from pipemodel.cli.many_jobs import JobAnswer, JobAsked, answers, workers_option
from pipemodel.cli.paper_options import paper_options, paper_options_of
from pipemodel.cli.stream import say, tell
from pipemodel.cli.usage import SaidParameterError, SaidUsageError
from pipemodel.documents.formats import FORMATS, UnknownFormatError, chosen
from pipemodel.job.model import said_of
from pipemodel.job.names import file_key
from pipemodel.messages.say import say as worded
from pipemodel.messages.values import bare, message
from pipemodel.output.folder import check_free
from pipemodel.wording.safe_text import shown


def _only(context: click.Context, option: click.Parameter, texts: tuple[str, ...]) -> list[str]:
    names = [name.strip() for text in texts for name in text.split(",") if name.strip()]
    if texts and not names:
        raise SaidParameterError(message("usage.no format", there=bare(", ".join(FORMATS))))
    try:
        return list(chosen(names)) if names else []
    except UnknownFormatError as error:
        raise SaidParameterError(said_of(error)) from error


def answer(asked: JobAsked) -> JobAnswer:
    """Write the documents of one job, telling of each on the way."""
    options = asked.options
    out: Path = options["out"]
    check_free(out)
    read = story.read(asked.file, asked.parameters, asked.allow_outside)
    results = story.results(read, options["chord"], paper_options_of(read, **options["papers"]))
    missing: list[str] = []
    paths = story.write(results, out, options["only"], tell, missing.append)
    messages = [shown(line) for line in missing]
    if results.report.verdict == "fail":
        for finding in (f for f in results.report.findings if f.severity == "error"):
            messages.append(shown(f"{finding.code}: {worded(finding.said, results.paper_options.reading)}"))
    failed = bool(missing) or results.report.verdict == "fail"
    return JobAnswer(int(failed), "".join(f"{path}\n" for path in paths), messages=tuple(messages))


@click.command(name="make", epilog="Formats: " + ", ".join(FORMATS) + ".")
@job_files
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="The folder; of several jobs each gets one of its file's name in it. [default: the job file's name, here]",
)
@click.option("--only", metavar="FORMAT,...", multiple=True, callback=_only, help="Write these formats only.")
@click.option(
    "--chord",
    type=click.FloatRange(min=0.001, max=10.0),
    help="How far a flat of an STL may stand off the true surface, in mm. [default: 0.05]",
)
@paper_options
@workers_option
def command(
    jobs: tuple[Path, ...],
    parameters: dict[str, str],
    allow_outside: bool,
    out: Path | None,
    only: list[str],
    chord: float | None,
    workers: int,
    **papers: Any,
) -> None:
    """Write schedule, findings, solids, drawings and pages of a job, or of several, into a folder.

    The folder is written whole or not at all. If it is there already it may hold nothing but what an earlier
    `make` put there. Prints the paths of what was written. Ends with 0 when all is well, 1 when something in the
    job fails or this machine cannot write one of the documents (the folder is written all the same), 2 when nothing
    was written; of several jobs the worst counts.
    """
    on_signal(signal.SIGTERM, _stop)
    if len(jobs) > 1 and papers["against"] is not None:
        raise SaidUsageError(message("usage.against"))
    asked = [
        JobAsked(file, parameters, allow_outside, {"out": folder, "only": only, "chord": chord, "papers": papers})
        for file, folder in zip(jobs, _folders(jobs, out), strict=True)
    ]
    worst = 0
    for one in answers("make", asked, workers):
        say(one.text)
        for line in one.messages:
            tell(line)
        worst = max(worst, one.exit)
    sys.exit(worst)


def _folders(jobs: Sequence[Path], out: Path | None) -> list[Path]:
    """Return the folder of each job: the one that is asked for, or, of several, one of its file's name in that."""
    stems = [job.stem or "out" for job in jobs]
    if len(jobs) == 1:
        return [Path(stems[0]) if out is None else out]
    first: dict[str, Path] = {}
    for job, stem in zip(jobs, stems, strict=True):
        other = first.setdefault(file_key(stem), job)
        if other is not job:
            first_job, second = bare(str(other)), bare(str(job))
            raise SaidUsageError(message("usage.one folder", first=first_job, second=second, folder=bare(stem)))
    return [(out or Path()) / stem for stem in stems]


def _stop() -> None:
    """End as after an interrupt, so that the temporary folder is taken away."""
    sys.exit(128 + signal.SIGTERM)
