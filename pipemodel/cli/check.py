"""`pipemodel check JOB.yaml`: every check; the verdict decides the exit code."""

import sys
from pathlib import Path

import click

from pipemodel import story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option, paperwork_of, units_option
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.messages.units import Language, UnitName


@click.command(name="check")
@job_file
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
@units_option
@language_option
def command(
    job: Path,
    parameters: dict[str, str],
    allow_outside: bool,
    form: str,
    units: UnitName | None,
    language: Language | None,
) -> None:
    """Check a job: does it clash, does it keep its clearances, can it be bent.

    Ends with 0 when all is well, 1 when something fails, 2 when the job cannot be read or solved.
    """
    read = story.read(job, parameters, allow_outside)
    answered = story.answer(read, paperwork=paperwork_of(read, units, language))
    if form == "text":
        from pipemodel.documents.text.check import check_text

        say(check_text(answered, ascii=is_plain(sys.stdout)))
    else:
        from pipemodel.results.record import to_json

        hand_over(to_json(answered.check_record))
    sys.exit(0 if answered.report.verdict == "pass" else 1)
