"""Some neighbouring bends of a run on their own: where they cannot be bent, the whole run cannot.

Of an order that works for the whole run, the pulls of some neighbouring bends are an order that works for these: what
else is bent only leaves them less straight, and takes no tube out of the way that is theirs. So a few bends that stand
in each other's way are found, and proven to, without trying every order of a long run.
"""

from dataclasses import dataclass
from functools import cached_property

from pipemodel.messages.values import Message
from pipemodel.pulls.bend_by_bend import AnyOrder, any_order
from pipemodel.pulls.hindrance import leg_called, place_called
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.order import Task
from pipemodel.pulls.piece import PieceToBend
from pipemodel.trade.benders import Bender

MOST_BENDS = 6
"""No more neighbouring bends than this are looked at on their own: the orders to try double with every bend."""


@dataclass(frozen=True)
class Window:
    """`count` neighbouring bends of a piece from bend `first` (from 0) on, with the legs on either side of them.

    Bends, legs and sets of bends made are counted within the window.
    """

    whole: PieceToBend
    first: int
    count: int

    @property
    def all(self) -> bool:
        """Whether it holds every bend of the piece."""
        return self.count == len(self.whole.bends)

    @cached_property
    def piece(self) -> PieceToBend:
        """The tube of the window, from the bend before it to the bend after it."""
        return self.whole.between(self.first, self.first + self.count)

    def allow(self, bend: int, held: int, made: int) -> bool:
        """Tell whether the former's limits allow a pull, no bend outside the window being made."""
        return self.whole.limits.allow(bend + self.first, held, made << self.first)

    def lengthened(self, leg: int, more: float) -> "Window":
        """Return the window with one leg `more` mm longer."""
        return Window(self.whole.lengthened(leg + self.first, more), self.first, self.count)

    def search(self, clearance: Clearance, effort: int) -> AnyOrder:
        """Search for any order at all of its bends; `clearance` is what the window's piece asks."""
        piece = self.piece
        return any_order(Task(piece.sides_up(), piece.swinging_kg(), self.allow, clearance.allowed), effort)

    def number(self, bend: int) -> int:
        """Return the number of a bend in its run."""
        return bend + self.first + 1

    def leg_called(self, leg: int) -> Message:
        """Return what a leg is called in its run."""
        return leg_called(leg + self.first, len(self.whole.bends))

    def flat_mm(self, flat: float) -> float:
        """Return where a place of the window lies on the whole flat tube."""
        return flat + (self.whole.tube.finishes[self.first - 1] if self.first else 0.0)

    def place_called(self, flat: float) -> Message:
        """Return what lies at a place of the window's flat tube."""
        return place_called(self.whole.tube, self.flat_mm(flat))


def blocked_window(piece: PieceToBend, bender: Bender | None, effort: int) -> Window | None:
    """Return the fewest neighbouring bends, less than all, that no order can bend on their own; None without any."""
    for count in range(1, min(len(piece.bends) - 1, MOST_BENDS) + 1):
        for first in range(len(piece.bends) - count + 1):
            window = Window(piece, first, count)
            end = window.search(Clearance(window.piece, bender), effort)
            if end.steps is None and end.complete:
                return window
    return None
