"""What is bent for a job: its runs, or the pieces that a run too long for one is jointed from."""

from dataclasses import dataclass

from pipemodel.bending.schedule import SolvedRun
from pipemodel.cutting.split import Split
from pipemodel.pulls.plan import Plan
from pipemodel.results.answer import Answer


@dataclass(frozen=True)
class Piece:
    """A straight piece of tube to be bent: a run, or one of the pieces a run is jointed from."""

    run: int
    solved: SolvedRun
    plan: Plan


def pieces_of(answer: Answer) -> tuple[Piece, ...]:
    """Return what is bent for each run, in order: the run itself, or its pieces where it has to be jointed."""
    pieces: list[Piece] = []
    runs = zip(answer.schedule.runs, answer.plans, answer.cutting.runs, strict=True)
    for number, (solved, plan, split) in enumerate(runs):
        if isinstance(split, Split) and split.joints:
            pieces += (Piece(number, *each) for each in zip(split.pieces, split.plans, strict=True))
        else:
            pieces.append(Piece(number, solved, plan))
    return tuple(pieces)
