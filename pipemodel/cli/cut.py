"""`pipemodel cut JOB.yaml`: what to cut from which stock."""

import sys

import click

from pipemodel import story
from pipemodel.cli.printing import prints
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.job.model import Job
from pipemodel.results.paper_options import PaperOptions
from pipemodel.results.results import Results


@click.command(name="cut")
@prints("text", "json")
def command(job: Job, form: str, paper_options: PaperOptions) -> None:
    """Print what to cut from which length of stock, with the least waste, and where long runs are jointed.

    The job's `stock: {length: 3000, offcuts: [...]}` and `kerf` say what there is. Ends with 1 when a run can be
    neither cut nor jointed.
    """
    from pipemodel.cutting.split import Split
    from pipemodel.documents.text.cut_list import cuts_record, cuts_text
    from pipemodel.results.record import to_json

    results = Results(story.jointed(story.schedule(story.furnish(job))), paper_options=paper_options)
    if form == "json":
        hand_over(to_json(cuts_record(results)))
    else:
        say(cuts_text(results, ascii=is_plain(sys.stdout)))
    cutting = results.cutting
    whole = all(isinstance(split, Split) for split in cutting.runs) and all(cuts.stock for cuts in cutting.cuts)
    sys.exit(0 if whole else 1)
