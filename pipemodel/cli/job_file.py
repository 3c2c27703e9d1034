"""What every command that reads a job takes: the file, parameters set from outside, and where meshes may lie."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])


def job_file(command: Command) -> Command:
    """Give a command the argument JOB.yaml and the options that go with reading it."""
    return _with_options(
        click.argument("job", metavar="JOB.yaml", type=click.Path(path_type=Path, readable=False))(command)
    )


def job_file_or_none(command: Command) -> Command:
    """Give a command the same, the job left out for None."""
    kind = click.Path(path_type=Path, readable=False)
    return _with_options(click.argument("job", metavar="[JOB.yaml]", type=kind, required=False)(command))


def _with_options(command: Command) -> Command:
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
    ):
        command = decorate(command)
    return command


def _parameters(context: click.Context, option: click.Parameter, texts: tuple[str, ...]) -> dict[str, str]:
    values: dict[str, str] = {}
    for text in texts:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise click.BadParameter(f"{text!r} is not NAME=VALUE, such as drop=350")
        values[name.strip()] = value.strip()
    return values
