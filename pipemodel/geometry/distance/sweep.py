"""Slide along curves and find where they come nearest to their targets: one-dimensional minima, many at once.

With f(s) the signed distance from the axis point at s to the target, each least value of f gives f minus the
tube's radius. The derivative of f is the cosine between the direction of travel and the direction away from
the target, so it comes free with the distance.

For a convex target the second derivative of f is nowhere below minus the curve's own curvature K, so
f + K s^2 / 2 is convex, and the tangents at both ends of a stretch bound f on it from below. Stretches that
cannot hold anything nearer than what is known are dropped; the others are halved until each holds a minimum,
which is closed in on; what lies on both sides of it is gone through in the same way, down to dips of no account.
A hollow target (a bend of another run) adds its own share to K.
"""

from collections.abc import Callable
from typing import NamedTuple, TypeAlias

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats, Ints, dots, steps
from pipemodel.geometry.distance.closing import CurvePlace, next_place, tangents
from pipemodel.geometry.distance.paths import Paths
from pipemodel.geometry.distance.targets import Least, Pairs
from pipemodel.geometry.shapes.base import Targets

FIRST_STEP = 0.6
"""Widest stretch at the outset, in radians of K s: about 35 degrees of an arc."""
FINE_STEP = 0.15
"""A stretch that holds a minimum is closed in on once it is narrower than this, in radians of K s."""
MISSED_MM = 1e-4
"""Dips shallower than this between two looks are let go."""
AT_ONCE = 500
"""How many pairs are measured in one go; bounds the memory taken, where a rim is equally near all round."""
MOST_STEPS = 100
"""Far more than closing in ever takes."""
EXACT_MM = 1e-9
"""How near its bound from below a value has to be for the search to end."""
LEVEL_ENOUGH = 1e-12
"""A slope this small at the end of a stretch does not mean that the minimum lies within."""
INSIDE = 1e-3
"""So far inside a flat end, in radii of the tube, a thing flush with it and outside is no longer level."""
LEVEL = 1e-6
"""A slope this small is none: the nearest point lies square to the tube."""

Accept: TypeAlias = Callable[[Ints, Floats, Floats], Bools]
"""Given target rows, points and directions away from the targets, say which may count."""


class _Stretches(NamedTuple):
    """Stretches of curves: the pair each belongs to, its two positions, and value and slope at both."""

    pair: Ints
    lo: Floats
    hi: Floats
    flo: Floats
    fhi: Floats
    dlo: Floats
    dhi: Floats

    def take(self, which: Ints | Bools) -> "_Stretches":
        return _Stretches._make(column[which] for column in self)


