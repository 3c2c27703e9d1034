"""The walk through a job, step by step: all of it, then run by run: cut and mark, each pull, in its place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.messages.angles import deg
from pipemodel.messages.say import say
from pipemodel.messages.units import Length, Units
from pipemodel.pulls.cards import Card
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.wording.phrases import tube_words
from pipemodel.wording.safe_text import shown

LONGEST_NAME = 60
MOST_WRONG = 3
"""How many faults are listed before the walk begins."""


@dataclass(frozen=True)
class Figure:
    """A figure that must be read from an arm's length: what it is, how much, and a few words under it."""

    name: str
    value: str
    words: str = ""


@dataclass(frozen=True)
class Step:
    """One step of the walk: what the picture shows, the card beside it, and the tick at its foot.

    `piece` and `run` say what is shown, run -1 all of it; `before` and `bend` which bends are made and which is
    next; `marks` are pull, bend and mark in the order of pulls, pull 0 where nothing can be pulled; `tick` is the key
    the tick is kept under, `done` what it says, both empty where there is nothing to tick.
    """

    run: int
    piece: int
    view: Literal["flat", "bender", "place"]
    name: str
    title: str
    tick: str
    done: str
    figures: tuple[Figure, ...] = ()
    marks: tuple[tuple[int, int, str], ...] = ()
    lines: tuple[str, ...] = ()
    actions: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    wrong: tuple[str, ...] = ()
    before: tuple[int, ...] = ()
    bend: int = 0
    held: str = "start"
    card: Card | None = field(default=None, repr=False)


def steps_of(answer: Results, pieces: Sequence[Piece]) -> tuple[Step, ...]:
    """Return every step of the job, run by run."""
    units = answer.paperwork.units
    steps = [_all_of_it(answer, pieces)]
    for number, solved in enumerate(answer.schedule.runs):
        for index, piece in enumerate(pieces):
            if piece.run == number:
                steps += _bend(index, piece, units)
        steps.append(_in_place(number, solved, answer.report.findings, units))
    return tuple(steps)


def _all_of_it(answer: Results, pieces: Sequence[Piece]) -> Step:
    job, findings, units = answer.schedule.job, answer.report.findings, answer.paperwork.units
    lines = tuple(_in_a_line(piece) for piece in pieces)
    wrong = [say(f.said, units) for f in findings if f.severity == "error"]
    if len(wrong) > MOST_WRONG:
        wrong[MOST_WRONG:] = [f"and {len(wrong) - MOST_WRONG} more, below among the findings"]
    return Step(-1, -1, "place", job.name, "All of it", "", "", lines=lines, wrong=tuple(wrong))


def _in_a_line(piece: Piece) -> str:
    solved, bends = piece.solved, len(piece.solved.table.bends)
    made = f"{bends} bend{'s' if bends != 1 else ''}" if bends else "straight"
    cut = piece.figures.cut_length
    return f"{shown(solved.name, LONGEST_NAME)}: cut {cut}, {made}, {tube_words(solved.tube)}"


def _bend(index: int, piece: Piece, units: Units) -> Iterator[Step]:
    solved, plan = piece.solved, piece.plan
    text = piece.figures
    key = f"{piece.run}/{index}"
    trim = f"; {text.trim} comes off the finish after bending" if text.trim else ""
    yield Step(
        piece.run,
        index,
        "flat",
        solved.name,
        "Cut and mark",
        f"{key}/cut",
        "Marked",
        figures=(_figure("Cut", text.cut_length, units.name + trim),),
        marks=tuple((pull.number, pull.bend, units.length(pull.mark_mm)) for pull in plan.pulls)
        or tuple((0, row.bend.number, str(row.mark)) for row in text.bends),
        actions=(f"Tube: {tube_words(solved.tube)}.", "All marks from the start end: write start on it."),
        wrong=tuple(say(why, units) for why in plan.why_not),
    )
    for card in piece.cards:
        yield _pull(index, piece, card, key, units)


def _figure(name: str, length: Length, words: str) -> Figure:
    """A length as a figure to read from afar; its decimal goes with the words under it."""
    return Figure(name, length.short, f"({length.decimal}) {words}" if length.decimal else words)


def _pull(index: int, piece: Piece, card: Card, key: str, units: Units) -> Step:
    pull = card.pull

    def length(mm: float) -> str:
        return f"{units.length(mm)} {units.name}"

    return Step(
        piece.run,
        index,
        "bender",
        piece.solved.name,
        f"Pull {pull.number}: bend {pull.bend}",
        f"{key}/pull {pull.number}",
        "Pulled",
        figures=(
            _figure("Mark", units.written(pull.mark_mm), "from the start end"),
            Figure("Pull to", f"{deg(pull.pull_deg)}\u00b0", _lets_go(card)),
        ),
        actions=tuple(_sentence(say(step, units)) for step in card.to_do),
        checks=tuple(_sentence(say(measure, units)) for measure in card.to_check),
        before=tuple(int(bend.number in pull.made) for bend in piece.solved.table.bends),
        bend=pull.bend - 1,
        held=pull.held,
        card=card,
    )


def _lets_go(card: Card) -> str:
    pull = card.pull
    return f"springs back to {deg(pull.angle_deg)}\u00b0" if pull.pull_deg != pull.angle_deg else "no springback given"


def _in_place(number: int, solved: SolvedRun, findings: Sequence[Finding], units: Units) -> Step:
    mine = tuple(say(f.said, units) for f in findings if f.run == solved.name and f.severity != "note")
    return Step(
        number,
        -1,
        "place",
        solved.name,
        "In its place",
        f"{number}/fixed",
        "Fixed",
        lines=() if mine else ("Clear of everything it was checked against.",),
        wrong=mine,
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "?")) else ".")
