"""The errors of the hands, and what each does to the bends of one piece.

Each mark, each bend's angle and each roll has an error of its own, independent of all others. What it does to the bends
follows the plan of pulls; without a plan the bends are made in the order of their numbers, held by the start side.

- Held by the start side, a bend begins where its mark says. Held by the finish side, it ends where its mark says: bent
  too far by a, it begins R a earlier.
- Each turn has an error of its own, as if every bend's plane were set out from that of the bend before it on the tube.
  `by_rolls` takes it as the hands do it where they draw no line along the tube: each plane is set out from the one
  pulled before, so in another order than that of the numbers an error goes into the turns on both sides of a bend.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import radians
from typing import NamedTuple

import numpy as np

from pipemodel.accuracy.values import WHATS, ErrorSource
from pipemodel.bending.bends import Bend
from pipemodel.geometry.arrays import Floats
from pipemodel.job.model import Hands
from pipemodel.pulls.plan import Pull


@dataclass(frozen=True, eq=False)
class Errors:
    """The sources of error of a piece of n bends, and what one unit of each does to its bends.

    `deviations` is `(starts, angles, planes) = spread @ sources`, shape (3 n, 3 n): where each bend begins, mm; its
    angle, radians; how far its plane is rolled from where it should be, radians, clockwise seen from the start end.
    `sd` holds the standard deviations of the sources, mm or radians, (3 n,).
    """

    sources: tuple[ErrorSource, ...]
    sd: Floats
    spread: Floats
    rolled: tuple[int, ...] = ()
    """The bends, from 0, before which a joint is: there what follows is rolled to where its finish lands best, and no
    turn is made by hand."""

    @property
    def bends(self) -> int:
        """How many bends there are."""
        return len(self.sources) // 3

    @property
    def to_turns(self) -> Floats:
        """What one unit of each source does to starts, angles and turns; (3 n, 3 n), mm and radians.

        The turn of a bend is its plane's less that of the bend before; that of the first is 0, since it lies as drawn,
        and that after a joint, since it is none of the hands'.
        """
        n = self.bends
        out = self.spread.copy()
        out[2 * n + 1 :] -= self.spread[2 * n : -1]
        out[[2 * n + i for i in {0, *self.rolled} if n]] = 0.0
        return out


class BentPart(NamedTuple):
    """A part of a run that is bent by itself: its bends from `first` up to `after`, from 0, and its own pulls."""

    first: int
    after: int
    pulls: Sequence[Pull] = ()


def errors_of(
    bends: Sequence[Bend],
    parts: Sequence[BentPart],
    hands: Hands,
    by_rolls: bool = False,
    rolled: tuple[int, ...] = (),
) -> Errors:
    """Return the errors of a run.

    Args:
        bends: its bends, by number.
        parts: those it is bent in, one by default; without pulls in number order, held by the start side.
        hands: how well they are made.
        by_rolls: whether errors of turns go by the order of pulls in place of that of the bends.
        rolled: as in `Errors`.
    """
    n = len(bends)
    sources = tuple(ErrorSource(bend.number, what) for what in WHATS for bend in bends)
    spread = np.eye(3 * n)
    spread[2 * n :] = 0.0
    for part in parts or [BentPart(0, n)]:
        numbers = range(part.first, part.after)
        steps = [(part.first + pull.bend - 1, pull.held) for pull in part.pulls] or [(i, "start") for i in numbers]
        for i, held in steps:
            if held == "finish":
                spread[i, n + i] = -bends[i].radius_mm
        order = [i for i, _ in steps] if by_rolls else list(numbers)
        for before, i in pairwise(order):
            spread[2 * n + i] = spread[2 * n + before]
            spread[2 * n + i, 2 * n + i] = 1.0
    sd = np.repeat([hands.mark_mm, radians(hands.angle_deg), radians(hands.turn_deg)], n)
    return Errors(sources, sd, spread, rolled)
