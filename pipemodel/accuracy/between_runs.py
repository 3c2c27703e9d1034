"""The chance that two runs touch, from pieces of both simulated, each piece of one held against one of the other.

Chords that cannot reach each other are left out; the others are measured. By how far bends stand off their chords, most
pieces are settled; what is not is measured exactly.
"""

from collections.abc import Sequence

import numpy as np

from pipemodel.accuracy.chords import Chords
from pipemodel.accuracy.touching import TOUCH_MM, HeldPieces
from pipemodel.accuracy.values import Chance
from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.bending.schedule import SolvedRun
from pipemodel.geometry.arrays import Floats, Ints, dots
from pipemodel.geometry.centreline import Centreline, moved
from pipemodel.geometry.distance import distances_between_runs
from pipemodel.geometry.vectors import distance

CELLS = 200_000
"""How many pairs of chords are measured in one go; bounds the memory taken."""


def chances_of_runs(pairs: Sequence[tuple[HeldPieces, HeldPieces]], count: int) -> list[Chance]:
    """Return for each of some pairs of runs the chance that they touch, both bent by the same hands."""
    hits: list[int] = []
    open_: list[tuple[int, int]] = []
    for number, (one, other) in enumerate(pairs):
        touched, unsettled = _settled(one, other, count)
        hits.append(touched)
        open_ += [(number, piece) for piece in unsettled.tolist()]
    for (number, _), touches in zip(open_, _exactly(pairs, open_), strict=True):
        hits[number] += touches
    return [Chance(h, min(count, a.chords.count, b.chords.count)) for h, (a, b) in zip(hits, pairs, strict=True)]


def _settled(one: HeldPieces, other: HeldPieces, count: int) -> tuple[int, Ints]:
    """Return how many pieces surely touch, and which may or may not."""
    count = min(count, one.chords.count, other.chords.count)
    a, b = one.chords, other.chords
    reach_a, reach_b = one.reach[:, :count], other.reach[:, :count]
    radii = a.radius_mm + b.radius_mm
    # As drawn, every chord against every other.
    first, second = (x.ravel() for x in np.indices((len(a.arc_off), len(b.arc_off))))
    apart, _, _ = _apart(a.drawn[first], a.drawn[first + 1], b.drawn[second], b.drawn[second + 1])
    apart -= radii
    near = apart < reach_a.max(axis=1)[first] + reach_b.max(axis=1)[second]
    first, second, apart = first[near], second[near], apart[near]
    touched, doubtful = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
    step = max(CELLS // max(len(first), 1), 1)
    for begin in range(0, count if len(first) else 0, step):
        some = slice(begin, begin + step)
        cell, piece = np.nonzero(apart[:, None] < reach_a[first, some] + reach_b[second, some])
        piece += begin
        i, j = first[cell], second[cell]
        gap, share, other_share = _apart(
            a.points[i, :, piece], a.points[i + 1, :, piece], b.points[j, :, piece], b.points[j + 1, :, piece]
        )
        off = a.arc_off[i, piece] + b.arc_off[j, piece]
        doubtful[piece[gap - off < radii]] = True
        at, other_at = a.place(i, piece, share)[1], b.place(j, piece, other_share)[1]
        sure = (gap + off < radii - TOUCH_MM) & a.inner(at, piece) & b.inner(other_at, piece)
        touched[piece[sure]] = True
    return int(np.count_nonzero(touched)), np.flatnonzero(doubtful & ~touched)


def _apart(a: Floats, b: Floats, c: Floats, d: Floats) -> tuple[Floats, Floats, Floats]:
    """Return how near segments a to b come to segments c to d, and where: as shares of each; rows as in `segments`."""
    u, v, w = b - a, d - c, a - c
    uu, vv, uv, uw, vw = dots(u, u), dots(v, v), dots(u, v), dots(u, w), dots(v, w)
    square = uu * vv - uv * uv
    slanted = square > 1e-12 * uu * vv
    s = np.where(slanted, np.clip((uv * vw - vv * uw) / np.where(slanted, square, 1.0), 0.0, 1.0), 0.0)
    free = np.where(vv > 0.0, (uv * s + vw) / np.where(vv > 0.0, vv, 1.0), 0.0)
    t = np.clip(free, 0.0, 1.0)
    again = np.clip((uv * t - uw) / np.where(uu > 0.0, uu, 1.0), 0.0, 1.0) * (uu > 0.0)
    s = np.where((t != free) | (vv == 0.0), again, s)
    off = w + s[:, None] * u - t[:, None] * v
    return np.sqrt(dots(off, off)), s, t


def _exactly(pairs: Sequence[tuple[HeldPieces, HeldPieces]], which: Sequence[tuple[int, int]]) -> list[bool]:
    """Tell of each of some pieces of some pairs whether they touch."""
    if not which:
        return []
    # All are measured at once, each two laid so far from the others that only they can touch.
    apart = max(_far_apart(one.solved, other.solved) for one, other in pairs)
    lines, outside = [], []
    for k, (number, piece) in enumerate(which):
        for tried in pairs[number]:
            lines.append(moved(centreline_of_piece(tried.solved, tried.chords, piece), (apart * k, 0.0, 0.0)))
            outside.append(tried.solved.tube.outside_mm)
    out = [False] * len(which)
    for pair in distances_between_runs(lines, outside, 0.0):
        out[pair.first // 2] = pair.from_first.distance < -TOUCH_MM
    return out


def centreline_of_piece(solved: SolvedRun, chords: Chords, number: int) -> Centreline:
    """Return the axis of one of the pieces."""
    bends, done = [], 0.0
    table = solved.table
    for i, bend in enumerate(table.bends):
        start, angle = float(chords.starts[i, number]), float(chords.angles[i, number])
        one = bend._replace(
            start_mm=start, straight_before_mm=max(start - done, 0.0), angle_deg=float(np.degrees(angle))
        )
        turn = float(np.degrees(chords.turns[i, number]))
        bends.append(one._replace(turn_deg=turn, arc_mm=bend.radius_mm * angle))
        done = bends[-1].finish_mm
    after = max(table.length_mm - done, 0.0)
    line = centreline_of(BendTable(table.start, table.direction, table.normal, tuple(bends), after))
    x, y, z = chords.moved[:, number].tolist()
    return moved(line, (x, y, z))


def _far_apart(one: SolvedRun, other: SolvedRun) -> float:
    """Return a length, mm, that is more than any two places of pieces of two runs can be apart."""
    tubes = one.tube.outside_mm + other.tube.outside_mm
    return 2.0 * (one.centreline.length + other.centreline.length + distance(one.start, other.start) + tubes)
