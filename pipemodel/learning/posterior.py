"""What readings say of a few figures where how far the hands scatter is itself unknown.

Each reading is value = design · figures + error, its error normal with variance reading² + scatter²: the first known of
each reading, the second one unknown that they share. The figures have a normal prior, the logarithm of the scatter too.
Given the scatter the figures are normal, in closed form; over the scatter it is summed on a grid. This is the usual
normal linear model (A. Gelman and others, Bayesian Data Analysis, chapters 3 and 14; from memory). With many readings
and no reading error its intervals are those of Student's t and chi-squared.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import erf, sqrt
from typing import NamedTuple, TypeAlias

from pipemodel.geometry.arrays import Bools, Floats, np

COARSE, FINE = 61, 101
"""Steps of the grid of the scatter: all over it first, then where it is likely."""
LEAST_SCATTER, MOST_SCATTER = 0.01, 100.0
"""mm or degrees; nobody's hands are as good, or as bad."""
UNLIKELY = 1e-7
MIDDLE = 0.95
Likelihood: TypeAlias = Callable[[Floats], Floats]
"""The logarithm of how likely readings are, for each scatter of a grid."""


class Rows(NamedTuple):
    """Readings: (n, p) design, (n,) values, (n,) variances, and whether the scatter of the hands is in each, (n,)."""

    design: Floats
    value: Floats
    variance: Floats
    scattered: Bools


class Prior(NamedTuple):
    """What is known of the figures before: (p,) mean and (p, p) covariance."""

    mean: Floats
    covariance: Floats


class ScatterPrior(NamedTuple):
    """What is known of a scatter before: its median; two in three are within so many times it, up or down."""

    median: float
    times: float = 2.0


class Interval(NamedTuple):
    """A figure, and the half width of its 95 % interval."""

    value: float
    half: float


class Scatter(NamedTuple):
    """How far something scatters: the median of what it may be, its 95 % interval, and of how many readings."""

    value: float
    low: float
    high: float
    readings: int


@dataclass(frozen=True, eq=False)
class Posterior:
    """What is known after: a grid of scatters (G,) with weights, and for each the figures' mean and covariance.

    `likely` is the logarithm of how likely the readings were before, but for a constant that is theirs.
    """

    scatter: Floats
    weight: Floats
    mean: Floats
    covariance: Floats
    readings: int
    likely: float

    @cached_property
    def figures(self) -> Floats:
        """The figures' mean over all scatters, (p,)."""
        out: Floats = self.weight @ self.mean
        return out

    @cached_property
    def figures_covariance(self) -> Floats:
        """The figures' covariance over all scatters, (p, p)."""
        off = self.mean - self.figures
        out: Floats = np.einsum("g,gij->ij", self.weight, self.covariance) + np.einsum(
            "g,gi,gj->ij", self.weight, off, off
        )
        return out

    def interval(self, by: Floats) -> Interval:
        """Return a weighted sum of the figures, weights (p,), with the half width of the interval that holds 95 %."""
        means = self.mean @ by
        sds = np.sqrt(np.maximum(np.einsum("i,gij,j->g", by, self.covariance, by), 0.0))
        low, high = (_quantile(self.weight, means, sds, p) for p in (0.5 - MIDDLE / 2.0, 0.5 + MIDDLE / 2.0))
        return Interval(float(self.figures @ by), (high - low) / 2.0)

    @cached_property
    def spread(self) -> Scatter:
        """How far the hands scatter."""
        return scatter_of(self.scatter, self.weight, self.readings)


def posterior(rows: Rows, prior: Prior, scatter: ScatterPrior) -> Posterior:
    """Return what readings say of the figures behind them, and of how far they scatter."""
    grid = _likely(lambda h: evidence(rows, prior, h)[0], scatter)
    likelihood, mean, covariance = evidence(rows, prior, grid)
    logarithms = likelihood + _prior(grid, scatter)
    whole = np.logaddexp.reduce(logarithms) + np.log(np.log(grid[1] / grid[0]))
    likely = float(whole - 0.5 * np.linalg.slogdet(prior.covariance)[1])
    readings = int(np.count_nonzero(rows.scattered))
    return Posterior(grid, _weights(logarithms), mean, covariance, readings, likely)


