"""Weighted least squares by Gauss and Newton on true functions, in plain Python: a dozen unknowns, no library.

Every function has values in units of its own scatter, so that the sum of their squares is what is made least. Slopes
are by differences to both sides, so anything that can be worked out can be a function.
"""

from collections.abc import Callable, Sequence
from typing import TypeAlias

from pipemodel.adjustment.linear import solution

Functions: TypeAlias = Callable[[Sequence[float]], list[float] | None]
"""From unknowns to the values that should all be 0; None where the unknowns mean nothing."""

STEP = 1e-4
"""By how much an unknown is changed for a slope, mm or degrees."""
STILL = 1e-7
MOST_STEPS = 30
HALVINGS = 12


def least_squares(functions: Functions, start: Sequence[float]) -> list[float] | None:
    """Return where the sum of squares is least, going from `start`; None where the functions have no value there.

    Every unknown has to be held by some function alone, so that the normal equations can be solved.
    """
    at, values = list(start), functions(start)
    if values is None:
        return None
    for _ in range(MOST_STEPS):
        columns = [_slopes(functions, at, i, values) for i in range(len(at))]
        normal = [[_dot(a, b) for b in columns] for a in columns]
        down = solution(normal, [-_dot(column, values) for column in columns])
        cost, share = _dot(values, values), 1.0
        for _ in range(HALVINGS):
            there = [x + share * d for x, d in zip(at, down, strict=True)]
            now = functions(there)
            if now is not None and _dot(now, now) <= cost:
                break
            share /= 2.0
        else:
            return at
        less, largest = cost - _dot(now, now), max(map(abs, down), default=0.0)
        at, values = there, now
        if largest < STILL or (less <= 1e-9 * (1.0 + cost) and largest < 1e-3):
            return at
    return at


def _slopes(functions: Functions, at: Sequence[float], unknown: int, values: Sequence[float]) -> list[float]:
    """Return the slopes by one unknown, by differences to both sides, or to one where the other has no value."""
    changed = list(at)
    changed[unknown] = at[unknown] + STEP
    above = functions(changed)
    changed[unknown] = at[unknown] - STEP
    below = functions(changed)
    over = STEP * ((above is not None) + (below is not None))
    return [(a - b) / over if over else 0.0 for a, b in zip(above or values, below or values, strict=True)]


def _dot(a: Sequence[float], b: Sequence[float]) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))
