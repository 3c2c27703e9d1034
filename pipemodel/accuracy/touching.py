"""The chance that a run touches something, from pieces simulated and measured exactly.

Only pieces that can reach it are measured: how far any place of a piece is off where it is drawn has a bound, and what
is farther from the run as drawn is not touched.
"""

from functools import cached_property
from math import radians

import numpy as np

from pipemodel.accuracy.simulate import BentPieces
from pipemodel.accuracy.values import Chance
from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.centreline import Centreline, moved
from pipemodel.geometry.distance import Surroundings, distances_between_runs
from pipemodel.geometry.shapes import Shape
from pipemodel.geometry.vectors import distance

TOUCH_MM = 1e-6
"""Tubes that only just touch by what rounding does are clear."""
TRIED, TRIED_BETWEEN_RUNS = 1_000, 200
"""Of the pieces simulated so many are held against a thing near them, and against another run."""
FEWEST_TRIED, FEWEST_BETWEEN_RUNS = 100, 50
ALL_TRIED, ALL_BETWEEN_RUNS = 60_000, 12_000
"""Where many things or runs are near, fewer are tried, so that it comes to no more than so many, if it can."""


def reach(solved: SolvedRun, pieces: BentPieces) -> Floats:
    """Return how far at most any place of each piece is off where it is drawn; (N,), mm.

    Along a leg its ends are farthest off, for both are straight. A bend is a copy of the drawn one, laid elsewhere,
    begun earlier or later by what the mark is out, and longer or shorter by what the angle is: no place of it is
    farther off than its beginning, with what turning makes of two radii and the tube's own, and with what it is moved.
    """
    table, line = solved.table, solved.centreline
    if not table.bends:
        return np.zeros(pieces.count)
    begin = np.array([arc.start for arc in line.arcs])[:, :, None]
    end = np.array([arc.finish for arc in line.arcs])[:, :, None]
    off = pieces.deviations(table)
    starts, angles, turns = np.abs(off).reshape(3, len(table.bends), -1)
    radii = np.array([bend.radius_mm for bend in table.bends])[:, None]
    places = np.concatenate(
        [
            np.linalg.norm(pieces.arc_starts - begin, axis=1),
            np.linalg.norm(pieces.arc_ends - end, axis=1),
            np.linalg.norm(pieces.finish - np.array(line.finish)[:, None], axis=0)[None],
        ]
    )
    turned = (angles + turns).sum(axis=0)
    out: Floats = (
        places.max(axis=0)
        + (2.0 * starts + 2.0 * radii * angles).max(axis=0)
        + turned * (2.0 * float(radii.max()) + solved.tube.outside_mm / 2.0)
    )
    return out


def centreline_of_piece(solved: SolvedRun, pieces: BentPieces, number: int) -> Centreline:
    """Return the axis of one of the pieces; a leg that its errors leave less than no length has none."""
    bends, done = [], 0.0
    table = solved.table
    for i, bend in enumerate(table.bends):
        start = max(float(pieces.starts[i, number]), done)
        angle = max(float(np.degrees(pieces.angles[i, number])), 0.0)
        turn = float(np.degrees(pieces.turns[i, number]))
        one = bend._replace(start_mm=start, straight_before_mm=start - done, angle_deg=angle, turn_deg=turn)
        bends.append(one._replace(arc_mm=bend.radius_mm * radians(angle)))
        done = bends[-1].finish_mm
    after = max(table.length_mm - done, 0.0)
    return centreline_of(BendTable(table.start, table.direction, table.normal, tuple(bends), after))


class Tried:
    """The pieces of a run that are held against what is near it; their axes are made as they are asked for."""

    def __init__(self, solved: SolvedRun, pieces: BentPieces) -> None:
        self.solved = solved
        self.pieces = pieces
        self.reach = reach(solved, pieces)
        self._lines: dict[int, Centreline] = {}

    def line(self, number: int) -> Centreline:
        """Return the axis of a piece."""
        if number not in self._lines:
            self._lines[number] = centreline_of_piece(self.solved, self.pieces, number)
        return self._lines[number]

    @cached_property
    def farthest(self) -> float:
        """How far at most any place of any of the pieces is off, mm."""
        return float(self.reach.max(initial=0.0))


def to_try(near: int, most: int, fewest: int, in_all: int) -> int:
    """Return how many pieces to try of each of so many pairs that are near."""
    return max(fewest, min(most, in_all // max(near, 1)))


def chance_of_thing(tried: Tried, shape: Shape, distance_mm: float, off_mm: Floats, count: int = TRIED) -> Chance:
    """Return the chance that a run touches a thing.

    Args:
        tried: its pieces.
        shape: the thing.
        distance_mm: how far apart they are as drawn.
        off_mm: how much nearer the thing is than drawn, for each piece; (N,), zeros where it stands where it is drawn.
        count: how many pieces are tried.

    Where no piece at all could reach it, the pieces tried are all that were simulated.
    """
    if not (tried.reach + off_mm >= distance_mm).any():
        return Chance(0, tried.pieces.count)
    count = min(count, tried.pieces.count)
    near: Ints = np.flatnonzero(tried.reach[:count] + off_mm[:count] >= distance_mm)
    lines = [tried.line(i) for i in near.tolist()]
    outside, around = [tried.solved.tube.outside_mm] * len(lines), Surroundings([shape])
    if not off_mm.any():
        return Chance(around.clear(lines, outside).count(False), count)
    rows = around.within(lines, outside, max(float(off_mm[near].max(initial=0.0)), 0.0))
    hits = sum(0 in row and row[0].distance - off_mm[i] < -TOUCH_MM for i, row in zip(near.tolist(), rows, strict=True))
    return Chance(hits, count)


def chance_of_run(tried: Tried, other: Tried, distance_mm: float, count: int = TRIED_BETWEEN_RUNS) -> Chance:
    """Return the chance that two runs touch, both bent by the same hands; see `chance_of_thing`."""
    both = tried.reach + other.reach
    if not (both >= distance_mm).any():
        return Chance(0, tried.pieces.count)
    count = min(count, len(both))
    near = np.flatnonzero(both[:count] >= distance_mm).tolist()
    apart = _far_apart(tried.solved, other.solved)
    # All pairs are measured at once, each laid so far from the others that only its own two can touch.
    lines = [moved(one.line(i), (apart * k, 0.0, 0.0)) for k, i in enumerate(near) for one in (tried, other)]
    outside = [tried.solved.tube.outside_mm, other.solved.tube.outside_mm] * len(near)
    pairs = distances_between_runs(lines, outside, 0.0)
    return Chance(sum(pair.from_first.distance < -TOUCH_MM for pair in pairs), count)


def _far_apart(one: SolvedRun, other: SolvedRun) -> float:
    """Return a length, mm, that is more than any two places of pieces of two runs can be apart."""
    tubes = one.tube.outside_mm + other.tube.outside_mm
    return 2.0 * (one.centreline.length + other.centreline.length + distance(one.start, other.start) + tubes)
