"""Weighted least squares by Gauss and Newton on true functions, in plain Python: a dozen unknowns, no library.

Every function has values in units of its own scatter, so that the sum of their squares is what is made least. Slopes
are by differences to both sides, so anything that can be worked out can be a function.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeAlias

from pipemodel.adjustment.linear import inverse, solution

Functions: TypeAlias = Callable[[Sequence[float]], list[float] | None]
"""From unknowns to the values that should all be 0; None where the unknowns mean nothing."""

Row: TypeAlias = list[tuple[int, float]]
"""Of one value, which unknowns move it, and by how much each."""
Slopes: TypeAlias = Callable[[Sequence[float], Sequence[float]], Sequence[Row]]
"""From unknowns and the values there to a row for each value."""

STEP = 1e-4
"""By how much an unknown is changed for a slope, mm or degrees."""
STILL = 1e-7
MOST_STEPS = 30
HALVINGS = 12


class LeastPoint(NamedTuple):
    """The unknowns at which the sum of squares is least, that sum, and the unknowns' covariance there."""

    at: list[float]
    cost: float
    covariance: list[list[float]]


class LeastSquaresDescent:
    """The way down to where the sum of squares is least, step by step.

    `at` are the unknowns so far and `cost` the sum there, which is None where the functions have no value at the start.
    Every unknown has to be held by some function alone, so that the normal equations can be solved.
    """

    def __init__(self, functions: Functions, start: Sequence[float], slopes: Slopes | None = None) -> None:
        """Begin at `start`, the slopes by differences unless they are given."""
        self.at = list(start)
        self.steps = 0
        self._functions, self._slopes = functions, slopes or _slopes_of(functions)
        self._values = functions(self.at)
        self._normal: list[list[float]] = []
        self._rows: Sequence[Row] = ()
        self.cost = None if self._values is None else _squares(self._values)
        self.done = self.cost is None

    def step(self) -> None:
        """Go on by one step; `done` once that changes nothing more."""
        assert self._values is not None
        assert self.cost is not None
        n, cost = len(self.at), self.cost
        normal, right = [[0.0] * n for _ in range(n)], [0.0] * n
        self._rows = self._slopes(self.at, self._values)
        for row, value in zip(self._rows, self._values, strict=True):
            for i, a in row:
                right[i] -= a * value
                line = normal[i]
                for j, b in row:
                    line[j] += a * b
        self._normal = normal
        self.steps += 1
        down = solution(normal, right)
        largest, share = max(map(abs, down), default=0.0), 1.0
        for _ in range(HALVINGS):
            there = [x + share * d for x, d in zip(self.at, down, strict=True)]
            values = self._functions(there)
            if values is not None and (less := _squares(values)) <= cost:
                self.at, self._values, self.cost = there, values, less
                still = cost - less <= 1e-9 * (1.0 + cost) and largest < 1e-3
                self.done = still or largest < STILL or self.steps >= MOST_STEPS
                return
            share /= 2.0
        self.done = True

    @property
    def covariance(self) -> list[list[float]]:
        """The covariance of the unknowns, by the slopes of the last step."""
        return inverse(self._normal)

    def without_each(self) -> list[float]:
        """Return by how much less the sum of squares would be without each value, by the slopes of the last step.

        A value's own residual, squared, over what of it the unknowns do not take up: deletion of a case in linear
        regression (Cook and Weisberg, Residuals and Influence in Regression, 1982; from memory).
        """
        assert self._values is not None
        covariance, out = self.covariance, []
        for row, value in zip(self._rows, self._values, strict=True):
            held = sum(a * b * covariance[i][j] for i, a in row for j, b in row)
            out.append(value * value / (1.0 - held) if 1.0 - held > 1e-6 else 0.0)
        return out


def least_squares(functions: Functions, start: Sequence[float]) -> LeastPoint | None:
    """Return where the sum of squares is least, going from `start`; None where the functions have no value there."""
    way = LeastSquaresDescent(functions, start)
    while not way.done:
        way.step()
    return None if way.cost is None else LeastPoint(way.at, way.cost, way.covariance)


def slope_by(above: float | None, value: float, below: float | None) -> float:
    """Return the slope of one value by differences to both sides, or to one where the other has none."""
    if above is None:
        return 0.0 if below is None else (value - below) / STEP
    return (above - value) / STEP if below is None else (above - below) / (2.0 * STEP)


def _slopes_of(functions: Functions) -> Slopes:
    def slopes(at: Sequence[float], values: Sequence[float]) -> list[Row]:
        rows: list[Row] = [[] for _ in values]
        for i in range(len(at)):
            changed = list(at)
            changed[i] = at[i] + STEP
            above = functions(changed)
            changed[i] = at[i] - STEP
            below = functions(changed)
            for k, value in enumerate(values):
                slope = slope_by(None if above is None else above[k], value, None if below is None else below[k])
                rows[k].append((i, slope))
        return rows

    return slopes


def _squares(values: Sequence[float]) -> float:
    return sum(v * v for v in values)
