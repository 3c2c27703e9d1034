"""Faults of a job that was made of flags, named by the flag each comes from."""

from typing import IO, Any

import click

from pipemodel.job.model import JobError
from pipemodel.job.starter.lines import JobLines


class FlagError(click.ClickException):
    """What is wrong with the flags, a line for each."""

    exit_code = 2

    def show(self, file: IO[Any] | None = None) -> None:
        """Print the lines as they are."""
        click.echo(self.message, err=True)


def by_flag(error: JobError, lines: JobLines) -> list[str]:
    """Return the faults with the flag that each comes from, once each."""
    said = []
    for fault in error.faults:
        flag = lines.flag_at(fault.place.line)
        text = fault.worded(error.language)
        said.append(f"{flag}: {text}" if flag else text)
    return list(dict.fromkeys(said))
