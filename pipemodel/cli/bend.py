"""`pipemodel bend`: an everyday bend from flags, worked out as the job file it could have been.

The flags become the text of a job, which goes the same way as any other: same reader, same figures, same picture.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

from pipemodel import story
from pipemodel.cli.flags import FlagError, by_flag
from pipemodel.cli.new_file import must_be_new, write_new
from pipemodel.cli.paper_options import language_option
from pipemodel.cli.stream import hand_over, is_plain, say
from pipemodel.cli.usage import Group, SaidUsageError
from pipemodel.job.model import JobError
from pipemodel.job.quantities import parse_length
from pipemodel.job.read import job_of_text
from pipemodel.job.starter import everyday
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.units import Language
from pipemodel.messages.values import bare, message

Command = TypeVar("Command", bound=Callable[..., Any])
_OWN_FORMER = ("mark", "hold", "guide", "springback", "springback_per_degree")


def _length(help: str, required: bool = False, default: str | None = None) -> dict[str, Any]:
    usual = {} if default is None else {"default": default, "show_default": True}
    return {"metavar": "LENGTH", "help": help, "required": required, **usual}


def _piece(command: Command) -> Command:
    """Give a command what every bend takes: the tube, the former, and where the answer goes."""
    options = (
        click.option("--tube", default="15", show_default=True, help="Size out of the tube table."),
        click.option("--former", metavar="NAME", help="Former by name; the generic one for the tube if left out."),
        click.option("--radius", **_length("Your own former instead: finished radius to the centreline.")),
        click.option("--mark", **_length("Its mark stands so far from the beginning of the bend.")),
        click.option("--hold", **_length("Straight it needs before a bend.")),
        click.option("--guide", **_length("Straight it needs after it.")),
        click.option("--springback", metavar="DEGREES", help="What the tube opens by at every bend."),
        click.option("--springback-per-degree", metavar="NUMBER", help="And for each degree of bend, such as 0.02."),
        click.option("--name", help="Name of the job."),
        click.option("--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True),
        language_option,
        click.option("--picture", metavar="FILE.png", type=click.Path(path_type=Path), help="Draw it, as a job's."),
        click.option("--save", metavar="JOB.yaml", type=click.Path(path_type=Path), help="Keep it as a job file."),
    )
    for option in reversed(options):
        command = option(command)
    return command


@click.group(name="bend", cls=Group)
def command() -> None:
    """Work out an everyday bend from flags, without a file.

    The piece starts at its start end and heads east; bends and passovers go up. A LENGTH is in mm, or carries a
    unit: '60 cm', '23 5/8 in'. Ends with 0 when it can be pulled, 1 when it cannot, 2 when the flags are wrong.
    """


@command.command(name="90")
@click.option("--first", **_length("Start end to the bend.", required=True))
@click.option("--second", **_length("Bend to the finish end.", required=True))
@click.option(
    "--measure",
    type=click.Choice(["centre", "back", "inside"]),
    default="centre",
    show_default=True,
    help="What of the bend both legs are measured to.",
)
@click.option("--angle", metavar="DEGREES", default="90", show_default=True, help="Another angle than 90.")
@_piece
def square(**options: Any) -> None:
    """One bend, both its legs to a measure."""
    _answer(everyday.bend_to_measure(_given(options), _language(options)), options)


def _lands(command: Command) -> Command:
    for option in (
        click.option("--after", **_length("How far on after it, from its last bend's centre.", default="300")),
        click.option("--last-bend", **_length("... or to the centre of its last bend.")),
        click.option("--centre", **_length("... or to its middle.")),
        click.option("--back", **_length("... or to the back of its first bend.")),
        click.option("--first-bend", **_length("Start end to the centre of its first bend. [default: 300]")),
        click.option("--angle", metavar="DEGREES", required=True, help="Of both bends."),
    ):
        command = option(command)
    return command


@command.command(name="set")
@click.option("--offset", **_length("How far aside, axis to axis.", required=True))
@_lands
@_piece
def plain_set(**options: Any) -> None:
    """A set: two equal and opposite bends."""
    _answer(everyday.plain_set(_landed(options), _language(options)), options)


@command.command(name="rolled")
@click.option("--offset", **_length("How far to the side, axis to axis.", required=True))
@click.option("--rise", **_length("How far up at the same time.", required=True))
@_lands
@_piece
def rolled_set(**options: Any) -> None:
    """A rolled set: aside and up at once."""
    _answer(everyday.plain_set(_landed(options), _language(options)), options)


@command.command(name="passover")
@click.option("--over", **_length("Diameter of what is passed over.", required=True))
@click.option("--at", **_length("Start end to its middle.", required=True))
@click.option("--level", **_length("How far its middle lies above the tube's axis; below 0 for under.", default="0"))
@click.option("--gap", **_length("Between it and the outside of the tube.", required=True))
@click.option("--bends", type=click.Choice(["3", "4"]), default="3", show_default=True)
@click.option("--angle", metavar="DEGREES", required=True, help="Of the top bend with 3, of each with 4.")
@click.option("--total", **_length("End to end, in a straight line. [default: twice --at]"))
@_piece
def passover(**options: Any) -> None:
    """A passover of a round thing that lies square across."""
    flags = _given(options)
    total = flags.get("total") or _twice(flags["at"])
    _answer(everyday.passover(flags, total, _language(options)), options)


def _language(options: dict[str, Any]) -> Language:
    language: Language = options["language"] or "en"
    return language


def _given(options: dict[str, Any]) -> dict[str, str]:
    flags = {name: value for name, value in options.items() if isinstance(value, str)}
    if "former" in flags and "radius" in flags:
        raise SaidUsageError(message("usage.former"))
    if "radius" not in flags and (loose := [name for name in _OWN_FORMER if name in flags]):
        option = bare("--" + loose[0].replace("_", "-"))
        raise SaidUsageError(message("usage.own former", option=option))
    return flags


def _landed(options: dict[str, Any]) -> dict[str, str]:
    flags = _given(options)
    places = [name for name in ("back", "first_bend", "centre", "last_bend") if name in flags]
    if len(places) > 1:
        first, second, *_ = (name.replace("_", "-") for name in places)
        raise SaidUsageError(message("usage.lands", first=bare(f"--{first}"), second=bare(f"--{second}")))
    return flags if places else {**flags, "first_bend": "300"}


def _twice(length: str) -> str:
    try:
        return f"{2.0 * parse_length(length):.9g}"
    except ValueError as error:
        raise FlagError(f"--at: {error}") from None


def _answer(lines: JobLines, options: dict[str, Any]) -> None:
    save, picture = options["save"], options["picture"]
    must_be_new(save)
    must_be_new(picture)
    try:
        job = job_of_text(lines.text, save or "piece.yaml")
        solved = story.schedule(job)
    except JobError as error:
        raise FlagError("\n".join(by_flag(error, lines))) from None
    from pipemodel.results.paper_options import paper_options_for
    from pipemodel.results.results import Results

    results = Results(solved, paper_options=paper_options_for(job))
    files: dict[Path, bytes] = {}
    if save is not None:
        files[save] = lines.text.encode("utf-8")
    if picture is not None:
        from pipemodel.documents.picture import picture_png

        files[picture] = picture_png(story.results(job))
    write_new(files)
    if options["form"] == "json":
        from pipemodel.results.plain import to_json

        hand_over(to_json(results.schedule_record))
    else:
        from pipemodel.documents.text.schedule import schedule_text

        say(schedule_text(results, ascii=is_plain(sys.stdout)))
    sys.exit(0 if all(plan.possible for plan in results.plans) else 1)