class Sweep:
    """Curves measured against targets of one kind, the answers kept in `least`.

    `accept` limits what may count; with it, only places square to the tube do.
    """

    def __init__(self, paths: Paths, targets: Targets, least: Least, accept: Accept | None = None) -> None:
        self.paths, self.targets, self.least, self.accept = paths, targets, least, accept

    def run(self, pairs: Pairs) -> None:
        """Measure pairs of curve and target."""
        for begin in range(0, len(pairs), AT_ONCE):
            self._some(pairs.take(np.arange(begin, min(begin + AT_ONCE, len(pairs)))))

    def _some(self, pairs: Pairs) -> None:
        bow = self.paths.curvature[pairs.path] + self.targets.concavity[pairs.target]
        waiting = self._first_look(pairs, bow)
        while len(waiting.pair):
            waiting = self._close_in(pairs, bow, self._narrow(pairs, bow, waiting))

    def _narrow(self, pairs: Pairs, bow: Floats, waiting: _Stretches) -> _Stretches:
        """Halve stretches until each that is worth it surely holds a minimum and is short, and return those."""
        ready: list[_Stretches] = []
        while len(waiting.pair):
            width = waiting.hi - waiting.lo
            k = bow[waiting.pair]
            floor, dip, holds = _floors(waiting, k)
            radius = self.paths.tube[pairs.path[waiting.pair]]
            best = self.least.distance[pairs.key[waiting.pair]]
            worth = floor - radius < best - np.where(holds, EXACT_MM, MISSED_MM)
            fine = (k * width <= FINE_STEP) | (width <= 1e-6)
            ready.append(waiting.take(worth & holds & fine))
            again = worth & np.where(holds, ~fine, dip & (k * width * width > 8.0 * MISSED_MM))
            waiting = self._look_again(pairs, waiting.take(again))
        return _joined(ready)

    def _look(self, pairs: Pairs, pair: Ints, s: Floats) -> tuple[Floats, Floats]:
        """Return values and slopes at positions, offering those that count as they stand."""
        path, target = pairs.path[pair], pairs.target[pair]
        point, heading = self.paths.at(path, s)
        value, away = self.targets.field(target, point)
        slope = dots(away, heading)
        # At a flat end a level place counts only while apart: a thing flush with the end may merely touch it.
        counts = (np.abs(slope) <= LEVEL) & ((value >= self.paths.tube[path]) | ~self.paths.at_end(path, s))
        if self.accept is None:
            counts |= self.paths.within_tube(path, s)
        else:
            counts &= self.accept(target, point, away)
        self._offer(pairs, pair, s, point, value, away, counts)
        return value, slope

    def _offer(
        self, pairs: Pairs, pair: Ints, s: Floats, point: Floats, value: Floats, away: Floats, counts: Bools
    ) -> None:
        path, key = pairs.path[pair], pairs.key[pair]
        tube = self.paths.tube[path]
        rows = np.flatnonzero(counts & (value - tube < self.least.distance[key]))
        if not len(rows):
            return
        path, point, away = path[rows], point[rows], away[rows]
        self.least.offer(
            key[rows],
            value[rows] - tube[rows],
            self.paths.owner[path],
            self.paths.at0[path] + self.paths.rate * s[rows],
            point - tube[rows][:, None] * away,
            point - value[rows][:, None] * away,
        )

    def _first_look(self, pairs: Pairs, bow: Floats) -> _Stretches:
        length = self.paths.length[pairs.path]
        count = np.maximum(np.ceil(bow * length / FIRST_STEP).astype(np.int64), 1)
        pair, number = steps(count + 1)
        s = length[pair] * (number / count[pair])
        value, slope = self._look(pairs, pair, s)
        self._look_beside_ends(pairs, pair, s, value, slope)
        left = np.flatnonzero(number < count[pair])
        right = left + 1
        return _Stretches(pair[left], s[left], s[right], value[left], value[right], slope[left], slope[right])

    def _look_beside_ends(self, pairs: Pairs, pair: Ints, s: Floats, value: Floats, slope: Floats) -> None:
        """Look just inside flat ends that are level: a thing flush with one may touch it, or go on beside the tube.

        To part the two, the tube moves sideways or is drawn back past the thing, whichever is less.
        """
        tube = self.paths.tube[pairs.path[pair]]
        rows = np.flatnonzero((np.abs(slope) <= LEVEL) & (value < tube) & self.paths.at_end(pairs.path[pair], s))
        if not len(rows) or self.accept is not None:
            return
        pair, s, tube = pair[rows], s[rows], tube[rows]
        path, target = pairs.path[pair], pairs.target[pair]
        length = self.paths.length[path]
        inwards, begins = np.minimum(INSIDE * tube, 0.5 * length), s <= 0.0
        end, heading = self.paths.at(path, s)
        heading *= np.where(begins, 1.0, -1.0)[:, None]
        point, _ = self.paths.at(path, np.where(begins, inwards, length - inwards))
        value, away = self.targets.field(target, point)
        tips = self.targets.extremes(target, heading)
        goes_on = np.fmax.reduce(dots(tips - end[:, None], heading[:, None]), axis=1, initial=-np.inf)
        goes_on[goes_on < 0.0] = np.inf if not tips.shape[1] else 0.0
        depth = np.maximum(value - tube, -goes_on)
        level = np.flatnonzero((np.abs(dots(away, heading)) <= LEVEL) & (depth < self.least.distance[pairs.key[pair]]))
        if len(level):
            self.least.offer(
                pairs.key[pair[level]],
                depth[level],
                self.paths.owner[path[level]],
                self.paths.at0[path[level]] + self.paths.rate * s[level],
                point[level] - tube[level][:, None] * away[level],
                point[level] - value[level][:, None] * away[level],
            )

    def _look_again(self, pairs: Pairs, old: _Stretches) -> _Stretches:
        """Halve stretches."""
        if not len(old.pair):
            return old
        middle = 0.5 * (old.lo + old.hi)
        value, slope = self._look(pairs, old.pair, middle)
        return _joined(
            [
                _Stretches(old.pair, old.lo, middle, old.flo, value, old.dlo, slope),
                _Stretches(old.pair, middle, old.hi, value, old.fhi, slope, old.dhi),
            ]
        )

    def _close_in(self, pairs: Pairs, bow: Floats, x: _Stretches) -> _Stretches:
        """Close in on a minimum in each stretch, until it is known to `EXACT_MM`.

        Returns what is left of the stretches on both sides of it, where they are bent: those can hold another.
        """
        row = np.arange(len(x.pair))
        a, b, c = CurvePlace(x.lo, x.flo, x.dlo), CurvePlace(x.hi, x.fhi, x.dhi), CurvePlace(x.lo, x.flo, x.dlo)
        s, floor = x.lo + a.h / (a.h - b.h) * (x.hi - x.lo), np.full(len(row), -np.inf)
        where, least = np.empty(len(row)), np.empty(len(row))
        for _ in range(MOST_STEPS):
            if not len(row):
                break
            pair = x.pair[row]
            path, target = pairs.path[pair], pairs.target[pair]
            point, heading = self.paths.at(path, s)
            value, away = self.targets.field(target, point)
            slope = dots(away, heading)
            where[row], least[row] = s, value
            same = (slope > 0.0) == (a.slope > 0.0)
            a, b, c = CurvePlace(s, value, slope), a.across(same, b), b.across(same, a)
            width = np.abs(b.s - a.s)
            done = (np.abs(slope) * width <= EXACT_MM) | (value - floor <= EXACT_MM) | (np.abs(slope) <= 1e-10)
            if done.any():
                counts = done if self.accept is None else done & self.accept(target, point, away)
                self._offer(pairs, pair, s, point, value, away, counts)
                go = np.flatnonzero(~done)
                row, a, b, c = row[go], a.take(go), b.take(go), c.take(go)
            s, floor = next_place(a, b, c, bow[x.pair[row]])
        level = np.zeros(len(where))
        rest = _joined(
            [
                _Stretches(x.pair, x.lo, where, x.flo, least, x.dlo, level),
                _Stretches(x.pair, where, x.hi, least, x.fhi, level, x.dhi),
            ]
        )
        return rest.take(bow[rest.pair] > 0.0)


def _floors(x: _Stretches, k: Floats) -> tuple[Floats, Bools, Bools]:
    """Return bounds from below on stretches, whether each could hide a dip, and whether it surely holds one."""
    holds = (x.dlo < -LEVEL_ENOUGH) & (x.dhi > LEVEL_ENOUGH)
    width = x.hi - x.lo
    rise = k * width
    _, floor = tangents(x.flo, x.fhi, x.dlo, x.dhi, width, k)
    # A slope that has to climb back faster than the curve bends cannot have been level on the way.
    dip = ~(((x.dhi <= 0.0) & (-x.dhi >= rise)) | ((x.dlo >= 0.0) & (x.dlo >= rise)))
    return np.where(holds | dip, floor, np.inf), dip, holds


def _joined(parts: list[_Stretches]) -> _Stretches:
    return _Stretches._make(map(np.concatenate, zip(*parts, strict=True)))
