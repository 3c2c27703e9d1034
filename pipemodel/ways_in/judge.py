"""The judge: is a piece clear of everything where it is held, and how far may it be moved from there.

The exact distances of `geometry.distance` are the truth; the compiled judge gives bounds from below that close in on
them (`judge_kernel`). `tried` counts the placements that were judged, by which a search is bounded.
"""

from collections.abc import Sequence
from copy import copy
from typing import NamedTuple

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints
from pipemodel.geometry.centreline import Centreline
from pipemodel.ways_in.judge_kernel import REST, advance, between, clear_by, clear_many, least_along
from pipemodel.ways_in.judge_room import Obstacle, Room, names_by_row, piece_of, room_of, work_for
from pipemodel.ways_in.near_rows import NearRows

SLACK_MM = 0.001
"""Clearance missed by less than this is kept: what lies on a face could not leave it otherwise."""
CREEP_MM = 0.4
"""While searching, a move stops where it could go on only by less than this at a time, but for one that begins so."""
STEPS = 60
"""While searching, a move is judged at no more places than this."""
CLOSEST_MM, MOST_STEPS = 0.01, 2000
"""The same for a move that is worth patience."""
CLOSE_MM = 0.05
"""How closely the least clearance along a way is measured."""


class Came(NamedTuple):
    """How far a move came, 0 to 1, and the name of what stopped it, "" for nothing."""

    share: float
    stopped_by: str


class Judge:
    """Judges one piece among the things it must keep off.

    Args:
        line: the axis of the finished run in its place.
        outside_mm: the outside diameter of the tube.
        obstacles: what it must keep off.
        margin_mm: by how much.
    """

    def __init__(self, line: Centreline, outside_mm: float, obstacles: Sequence[Obstacle], margin_mm: float) -> None:
        self.line = line
        self.margin_mm = margin_mm
        self.room = room_of(obstacles)
        self.names = names_by_row(self.room, obstacles)
        self.near = NearRows(self.room, obstacles)
        self.piece, self.middle = piece_of(line, outside_mm)
        self.work = work_for(self.piece, self.room)
        self.home: Floats = np.concatenate([self.middle, [1.0, 0.0, 0.0, 0.0]])
        self.tube_mm: float
        self.length_mm: float
        self.reach_mm: float
        self.tube_mm, self.length_mm, self.reach_mm = self.piece[1].tolist()
        self.tried = 0
        self.stopped = False
        """Whether whoever waits has stopped what goes on with it, by the keyboard."""
        self._margin = margin_mm - SLACK_MM

    def clear(self, poses: Floats) -> Bools:
        """Tell of each pose, (n, 7), whether the piece is clear by the margin."""
        self.tried += len(poses)
        # In one order in memory: of any other the judge would be compiled once more.
        poses = np.ascontiguousarray(poses)
        out: Bools = np.zeros(len(poses), dtype=np.bool_)
        cell = self.near.cells(poses[:, :3])
        for number in range(int(cell.max(initial=-1)) + 1):
            some = np.flatnonzero(cell == number)
            room, _ = self.near.around(poses[some, :3].tolist(), self._size_mm)
            out[some] = clear_many(room, self.piece, self.work, poses[some], self._margin, REST)
        return out

    def clearance(self, pose: Floats, most_mm: float = 1e6) -> tuple[float, str]:
        """Return how far the piece is from what is nearest, to a thousandth, and the name of that.

        No more than the margin and `most_mm`; below the margin it only says that it is nearer.
        """
        self.tried += 1
        free, row = clear_by(self.room, self.piece, self.work, pose, self._margin, most_mm, 1.0, 0.001, REST)
        return free + self._margin, self.names.get(row, "")

    def advance(self, a: Floats, b: Floats) -> Came:
        """Move the piece from one pose towards another, its middle straight, as far as it stays clear.

        For a search: a move that would have to creep along something is given up.
        """
        room, _ = self.near.around((a[:3].tolist(),), self._size_mm + 2.0 * CREEP_MM)
        free, _ = clear_by(room, self.piece, self.work, a, self._margin, 2.0 * CREEP_MM, 0.5, 0.0, REST)
        return self._advance(a, b, True, min(CREEP_MM, 0.5 * free), STEPS)

    def creep(self, a: Floats, b: Floats) -> Came:
        """Move as `advance` does, but on where there is hardly any room."""
        return self._advance(a, b, True, CLOSEST_MM, MOST_STEPS)

    def goes(self, a: Floats, b: Floats, centred: bool = False) -> bool:
        """Tell whether the piece stays clear all the way from one state to the next, moved as `WayIn.states` says.

        Or with its middle going straight (`centred`).
        """
        return self._advance(a, b, centred, 0.5 * SLACK_MM, 1 << 40).share >= 1.0

    def _advance(self, a: Floats, b: Floats, centred: bool, shortest: float, steps: int) -> Came:
        a, b = np.ascontiguousarray(a), np.ascontiguousarray(b)
        room, rows = self.room, self.near.all
        if centred:
            # The middle goes straight, and the judge looks ahead as far as any point of the piece still goes.
            turning = between(a, b)[3] * (self.reach_mm + self.tube_mm)
            far = self._size_mm + float(np.linalg.norm(b[:3] - a[:3])) + turning + 2.0 * shortest
            room, rows = self.near.around((a[:3].tolist(), b[:3].tolist()), far)
        share, count, row = advance(
            room, self.piece, self.work, a, b, self.middle, centred, self._margin, shortest, steps
        )
        self.tried += count
        return Came(share, self.names[int(rows[row])] if row >= 0 else "")

    @property
    def _size_mm(self) -> float:
        """How far off its middle a thing is at the most that a piece at rest may be too near to."""
        return self.reach_mm + self.tube_mm + max(self._margin, 0.0) + SLACK_MM + 1e-3

    def keeping(self, more_mm: float) -> "Judge":
        """Return a judge of the same piece and room that keeps off by so much more."""
        out = copy(self)
        out.margin_mm, out._margin, out.tried = self.margin_mm + more_mm, self._margin + more_mm, 0
        return out

    def least_along(self, states: Sequence[Floats], most_mm: float = 1e6) -> tuple[float, str]:
        """Return the least clearance along a way, moved as `WayIn.states` says, and the name of what is nearest there.

        Measured to within `CLOSE_MM`, never too large; below the margin it only says that it is nearer.
        """
        least, name = most_mm, ""
        for a, b in zip(states, states[1:], strict=False):
            room, rows = self._beside(a, b, least)
            least, row, count = least_along(
                room, self.piece, self.work, a, b, self.middle, False, self._margin, least, CLOSE_MM, REST
            )
            self.tried += count
            name = self.names[int(rows[row])] if row >= 0 else name
            if least <= 0.0:
                break
        return least + self._margin, name

    def _beside(self, a: Floats, b: Floats, most_mm: float) -> tuple[Room, Ints]:
        """Return the rows that a move can come nearer to than to anything where it begins, or than so far."""
        here, _ = clear_by(self.room, self.piece, self.work, a, self._margin, most_mm, 1.0, CLOSE_MM, REST)
        turn = between(a, b)[3]
        # The origin of the room goes straight, so that the middle strays from a straight way, and hastens.
        strays = turn * turn * float(np.linalg.norm(self.middle))
        goes = float(np.linalg.norm(b[:3] - a[:3])) + 3.0 * strays + turn * (self.reach_mm + self.tube_mm)
        near = self._size_mm + max(here, 0.0) + goes + 3.0 * CLOSE_MM
        return self.near.around((a[:3].tolist(), b[:3].tolist()), near)
