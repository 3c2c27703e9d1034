"""Figures and scatter from readings, against scipy's distributions and a plain sum over both unknowns."""

import numpy as np
import pytest
from scipy import stats

from pipemodel.learning.posterior import Prior, Rows, ScatterPrior, common_scatter, posterior

WIDE = Prior(np.zeros(2), np.diag([1e6, 1e6]))


def rows(n, seed, scatter, reading=0.0):
    random = np.random.default_rng(seed)
    x = random.uniform(20, 120, n)
    y = 1.5 + 0.05 * x + random.normal(0, scatter, n) + random.normal(0, 1, n) * reading
    return Rows(np.column_stack([np.ones(n), x]), y, np.full(n, reading**2), np.ones(n, bool))


@pytest.mark.parametrize(("n", "scatter"), [(60, 0.5), (200, 1.0), (2000, 3.0)])
def test_many_exact_readings_give_students_and_chi_squareds_intervals(n, scatter):
    """Ordinary least squares, whose intervals scipy has in closed form; the prior then hardly counts."""
    given = rows(n, n, scatter)
    found = posterior(given, WIDE, ScatterPrior(1.0))
    line = stats.linregress(given.design[:, 1], given.value)
    t = stats.t(n - 2).ppf(0.975)
    slope = found.interval(np.array([0.0, 1.0]))
    assert slope.value == pytest.approx(line.slope, rel=2e-3)
    assert slope.half == pytest.approx(t * line.stderr, rel=0.03)
    squares = float(np.sum((given.value - line.intercept - line.slope * given.design[:, 1]) ** 2))
    assert found.spread.low == pytest.approx(np.sqrt(squares / stats.chi2(n - 2).ppf(0.975)), rel=0.03)
    assert found.spread.high == pytest.approx(np.sqrt(squares / stats.chi2(n - 2).ppf(0.025)), rel=0.03)


@pytest.mark.slow
@pytest.mark.parametrize("n", [0, 1, 2, 5])
@pytest.mark.parametrize("reading", [0.0, 0.6])
def test_few_readings_give_what_a_sum_over_both_unknowns_gives(n, reading):
    """One figure with a prior of 3 ± 2, and the scatter, both on a fine grid of their own."""
    random = np.random.default_rng([n, 7])
    y = 4.0 + random.normal(0, 0.8, n) + random.normal(0, 1, n) * reading
    given = Rows(np.ones((n, 1)), y, np.full(n, reading**2), np.ones(n, bool))
    found = posterior(given, Prior(np.array([3.0]), np.array([[4.0]])), ScatterPrior(1.0, 2.0))
    figure, log_scatter = np.linspace(-9, 15, 2401)[:, None], np.linspace(np.log(0.01), np.log(60), 1501)[None, :]
    variance = np.exp(2 * log_scatter) + reading**2
    density = stats.norm(3, 2).logpdf(figure) + stats.norm(0, np.log(2)).logpdf(log_scatter)
    for value in y:
        density = density - 0.5 * np.log(variance) - (value - figure) ** 2 / (2 * variance)
    density = np.exp(density - density.max())
    of_figure, of_scatter = density.sum(axis=1), density.sum(axis=0)

    def at(values, weights, p):
        up_to = np.cumsum(weights) / weights.sum()
        return float(np.interp(p, up_to, values))

    middle = float((figure[:, 0] * of_figure).sum() / of_figure.sum())
    half = (at(figure[:, 0], of_figure, 0.975) - at(figure[:, 0], of_figure, 0.025)) / 2
    answer = found.interval(np.array([1.0]))
    assert answer.value == pytest.approx(middle, abs=0.01)
    assert answer.half == pytest.approx(half, rel=0.02)
    for got, p in zip(found.spread, (0.5, 0.025, 0.975), strict=False):
        assert got == pytest.approx(np.exp(at(log_scatter[0], of_scatter, p)), rel=0.03)


def test_a_scatter_that_groups_share_is_that_of_one_group_less_a_figure_each():
    """Two groups with figures of their own: the degrees of freedom of both, by scipy's chi-squared."""
    groups = [rows(40, 1, 2.0), rows(40, 2, 2.0)]
    groups[1] = groups[1]._replace(value=groups[1].value + 500.0)
    found = common_scatter([(one, WIDE) for one in groups], ScatterPrior(1.0))
    squares = 0.0
    for one in groups:
        line = stats.linregress(one.design[:, 1], one.value)
        squares += float(np.sum((one.value - line.intercept - line.slope * one.design[:, 1]) ** 2))
    assert found.low == pytest.approx(np.sqrt(squares / stats.chi2(76).ppf(0.975)), rel=0.03)
    assert found.high == pytest.approx(np.sqrt(squares / stats.chi2(76).ppf(0.025)), rel=0.03)
    assert found.readings == 80


def test_readings_as_bad_as_the_scatter_leave_room_for_none():
    """Where the reading explains all there is, the scatter may be next to nothing."""
    found = posterior(rows(200, 3, 0.0, reading=1.0), WIDE, ScatterPrior(1.0))
    assert found.spread.low < 0.25
    assert found.spread.high < 0.6
