"""`pipemodel make JOB.yaml`: everything into a folder."""

import signal
import sys
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from pipemodel import story
from pipemodel.cli.interrupt import on_signal
from pipemodel.cli.job_file import reading
from pipemodel.cli.many import Options, several_jobs
from pipemodel.cli.paper_options import paper_options, paper_options_of
from pipemodel.cli.stream import say, tell
from pipemodel.documents.formats import FORMATS, UnknownFormatError, chosen
from pipemodel.messages.say import say as worded
from pipemodel.output.file_names import file_key
from pipemodel.output.folder import check_free
from pipemodel.wording.safe_text import shown


def _only(context: click.Context, option: click.Parameter, texts: tuple[str, ...]) -> list[str]:
    names = [name.strip() for text in texts for name in text.split(",") if name.strip()]
    if texts and not names:
        raise click.BadParameter(f"it names no format; there are {', '.join(FORMATS)}")
    try:
        return list(chosen(names)) if names else []
    except UnknownFormatError as error:
        raise click.BadParameter(str(error)) from error


def _own_folders(jobs: Sequence[Path], options: Options) -> list[Options]:
    """Give each of several jobs a folder of its own, called as its file is, in the folder asked for or here."""
    names = Counter(file_key(job.stem) for job in jobs)
    for job in jobs:
        if names[file_key(job.stem)] > 1:
            raise click.UsageError(f"several jobs would go into one folder, {job.stem!r}: make them one at a time")
    return [{**options, "out": (options["out"] or Path()) / (job.stem or "out")} for job in jobs]


@click.command(name="make", epilog="Formats: " + ", ".join(FORMATS) + ".")
@reading
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="The folder; of several jobs the one in which each gets its own. [default: the job file's name, here]",
)
@click.option("--only", metavar="FORMAT,...", multiple=True, callback=_only, help="Write these formats only.")
@click.option(
    "--chord",
    type=click.FloatRange(min=0.001, max=10.0),
    help="How far a flat of an STL may stand off the true surface, in mm. [default: 0.05]",
)
@paper_options
@several_jobs(__name__, _own_folders)
def command(
    job: Path,
    parameters: dict[str, str],
    allow_outside: bool,
    out: Path | None,
    only: list[str],
    chord: float | None,
    **papers: Any,
) -> None:
    """Write schedule, findings, solids, drawings and pages into a folder.

    The folder is written whole or not at all. If it is there already it may hold nothing but what an earlier
    `make` put there. Prints the paths of what was written. Ends with 0 when all is well, 1 when something in the
    job fails or this machine cannot write one of the documents (the folder is written all the same), 2 when nothing
    was written.
    """
    on_signal(signal.SIGTERM, _stop)
    out = Path(job.stem or "out") if out is None else out
    check_free(out)
    read = story.read(job, parameters, allow_outside)
    results = story.results(read, chord, paper_options_of(read, **papers))
    missing: list[str] = []
    paths = story.write(results, out, only, tell, missing.append)
    say("".join(f"{path}\n" for path in paths))
    for line in missing:
        tell(shown(line))
    if results.report.verdict == "fail":
        for finding in (f for f in results.report.findings if f.severity == "error"):
            tell(shown(f"{finding.code}: {worded(finding.said, results.paper_options.reading)}"))
    if missing or results.report.verdict == "fail":
        sys.exit(1)


def _stop() -> None:
    """End as after an interrupt, so that the temporary folder is taken away."""
    sys.exit(128 + signal.SIGTERM)
