"""What is wrong with a command line, in the language that it asks for."""

import re
import sys
from difflib import get_close_matches
from itertools import pairwise
from typing import Any

import click

from pipemodel.messages.say import words
from pipemodel.messages.units import LANGUAGES, Language, units_for
from pipemodel.messages.values import NOTHING, Message, Name, Number, Value, Word, bare, listed, message

_EXTRA = re.compile(r"unexpected extra arguments? \((.+)\)")


class SaidUsageError(click.UsageError):
    """What does not go together on a command line, as a message."""

    def __init__(self, said: Message, context: click.Context | None = None) -> None:
        super().__init__(str(said), context)
        self.said = said


class SaidParameterError(click.BadParameter):
    """What is wrong with the value of an option, as a message; `hint` names the option where it cannot be made out."""

    def __init__(self, said: Message | str, hint: str | None = None) -> None:
        super().__init__(str(said), param_hint=hint)
        self.said = said if isinstance(said, Message) else message("file.all", said=bare(said))


class Group(click.Group):
    """A group of commands that answers an unknown one with the nearest."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Return the command of these arguments, as click does."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            near = get_close_matches(args[0], self.list_commands(ctx), n=1)
            meant = message("usage.meant", near=Name(near[0])) if near else NOTHING
            raise SaidUsageError(message("usage.no command", name=Name(args[0]), meant=meant), ctx) from error


def asked_language() -> Language:
    """Return the language that the command line asks for, as far as it can be made out; English otherwise."""
    after = [second for first, second in pairwise(sys.argv) if first == "--language"]
    joined = [given.partition("=")[2] for given in sys.argv if given.startswith("--language=")]
    return next((one for one in LANGUAGES if one in (after + joined)[-1:]), "en")


def usage_lines(error: click.ClickException, language: Language) -> list[str]:
    """Return what is said of an error of the command line: how it is used, and what is wrong."""
    from pipemodel.cli.flags import FlagError

    if isinstance(error, FlagError):
        return error.message.splitlines()
    units, lines = units_for("mm", language), list[str]()
    context = error.ctx if isinstance(error, click.UsageError) else None
    if context is not None:
        command, pieces = bare(context.command_path), bare(" ".join(context.command.collect_usage_pieces(context)))
        lines = [words(units, "usage.how", command=command, pieces=pieces), words(units, "usage.help", command=command)]
        lines.append("")
    return [*lines, words(units, "usage.wrong", said=_said(error))]


def _said(error: click.ClickException) -> Value:
    if isinstance(error, click.MissingParameter):
        return message("usage.missing", name=Name(_hint(error)), choices=_would_be(error.param))
    if isinstance(error, SaidParameterError):
        return message("usage.value", name=Name(_hint(error)), said=error.said)
    if isinstance(error, SaidUsageError):
        return error.said
    if isinstance(error, click.BadParameter) and error.param is not None:
        return message("usage.value", name=Name(_hint(error)), said=_of_type(error.param.type, error.message))
    if isinstance(error, click.NoSuchOption):
        near = [Name(one) for one in sorted(error.possibilities or ())]
        meant = message("usage.meant", near=listed(near, "or")) if near else NOTHING
        return message("usage.no option", name=Name(error.option_name), meant=meant)
    if isinstance(error, click.BadOptionUsage):
        needs = Word("needs" if "requires" in error.message else "takes none")
        return message("usage.option", name=Name(error.option_name), needs=needs)
    if found := _EXTRA.search(error.message):
        return message("usage.extra", args=bare(found[1]))
    return bare(error.format_message())


def _hint(error: click.BadParameter) -> str:
    """Return the name of an option or an argument, as it is typed."""
    if isinstance(error.param_hint, str):
        return error.param_hint.strip("'")
    if isinstance(error.param, click.Option):
        return error.param.opts[0]
    return "" if error.param is None else error.param.make_metavar(click.Context(click.Command("")))


def _would_be(param: click.Parameter | None) -> Message:
    if param is None or not isinstance(param.type, click.Choice):
        return NOTHING
    return message("usage.one of", choices=bare(", ".join(map(str, param.type.choices))))


def _of_type(kind: "click.ParamType[Any]", otherwise: str) -> Value:
    """Return what a value should be, by its type."""
    if isinstance(kind, click.Choice):
        return message("usage.choice", choices=bare(", ".join(map(str, kind.choices))))
    if isinstance(kind, click.types.IntParamType | click.types.FloatParamType):
        of = Word("whole" if isinstance(kind, click.types.IntParamType) else "any")
        if isinstance(kind, click.IntRange | click.FloatRange):
            return message("usage.range", kind=of, low=Number(kind.min or 0.0), high=Number(kind.max or 0.0))
        return message("usage.number", kind=of)
    if isinstance(kind, click.Path):
        why = "none" if "exist" in otherwise else "folder" if "director" in otherwise else "denied"
        return message("usage.path", file=bare(otherwise.partition("'")[2].rpartition("'")[0]), kind=Word(why))
    return bare(otherwise)
