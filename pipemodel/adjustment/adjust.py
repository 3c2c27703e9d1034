"""Weighted least squares of tape readings: places, intervals, and the test for a misread tape.

Gauss-Newton on the readings, each with weight 1 / sd². A misread tape is looked for as W. Baarda does (A testing
procedure for use in geodetic networks, 1968; from memory): each residual in its own standard deviations, against 3.29,
which one true reading in a thousand exceeds.
"""

from math import sqrt
from typing import TypeAlias

from pipemodel.adjustment.linear import inverse, solution
from pipemodel.adjustment.readings import (
    LEAST_REDUNDANCY,
    Adjusted,
    AdjustedReading,
    Covariance,
    Gradient,
    Places,
    TapeReading,
    WantedPoint,
    computed,
)
from pipemodel.geometry.vectors import Vec3

CRITICAL = 3.29
"""Two-sided, 0.1 %, of the normal distribution."""
AS_GOOD = 4.0
"""Of all sums of squares without one reading, that without the misread one is further up 2 times in 100 at the most."""
MOST_STEPS = 50
STILL_MM = 1e-9

Unknowns: TypeAlias = tuple[tuple[str, int], ...]


class NoRestError(ValueError):
    """The steps come to no rest: the readings do not go together."""


def adjust(places: Places, wanted: list[WantedPoint], readings: list[TapeReading]) -> Adjusted:
    """Return the points that fit the readings best.

    Args:
        places: every point, those to be found near where they are.
        wanted: the points to be found.
        readings: at least as many as unknown coordinates.

    Raises:
        linear.UndeterminedError: if the readings leave a coordinate open.
        NoRestError: if no place is found that they draw to.
    """
    unknowns = tuple((point.name, axis) for point in wanted for axis in point.free)
    at = dict(places)
    cofactors: list[list[float]] = []
    for _ in range(MOST_STEPS):
        cofactors, step = _step(at, unknowns, readings)
        _move(at, unknowns, step)
        if max(map(abs, step), default=0.0) < STILL_MM:
            break
    else:
        if max(map(abs, step), default=0.0) > 1e-3:
            raise NoRestError
    return Adjusted(at, _tested(at, unknowns, readings, cofactors), Covariance(unknowns, tuple(map(tuple, cofactors))))


def _step(at: Places, unknowns: Unknowns, readings: list[TapeReading]) -> tuple[list[list[float]], list[float]]:
    """Return the inverse of the normal equations at the places, and the step they ask for."""
    n = len(unknowns)
    normal = [[0.0] * n for _ in range(n)]
    right = [0.0] * n
    for reading in readings:
        value, gradient = computed(reading, at)
        row = _row(gradient, unknowns)
        weight = reading.sd_mm**-2
        for i, a in row.items():
            right[i] += a * weight * (reading.mm - value)
            for j, b in row.items():
                normal[i][j] += a * weight * b
    return inverse(normal), solution(normal, right)


def _row(gradient: Gradient, unknowns: Unknowns) -> dict[int, float]:
    return {i: gradient[name][axis] for i, (name, axis) in enumerate(unknowns) if name in gradient}


def _move(at: Places, unknowns: Unknowns, step: list[float]) -> None:
    for (name, axis), by in zip(unknowns, step, strict=True):
        moved = list(at[name])
        moved[axis] += by
        at[name] = (moved[0], moved[1], moved[2])


def _tested(
    at: Places, unknowns: Unknowns, readings: list[TapeReading], cofactors: list[list[float]]
) -> tuple[AdjustedReading, ...]:
    found: list[AdjustedReading] = []
    for reading in readings:
        value, gradient = computed(reading, at)
        row = _row(gradient, unknowns)
        taken = sum(a * b * cofactors[i][j] for i, a in row.items() for j, b in row.items())
        redundancy = min(1.0, max(0.0, 1.0 - taken / reading.sd_mm**2))
        residual = reading.mm - value
        test = residual / (reading.sd_mm * sqrt(redundancy)) if redundancy >= LEAST_REDUNDANCY else 0.0
        found.append(AdjustedReading(reading, value, residual, redundancy, test))
    worst = max((abs(one.test) for one in found), default=0.0)
    # Of one slip several residuals pass the limit. Without a reading the sum of squares is less by its test squared:
    # named are all without which the others fit about as well.
    return tuple(one._replace(misread=worst > CRITICAL and one.test**2 >= worst**2 - AS_GOOD) for one in found)


def deviations(adjusted: Adjusted, name: str) -> Vec3:
    """Return the standard deviations of a point along x, y and z, mm."""
    rows = adjusted.covariance.of(name)
    return (sqrt(rows[0][0]), sqrt(rows[1][1]), sqrt(rows[2][2]))
