"""Weighted least squares by Gauss and Newton on true functions, in plain Python: a dozen unknowns, no library.

Every function has values in units of its own scatter, so that the sum of their squares is what is made least. Slopes
are by differences to both sides, so anything that can be worked out can be a function.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeAlias

from pipemodel.adjustment.linear import inverse, times

Functions: TypeAlias = Callable[[Sequence[float]], list[float] | None]
"""From unknowns to the values that should all be 0; None where the unknowns mean nothing."""

STEP = 1e-4
"""By how much an unknown is changed for a slope, mm or degrees."""
STILL = 1e-7
MOST_STEPS = 30
HALVINGS = 12


class Found(NamedTuple):
    """The unknowns at which the sum of squares is least, that sum, and the unknowns' covariance there."""

    at: list[float]
    cost: float
    covariance: list[list[float]]


def least_squares(functions: Functions, start: Sequence[float]) -> Found | None:
    """Return where the sum of squares is least, going from `start`; None where the functions have no value there.

    Every unknown has to be held by some function alone, so that the normal equations can be solved.
    """
    at, values = list(start), functions(start)
    if values is None:
        return None
    cost = _squares(values)
    covariance: list[list[float]] = []
    for _ in range(MOST_STEPS):
        rows = _slopes(functions, at, values)
        n = len(at)
        normal = [[sum(a * b for a, b in zip(rows[i], rows[j], strict=True)) for j in range(n)] for i in range(n)]
        covariance = inverse(normal)
        down = times(covariance, [-sum(a * v for a, v in zip(row, values, strict=True)) for row in rows])
        moved = _downhill(functions, at, down, cost)
        if moved is None:
            break
        at, values, less = moved
        still = cost - less <= 1e-9 * (1.0 + cost) and max(map(abs, down), default=0.0) < 1e-3
        cost = less
        if still or max(map(abs, down), default=0.0) < STILL:
            break
    return Found(at, cost, covariance)


def _downhill(
    functions: Functions, at: Sequence[float], down: Sequence[float], cost: float
) -> tuple[list[float], list[float], float] | None:
    """Return the first of ever shorter steps that lessens the sum; None where none does."""
    share = 1.0
    for _ in range(HALVINGS):
        there = [x + share * d for x, d in zip(at, down, strict=True)]
        values = functions(there)
        if values is not None and (less := _squares(values)) <= cost:
            return there, values, less
        share /= 2.0
    return None


def _slopes(functions: Functions, at: Sequence[float], values: Sequence[float]) -> list[list[float]]:
    """Return one row for each unknown: how all values change with it."""
    rows: list[list[float]] = []
    for i in range(len(at)):
        changed = list(at)
        changed[i] = at[i] + STEP
        above = functions(changed)
        changed[i] = at[i] - STEP
        below = functions(changed)
        if above is not None and below is not None:
            rows.append([(a - b) / (2.0 * STEP) for a, b in zip(above, below, strict=True)])
        elif above is not None or below is not None:
            one, way = (above, STEP) if above is not None else (below, -STEP)
            assert one is not None
            rows.append([(a - v) / way for a, v in zip(one, values, strict=True)])
        else:
            rows.append([0.0] * len(values))
    return rows


def _squares(values: Sequence[float]) -> float:
    return sum(v * v for v in values)
