"""The least by which a leg is to be longer so that something comes clear."""

from collections.abc import Callable

LONGEST_MM = 1024.0
"""No leg is tried longer than this much more."""
STEP_MM = 1.0
"""Lengthenings are given to the mm above."""
FIRST_MM = 16.0
"""The first lengthening tried; the next ones are four times the one before."""


def least_lengthening(clear: Callable[[float], bool]) -> float | None:
    """Return the least lengthening that is clear, None when none up to `LONGEST_MM` is; mm.

    The first that works of a growing series is narrowed down; what lies below it is taken not to work.
    """
    low, high = 0.0, FIRST_MM
    while not clear(high):
        low, high = high, high * 4.0
        if high > LONGEST_MM:
            return None
    while high - low > STEP_MM:
        middle = (low + high) / 2.0
        low, high = (low, middle) if clear(middle) else (middle, high)
    return float(-(-high // STEP_MM) * STEP_MM)
