"""Whether a pull clears the bender: what is already bent, against body, lever, guide, bench and floor, all the way.

The held side and the free side are looked at apart, since each depends only on the bends made on its own side:
for n bends that makes no more than 2^n different sides either way of holding, and each is looked at once.
"""

from math import degrees, radians
from typing import Final, Literal

from pipemodel.pulls.bender_frame import Side, free_side, held_side
from pipemodel.pulls.bender_sweep import NearestPart, PointMotion, Pulling, Solids, SweptAxis, nearest
from pipemodel.pulls.limits import START
from pipemodel.pulls.order import Touch
from pipemodel.pulls.piece import PieceToBend
from pipemodel.trade.benders import Bender

HELD: Final = 0
FREE: Final = 1
"""The two sides of the piece in the bender."""


class InBender:
    """One run in one bender: answers for every bend, way of holding and set of bends made, and remembers them."""

    def __init__(self, piece: PieceToBend, bender: Bender) -> None:
        self._piece = piece
        self._body, self._lever = Solids(bender.body), Solids(bender.lever)
        self._guide, self._room = Solids(bender.guide), Solids(bender.room)
        self._known: dict[tuple[int, int, int, int], Touch | None] = {}

    def clear(self, bend: int, held: int, made: int) -> bool:
        """Tell whether bend (counted from 0) can be pulled with the bends `made` there, as far as room goes."""
        return all(self._first(bend, held, made, side) is None for side in (HELD, FREE))

    def touch(self, bend: int, held: int, made: int) -> Touch | None:
        """Return the deepest touch of a pull, None when it is clear."""
        touches = [t for side in (HELD, FREE) if (t := self._look(bend, held, made, side, deepest=True)) is not None]
        return max(touches, key=lambda t: t.depth_mm, default=None)

    def _first(self, bend: int, held: int, made: int, side: int) -> Touch | None:
        """Return the first touch found on one side; only the bends made on that side matter."""
        towards_start = (side == HELD) == (held == START)
        made = made & ((1 << bend) - 1) if towards_start else made >> (bend + 1) << (bend + 1)
        key = (bend, held, side, made)
        if key not in self._known:
            self._known[key] = self._look(bend, held, made, side)
        return self._known[key]

    def _look(self, bend: int, held: int, made: int, side: int, deepest: bool = False) -> Touch | None:
        bends = self._piece.bends
        piece = (free_side if side == FREE else held_side)(bends, self._piece.tube, bend, held, made)
        path = SweptAxis(piece.pieces)
        to = radians(self._piece.pull_deg(bend))
        # At the end of the pull the bend has taken up its finished arc, whatever the groove's radius is.
        pulling = Pulling(self._piece.outside / 2.0, bends[bend].radius_mm, bends[bend].arc_mm / to, to)
        looks = [(0.0, self._room, PointMotion.SWING if side == FREE else PointMotion.STILL)]
        # Up to half a diameter into the nearest bend the tube still lies as it does in the stop and the guide.
        beyond = piece.straight + self._piece.outside / 2.0
        if piece.bent and side == FREE:
            looks += [
                (beyond, self._guide, PointMotion.STILL),
                (beyond, self._lever, PointMotion.SLIDE),
                (beyond, self._body, PointMotion.SWING),
            ]
        elif piece.bent:
            looks += [(beyond, self._body, PointMotion.STILL), (beyond, self._lever, PointMotion.UNDER_LEVER)]
        worst: Touch | None = None
        for begin, solids, motion in looks:
            found = nearest(path, begin, solids, motion, pulling, deepest)
            if found is not None and (worst is None or -found.distance > worst.depth_mm):
                worst = _touch_of(piece, found, side)
                if not deepest:
                    break
        return worst


def _touch_of(piece: Side, found: NearestPart, side: int) -> Touch:
    flat = piece.flat_from + piece.flat_step * found.s
    name: Literal["held", "free"] = "free" if side == FREE else "held"
    return Touch(name, flat, degrees(found.pull), found.part, max(-found.distance, 0.0))
