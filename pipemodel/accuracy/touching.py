"""The chance that a run touches something, from pieces simulated and measured exactly.

Only pieces that can reach it are measured: how far any place of a piece is off where it is drawn has a bound, and what
is farther from the run as drawn is not touched.
"""

from math import radians

import numpy as np

from pipemodel.accuracy.simulate import Pieces
from pipemodel.accuracy.values import Chance
from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Floats, Ints
from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance import Surroundings, distances_between_runs
from pipemodel.geometry.shapes import Shape

TOUCH_MM = 1e-6
"""Tubes that only just touch by what rounding does are clear."""
TRIED = 1_000
"""Of the pieces simulated so many are held against the things near them."""
TRIED_BETWEEN_RUNS = 200


def reach(solved: SolvedRun, pieces: Pieces) -> Floats:
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


def centreline_of_piece(solved: SolvedRun, pieces: Pieces, number: int) -> Centreline:
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

    def __init__(self, solved: SolvedRun, pieces: Pieces) -> None:
        self.solved = solved
        self.pieces = pieces
        self.reach = reach(solved, pieces)
        self.count = min(TRIED, pieces.count)
        self._lines: dict[int, Centreline] = {}

    def line(self, number: int) -> Centreline:
        """Return the axis of a piece."""
        if number not in self._lines:
            self._lines[number] = centreline_of_piece(self.solved, self.pieces, number)
        return self._lines[number]

    def near(self, distance_mm: float, off_mm: Floats) -> Ints:
        """Return which pieces can touch what is so far off the run as drawn, itself nearer by `off_mm`, (N,)."""
        out: Ints = np.flatnonzero(self.reach[: self.count] + off_mm[: self.count] >= distance_mm)
        return out


def chance_of_thing(tried: Tried, shape: Shape, distance_mm: float, off_mm: Floats) -> Chance:
    """Return the chance that a run touches a thing.

    Args:
        tried: its pieces.
        shape: the thing.
        distance_mm: how far apart they are as drawn.
        off_mm: how much nearer the thing is than drawn, for each piece; (N,), zeros where it stands where it is drawn.

    Where no piece at all could reach it, the pieces tried are all that were simulated.
    """
    if not (tried.reach + off_mm >= distance_mm).any():
        return Chance(0, tried.pieces.count)
    near = tried.near(distance_mm, off_mm)
    lines = [tried.line(i) for i in near.tolist()]
    outside, around = [tried.solved.tube.outside_mm] * len(lines), Surroundings([shape])
    if not off_mm.any():
        return Chance(around.clear(lines, outside).count(False), tried.count)
    rows = around.within(lines, outside, max(float(off_mm[near].max(initial=0.0)), 0.0))
    hits = sum(0 in row and row[0].distance - off_mm[i] < -TOUCH_MM for i, row in zip(near.tolist(), rows, strict=True))
    return Chance(hits, tried.count)


def chance_of_run(tried: Tried, other: Tried, distance_mm: float) -> Chance:
    """Return the chance that two runs touch, both bent by the same hands; see `chance_of_thing`."""
    both = tried.reach + other.reach
    if not (both >= distance_mm).any():
        return Chance(0, tried.pieces.count)
    count = min(TRIED_BETWEEN_RUNS, len(both))
    near = np.flatnonzero(both[:count] >= distance_mm).tolist()
    outside, its = tried.solved.tube.outside_mm, other.solved.tube.outside_mm
    hits = 0
    for i in near:
        apart = distances_between_runs([tried.line(i), other.line(i)], [outside, its], 0.0)
        hits += any(pair.from_first.distance < -TOUCH_MM for pair in apart)
    return Chance(hits, count)
