"""Every stretch of a run whose axis comes nearer to a thing than some limit."""

from collections.abc import Callable

import numpy as np

from pipemodel.geometry.arrays import Bools, Floats
from pipemodel.geometry.centreline import Centreline, merged
from pipemodel.geometry.distance.obstacle import Field
from pipemodel.geometry.distance.paths import Paths, paths_of

FIRST_MM = 64.0
"""How long the pieces of the axis are that are looked at first."""
MOST_FIRST = 20_000
"""A very long run is looked at in no more pieces than this."""
FINE_MM = 1.0
"""Two places nearer to each other than this along the axis are one."""
FINE_SLOW_MM = 4.0
"""The same where every look is dear."""
EXACT_MM = 1e-6
"""How exactly the ends of a stretch are found."""


def axis_of(line: Centreline) -> Callable[[Floats], Floats]:
    """Return a function from positions along a centreline, (n,), to its points, (n, 3)."""
    paths: Paths = paths_of([line], [1.0])[0]

    def points(at: Floats) -> Floats:
        row = np.clip(np.searchsorted(paths.at0, at, "right") - 1, 0, len(paths) - 1)
        return paths.at(row, at - paths.at0[row])[0]

    return points


def near_places(line: Centreline, field: Field, limit: float, slow: bool = False) -> list[tuple[float, float]]:
    """Return from where to where along a centreline its points are nearer to a thing than a limit, in order.

    Args:
        line: the centreline.
        field: distances of points from the thing, below zero inside.
        limit: how near counts, mm.
        slow: look less finely.
    """
    points = axis_of(line)

    def near(at: Floats) -> Floats:
        return field(points(at)) - limit

    count = int(np.clip(np.ceil(line.length / FIRST_MM), 1, MOST_FIRST))
    edges = np.linspace(0.0, line.length, count + 1)
    low, high = edges[:-1], edges[1:]
    found: list[Floats] = []
    fine = FINE_SLOW_MM if slow else FINE_MM
    while len(low):
        middle, half = 0.5 * (low + high), 0.5 * (high - low)
        value = near(middle)
        # A distance changes no faster than the point it is measured from moves.
        whole = value <= -half
        small = half <= 0.5 * fine
        keep = whole | (small & (value < 0.0))
        found.append(np.stack([low[keep], high[keep]], axis=1))
        again = ~keep & ~small & (value < half)
        low, high, middle = low[again], high[again], middle[again]
        low, high = np.concatenate([low, middle]), np.concatenate([middle, high])
    return _trimmed(merged(np.concatenate(found).tolist(), EXACT_MM), near, line.length, fine)


def _trimmed(
    places: list[tuple[float, float]], near: Callable[[Floats], Floats], length: float, fine: float
) -> list[tuple[float, float]]:
    """Move the ends of stretches to where the limit is crossed."""
    if not places:
        return []
    found, half = np.array(places), 0.5 * fine * np.array([1.0, -1.0])
    inner, ends = np.clip(found + half, 0.0, length), np.clip(found - half, 0.0, length)
    is_near: Bools = near(ends.ravel()) < 0.0
    for _ in range(int(np.ceil(np.log2(fine / EXACT_MM)))):
        middle = 0.5 * (inner + ends)
        inside = near(middle.ravel()).reshape(middle.shape) < 0.0
        inner, ends = np.where(inside, middle, inner), np.where(inside, ends, middle)
    at_end = is_near.reshape(ends.shape) & ((ends <= EXACT_MM) | (ends >= length - EXACT_MM))
    out = np.where(at_end, np.where(ends <= EXACT_MM, 0.0, length), inner)
    return merged(out.tolist(), EXACT_MM)
