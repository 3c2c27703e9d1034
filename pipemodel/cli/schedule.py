"""`pipemodel schedule JOB.yaml`: the bend table and the plan of pulls."""

import sys

import click

from pipemodel import story
from pipemodel.cli.printing import prints
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.job.model import Job
from pipemodel.results.paper_options import PaperOptions
from pipemodel.results.results import Results


@click.command(name="schedule")
@prints("text", "json", "csv")
def command(job: Job, form: str, paper_options: PaperOptions) -> None:
    """Print the bend table of every run, and the order of pulls.

    Ends with 0 when every run can be pulled, 1 when one cannot (it is printed all the same), 2 when the job
    cannot be read or solved.
    """
    # Clips keep off couplings, and where those can go takes all of the room.
    solved = story.jointed(story.schedule(job))
    results = Results(solved, paper_options=paper_options)
    if form == "text":
        from pipemodel.documents.text.schedule import schedule_text

        say(schedule_text(results, ascii=is_plain(sys.stdout)))
    else:
        from pipemodel.documents.tables.csv_table import schedule_csv
        from pipemodel.results.record import to_json

        record = results.schedule_record
        hand_over(to_json(record) if form == "json" else schedule_csv(record, results.paper_options.units))
    sys.exit(0 if all(plan.possible for plan in results.plans) else 1)
