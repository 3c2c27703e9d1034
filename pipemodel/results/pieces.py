"""What is bent for a job: its runs, or the pieces that a run too long for one is jointed from."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.units import MM, Units
from pipemodel.pulls.cards import Card, cards_of
from pipemodel.pulls.other_ways import WayOut
from pipemodel.pulls.plan import Plan
from pipemodel.wording.rounding import RunText, run_text

if TYPE_CHECKING:
    from pipemodel.cutting.cuts import Cutting
    from pipemodel.cutting.split import Split
    from pipemodel.drawing.pull_drawing import PullPictures


@dataclass(frozen=True, eq=False)
class Piece:
    """A straight piece of tube to be bent: a run, or one of the pieces a run is jointed from.

    `run` is the number of the run in the job, from 0; `units` what its figures are read in.
    """

    run: int
    solved: SolvedRun
    plan: Plan
    units: Units = MM
    ways_out: tuple[WayOut, ...] = ()
    """What to draw otherwise, where no order of pulls works."""

    @property
    def name(self) -> str:
        """The name of the run or piece."""
        return self.solved.name

    @cached_property
    def cards(self) -> tuple[Card, ...]:
        """What the hands do, one card for each pull, in the order of the plan."""
        return cards_of(self.solved, self.plan)

    @cached_property
    def figures(self) -> RunText:
        """Its figures as people read them, so rounded that they add up."""
        return run_text(self.solved, self.plan, self.units)

    @cached_property
    def pull_drawings(self) -> "tuple[PullPictures, ...]":
        """The piece before and after each pull, one drawing for each card; every document shows the same."""
        from pipemodel.drawing.pull_drawing import pull_pictures  # no need of it for text

        return tuple(pull_pictures(self.solved, card, self.units) for card in self.cards)


def pieces_of(runs: Sequence[Piece], cutting: "Cutting") -> tuple[Piece, ...]:
    """Return what is bent for each run, in order: the run itself, or its pieces where it has to be jointed."""
    pieces: list[Piece] = []
    for number, whole in enumerate(runs):
        if (split := jointed(cutting, number)) is not None:
            pieces += (Piece(whole.run, *each, whole.units) for each in zip(split.pieces, split.plans, strict=True))
        else:
            pieces.append(whole)
    return tuple(pieces)


def jointed(cutting: "Cutting", number: int) -> "Split | None":
    """Return the pieces and joints of a run, by its number from 0; None for one that is bent in one piece."""
    split = cutting.runs[number]
    return split if split.joints else None
