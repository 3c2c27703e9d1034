"""What stands in the way of a pull, beyond the former's own limits: the piece itself, and a bender if it has one."""

from pipemodel.pulls.clear_of_itself import Itself
from pipemodel.pulls.order import Allowed, Touch
from pipemodel.pulls.piece import PieceToBend
from pipemodel.trade.benders import Bender


class Clearance:
    """One piece, in its bender if it has one: answers for every bend, way of holding and set of bends made."""

    def __init__(self, piece: PieceToBend, bender: Bender | None) -> None:
        self._itself = Itself(piece)
        self._in_bender = None
        if bender is not None:
            from pipemodel.pulls.clear_of_bender import InBender  # numpy, which a plan without a bender never loads

            self._in_bender = InBender(piece, bender)

    @property
    def allowed(self) -> Allowed | None:
        """What is clear, as a search asks for it; None where nothing can ever be in the way."""
        return None if self._in_bender is None and self._itself.always_clear else self.clear

    def clear(self, bend: int, held: int, made: int) -> bool:
        """Tell whether bend (counted from 0) can be pulled with the bends `made` there, as far as room goes."""
        if self._in_bender is not None and not self._in_bender.clear(bend, held, made):
            return False
        return self._itself.clear(bend, held, made)

    def touch(self, bend: int, held: int, made: int) -> Touch | None:
        """Return the deepest touch of a pull, None when it is clear."""
        touches = [self._itself.touch(bend, held, made)]
        if self._in_bender is not None:
            touches.append(self._in_bender.touch(bend, held, made))
        return max((t for t in touches if t is not None), key=lambda t: t.depth_mm, default=None)

    def finished(self) -> Touch | None:
        """Return where the finished piece runs into itself, which no order of pulls helps; None when it does not."""
        return self._itself.finished()
