"""Small linear programs, of which a jig asks hundreds, by one kept solver: making one costs as much as solving."""

from collections.abc import Sequence
from functools import lru_cache
from threading import get_ident
from typing import Any

import numpy as np

from pipemodel.cutting.mixed_integer import new_solver
from pipemodel.jigs.run_in_jig import Array


def least(
    cost: Array,
    sides: Array,
    limits: Array,
    bounds: Sequence[tuple[float, float]],
    balance: tuple[Array, Array] | None = None,
) -> tuple[Array, Array] | None:
    """Return the unknowns (k,) that cost least, and what a little more of each limit (n,) would add to that cost.

    None where no unknowns keep all that is asked.

    Args:
        cost: (k,), of each unknown.
        sides: (n, k), whose products with the unknowns stay at or under the limits.
        limits: (n,).
        bounds: between which each unknown lies.
        balance: (m, k) and (m,), products that equal something.
    """
    import highspy

    over = np.full(len(limits), -np.inf)
    low, high = (over, limits) if balance is None else (np.append(over, balance[1]), np.append(limits, balance[1]))
    rows = sides if balance is None else np.vstack([sides, balance[0]])
    columns, places = np.nonzero(rows.T)
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(cost), len(rows)
    lp.col_cost_, (lp.col_lower_, lp.col_upper_) = cost, np.array(bounds).T
    lp.row_lower_, lp.row_upper_ = low, high
    lp.a_matrix_.format_ = highspy.MatrixFormat.kColwise
    lp.a_matrix_.start_ = np.searchsorted(columns, np.arange(len(cost) + 1)).astype(np.int32)
    lp.a_matrix_.index_, lp.a_matrix_.value_ = places.astype(np.int32), rows[places, columns]
    solver = _solver(get_ident())
    solver.passModel(lp)
    solver.run()
    if solver.getModelStatus() != highspy.HighsModelStatus.kOptimal:
        return None
    found = solver.getSolution()
    return np.array(found.col_value), np.array(found.row_dual)[: len(limits)]


@lru_cache(maxsize=4)
def _solver(thread: int) -> Any:
    return new_solver()
