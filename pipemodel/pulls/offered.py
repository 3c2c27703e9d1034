"""Every measure that one person can take of a bend just made."""

from collections.abc import Iterator

from pipemodel.bending.part_bent import PartBent
from pipemodel.pulls.bench_measures import on_the_bench
from pipemodel.pulls.measures import Candidate, with_tape_and_card
from pipemodel.pulls.straight_edge import with_straight_edge


def offered(piece: PartBent, index: int) -> Iterator[Candidate]:
    """Yield what can be measured and seen of bend `index`, from 0, of a piece, the plain measures first."""
    yield from with_tape_and_card(piece, index)
    yield from with_straight_edge(piece, index)
    yield from on_the_bench(piece, index)
