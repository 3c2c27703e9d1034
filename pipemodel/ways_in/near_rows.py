"""Which rows of a room a piece can be stopped by where it is held or moves: of thousands, those near by alone."""

from collections.abc import Sequence
from math import floor, inf

import numpy as np

from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.shapes import Shape
from pipemodel.ways_in.judge_room import Obstacle, Room

FEW = 100
"""A room of no more rows is looked through whole."""
CELL_MM = 250.0
"""Rows are kept by the block that they are near, its corners on a grid this wide."""
MOST_KEPT = 4000
"""So many blocks are remembered at a time."""


class NearRows:
    """The rows of a room near a block, in the order they have in the room."""

    def __init__(self, room: Room, obstacles: Sequence[Obstacle]) -> None:
        self.room = room
        self.all: Ints = np.arange(len(room[0]))
        self.low, self.high = (ends[room[3]] for ends in blocks_of([obstacle.what for obstacle in obstacles]))
        self.kept: dict[tuple[int, ...], tuple[Room, Ints]] = {}

    def around(self, points: Sequence[Sequence[float]], reach_mm: float) -> tuple[Room, Ints]:
        """Return the rows within a distance of the block that holds some points, and their numbers in the room."""
        if len(self.all) <= FEW:
            return self.room, self.all
        ends = [(min(own), max(own)) for own in zip(*points, strict=True)]
        low = [floor((a - reach_mm) / CELL_MM) for a, _ in ends[:3]]
        high = [floor((b + reach_mm) / CELL_MM) + 1 for _, b in ends[:3]]
        key = (*low, *high)
        if key not in self.kept:
            if len(self.kept) >= MOST_KEPT:
                self.kept.clear()
            bottom, top = np.array(low) * CELL_MM, np.array(high) * CELL_MM
            rows = np.flatnonzero(np.all((self.low <= top) & (self.high >= bottom), axis=1))
            kinds, data, cuts, owner, block, links, triangles = self.room
            self.kept[key] = (kinds[rows], data[rows], cuts[rows], owner[rows], block, links, triangles), rows
        return self.kept[key]

    def cells(self, centres: Floats) -> Ints:
        """Return the cell of the grid that each point lies in, numbered from 0; all in one where the room is small."""
        if len(self.all) <= FEW or len(centres) < 2:
            return np.zeros(len(centres), dtype=np.int64)
        out: Ints = np.unique(np.floor(centres / CELL_MM), axis=0, return_inverse=True)[1].reshape(-1)
        return out


def blocks_of(things: Sequence[Shape | tuple[Centreline, float]]) -> tuple[Floats, Floats]:
    """Return the low and the high corners, (n, 3), of blocks that hold things; another run is always near."""
    blocks = [thing.bounds() if isinstance(thing, Shape) else () for thing in things]
    held = [np.array(ends) if ends else np.array([[-inf] * 3, [inf] * 3]) for ends in blocks]
    low, high = ([pick(ends, axis=0) for ends in held] for pick in (np.min, np.max))
    return np.array(low).reshape(-1, 3), np.array(high).reshape(-1, 3)
