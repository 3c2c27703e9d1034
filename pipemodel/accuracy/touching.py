"""The chance that a run touches a thing, from pieces simulated and measured.

Only what can be reached is measured: no place of a chord is farther off where it is drawn than its ends are, and what
is farther from it as drawn is not touched. A distance changes no faster than the place it is measured at, so one
measured in the middle of a stretch rules the stretch out, or settles it, or the stretch is halved. Past the ends of the
tube, where a ball as wide as the tube sticks out of it, places on the outside of the tube are measured.
"""

from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

import numpy as np

from pipemodel.accuracy.chords import CLEAR_OF_END, Chords, chords_of
from pipemodel.accuracy.simulate import BentPieces
from pipemodel.accuracy.values import Chance
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Bools, Floats, Ints, lengths, normals_to

TOUCH_MM = 1e-6
"""Tubes that only just touch by what rounding does are clear."""
TRIED = 1_000
"""Of the pieces simulated so many are held against a thing near them, and against another run."""
OF_THINGS, OF_RUNS = (200, 200_000), (100, 50_000)
"""Where many things or runs are near, fewer are tried: so many at the least, so many in all if it can be."""
FINE_MM = 0.02
"""A stretch so short is settled by its middle."""
AT_ONCE = 50_000
"""So many stretches are measured in one go; bounds the memory taken."""
SPOKES, RINGS = 32, 5
"""So closely the outside of the tube is looked at near its ends: places round it, and rings along it."""


class HeldAgainst(NamedTuple):
    """What a run is held against: a thing as it may stand.

    `field` takes places, (m, 3), and the pieces they are on, (m,), and returns their distances, below zero inside.
    `drawn` takes places and returns the distances from the thing as drawn; `nearer`, (N,), bounds how much nearer the
    thing is than that, piece by piece. `convex`: `field` is the exact distance of a convex shape.
    """

    field: Callable[[Floats, Ints], Floats]
    drawn: Callable[[Floats], Floats]
    nearer: Floats
    convex: bool = False


class _Stretches(NamedTuple):
    """Stretches of chords: of which chord and piece, from and to in shares of it, and how long the chord is, mm."""

    chord: Ints
    piece: Ints
    low: Floats
    high: Floats
    length: Floats

    def take(self, which: Ints) -> "_Stretches":
        """Return some of them."""
        return _Stretches(self.chord[which], self.piece[which], self.low[which], self.high[which], self.length[which])


class HeldPieces:
    """The pieces of a run that are held against what is near it."""

    def __init__(self, solved: SolvedRun, pieces: BentPieces, moved: Floats | None = None) -> None:
        self.solved = solved
        self.chords = chords_of(solved, pieces, TRIED, moved)

    @cached_property
    def reach(self) -> Floats:
        """How far at most any place of each chord of each piece is off, tube and all that; (k, N), mm."""
        return self.chords.reach + self.chords.arc_off

    @cached_property
    def farthest(self) -> float:
        """How far at most any place of any of the pieces is off, mm."""
        return float(self.reach.max(initial=0.0))


def chance_of_thing(tried: HeldPieces, near: HeldAgainst, distance_mm: float, count: int = TRIED) -> Chance:
    """Return the chance that a run touches a thing.

    Args:
        tried: the run and its pieces.
        near: the thing.
        distance_mm: how far apart they are as drawn.
        count: how many pieces are tried.
    """
    count = min(count, tried.chords.count)
    nearer = near.nearer[:count]
    if tried.farthest + float(nearer.max(initial=0.0)) < distance_mm:
        return Chance(0, count)
    return Chance(
        int(np.count_nonzero(_touched(tried.chords.first(count), tried.reach[:, :count], near, nearer))), count
    )


