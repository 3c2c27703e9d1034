"""What is written along a template beside its bends: which way start and finish lie, and the mark of every pull."""

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from pipemodel.bending.schedule import SolvedRun
from pipemodel.drawing.labels import Label
from pipemodel.drawing.primitives import Role
from pipemodel.geometry.centreline import LinePiece
from pipemodel.messages.say import words
from pipemodel.messages.units import Units
from pipemodel.messages.values import Count, Name, Word
from pipemodel.pulls.plan import Plan

END_MM, MARK_MM = 3.0, 2.5
ShownPart = Callable[[int], tuple[float, float]]
"""From where to where a piece of the stretch is drawn, by its place in it."""


class Noted(NamedTuple):
    """A label for a place of a stretch: which of its pieces, how far along that, mm."""

    label: Label
    piece: int
    at_mm: float


def end_words(
    solved: SolvedRun, first: int, pieces: Sequence[LinePiece], shown: ShownPart, units: Units
) -> list[Noted]:
    """Name the run's own ends where they are drawn, and else which way they lie."""
    last = len(pieces) - 1
    begin, end = shown(0)[0], shown(last)[1]
    starts = first == 1 and begin == 0.0
    finishes = first + last // 2 - 1 == len(solved.table.bends) and end == pieces[last].length
    return [
        Noted(_end("start", starts, units), 0, begin),
        Noted(_end("finish", finishes, units), last, end),
    ]


def _end(which: str, itself: bool, units: Units) -> Label:
    end = Word(which)
    return Label(words(units, "word", word=end) if itself else words(units, "template.towards", end=end), END_MM)


def mark_words(
    solved: SolvedRun, plan: Plan, first: int, pieces: Sequence[LinePiece], shown: ShownPart, units: Units
) -> Iterator[Noted]:
    """Yield the mark of every pull that lies on what is drawn, in the order of pulls."""
    begins = solved.centreline.offsets[2 * (first - 1) :]
    for pull in plan.pulls:
        for i, begin in zip(range(len(pieces)), begins, strict=False):
            low, high = shown(i)
            if low - 1e-6 <= pull.drawn_mark_mm - begin <= high + 1e-6:
                at = Name(units.short(pull.drawn_mark_mm), quoted=False)
                text = words(units, "template.mark", pull=Count(pull.number), at=at)
                yield Noted(Label(text, MARK_MM, Role.MARK), i, pull.drawn_mark_mm - begin)
                break
