"""The everyday cases that a job can be started from: the few measures each takes, and the job that is made of them."""

import re
from collections.abc import Callable, Mapping
from math import inf
from typing import Literal, NamedTuple

from pipemodel.job.quantities import parse_angle, parse_length
from pipemodel.job.starter import asked, everyday
from pipemodel.job.starter.lines import JobLines
from pipemodel.messages.units import Language
from pipemodel.messages.values import Angle, Length, Message, Name, message
from pipemodel.trade.model import UnknownSizeError
from pipemodel.trade.tubes import find_tube

Answers = dict[str, str]


class Question(NamedTuple):
    """A measure to ask for: its key, the words, what is usual, and between what it lies (an angle is above 0).

    `beside` says what is wrong with an answer that can be one, beside those given before it; None where nothing is.
    """

    key: str
    words: Message
    usual: str
    least: float = 0.01
    most: float = inf
    of: Literal["length", "angle", "tube"] = "length"
    beside: Callable[[Mapping[str, float]], Message | None] = lambda given: None


class Case(NamedTuple):
    """An everyday case: its name, its questions, and what makes a job of the answers."""

    words: Message
    questions: tuple[Question, ...]
    job: Callable[[Answers, Language], JobLines]


def _set(answers: Answers, language: Language) -> JobLines:
    """Return the job of a set: both readings go to the near side of the tube, and differ by the offset."""
    given = {"tube": answers["tube"], "angle": answers["angle"], "after": answers["after"], "back": answers["back"]}
    low, high = sorted((answers["near"], answers["far"]), key=parse_length)
    return everyday.plain_set({**given, "offset": f"${{({high}) - ({low})}}"}, language)


def _passover(answers: Answers, language: Language) -> JobLines:
    return everyday.passover({**answers, "level": "0", "bends": "3"}, answers["total"], language)


def _corner(answers: Answers, language: Language) -> JobLines:
    return everyday.bend_to_measure({**answers, "measure": "back", "angle": "90"}, language)


def _same_both_sides(given: Mapping[str, float]) -> Message | None:
    return message("ask.same distance", far=Length(given["far"])) if given["near"] == given["far"] else None


def _clears_the_step(given: Mapping[str, float]) -> Message | None:
    by = given["near"] - given["out"] - given["gap"]
    return message("ask.clear of the step", near=Length(given["near"])) if by >= 0.0 else None


def _longer_than_the_rise(given: Mapping[str, float]) -> Message | None:
    return message("ask.beyond the rise", rise=Length(given["rise"])) if given["straight"] >= given["rise"] else None


def _angle(usual: str, most: float = 90.0) -> Question:
    return Question("angle", message("ask.angle"), usual, most=most, of="angle")


TUBE = Question("tube", message("ask.tube"), "15", of="tube")
CASES: dict[str, Case] = {
    "1": Case(
        message("ask.set"),
        (
            Question("back", message("ask.set back"), "400"),
            Question("near", message("ask.set near"), "20", 0.0),
            Question("far", message("ask.set far"), "80", 0.0, beside=_same_both_sides),
            _angle("45"),
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
            _angle("45", 120.0),
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
            Question("gap", message("ask.step gap"), "20", 0.0, beside=_clears_the_step),
            _angle("30"),
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
            Question("straight", message("ask.tail straight"), "120", beside=_longer_than_the_rise),
            _angle("30"),
        ),
        asked.radiator_tail,
    ),
}
"""The everyday cases, by the figure that chooses them."""


def as_given(answer: str) -> str:
    """Return an answer with a decimal point where a decimal comma was typed."""
    return re.sub(r"^(\s*[-+]?\d+),(\d+)", r"\1.\2", answer.strip())


def _known(tube: str) -> bool:
    try:
        find_tube(tube)
    except UnknownSizeError:
        return False
    return True


def problem_with(question: Question, answer: str, before: Mapping[str, str] | None = None) -> Message | None:
    """Return what is wrong with an answer, by itself and beside those before where all are right; else None."""
    if question.of == "tube":
        return None if _known(answer) else message("ask.no tube", answer=Name(answer))
    measured = parse_angle if question.of == "angle" else parse_length
    try:
        value = measured(answer)
    except ValueError:
        return message("ask.no angle" if question.of == "angle" else "ask.no length", answer=Name(answer))
    if question.of == "angle":
        good = 0.0 < value <= question.most
        return None if good else message("ask.wrong angle", answer=Name(answer), most=Angle(question.most))
    if value < question.least:
        return message("ask.too little", answer=Name(answer))
    if before is None:
        return None
    lengths = {key: parse_length(text) for key, text in before.items() if key not in ("tube", "angle")}
    return question.beside({**lengths, question.key: value})
