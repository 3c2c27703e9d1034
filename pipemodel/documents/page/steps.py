"""The walk through a job, step by step: all of it, then run by run: cut and mark, each pull, in its place."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Literal

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.findings import Finding
from pipemodel.correction.observed import may_be_to_either_side
from pipemodel.messages.say import capital, say, sentence, words
from pipemodel.messages.units import Units, WrittenLength
from pipemodel.messages.values import Angle, Count, Length, Word, bare, message
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id
from pipemodel.pulls.measures import Measure, MeasureKind, MeasureUnit
from pipemodel.results.pieces import Piece
from pipemodel.results.results import Results
from pipemodel.results.ways_shown import WayShown
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
class PageCheck:
    """One check after a pull, as a field for what is read, or a box to tick where it is looked at.

    `unit` is "mm", "deg" or "look"; `wanted` what it should read, with its unit, empty where it is looked at; `side`
    asks to which side it stands off, empty where that is no question.
    """

    name: str
    said: str
    unit: MeasureUnit
    shown_unit: str = ""
    wanted: str = ""
    side: str = ""


@dataclass(frozen=True)
class PageStep:
    """One step of the walk: what the picture shows, the card beside it, and the tick at its foot.

    `piece` and `run` say what is shown, run -1 all of it; `before` and `bend` which bends are made and which is
    next; `marks` are pull, bend and mark in the order of pulls, pull 0 where nothing can be pulled; `tick` is the key
    the tick is kept under, `done` what it says, both empty where there is nothing to tick.
    """

    run: int
    piece: int
    view: Literal["flat", "bender", "way", "place"]
    name: str
    title: str
    tick: str
    done: str
    figures: tuple[Figure, ...] = ()
    marks: tuple[tuple[int, int, str], ...] = ()
    lines: tuple[str, ...] = ()
    actions: tuple[str, ...] = ()
    checks: tuple[PageCheck, ...] = ()
    wrong: tuple[str, ...] = ()
    before: tuple[int, ...] = ()
    pull: int = 0
    bend: int = 0
    held: str = "start"
    card: Card | None = field(default=None, repr=False)


def steps_of(results: Results, pieces: Sequence[Piece]) -> tuple[PageStep, ...]:
    """Return every step of the job, run by run."""
    units = results.paper_options.reading
    steps = [_all_of_it(results, pieces)]
    for number, solved in enumerate(results.schedule.runs):
        for index, piece in enumerate(pieces):
            if piece.run == number:
                steps += _bend(index, piece, units)
        steps += [_way(number, one, units) for one in results.ways_shown if one.solved is solved and one.words]
        steps.append(_in_place(number, solved, results.report.findings, units))
    return tuple(steps)


def _all_of_it(results: Results, pieces: Sequence[Piece]) -> PageStep:
    job, findings, units = results.schedule.job, results.report.findings, results.paper_options.reading
    lines = tuple(_in_a_line(piece, units) for piece in pieces)
    wrong = [say(f.said, units) for f in findings if f.severity == "error"]
    if len(wrong) > MOST_WRONG:
        wrong[MOST_WRONG:] = [words(units, "page.more wrong", n=Count(len(wrong) - MOST_WRONG))]
    return PageStep(-1, -1, "place", job.name, words(units, "page.all of it"), "", "", lines=lines, wrong=tuple(wrong))


def _in_a_line(piece: Piece, units: Units) -> str:
    solved, bends = piece.solved, len(piece.solved.table.bends)
    return words(
        units,
        "page.run in a line",
        run=bare(shown(solved.name, LONGEST_NAME)),
        cut=bare(str(piece.figures.cut_length)),
        made=message("page.bends", n=Count(bends)) if bends else message("page.straight"),
        tube=bare(tube_words(solved.tube, units.metric)),
    )


def _bend(index: int, piece: Piece, units: Units) -> Iterator[PageStep]:
    solved, plan = piece.solved, piece.plan
    text = piece.figures
    key = f"{piece.run}/{index}"
    under = words(units, "page.trim", unit=bare(units.unit), trim=bare(str(text.trim))) if text.trim else units.unit
    yield PageStep(
        piece.run,
        index,
        "flat",
        solved.name,
        words(units, "page.cut and mark"),
        f"{key}/cut",
        words(units, "page.marked"),
        figures=(_figure(words(units, "page.cut"), text.cut_length, under),),
        marks=tuple((pull.number, pull.bend, units.length(pull.drawn_mark_mm)) for pull in plan.pulls)
        or tuple((0, row.bend.number, str(row.mark)) for row in text.bends),
        actions=(
            words(units, "page.tube", tube=bare(tube_words(solved.tube, units.metric))),
            words(units, "page.write start"),
        ),
        wrong=tuple(say(why, units) for why in plan.why_not),
    )
    for card in piece.cards:
        yield _pull(index, piece, card, key, units)


def _figure(name: str, length: WrittenLength, under: str) -> Figure:
    """A length as a figure to read from afar; its decimal goes with the words under it."""
    return Figure(name, length.short, f"({length.decimal}) {under}" if length.decimal else under)


def _pull(index: int, piece: Piece, card: Card, key: str, units: Units) -> PageStep:
    pull = card.pull
    return PageStep(
        piece.run,
        index,
        "bender",
        piece.solved.name,
        words(units, "hands.pull", pull=Count(pull.number), bend=Count(pull.bend)),
        f"{key}/pull {pull.number}",
        words(units, "page.pulled"),
        figures=(
            Figure(words(units, "page.left end"), words(units, "word", word=Word(card.left_end))),
            _figure(words(units, "page.mark"), units.written(pull.drawn_mark_mm), words(units, "page.from start")),
            Figure(words(units, "page.pull to"), f"{units.angle(pull.pull_deg)}\u00b0", _lets_go(card, units)),
        ),
        actions=tuple(sentence(say(step, units)) for step in card.to_do),
        checks=tuple(_check(pull.number, place, measure, units) for place, measure in enumerate(card.measures)),
        before=tuple(int(bend.number in pull.made) for bend in piece.solved.table.bends),
        pull=pull.number,
        bend=pull.bend - 1,
        held=pull.held,
        card=card,
    )


def _check(pull: int, place: int, measure: Measure, units: Units) -> PageCheck:
    name, said = check_id(pull, place), sentence(say(measure.said, units))
    if measure.unit == "look":
        return PageCheck(name, said, "look")
    if measure.unit == "deg":
        return PageCheck(name, said, "deg", "\u00b0", f"{units.angle(measure.value)}\u00b0")
    if measure.kind is MeasureKind.ROUND:
        most = Length(measure.shows_from, ".2f", rounded="down")
        return PageCheck(name, said, "mm", units.unit, words(units, "page.at most", most=most))
    side = ""
    if may_be_to_either_side(measure):
        side = capital(words(units, "correct.side", bend=dict(measure.how.values)["bend"]))
    return PageCheck(name, said, "mm", units.unit, units.named(measure.value), side)


def _lets_go(card: Card, units: Units) -> str:
    pull = card.pull
    if pull.pull_deg == pull.angle_deg:
        return words(units, "page.no springback")
    return words(units, "page.springs back", angle=Angle(pull.angle_deg))


def _way(number: int, shown_way: WayShown, units: Units) -> PageStep:
    assert shown_way.words is not None
    return PageStep(
        number,
        -1,
        "way",
        shown_way.solved.name,
        words(units, "page.bring in"),
        f"{number}/way",
        words(units, "page.brought in"),
        lines=(sentence(say(shown_way.words.rounding, units)),),
        actions=tuple(sentence(say(step.said, units)) for step in shown_way.words.steps),
    )


def _in_place(number: int, solved: SolvedRun, findings: Sequence[Finding], units: Units) -> PageStep:
    mine = tuple(say(f.said, units) for f in findings if f.run == solved.name and f.severity != "note")
    return PageStep(
        number,
        -1,
        "place",
        solved.name,
        words(units, "page.in place"),
        f"{number}/fixed",
        words(units, "page.fixed"),
        lines=() if mine else (words(units, "page.clear"),),
        wrong=mine,
    )
