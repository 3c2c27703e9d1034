"""`pipemodel schedule JOB.yaml`: the bend table and the plan of pulls."""

import sys
from pathlib import Path

import click

from pipemodel import story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option, paperwork_of, units_option
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.messages.units import Language, UnitName
from pipemodel.results.results import Results


@click.command(name="schedule")
@job_file
@click.option("--format", "form", type=click.Choice(["text", "json", "csv"]), default="text", show_default=True)
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
    """Print the bend table of every run, and the order of pulls.

    Ends with 0 when every run can be pulled, 1 when one cannot (it is printed all the same), 2 when the job
    cannot be read or solved.
    """
    read = story.read(job, parameters, allow_outside)
    # Clips keep off couplings, and where those can go takes all of the room.
    solved = story.jointed(story.schedule(read))
    results = Results(solved, paperwork=paperwork_of(read, units, language))
    if form == "text":
        from pipemodel.documents.text.schedule import schedule_text

        say(schedule_text(results, ascii=is_plain(sys.stdout)))
    else:
        from pipemodel.documents.tables.csv_table import schedule_csv
        from pipemodel.results.record import to_json

        record = results.schedule_record
        hand_over(to_json(record) if form == "json" else schedule_csv(record, results.paperwork.units))
    sys.exit(0 if all(plan.possible for plan in results.plans) else 1)
