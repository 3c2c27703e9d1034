"""Small linear programs by the kept solver, against scipy's own."""

import numpy as np
import pytest
from scipy.optimize import linprog
from wide import few_or_many

from pipemodel.jigs.linear import least

SEEDS = range(few_or_many(40, 400))


def a_program(seed):
    """Costs, sides, limits, bounds and every other time something to balance; some have no answer."""
    dice = np.random.default_rng(seed)
    k, n = int(dice.integers(2, 9)), int(dice.integers(3, 30))
    sides = dice.standard_normal((n, k)) * (dice.random((n, k)) < 0.7)
    limits = dice.uniform(-0.3, 2.0, n)
    bounds = [(-np.inf, np.inf) if dice.random() < 0.3 else (-dice.uniform(0.0, 5.0), 4.0) for _ in range(k)]
    balance = (dice.standard_normal((1, k)), dice.uniform(-1.0, 1.0, 1)) if seed % 2 else None
    return dice.standard_normal(k), sides, limits, bounds, balance


def test_costs_and_multipliers_are_those_of_another_library():
    answered = refused = 0
    for seed in SEEDS:
        cost, sides, limits, bounds, balance = a_program(seed)
        equal = {} if balance is None else {"A_eq": balance[0], "b_eq": balance[1]}
        theirs = linprog(cost, A_ub=sides, b_ub=limits, bounds=bounds, **equal)
        ours = least(cost, sides, limits, bounds, balance)
        if theirs.status != 0:
            assert ours is None, seed
            refused += 1
            continue
        values, marginals = ours
        assert values @ cost == pytest.approx(theirs.fun, abs=1e-6)
        assert (sides @ values <= limits + 1e-6).all()
        # At a single best corner the multipliers are as well determined: random figures have no others.
        assert marginals == pytest.approx(theirs.ineqlin.marginals, abs=1e-6)
        if balance is not None:
            assert balance[0] @ values == pytest.approx(balance[1], abs=1e-6)
        answered += 1
    assert answered >= 10
    assert refused >= 5


def test_multipliers_say_what_a_little_more_room_is_worth():
    """By hand: of x + y <= 4 and x <= 1, the most of 3x + 2y is 3 + 6; a unit more of either is worth 2 and 1."""
    values, marginals = least(
        np.array([-3.0, -2.0]), np.array([[1.0, 1.0], [1.0, 0.0]]), np.array([4.0, 1.0]), [(0.0, np.inf)] * 2
    )
    assert values == pytest.approx([1.0, 3.0])
    assert -marginals == pytest.approx([2.0, 1.0])


def test_one_after_the_other_they_do_not_change_each_other():
    first = least(*a_program(4))
    for seed in (1, 2, 3):
        least(*a_program(seed))
    again = least(*a_program(4))
    assert (first is None) == (again is None)
    assert first is None or (first[0] == again[0]).all()
