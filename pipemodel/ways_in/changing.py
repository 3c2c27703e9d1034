"""A piece that changes its shape where it is held, sprung and let go, or bent on: what stays clear meanwhile.

What moves is what lies beyond a bend; the rest stays where it is, and is not asked about here.
"""

from collections.abc import Callable
from copy import copy

import numpy as np

from pipemodel.geometry.centreline import Centreline, cut_out
from pipemodel.ways_in.judge import SLACK_MM, Judge
from pipemodel.ways_in.judge_room import piece_of, work_for
from pipemodel.ways_in.turning import array_of
from pipemodel.ways_in.values import End, Pose

CLOSEST_MM, MOST = 0.02, 3000
"""Shapes between are judged no closer together than what moves anything so far, and no more of them."""
FREE_MM = 10.0
"""What is clear by so much beyond the margin is not measured more closely."""


class Changing:
    """Judges what moves of a piece while its shape changes.

    Args:
        judge: of the piece, among the things that it keeps off.
        line_of: the axis of the piece with a share of the change made, 0 to 1, as it would lie in its place.
        end: at which end it changes.
        moving_mm: how much of the piece at that end moves.
        travel_mm: what no point goes farther than in all of the change; in a share of it, no more than that share.
    """

    def __init__(
        self, judge: Judge, line_of: Callable[[float], Centreline], end: End, moving_mm: float, travel_mm: float
    ) -> None:
        self.judge, self.line_of, self.end = judge, line_of, end
        self.moving_mm, self.travel_mm = moving_mm, travel_mm
        self.judges: dict[float, Judge] = {}

    def least(self, pose: Pose, close_mm: float) -> float | None:
        """Return what stays clear all the while, never too much; None where that is less than the margin.

        Measured to about `close_mm`; infinite where only a yes or no is asked for.
        """
        margin = self.judge.margin_mm
        open_ = [(0.0, 1.0, self._clear(pose, 0.0), self._clear(pose, 1.0))]
        least = np.inf
        while open_:
            low, high, a, b = open_.pop()
            if min(a, b) < margin - SLACK_MM:
                return None
            moves = self.travel_mm * (high - low)
            floor = 0.5 * (a + b - moves)
            if floor >= margin + FREE_MM or (floor >= margin - SLACK_MM and moves <= 2.0 * close_mm):
                least = min(least, floor)
                continue
            if moves < CLOSEST_MM or len(self.judges) > MOST:
                return None
            middle = 0.5 * (low + high)
            c = self._clear(pose, middle)
            open_ += [(low, middle, a, c), (middle, high, c, b)]
        return float(least)

    def _clear(self, pose: Pose, share: float) -> float:
        judge = self.judges.get(share)
        if judge is None:
            line = self.line_of(share)
            far = max(line.length - self.moving_mm, 0.0)
            moving = cut_out(line, far, line.length) if self.end == "finish" else cut_out(line, 0.0, line.length - far)
            judge = self.judges[share] = of_piece(self.judge, moving)
        # What is clear by more than that is not measured more closely.
        return judge.clearance(array_of(pose, judge.middle), FREE_MM + self.travel_mm)[0]

    @property
    def tried(self) -> int:
        """How many placements were judged."""
        return sum(judge.tried for judge in self.judges.values())


def of_piece(judge: Judge, line: Centreline) -> Judge:
    """Return a judge of another piece in the same room, which is not laid out again."""
    other = copy(judge)
    other.line, other.tried = line, 0
    other.piece, other.middle = piece_of(line, 2.0 * judge.tube_mm)
    other.work = work_for(other.piece, other.room)
    other.home = np.concatenate([other.middle, [1.0, 0.0, 0.0, 0.0]])
    other.tube_mm, other.length_mm, other.reach_mm = other.piece[1].tolist()
    return other
