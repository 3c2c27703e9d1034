"""`pipemodel check JOB.yaml`: every check; the verdict decides the exit code."""

import sys

import click

from pipemodel import story
from pipemodel.cli.printing import prints
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.job.model import Job
from pipemodel.results.paper_options import Paperwork


@click.command(name="check")
@prints("text", "json")
def command(job: Job, form: str, paperwork: Paperwork) -> None:
    """Check a job: does it clash, does it keep its clearances, can it be bent.

    Ends with 0 when all is well, 1 when something fails, 2 when the job cannot be read or solved.
    """
    answered = story.answer(job, paperwork=paperwork)
    if form == "text":
        from pipemodel.documents.text.check import check_text

        say(check_text(answered, ascii=is_plain(sys.stdout)))
    else:
        from pipemodel.results.record import to_json

        hand_over(to_json(answered.check_record))
    sys.exit(0 if answered.report.verdict == "pass" else 1)