def to_try(near: int, fewest: int, in_all: int) -> int:
    """Return how many pieces to try of each of so many pairs that are near."""
    return max(fewest, min(TRIED, in_all // max(near, 1)))


def _touched(chords: Chords, reach: Floats, near: HeldAgainst, nearer: Floats) -> Bools:
    """Tell of each piece whether a thing reaches into it."""
    radius = chords.radius_mm
    middle, half = 0.5 * (chords.drawn[:-1] + chords.drawn[1:]), 0.5 * lengths(np.diff(chords.drawn, axis=0))
    apart = near.drawn(middle) - half - radius
    chord, piece = np.nonzero(apart[:, None] < reach + nearer)
    whole = lengths(chords.points[chord + 1, :, piece] - chords.points[chord, :, piece])
    out, ends = np.zeros(chords.count, dtype=bool), np.zeros(chords.count, dtype=bool)
    # Halves are gone into before other stretches: so memory is bounded however long a leg runs beside a thing.
    waiting = [_Stretches(chord, piece, np.zeros(len(chord)), np.ones(len(chord)), whole)]
    while waiting:
        some = waiting.pop()
        if len(some.chord) > AT_ONCE:
            waiting.append(some.take(np.arange(AT_ONCE, len(some.chord))))
            some = some.take(np.arange(AT_ONCE))
        undecided = np.flatnonzero(~out[some.piece])
        if not len(undecided):
            continue
        chord, piece, low, high, length = some.take(undecided)
        share = 0.5 * (low + high)
        place, at = chords.place(chord, piece, share)
        value = near.field(place, piece) - radius
        off, stretch = chords.arc_off[chord, piece], 0.5 * (high - low) * length
        inner = chords.inner(at, piece)
        fine = stretch <= FINE_MM
        out[piece[inner & (value + np.where(fine, 0.0, off) < -TOUCH_MM)]] = True
        least = value - stretch
        if near.convex:
            # A convex shape's distance along a straight is convex: above each half it lies over the other's secant.
            at_ends = [near.field(chords.place(chord, piece, end)[0], piece) - radius for end in (low, high)]
            least = np.maximum(least, np.minimum(value, 2.0 * value - np.maximum(*at_ends)))
        open_ = (least - off < 0.0) & ~out[piece]
        # A stretch past which only the end may touch: the end is looked at by itself.
        past = open_ & ~inner & ~chords.inner(at - stretch, piece) & ~chords.inner(at + stretch, piece)
        ends[piece[past]] = True
        left = np.flatnonzero(open_ & ~past & ~fine)
        chord, piece, length = np.tile(chord[left], 2), np.tile(piece[left], 2), np.tile(length[left], 2)
        low, high = np.concatenate([low[left], share[left]]), np.concatenate([share[left], high[left]])
        waiting.append(_Stretches(chord, piece, low, high, length))
    ended = np.flatnonzero(ends & ~out)
    if len(ended):
        places, owner = _outside_of_ends(chords, ended)
        out[owner[near.field(places, owner) < -TOUCH_MM]] = True
    return out


def _outside_of_ends(chords: Chords, some: Ints) -> tuple[Floats, Ints]:
    """Return places on the outside of the ends of some pieces, flat ends and all, and the piece of each."""
    found, owner = [], []
    turns = np.arange(SPOKES) * (2.0 * np.pi / SPOKES)
    for end, inner in ((0, 1), (-1, -2)):
        tip = chords.points[end][:, some].T
        inward = chords.points[inner][:, some].T - tip
        long = lengths(inward)
        way = np.where(long[:, None] > 0.0, inward / np.where(long > 0.0, long, 1.0)[:, None], [[1.0, 0.0, 0.0]])
        u = normals_to(way)
        v = np.cross(way, u)
        round_ = np.cos(turns)[:, None, None] * u + np.sin(turns)[:, None, None] * v
        deep = np.minimum(2.0 * CLEAR_OF_END * chords.radius_mm, long)
        spots = [(share * chords.radius_mm, 0.0) for share in np.linspace(0.0, 1.0, RINGS)]
        spots += [(chords.radius_mm, share) for share in np.linspace(0.0, 1.0, RINGS)[1:]]
        for out, along in spots:
            rings = tip + out * round_ + (along * deep)[:, None] * way
            found.append(rings.reshape(-1, 3))
            owner.append(np.tile(some, SPOKES))
    return np.concatenate(found), np.concatenate(owner)
