"""`pipemodel check JOB.yaml`: every check; the verdict decides the exit code."""

import sys
from pathlib import Path

import click

from pipemodel import story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.stream import hand_over, is_plain, say


@click.command(name="check")
@job_file
@click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True)
def command(job: Path, parameters: dict[str, str], allow_outside: bool, form: str) -> None:
    """Check a job: does it clash, does it keep its clearances, can it be bent.

    Ends with 0 when all is well, 1 when something fails, 2 when the job cannot be read or solved.
    """
    answered = story.answer(story.read(job, parameters, allow_outside))
    if form == "text":
        from pipemodel.handover.text_check import check_text

        say(check_text(answered.schedule, answered.report, ascii=is_plain(sys.stdout)))
    else:
        from pipemodel.handover.record import to_json

        hand_over(to_json(answered.check_record))
    sys.exit(0 if answered.report.verdict == "pass" else 1)
