"""What commands that write for people take: units, size of paper, date, revision, an earlier pack to compare with."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

import click

from pipemodel.cli.usage import SaidParameterError
from pipemodel.job.model import Job
from pipemodel.job.names import revision_fault
from pipemodel.messages.units import LANGUAGES, UNIT_NAMES, Language, UnitName, units_for
from pipemodel.messages.values import Name, message
from pipemodel.results.paper_options import PAPER_NAMES, PaperOptions

Command = TypeVar("Command", bound=Callable[..., Any])

units_option = click.option(
    "--units",
    type=click.Choice(UNIT_NAMES),
    help="What lengths are read in: mm, or inches to the nearest 1/16. [default: as the job says]",
)


def kept(context: click.Context, _: click.Parameter, language: Language | None) -> Language | None:
    """Keep a language for what is said if the command fails."""
    context.meta["language"] = language
    return language


language_option = click.option(
    "--language",
    type=click.Choice(LANGUAGES),
    callback=kept,
    help="The language of what people read: English or German. [default: as the job says]",
)


def paper_options(command: Command) -> Command:
    """Give a command the options of papers; it takes them as keyword arguments to hand on to `paper_options_of`."""
    for decorate in (
        click.option(
            "--against",
            type=click.Path(path_type=Path, exists=True, dir_okay=False),
            callback=_earlier,
            metavar="EARLIER/schedule.json",
            help="Tell what changed since an earlier pack.",
        ),
        click.option("--revision", callback=_revision, help="Which state of the job this is, such as B."),
        click.option(
            "--date", "dated", callback=_date, metavar="YYYY-MM-DD", help="Date the papers; undated if left out."
        ),
        click.option(
            "--template-paper",
            type=click.Choice(PAPER_NAMES, case_sensitive=False),
            help="Size of paper of the full-size pages. [default: that of the rest]",
        ),
        click.option(
            "--paper",
            type=click.Choice(PAPER_NAMES[:2], case_sensitive=False),
            default="A4",
            show_default=True,
            help="Size of paper of the pack.",
        ),
        units_option,
        language_option,
    ):
        command = decorate(command)
    return command


def paper_options_of(
    job: Job,
    units: UnitName | None = None,
    language: Language | None = None,
    paper: Any = "A4",
    template_paper: Any = None,
    dated: str | None = None,
    revision: str | None = None,
    against: dict[str, Any] | None = None,
) -> PaperOptions:
    """Return how the papers of a job are to be written: what the command line says wins over the job."""
    said_in = language or job.language
    state = revision or job.revision
    return PaperOptions(units_for(units or job.units), paper, template_paper, dated or "", state, against, said_in)


def _date(context: click.Context, option: click.Parameter, text: str | None) -> str | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text).isoformat()
    except ValueError:
        raise SaidParameterError(message("usage.date", text=Name(text))) from None


def _revision(context: click.Context, option: click.Parameter, text: str | None) -> str | None:
    if text is not None and (fault := revision_fault(text)):
        raise SaidParameterError(fault)
    return text


def _earlier(context: click.Context, option: click.Parameter, path: Path | None) -> dict[str, Any] | None:
    """Read the records of an earlier pack."""
    if path is None:
        return None
    from pipemodel.results.earlier_pack import EarlierError, read_earlier

    try:
        return read_earlier(path)
    except EarlierError as error:
        raise SaidParameterError(error.said) from error
