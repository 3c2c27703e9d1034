"""What the checks of a run go by, and what reads each of them on a piece that may have come out otherwise."""

from string import ascii_lowercase

from pipemodel.bending.part_bent import PartBent, part_bent
from pipemodel.bending.schedule import SolvedRun
from pipemodel.pulls.cards import Card
from pipemodel.pulls.measures import Candidate
from pipemodel.pulls.offered import offered, offered_too


def check_id(pull: int, place: int) -> str:
    """Return what a check goes by: the number of its pull, and a letter for its place on the card, from 0."""
    return f"{pull}{ascii_lowercase[place]}"


def piece_after(solved: SolvedRun, card: Card) -> tuple[PartBent, int]:
    """Return the piece as it should be after a pull, and which of its bends, from 0, was just made."""
    piece = part_bent(solved, card.pull.made | {card.pull.bend})
    return piece, next(i for i, bend in enumerate(piece.bends) if bend.number == card.pull.bend)


def readers_of(solved: SolvedRun, card: Card) -> tuple[Candidate | None, ...]:
    """Return each check of a card with what reads it on a piece of the same bends; None where nothing does."""
    piece, index = piece_after(solved, card)
    # The same sentence is the same measure.
    by_how = {(c.measure.kind, c.measure.how): c for c in (*offered(piece, index), *offered_too(piece, index))}
    return tuple(by_how.get((measure.kind, measure.how)) for measure in card.measures)