def either(one: Posterior, other: Posterior, chance: float) -> Posterior:
    """Return what is known where `other` holds with a chance before the readings, else `one`: of figures of both."""
    figures, odds = one.mean.shape[1], chance / (1.0 - chance) * np.exp(min(other.likely - one.likely, 500.0))
    scatter = np.concatenate([one.scatter, other.scatter])
    by = np.argsort(scatter)
    weight = np.concatenate([one.weight, other.weight * odds])[by] / (1.0 + odds)
    mean = np.concatenate([one.mean, other.mean[:, :figures]])[by]
    covariance = np.concatenate([one.covariance, other.covariance[:, :figures, :figures]])[by]
    likely = float(np.logaddexp(one.likely + np.log(1.0 - chance), other.likely + np.log(chance)))
    return Posterior(scatter[by], weight, mean, covariance, one.readings, likely)


def common_scatter(groups: list[tuple[Rows, Prior]], scatter: ScatterPrior) -> Scatter:
    """Return how far readings scatter that are of several groups, each with figures of its own."""

    def likelihood(grid: Floats) -> Floats:
        out: Floats = np.zeros(len(grid))
        for rows, prior in groups:
            out = out + evidence(rows, prior, grid)[0]
        return out

    grid = _likely(likelihood, scatter)
    weight = _weights(likelihood(grid) + _prior(grid, scatter))
    return scatter_of(grid, weight, sum(int(np.count_nonzero(rows.scattered)) for rows, _ in groups))


def evidence(rows: Rows, prior: Prior, grid: Floats) -> tuple[Floats, Floats, Floats]:
    """Return, for each scatter of a grid, the logarithm of the likelihood of the readings, and what they then say.

    Returns:
        (G,) logarithms, but for a constant; (G, p) means and (G, p, p) covariances of the figures.
    """
    variance = rows.variance + np.where(rows.scattered, 1.0, 0.0) * grid[:, None] ** 2
    weight = 1.0 / variance
    known = np.linalg.inv(prior.covariance)
    off = rows.value - rows.design @ prior.mean
    normal = known + np.einsum("gn,ni,nj->gij", weight, rows.design, rows.design, optimize=True)
    right = np.einsum("gn,ni->gi", weight * off, rows.design)
    covariance = np.linalg.inv(normal)
    step = np.einsum("gij,gj->gi", covariance, right)
    left = weight @ off**2 - np.einsum("gi,gi->g", step, right)
    logarithm = -0.5 * (np.log(variance).sum(axis=1) + np.linalg.slogdet(normal)[1] + left)
    return logarithm, prior.mean + step, covariance


def _prior(grid: Floats, scatter: ScatterPrior) -> Floats:
    """Return the logarithm of the prior over the grid, whose steps are even in log scatter."""
    out: Floats = -0.5 * (np.log(grid / scatter.median) / np.log(scatter.times)) ** 2
    return out


def _likely(likelihood: Likelihood, scatter: ScatterPrior) -> Floats:
    """Return a fine grid over the scatters that are likely."""
    coarse = np.geomspace(LEAST_SCATTER, MOST_SCATTER, COARSE)
    weight = _weights(likelihood(coarse) + _prior(coarse, scatter))
    there = np.flatnonzero(weight > UNLIKELY * weight.max())
    first, last = max(int(there[0]) - 1, 0), min(int(there[-1]) + 1, COARSE - 1)
    out: Floats = np.geomspace(coarse[first], coarse[last], FINE)
    return out


def _weights(logarithms: Floats) -> Floats:
    weight = np.exp(logarithms - logarithms.max())
    out: Floats = weight / weight.sum()
    return out


def scatter_of(grid: Floats, weight: Floats, readings: int) -> Scatter:
    """Return the median and the 95 % interval of a scatter on its grid."""
    up_to = np.cumsum(weight) - weight / 2.0
    at = [float(np.exp(np.interp(p, up_to, np.log(grid)))) for p in (0.5, 0.5 - MIDDLE / 2.0, 0.5 + MIDDLE / 2.0)]
    return Scatter(at[0], at[1], at[2], readings)


def _quantile(weight: Floats, means: Floats, sds: Floats, share: float) -> float:
    """Return below what a mixture of normal figures lies with a chance, by halving."""
    least, most = float((means - 12.0 * sds).min()), float((means + 12.0 * sds).max())
    kept = weight > UNLIKELY * weight.max()
    parts = list(zip(weight[kept].tolist(), means[kept].tolist(), np.maximum(sds[kept], 1e-300).tolist(), strict=True))
    for _ in range(50):
        middle = (least + most) / 2.0
        below = sum(w * 0.5 * (1.0 + erf((middle - m) / s / sqrt(2.0))) for w, m, s in parts)
        least, most = (middle, most) if below < share else (least, middle)
    return (least + most) / 2.0
