"""What every command that reads a job takes: the file, parameters set from outside, and where meshes may lie."""

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, TypeVar

import click

from pipemodel import story
from pipemodel.cli.paper_options import language_option, paper_options_of, units_option
from pipemodel.cli.usage import SaidParameterError
from pipemodel.messages.units import Language, UnitName
from pipemodel.messages.values import Name, message

Command = TypeVar("Command", bound=Callable[..., Any])
_FILE: click.Path = click.Path(path_type=Path, readable=False)


def job_file(command: Command) -> Command:
    """Give a command the argument JOB.yaml and the options that go with reading it."""
    return _read_by(command, click.argument("job", metavar="JOB.yaml", type=_FILE))


def job_read(command: Callable[..., None]) -> Callable[..., None]:
    """Give a command a job file, units and language; it takes the `job` as read, and `options`, how to write of it."""

    @job_file
    @units_option
    @language_option
    @wraps(command)
    def reading(
        job: Path,
        parameters: dict[str, str],
        allow_outside: bool,
        units: UnitName | None,
        language: Language | None,
        **more: Any,
    ) -> None:
        read = story.read(job, parameters, allow_outside)
        # From here on faults of other files are said in the job's language too.
        click.get_current_context().meta["language"] = language or read.language
        command(job=read, options=paper_options_of(read, units, language), **more)

    return reading


def job_file_or_none(command: Command) -> Command:
    """Give a command the same, the job left out for None."""
    return _read_by(command, click.argument("job", metavar="[JOB.yaml]", type=_FILE, required=False))


def job_files(command: Command) -> Command:
    """Give a command one job file or more as `jobs`, and the options that go with reading them."""
    return _read_by(command, click.argument("jobs", metavar="JOB.yaml...", type=_FILE, nargs=-1, required=True))


def _read_by(command: Command, files: Callable[[Command], Command]) -> Command:
    for decorate in (
        click.option("--allow-outside", is_flag=True, help="Let mesh files of the room lie outside the job's folder."),
        click.option(
            "--set",
            "parameters",
            metavar="NAME=VALUE",
            multiple=True,
            callback=_parameters,
            help="Set a parameter of the job, such as drop=350 or drop='35 cm'. May be repeated.",
        ),
        files,
    ):
        command = decorate(command)
    return command


def _parameters(context: click.Context, option: click.Parameter, texts: tuple[str, ...]) -> dict[str, str]:
    values: dict[str, str] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise SaidParameterError(message("usage.parameter", text=Name(text)))
        values[name.strip()] = value.strip()
    return values
