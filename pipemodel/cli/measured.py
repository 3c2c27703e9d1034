"""`pipemodel measured JOB.yaml --run RUN --readings FILE`: what was probably bent, and what to do."""

import sys
from pathlib import Path

import click

from pipemodel import bench, story
from pipemodel.cli.job_file import job_read
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.cli.usage import SaidParameterError
from pipemodel.job.model import Job, said_of
from pipemodel.results.paper_options import PaperOptions


@click.command(name="measured")
@job_read
@click.option("--run", "name", metavar="RUN", help="The run that was measured; needed where the job has several.")
@click.option(
    "--readings", metavar="FILE", type=click.Path(path_type=Path), help="What was read, by the names of the checks."
)
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(
    job: Job,
    options: PaperOptions,
    name: str | None,
    readings: Path | None,
    form: str,
) -> None:
    """Say what was probably bent by what you measured, and what to do: go on, pull on, change the rest, or start again.

    FILE holds what was read after a pull, {after: 2, readings: {2a: 609, 2b: 91}}, or a list of such. Without it a file
    to fill in is printed. Ends with 1 when a new piece is needed, or readings have to be taken again.
    """
    from pipemodel.documents.text.correction import correction_text, readings_form
    from pipemodel.results.plain import to_json
    from pipemodel.results.record_correction import correction_record

    try:
        solved = bench.one_run(story.schedule(job), name)
    except ValueError as error:
        raise SaidParameterError(said_of(error), "--run") from None
    if readings is None:
        say(readings_form(story.cards(solved), options.reading))
        return
    correction = bench.measured(job, solved.name, readings)
    if form == "json":
        hand_over(to_json(correction_record(correction)))
    else:
        say(correction_text(correction, options.reading, ascii=is_plain(sys.stdout)))
    sys.exit(1 if correction.verdict in ("recut", "contradiction", "which side") else 0)
