"""Every measure that one person can take of a bend just made."""

from collections.abc import Iterator

from pipemodel.bending.part_bent import PartBent
from pipemodel.pulls.bench_measures import on_any_bench, on_the_bench
from pipemodel.pulls.measures import Candidate, with_tape_and_card
from pipemodel.pulls.places import across_corner
from pipemodel.pulls.straight_edge import along_any_leg, with_straight_edge


def offered(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what can be measured and seen of bend `index`, from 0, of a piece, the plain measures first."""
    yield from with_tape_and_card(piece, index)
    yield from with_straight_edge(piece, index)
    yield from on_the_bench(piece, index)


def offered_too(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what is worth the trouble only where nothing of those shows a mistake at bend `index`."""
    yield from across_corner(piece, index)
    yield from along_any_leg(piece, index)
    yield from on_any_bench(piece, index)
