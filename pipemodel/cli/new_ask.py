"""What `pipemodel new` asks: with --ask what is to be bent and the few measures it takes, else what is usual."""

from collections.abc import Callable, Mapping, Sequence

import click

from pipemodel.job.starter.cases import CASES, TUBE, Question, as_given, problem_with
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.say import say
from pipemodel.messages.units import Language, units_for
from pipemodel.messages.values import Name, message
from pipemodel.wording.safe_text import wrapped

WIDTH = 79
"""Columns of a line, the last left free."""


def ask_for_job(language: Language, faults: Callable[[JobLines], Sequence[str]]) -> JobLines:
    """Ask, and return the job; questions go to stderr, and a bad answer is asked for again.

    Args:
        language: of the questions and of the job.
        faults: says what is wrong with a job; answers that go together in none are all asked for again.

    Raises:
        click.Abort: when no more answers come, or the user breaks off; nothing is written then.
    """
    units = units_for("mm", language)
    click.echo("\n".join(wrapped(say(message("ask.what"), units), WIDTH)), err=True)
    for figure, case in CASES.items():
        click.echo(f"  {figure}  {say(case.words, units)}", err=True)
    choice = ""
    while choice not in CASES:
        choice = _prompt(say(message("ask.which", last=Name(max(CASES), quoted=False)), units), "1")
    case = CASES[choice]
    last: dict[str, str] = {}
    while True:
        answers: dict[str, str] = {}
        for question in (TUBE, *case.questions):
            usual = last.get(question.key, question.usual)
            answers[question.key] = _answer(question._replace(usual=usual), answers, language)
        last, job = answers, case.job(answers, language)
        found = faults(job)
        if not found:
            return job
        click.echo("\n".join([*found, say(message("ask.again"), units)]), err=True)


def ask_usual(given: str | None, question: str, usual: str, language: Language) -> str:
    """Return what was given, or the answer to a question about it; Enter takes what is usual."""
    return _prompt(say(message(question), units_for("mm", language)), usual) if given is None else given


def _answer(question: Question, before: Mapping[str, str], language: Language) -> str:
    units = units_for("mm", language)
    while True:
        given = as_given(_prompt(say(question.words, units), question.usual))
        problem = problem_with(question, given, before)
        if problem is None:
            return given
        click.echo(say(problem, units), err=True)


def _prompt(words: str, usual: str) -> str:
    room = WIDTH - len(f" [{usual}]: ")
    return str(click.prompt("\n".join(wrapped(words, room)), default=usual, show_default=bool(usual), err=True)).strip()
