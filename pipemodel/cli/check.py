"""`pipemodel check JOB.yaml`: every check; the verdict decides the exit code."""

import sys

import click

from pipemodel import story
from pipemodel.cli.printing import prints
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.job.model import Job
from pipemodel.results.paper_options import PaperOptions


@click.command(name="check")
@prints("text", "json")
def command(job: Job, form: str, paper_options: PaperOptions) -> None:
    """Check a job: does it clash, does it keep its clearances, can it be bent.

    Ends with 0 when all is well, 1 when something fails, 2 when the job cannot be read or solved.
    """
    results = story.results(job, paper_options=paper_options)
    if form == "text":
        from pipemodel.documents.text.check import check_text

        say(check_text(results, ascii=is_plain(sys.stdout)))
    else:
        from pipemodel.results.record import to_json

        hand_over(to_json(results.check_record))
    sys.exit(0 if results.report.verdict == "pass" else 1)
