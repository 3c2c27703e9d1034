"""What the commands that read a job and print of it have in common: their options, and the reading."""

from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import TypeAlias

import click

from pipemodel import story
from pipemodel.cli.job_file import reading
from pipemodel.cli.many import several_jobs
from pipemodel.cli.paper_options import language_option, paper_options_of, units_option
from pipemodel.job.model import Job
from pipemodel.messages.units import Language, UnitName
from pipemodel.results.paper_options import PaperOptions

Printing: TypeAlias = Callable[[Job, str, PaperOptions], None]
"""Prints of a job in a form, written as its papers are to be."""


def prints(*forms: str) -> Callable[[Printing], Callable[..., None]]:
    """Give a command jobs, what goes with reading them, units, language and these forms; it gets each job as read."""

    def decorate(command: Printing) -> Callable[..., None]:
        @reading
        @click.option("--format", "form", type=click.Choice(forms), default=forms[0], show_default=True)
        @units_option
        @language_option
        @several_jobs(command.__module__)
        @wraps(command)
        def read_and_print(
            job: Path,
            parameters: dict[str, str],
            allow_outside: bool,
            form: str,
            units: UnitName | None,
            language: Language | None,
        ) -> None:
            read = story.read(job, parameters, allow_outside)
            command(read, form, paper_options_of(read, units, language))

        return read_and_print

    return decorate
