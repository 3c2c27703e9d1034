"""Where to leave a tail that is cut once the bent piece is held in its place, how long, and what that gains.

Left long at the finish, a piece is cut where it has to end: it is never too long there, and too short only by more than
what was left on. Left long at the start, it is moved along its first leg to where its finish fits best, and its start
is cut to that: forward by no more than what was left on, back as far as the first leg is long.
"""

from typing import NamedTuple

import numpy as np

from pipemodel.accuracy.values import Chance, End, Tail
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Bools, Floats

STEP_MM = 5.0
"""A tail is so many of these."""
MOST_MM = 100.0
"""Nobody leaves more; common practice, no source."""
ENOUGH = 0.005
"""A longer tail that gains less of the pieces is not worth its tube."""
EDGE_MM = 1e-9
"""What rounding does to a finish that lies just where it may."""


class Missed(NamedTuple):
    """By how much N finishes miss, square to the last leg, (3, N), and along it, (N,); and within what they fit, mm.

    `aside`, (3,), and `ahead` are what a millimetre along the first leg does to each; `back` is how far a piece can go
    back.
    """

    sideways: Floats
    along: Floats
    aside: Floats
    ahead: float
    within: float
    within_along: float
    back: float

    def range_of_moves(self, tail_mm: float) -> tuple[Floats, Floats]:
        """Return from where to where each piece may be moved along its first leg, as far as sideways goes, mm.

        Where the first number is the larger, nothing helps.
        """
        w2 = float(self.aside @ self.aside)
        within = self.within + EDGE_MM
        p2 = np.einsum("in,in->n", self.sideways, self.sideways)
        if w2 < 1e-12:
            fits = p2 <= within**2
            return np.where(fits, -self.back, 1.0), np.where(fits, tail_mm, 0.0)
        # |p + c w| <= within, a quadratic in c.
        middle = -(self.aside @ self.sideways) / w2
        root = middle**2 - (p2 - within**2) / w2
        half = np.sqrt(np.maximum(root, 0.0))
        low, high = np.maximum(middle - half, -self.back), np.minimum(middle + half, tail_mm)
        return np.where(root >= 0.0, low, 1.0), np.where(root >= 0.0, high, 0.0)


def tails_of(solved: SolvedRun, off: Floats) -> tuple[Tail, ...]:
    """Return what a tail left at the finish, at the start and at both gains, each as long as is worth it.

    Args:
        solved: the run.
        off: how far finishes are from where they have to be, the start in its place; (3, N), mm.
    """
    missed = missed_by(solved, off)
    out = []
    ends: tuple[End, ...] = ("finish", "start", "both")
    for end in ends:
        long, hits = _least_enough(missed, end, solved.run.ends.trim_mm)
        out.append(Tail(end, long, Chance(hits, off.shape[1])))
    return tuple(out)


def fits(solved: SolvedRun, off: Floats) -> Bools:
    """Tell of each piece whether its finish lies within what is asked for, its start in its place; see `tails_of`."""
    return _fits(missed_by(solved, off), 0.0, solved.run.ends.trim_mm)


def missed_by(solved: SolvedRun, off: Floats) -> Missed:
    """Return by how much finishes miss that are off by (3, N) mm."""
    within = solved.run.ends.finish.within
    legs = solved.centreline.straights
    first, last = np.array(legs[0].direction), np.array(legs[-1].direction)
    along, ahead = last @ off, float(last @ first)
    return Missed(
        off - np.outer(last, along),
        along,
        first - ahead * last,
        ahead,
        within.sideways_mm,
        within.along_mm,
        legs[0].length,
    )


def _least_enough(missed: Missed, end: End, trim_mm: float) -> tuple[float, int]:
    """Return the shortest tail that gains about what any does, and how many pieces fit with it."""

    def hits(steps: int) -> int:
        start = STEP_MM * steps if end != "finish" else 0.0
        finish = trim_mm + (STEP_MM * steps if end != "start" else 0.0)
        return int(np.count_nonzero(_fits(missed, start, finish)))

    # A longer tail never fits fewer pieces.
    short, long = 0, round(MOST_MM / STEP_MM)
    found = hits(long)
    enough = found - ENOUGH * len(missed.along)
    while long - short > 1:
        middle = (short + long) // 2
        if (fitting := hits(middle)) >= enough:
            long, found = middle, fitting
        else:
            short = middle
    return STEP_MM * long, found


def _fits(missed: Missed, start_mm: float, finish_mm: float) -> Bools:
    """Tell which pieces fit with so much left on at the start, and at the finish."""
    far = np.inf if finish_mm > 0.0 else missed.within_along
    if start_mm == 0.0:
        aside = np.linalg.norm(missed.sideways, axis=0)
        low = high = np.zeros(len(aside))
        good = aside <= missed.within + EDGE_MM
    else:
        low, high = missed.range_of_moves(start_mm)
        good = low <= high
    # Along the last leg a piece may be anywhere between what its least and its greatest move give.
    ends = missed.along + low * missed.ahead, missed.along + high * missed.ahead
    least, most = np.minimum(*ends), np.maximum(*ends)
    out: Bools = good & (least <= far + EDGE_MM) & (most >= -missed.within_along - finish_mm - EDGE_MM)
    return out
