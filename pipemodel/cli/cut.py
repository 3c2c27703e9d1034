"""`pipemodel cut JOB.yaml`: what to cut from which stock."""

import sys
from pathlib import Path

import click

from pipemodel import story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option, paperwork_of, units_option
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.messages.units import Language, UnitName
from pipemodel.results.results import Results


@click.command(name="cut")
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
    """Print what to cut from which length of stock, with the least waste, and where long runs are jointed.

    The job's `stock: {length: 3000, offcuts: [...]}` and `kerf` say what there is. Ends with 1 when a run can be
    neither cut nor jointed.
    """
    from pipemodel.cutting.split import Split
    from pipemodel.documents.text.cut_list import cuts_record, cuts_text
    from pipemodel.results.record import to_json

    read = story.read(job, parameters, allow_outside)
    results = Results(story.schedule(story.furnish(read)), paperwork=paperwork_of(read, units, language))
    if form == "json":
        hand_over(to_json(cuts_record(results)))
    else:
        say(cuts_text(results, ascii=is_plain(sys.stdout)))
    cutting = results.cutting
    whole = all(isinstance(split, Split) for split in cutting.runs) and all(cuts.stock for cuts in cutting.cuts)
    sys.exit(0 if whole else 1)
