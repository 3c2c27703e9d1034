"""A way that was found, made shorter."""

import numpy as np

from pipemodel.geometry.arrays import Floats
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.turning import share_of, turn_angle

ROUNDS = 500
"""How many shorter ways between two poses of the way are tried."""
SAME_MM = 1e-6
SAME_RAD = 1e-9


def shorten(judge: Judge, way: list[Floats], rng: np.random.Generator) -> list[Floats]:
    """Return a way between the same ends with fewer and shorter moves, the middle straight in each of them.

    Stopped by the keyboard, it says so to the judge and returns what it has come to.
    """
    try:
        way = _skipped(judge, way)
        for _ in range(ROUNDS):
            if len(way) <= 2:
                break
            way = _cut_short(judge, way, rng)
        return _skipped(judge, way)
    except KeyboardInterrupt:
        judge.stopped = True
        return way


def _goes(judge: Judge, a: Floats, b: Floats) -> bool:
    return judge.advance(a, b).share >= 1.0


def _skipped(judge: Judge, way: list[Floats]) -> list[Floats]:
    """Go from each pose to the farthest one that a single move reaches, by halving; cheap, and takes most away."""
    out, i = [way[0]], 0
    while i < len(way) - 1:
        step = len(way) - 1 - i
        while step > 1 and not _goes(judge, way[i], way[i + step]):
            step //= 2
        i += step
        out.append(way[i])
    return out


def _cut_short(judge: Judge, way: list[Floats], rng: np.random.Generator) -> list[Floats]:
    """Try one move between two places of the way, picked at random on its moves, and take it if it goes."""
    i, j = sorted(int(k) for k in rng.integers(len(way) - 1, size=2))
    if i == j:
        return way
    a = share_of(way[i], way[i + 1], float(rng.random()))
    b = share_of(way[j], way[j + 1], float(rng.random()))
    before = _size(judge, [a, *way[i + 1 : j + 1], b])
    if _size(judge, [a, b]) > 0.98 * before and j == i + 1:
        return way
    if not (_goes(judge, a, b) and _goes(judge, way[i], a) and _goes(judge, b, way[j + 1])):
        return way
    out = [*way[: i + 1], a, b, *way[j + 1 :]]
    return [p for k, p in enumerate(out) if k == 0 or not _same(p, out[k - 1])]


def _size(judge: Judge, way: list[Floats]) -> float:
    return sum(
        float(np.linalg.norm(b[:3] - a[:3])) + judge.reach_mm * turn_angle(a[3:], b[3:])
        for a, b in zip(way, way[1:], strict=False)
    )


def _same(a: Floats, b: Floats) -> bool:
    return float(np.linalg.norm(b[:3] - a[:3])) <= SAME_MM and turn_angle(a[3:], b[3:]) <= SAME_RAD
