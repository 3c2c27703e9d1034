"""`pipemodel new`: a commented starter job."""

import sys
from functools import partial
from pathlib import Path

import click

from pipemodel import story
from pipemodel.cli.flags import FlagError, by_flag
from pipemodel.cli.new_ask import ask_for_job, ask_usual
from pipemodel.cli.new_file import must_be_new, write_new
from pipemodel.cli.paper_options import kept
from pipemodel.cli.stream import say, tell
from pipemodel.job.model import JobError
from pipemodel.job.read import job_of_text
from pipemodel.job.starter.blank import Wishes, starter
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.say import say as say_words
from pipemodel.messages.units import LANGUAGES, Language, units_for
from pipemodel.messages.values import Name, message


@click.command(name="new")
@click.argument("job", metavar="[JOB.yaml]", type=click.Path(path_type=Path), default=Path("job.yaml"))
@click.option("--name", help="Name of the job.")
@click.option("--tube", help="Size out of the tube table, such as 15.")
@click.option("--radius", metavar="LENGTH", help="Finished radius of your own former; generic if left out.")
@click.option("--clearance", metavar="LENGTH", help="Asked for between the tube and everything else.")
@click.option("--ask", is_flag=True, help="Ask for the few measures of an everyday bend, and write the job of it.")
@click.option(
    "--language",
    type=click.Choice(LANGUAGES),
    default="en",
    callback=kept,
    help="The language of the questions and the job.",
)
def command(
    job: Path,
    name: str | None,
    tube: str | None,
    radius: str | None,
    clearance: str | None,
    ask: bool,
    language: Language,
) -> None:
    """Write a commented job to start from (job.yaml if not named).

    Asks what was not given by flags when it runs in a terminal, else takes the usual. Never overwrites a file.
    """
    must_be_new(job)
    if ask:
        _write(job, ask_for_job(language, partial(_faults, job, language)), language)
        return
    usual = Wishes(language=language)
    asking = sys.stdin is not None and sys.stdin.isatty()

    def answer(given: str | None, question: str, otherwise: str) -> str:
        return ask_usual(given, question, otherwise, language) if asking else given or otherwise

    given = Wishes(
        name=answer(name, "ask.name", usual.usual_name),
        tube=answer(tube, "ask.tube", usual.tube),
        radius=answer(radius, "ask.radius", "") or None,
        clearance=answer(clearance, "ask.clearance", usual.clearance),
        language=language,
    )
    _write(job, starter(given), language)


def _faults(job: Path, language: Language, lines: JobLines) -> list[str]:
    try:
        story.schedule(job_of_text(lines.text, job))
    except JobError as error:
        return list(dict.fromkeys(fault.worded(language) for fault in error.faults))
    return []


def _write(job: Path, lines: JobLines, language: Language) -> None:
    try:
        story.schedule(job_of_text(lines.text, job))
    except JobError as error:
        raise FlagError("\n".join(by_flag(error, lines))) from None
    write_new({job: lines.text.encode("utf-8")})
    say(f"{job}\n")
    tell(say_words(message("ask.now", file=Name(str(job), quoted=False)), units_for("mm", language)))
