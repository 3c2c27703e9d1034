"""Many pieces as imperfect hands bend them, all at once: each bent up by its own figures, nothing made linear."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from hashlib import sha256
from math import radians
from typing import NamedTuple

import numpy as np

from pipemodel.accuracy.errors import Errors
from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.geometry.arrays import Floats

ROLLS = 6
"""So often a jointed piece is rolled on to where its finish lands best."""
ROLL_COSTS_MM = 50.0
"""A roll of a radian counts as much as so many mm that the finish is off, so that no joint is rolled far for little; a
choice of this program."""


@dataclass(frozen=True, eq=False)
class BentPieces:
    """Pieces of n bends, N of them; mm and radians.

    `starts`, `angles` and `turns`, (n, N), are their figures. `arc_starts`, (n, 3, N), say where in the
    room their bends begin, `leg_ways` which way the legs before them go, and `finish`, (3, N), where their
    finish lies.
    """

    starts: Floats
    angles: Floats
    turns: Floats
    arc_starts: Floats
    leg_ways: Floats
    finish: Floats

    @property
    def count(self) -> int:
        """How many there are."""
        return int(self.finish.shape[1])

    def deviations(self, table: BendTable) -> Floats:
        """Return how far their figures are off those of a table: starts, mm, angles and turns, radians; (3 n, N)."""
        return np.concatenate([self.starts, self.angles, self.turns]) - _figures(table)


def seed_of(table: BendTable, errors: Errors) -> int:
    """Return the seed of the random figures, made of nothing but the piece and the hands: the same job, same answer.

    Plans of pulls do not change it, so that they can be held against each other.
    """
    said = repr((table, errors.sd.tolist()))
    return int.from_bytes(sha256(said.encode()).digest()[:8], "big")


def simulate(table: BendTable, errors: Errors, count: int) -> BentPieces:
    """Bend `count` pieces, each with errors of its own, normal and independent."""
    random = np.random.default_rng(seed_of(table, errors))
    drawn = random.standard_normal((3 * errors.bends, count))
    made = errors.to_turns @ (drawn * errors.sd[:, None])
    return rolled_to_fit(table, made, errors.rolled) if errors.rolled else bent(table, made)


def rolled_to_fit(table: BendTable, deviations: Floats, rolled: Sequence[int]) -> BentPieces:
    """Bend pieces that are jointed, and roll what follows each joint to where the finish lands nearest; see `bent`.

    The squares of how far the finish is off and of what the rolls cost are made least, by Gauss and Newton's steps.

    Args:
        table: the bends as they should be.
        deviations: as for `bent`.
        rolled: the bends, from 0, before which a joint is.
    """
    n, made, rolls = len(table.bends), deviations.copy(), np.zeros((len(rolled), deviations.shape[1]))
    place = np.array(centreline_of(table).finish)[:, None]
    cost = ROLL_COSTS_MM**2
    for _ in range(ROLLS):
        pieces = bent(table, made)
        ways = np.array([_moved_by_roll(pieces, i) for i in rolled])
        square = np.einsum("aik,bik->kab", ways, ways) + cost * np.eye(len(rolled))
        pull = np.einsum("aik,ik->ka", ways, pieces.finish - place) + cost * rolls.T
        step = np.linalg.solve(square, pull[..., None])[..., 0].T
        rolls -= step
        made[[2 * n + i for i in rolled]] -= step
    return bent(table, made)


def _moved_by_roll(pieces: BentPieces, bend: int) -> Floats:
    """Return how finishes move with a roll about the leg before a bend; (3, N), mm per radian."""
    out: Floats = np.cross(pieces.leg_ways[bend], pieces.finish - pieces.arc_starts[bend], axis=0)
    return out


def bent(table: BendTable, deviations: Floats) -> BentPieces:
    """Bend pieces that deviate from a table.

    Args:
        table: the bends as they should be.
        deviations: of starts, mm, then angles, then turns, radians; (3 n, N).

    A leg that errors make shorter than nothing counts as one of less than no length.
    """
    n, count = len(table.bends), deviations.shape[1]
    starts, angles, turns = (deviations + _figures(table)).reshape(3, n, count)
    arc_starts, leg_ways = np.empty((2, n, 3, count))
    for i, (begin, end) in enumerate(laid(table, starts, angles, turns)):
        arc_starts[i], leg_ways[i] = begin.here, begin.ahead
        here, ahead = end.here, end.ahead
    if not n:
        here, ahead = (np.repeat(np.array(v)[:, None], count, axis=1) for v in (table.start, table.direction))
    done = starts[-1] + table.bends[-1].radius_mm * angles[-1] if n else 0.0
    return BentPieces(starts, angles, turns, arc_starts, leg_ways, here + (table.length_mm - done) * ahead)


class Laid(NamedTuple):
    """Where the axes of N pieces are at one place, the way they go, and the way to the centre of the bend; (3, N)."""

    here: Floats
    ahead: Floats
    left: Floats


def laid(table: BendTable, starts: Floats, angles: Floats, turns: Floats) -> Iterator[tuple[Laid, Laid]]:
    """Yield for each bend where it begins and where it ends.

    Args:
        table: where the pieces start, and the radii.
        starts: (n, N), mm.
        angles: (n, N), radians.
        turns: (n, N), radians; that of the first is how far its plane is rolled from the table's.
    """
    count = starts.shape[1]
    here, ahead, left, normal = (
        np.repeat(np.array(v)[:, None], count, axis=1)
        for v in (table.start, table.direction, np.cross(table.normal, table.direction), table.normal)
    )
    done = np.zeros(count)
    for i, bend in enumerate(table.bends):
        c, s = np.cos(turns[i]), np.sin(turns[i])
        left, normal = c * left + s * normal, c * normal - s * left
        begin = Laid(here + (starts[i] - done) * ahead, ahead, left)
        end = along_arc(begin, bend.radius_mm, angles[i])
        yield begin, end
        here, ahead, left = end
        done = starts[i] + bend.radius_mm * angles[i]


def along_arc(begin: Laid, radius_mm: float, angle: Floats) -> Laid:
    """Return where the axes are so many radians along a bend; (N,)."""
    c, s = np.cos(angle), np.sin(angle)
    # Square to the tube, towards the centre, lies `left`: normal x ahead.
    here = begin.here + radius_mm * (s * begin.ahead + (1.0 - c) * begin.left)
    return Laid(here, c * begin.ahead + s * begin.left, c * begin.left - s * begin.ahead)


def _figures(table: BendTable) -> Floats:
    """Return starts, mm, angles and turns, radians, of a table's bends; (3 n, 1)."""
    rows = [(b.start_mm, radians(b.angle_deg), radians(b.turn_deg)) for b in table.bends]
    return np.array(rows).reshape(-1, 3).T.reshape(-1, 1)
