"""The command line: one small file per command, found through one table and loaded only when called."""

import atexit
import gc
import importlib
import signal
import sys
from typing import Any

import click

from pipemodel.cli.usage import Group, asked_language, usage_lines
from pipemodel.messages.units import Language

COMMANDS: dict[str, tuple[str, str]] = {
    "check": ("pipemodel.cli.check", "Every check; the verdict decides the exit code."),
    "schedule": ("pipemodel.cli.schedule", "The bend table and the plan of pulls."),
    "route": ("pipemodel.cli.route", "Ways from where to where, clear of everything, the best first."),
    "make": ("pipemodel.cli.make", "Everything into a folder."),
    "show": ("pipemodel.cli.show", "The job in a browser, new at every save."),
    "measured": ("pipemodel.cli.measured", "What was bent by what you measured, and what to do."),
    "cut": ("pipemodel.cli.cut", "What to cut from which stock, with the least waste."),
    "jig": ("pipemodel.cli.jig", "A checking jig to print for each run."),
    "bend": ("pipemodel.cli.bend", "An everyday bend from flags, without a file."),
    "new": ("pipemodel.cli.new", "A commented starter job."),
    "calibrate": ("pipemodel.cli.calibrate", "A former's own figures from measured test pieces."),
    "room": ("pipemodel.cli.room", "A room file out of a building model."),
    "learn": ("pipemodel.cli.learn", "Former and hands sharpened by finished pieces."),
    "tables": ("pipemodel.cli.tables", "Tubes, formers, fittings and clips known, with their sources."),
    "schema": ("pipemodel.cli.schema", "The JSON Schema of a job file, for editors."),
}
"""Name of the command, the module that holds it as `command`, and its one line of help."""


class _Commands(Group):
    """A group that imports a command's module only when that command is called."""

    language: Language | None = None
    """What the command was asked to write in, if it was."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        finally:
            self.language = ctx.meta.get("language")

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        if name not in COMMANDS:
            return None
        command = importlib.import_module(COMMANDS[name][0]).command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.command(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="pipemodel")
def pipemodel() -> None:
    """Hand-bent tube, worked out before the first pull."""


def main() -> None:
    """Run the command line.

    Bad input ends with a line per fault on stderr and exit code 2, as does anything that kept an answer from being
    written; an interrupt ends with 130, as shells have it.
    """
    from pipemodel.cli.interrupt import on_signal, stop
    from pipemodel.cli.said import interrupted, lines_of
    from pipemodel.cli.stream import tell

    on_signal(signal.SIGINT, stop)
    # Hardly anything here refers to itself, and the collector would look through all of it again and again.
    gc.set_threshold(200_000, 20, 20)
    atexit.register(gc.freeze)
    try:
        code = pipemodel.main(standalone_mode=False)
    except click.ClickException as error:
        # A group without a command shows its help; click 8.1 has no such error.
        if isinstance(error, getattr(click.exceptions, "NoArgsIsHelpError", ())):
            error.show()
        else:
            for line in usage_lines(error, asked_language()):
                tell(line)
        sys.exit(error.exit_code)
    except (click.Abort, KeyboardInterrupt):
        tell(interrupted(pipemodel.language or asked_language()))
        sys.exit(130)
    except Exception as error:
        lines = lines_of(error, pipemodel.language)
        if lines is None:
            raise
        for line in lines:
            tell(line)
        sys.exit(2)
    sys.exit(code if isinstance(code, int) else 0)
