"""The cards of the pulls to come, with the checks of the cards as printed: readings go by those."""

from collections.abc import Sequence
from dataclasses import replace

from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.values import Angle, Tape, message
from pipemodel.pulls.cards import Card, cards_of
from pipemodel.pulls.check_ids import piece_after, readers_of
from pipemodel.pulls.measures import Candidate, Measure, MeasureKind
from pipemodel.pulls.plan import Plan, Pull


def same_pull(one: Pull, other: Pull) -> bool:
    """Tell whether two pulls make the same bend of the same part-bent piece, held by the same side."""
    return (one.number, one.bend, one.held, one.made) == (other.number, other.bend, other.held, other.made)


def cards_to_come(solved: SolvedRun, printed: Sequence[Card], changed: SolvedRun, plan: Plan) -> tuple[Card, ...]:
    """Return the cards of a plan's pulls, each check of the printed card with what it is to read now.

    Args:
        solved: the run as printed.
        printed: its cards.
        changed: the run as it comes out.
        plan: its pulls to come; one that is none of those printed has checks of its own.
    """
    by_bend = {card.pull.bend: card for card in printed}
    cards = ((by_bend[card.pull.bend], card) for card in cards_of(changed, plan))
    return tuple(
        _with_checks_of(solved, was, changed, card) if same_pull(was.pull, card.pull) else card for was, card in cards
    )


def _with_checks_of(solved: SolvedRun, was: Card, changed: SolvedRun, card: Card) -> Card:
    piece, _ = piece_after(changed, card)
    pairs = zip(was.choice.measures, readers_of(solved, was), strict=True)
    measures = tuple(
        measure if reader is None else _now(measure, reader, reader.read(piece)) for measure, reader in pairs
    )
    return replace(card, choice=replace(was.choice, measures=measures))


def _now(measure: Measure, reader: Candidate, value: float) -> Measure:
    if measure.unit == "look":
        return replace(measure, value=value or measure.value)
    if measure.kind is MeasureKind.ANGLE:
        bend = dict(measure.how.values)["bend"]
        return replace(measure, value=value, how=message("measure.by card", bend=bend, angle=Angle(value)))
    if measure.worded and abs(value) > measure.within:
        # What is said to lie flat, or to stand plumb, does not quite.
        return replace(measure, value=value, how=message("measure.off now", how=measure.how, far=Tape(abs(value))))
    return replace(measure, value=value if not measure.worded else measure.value)
