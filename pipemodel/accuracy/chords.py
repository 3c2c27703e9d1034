"""The axes of many pieces as chords: straights whole, bends in short parts, with how far an arc stands off its chord.

What errors would make shorter than nothing counts as of no length: a tube that lies in the room has no less.
"""

from dataclasses import dataclass, replace
from math import acos, ceil, radians

import numpy as np

from pipemodel.accuracy.simulate import BentPieces, along_arc, laid
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Bools, Floats, Ints

ARC_OFF_MM = 0.15
"""A drawn bend is divided so that it stands no farther off its chords than this."""
MOST_PARTS = 90
CLEAR_OF_END = 1.5
"""So many radii of the tube from its end, a ball as wide as the tube lies within it; the end legs are divided a little
farther on."""


@dataclass(frozen=True, eq=False)
class Chords:
    """The k chords of N pieces of a run, in order along the tube; mm.

    `points`, (k + 1, 3, N), are their ends and `at`, (k + 1, N), where those are along the tube; `arc_off`, (k, N), is
    how far at most the axis stands off each. `drawn`, (k + 1, 3), are the ends in the run as drawn. `starts`, `angles`
    and `turns`, (n, N), are the bends, mm and radians.
    """

    points: Floats
    at: Floats
    arc_off: Floats
    drawn: Floats
    radius_mm: float
    """Of the tube's outside."""
    starts: Floats
    angles: Floats
    turns: Floats
    moved: Floats
    """How far each piece as a whole is from where it is drawn, its start not being where it was measured; (3, N)."""

    @property
    def count(self) -> int:
        """How many pieces there are."""
        return int(self.points.shape[2])

    @property
    def reach(self) -> Floats:
        """How far at most any place of each chord is from its place as drawn; (k, N).

        A place is as far along its chord as drawn, so it is off by no more than the one or the other end.
        """
        off = np.sqrt(((self.points - self.drawn[:, :, None]) ** 2).sum(axis=1))
        out: Floats = np.maximum(off[:-1], off[1:])
        return out

    def place(self, chord: Ints, piece: Ints, share: Floats) -> tuple[Floats, Floats]:
        """Return places on chords, (m, 3), and where they are along the tube, (m,); `share` goes from 0 to 1."""
        one, two = self.points[chord, :, piece], self.points[chord + 1, :, piece]
        here, there = self.at[chord, piece], self.at[chord + 1, piece]
        return one + share[:, None] * (two - one), here + share * (there - here)

    def inner(self, at: Floats, piece: Ints) -> Bools:
        """Tell which places along the tube are so far from its ends that a ball as wide as the tube lies within it."""
        clear = CLEAR_OF_END * self.radius_mm
        out: Bools = (at >= clear) & (at <= self.at[-1, piece] - clear)
        return out

    def first(self, count: int) -> "Chords":
        """Return the first of the pieces only."""
        if count >= self.count:
            return self
        return replace(
            self,
            points=self.points[..., :count],
            at=self.at[:, :count],
            arc_off=self.arc_off[:, :count],
            starts=self.starts[:, :count],
            angles=self.angles[:, :count],
            turns=self.turns[:, :count],
            moved=self.moved[:, :count],
        )


def chords_of(solved: SolvedRun, pieces: BentPieces, count: int, moved: Floats | None = None) -> Chords:
    """Return the chords of the first `count` pieces of a run.

    Args:
        solved: the run.
        pieces: its pieces.
        count: how many.
        moved: see `Chords`; None where all start where they are drawn.
    """
    count = min(count, pieces.count)
    table = solved.table
    starts, angles = pieces.starts[:, :count].copy(), np.maximum(pieces.angles[:, :count], 0.0)
    done = np.zeros(count)
    for i, bend in enumerate(table.bends):
        starts[i] = np.maximum(starts[i], done)
        done = starts[i] + bend.radius_mm * angles[i]
    turns = pieces.turns[:, :count]
    rows = [(b.start_mm, radians(b.angle_deg), radians(b.turn_deg)) for b in table.bends]
    right = np.array(rows).reshape(-1, 3).T[:, :, None]
    radius = solved.tube.outside_mm / 2.0
    drawn, _, _ = _chords(solved, right[0], right[1], right[2], radius)
    points, at, off = _chords(solved, starts, angles, turns, radius)
    away = np.zeros((3, count)) if moved is None else moved[:, :count]
    return Chords(points + away, at, off, drawn[:, :, 0], radius, starts, angles, turns, away)


def _chords(
    solved: SolvedRun, starts: Floats, angles: Floats, turns: Floats, radius: float
) -> tuple[Floats, Floats, Floats]:
    """Return the ends of the chords, where they are along the tube, and how far the axis stands off each chord."""
    table = solved.table
    count = starts.shape[1]
    here = np.repeat(np.array(table.start)[:, None], count, axis=1)
    points, at, off = [here], [np.zeros(count)], []
    way = np.array(table.direction)[:, None]
    for i, (begin, _) in enumerate(laid(table, starts, angles, turns)):
        bend = table.bends[i]
        points.append(begin.here)
        at.append(starts[i])
        off.append(np.zeros(count))
        parts = _parts(bend.radius_mm, radians(bend.angle_deg))
        for part in range(1, parts + 1):
            turned = angles[i] * (part / parts)
            reached = along_arc(begin, bend.radius_mm, turned)
            points.append(reached.here)
            at.append(starts[i] + bend.radius_mm * turned)
            off.append(bend.radius_mm * (1.0 - np.cos(angles[i] / (2.0 * parts))))
        way = reached.ahead
    left = np.maximum(table.length_mm - at[-1], 0.0)
    points.append(points[-1] + left * way)
    at.append(at[-1] + left)
    off.append(np.zeros(count))
    # The end legs are divided near the tube's ends, at the same share of each piece.
    stub = 1.1 * CLEAR_OF_END * radius
    first, last = table.bends[0].straight_before_mm if table.bends else table.length_mm, table.straight_after_mm
    for k, leg, share in ((len(points) - 2, last, 1.0 - stub / max(last, stub)), (0, first, stub / max(first, stub))):
        if leg > 2.0 * stub:
            points.insert(k + 1, points[k] + share * (points[k + 1] - points[k]))
            at.insert(k + 1, at[k] + share * (at[k + 1] - at[k]))
            off.insert(k, np.zeros(count))
    return np.array(points), np.array(at), np.array(off)


def _parts(radius_mm: float, angle: float) -> int:
    """Return into how many parts a bend is divided."""
    if radius_mm <= ARC_OFF_MM:
        return 1
    return min(max(ceil(angle / (2.0 * acos(1.0 - ARC_OFF_MM / radius_mm))), 1), MOST_PARTS)
