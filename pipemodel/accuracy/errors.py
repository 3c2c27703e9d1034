"""The errors of the hands, and what each does to the bends of one piece.

Each mark, each bend's angle and each roll has an error of its own, independent of all others. What it does to the bends
follows the plan of pulls; without a plan the bends are made in the order of their numbers, held by the start side.

- Held by the start side, a bend begins where its mark says. Held by the finish side, it ends where its mark says: bent
  too far by a, it begins R a earlier.
- The tube is rolled from the plane of the bend pulled before. In number order each error of a roll goes into one turn,
  in another order into the turns on both sides of a bend.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import radians
from typing import Literal, NamedTuple, TypeAlias

import numpy as np

from pipemodel.bending.bends import Bend
from pipemodel.geometry.arrays import Floats
from pipemodel.job.model import Hands
from pipemodel.pulls.plan import Pull

What: TypeAlias = Literal["mark", "angle", "turn"]
WHATS: tuple[What, ...] = ("mark", "angle", "turn")


class Source(NamedTuple):
    """One thing the hands do: at which bend, and what."""

    bend: int
    what: What


@dataclass(frozen=True, eq=False)
class Errors:
    """The sources of error of a piece of n bends, and what one unit of each does to its bends.

    `deviations` is `(starts, angles, planes) = spread @ sources`, shape (3 n, 3 n): where each bend begins, mm; its
    angle, radians; how far its plane is rolled from where it should be, radians, clockwise seen from the start end.
    `sd` holds the standard deviations of the sources, mm or radians, (3 n,).
    """

    sources: tuple[Source, ...]
    sd: Floats
    spread: Floats

    @property
    def bends(self) -> int:
        """How many bends there are."""
        return len(self.sources) // 3

    @property
    def to_turns(self) -> Floats:
        """What one unit of each source does to starts, angles and turns; (3 n, 3 n), mm and radians.

        The turn of a bend is its plane's less that of the bend before; that of the first is 0, since it lies as drawn.
        """
        n = self.bends
        out = self.spread.copy()
        out[2 * n + 1 :] -= self.spread[2 * n : -1]
        out[2 * n : 2 * n + 1] = 0.0
        return out


def errors_of(bends: Sequence[Bend], pulls: Sequence[Pull], hands: Hands) -> Errors:
    """Return the errors of a piece.

    Args:
        bends: its bends, by number.
        pulls: the pulls in their order; none for number order, held by the start side.
        hands: how well they are made.
    """
    n = len(bends)
    sources = tuple(Source(bend.number, what) for what in WHATS for bend in bends)
    place = {bend.number: i for i, bend in enumerate(bends)}
    steps = [(place[pull.bend], pull.held) for pull in pulls] or [(i, "start") for i in range(n)]
    spread = np.eye(3 * n)
    spread[2 * n :] = 0.0
    before: int | None = None
    for i, held in steps:
        if held == "finish":
            spread[i, n + i] = -bends[i].radius_mm
        if before is not None:
            spread[2 * n + i] = spread[2 * n + before]
            spread[2 * n + i, 2 * n + i] = 1.0
        before = i
    sd = np.repeat([hands.mark_mm, radians(hands.angle_deg), radians(hands.turn_deg)], n)
    return Errors(sources, sd, spread)
