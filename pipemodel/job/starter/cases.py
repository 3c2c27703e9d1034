"""The everyday cases that a job can be started from: the few measures each takes, and the job that is made of them."""

from collections.abc import Callable
from math import inf
from typing import NamedTuple

from pipemodel.job.quantities import parse_length
from pipemodel.job.starter import asked, everyday
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.units import Language
from pipemodel.messages.values import Message, Name, message

Answers = dict[str, str]


class Question(NamedTuple):
    """A measure to ask for: its key, the words, and what is usual."""

    key: str
    words: Message
    usual: str
    least: float = 0.01


class Case(NamedTuple):
    """An everyday case: its name, its questions, and what makes a job of the answers."""

    words: Message
    questions: tuple[Question, ...]
    job: Callable[[Answers, Language], JobLines]


def _set(answers: Answers, language: Language) -> JobLines:
    """Return the job of a set: both readings go to the near side of the tube, and differ by the offset."""
    given = {"tube": answers["tube"], "angle": answers["angle"], "after": answers["after"], "back": answers["back"]}
    return everyday.plain_set({**given, "offset": f"${{({answers['far']}) - ({answers['near']})}}"}, language)


def _passover(answers: Answers, language: Language) -> JobLines:
    return everyday.passover({**answers, "level": "0", "bends": "3"}, answers["total"], language)


def _corner(answers: Answers, language: Language) -> JobLines:
    return everyday.bend_to_measure({**answers, "measure": "back", "angle": "90"}, language)


TUBE = Question("tube", message("ask.tube"), "15")
ANGLE = Question("angle", message("ask.angle"), "45")
CASES: dict[str, Case] = {
    "1": Case(
        message("ask.set"),
        (
            Question("back", message("ask.set back"), "400"),
            Question("near", message("ask.set near"), "20", 0.0),
            Question("far", message("ask.set far"), "80", 0.0),
            ANGLE,
            Question("after", message("ask.set after"), "400"),
        ),
        _set,
    ),
    "2": Case(
        message("ask.passover"),
        (
            Question("total", message("ask.passover total"), "1200"),
            Question("at", message("ask.passover at"), "600"),
            Question("over", message("ask.passover over"), "43"),
            Question("gap", message("ask.passover gap"), "10", 0.0),
            ANGLE,
        ),
        _passover,
    ),
    "3": Case(
        message("ask.corner"),
        (
            Question("first", message("ask.corner first"), "500"),
            Question("second", message("ask.corner second"), "300"),
        ),
        _corner,
    ),
    "4": Case(
        message("ask.step in the wall"),
        (
            Question("near", message("ask.set near"), "20", 0.0),
            Question("at", message("ask.step at"), "600"),
            Question("out", message("ask.step out"), "50"),
            Question("gap", message("ask.step gap"), "20", 0.0),
            Question("angle", message("ask.angle"), "30"),
            Question("after", message("ask.set after"), "500"),
        ),
        asked.round_a_step,
    ),
    "5": Case(
        message("ask.tail"),
        (
            Question("near", message("ask.tail near"), "30", 0.0),
            Question("valve", message("ask.tail valve"), "75", 0.0),
            Question("side", message("ask.tail side"), "0", -inf),
            Question("rise", message("ask.tail rise"), "350"),
            Question("straight", message("ask.tail straight"), "120"),
            Question("angle", message("ask.angle"), "30"),
        ),
        asked.radiator_tail,
    ),
}
"""The everyday cases, by the figure that chooses them."""


def problem_with(question: Question, answer: str) -> Message | None:
    """Return what is wrong with an answer by itself; None where nothing is."""
    try:
        # A tube may be named by more than its size, and is looked up with the whole job.
        if question.key == "tube" or parse_length(answer) >= question.least:
            return None
        return message("ask.too little", answer=Name(answer))
    except ValueError:
        return message("ask.no length", answer=Name(answer))
