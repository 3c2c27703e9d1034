"""What the commands that read a job and print of it have in common: their options, and the reading."""

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any, TypeAlias

import click

from pipemodel import story
from pipemodel.cli.job_file import job_file
from pipemodel.cli.paper_options import language_option, paper_options_of, units_option
from pipemodel.messages.units import Language, UnitName

Printing: TypeAlias = Callable[..., None]
"""Prints of a job in a form, written as its papers are to be; takes these three, and options of its own by name."""


def prints(*forms: str) -> Callable[[Printing], Callable[..., None]]:
    """Give a command JOB.yaml, what goes with reading it, units, language and these forms; it gets the job as read."""

    def decorate(command: Printing) -> Callable[..., None]:
        @job_file
        @click.option("--format", "form", type=click.Choice(forms), default=forms[0], show_default=True)
        @units_option
        @language_option
        @wraps(command)
        def read_and_print(
            job: Path,
            parameters: dict[str, str],
            allow_outside: bool,
            form: str,
            units: UnitName | None,
            language: Language | None,
            **more: Any,
        ) -> None:
            read = story.read(job, parameters, allow_outside)
            command(read, form, paper_options_of(read, units, language), **more)

        return read_and_print

    return decorate
