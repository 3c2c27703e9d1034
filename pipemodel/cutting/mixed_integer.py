"""A mixed-integer program, written down variable by variable and row by row, and solved by HiGHS."""

import os
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from math import inf
from typing import Any

import numpy as np

MOST_NODES = 5_000
"""So far the program branches; by count and not by time, for the same plan on every machine."""
SECONDS = 20.0
"""And so long at the very most."""
NEAR_ENOUGH = 1e-3


@dataclass(frozen=True)
class Solved:
    """The value of each variable, and the least that the objective can be."""

    values: list[float]
    bound: float


class IntegerProgram:
    """Variables, counted from 0, and rows low <= sum <= high of their multiples."""

    def __init__(self) -> None:
        self.low: list[float] = []
        self.high: list[float] = []
        self.whole: list[bool] = []
        self.cost: Mapping[int, float] = {}
        self.rows: list[tuple[Mapping[int, float], float, float]] = []

    def number(self, low: float, high: float) -> int:
        """Add a variable between two limits and return its number."""
        self.low.append(low)
        self.high.append(high)
        self.whole.append(False)
        return len(self.low) - 1

    def binary(self) -> int:
        """Add a variable that is 0 or 1 and return its number."""
        number = self.number(0.0, 1.0)
        self.whole[number] = True
        return number

    def row(self, parts: Mapping[int, float], low: float, high: float) -> None:
        """Ask for low <= sum of parts <= high."""
        self.rows.append((parts, low, high))

    def objective(self, cost: Mapping[int, float]) -> None:
        """Say what is to be made least."""
        self.cost = cost

    def solve(self) -> Solved | None:
        """Return the best values found; None where there are none."""
        import highspy

        lp = highspy.HighsLp()
        lp.num_col_, lp.num_row_ = len(self.low), len(self.rows)
        cost = np.zeros(len(self.low))
        for column, value in self.cost.items():
            cost[column] = value
        lp.col_cost_, lp.col_lower_, lp.col_upper_ = cost, np.array(self.low), np.array(self.high)
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        lp.integrality_ = [kinds[whole] for whole in self.whole]
        lp.row_lower_ = np.array([low for _, low, _ in self.rows])
        lp.row_upper_ = np.array([high for _, _, high in self.rows])
        lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        lp.a_matrix_.start_ = np.cumsum([0, *(len(parts) for parts, _, _ in self.rows)])
        lp.a_matrix_.index_ = np.array([column for parts, _, _ in self.rows for column in parts], dtype=np.int32)
        lp.a_matrix_.value_ = np.array([value for parts, _, _ in self.rows for value in parts.values()])
        solver = new_solver()
        solver.setOptionValue("mip_max_nodes", MOST_NODES)
        solver.setOptionValue("time_limit", SECONDS)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", NEAR_ENOUGH)
        solver.setOptionValue("mip_feasibility_tolerance", 1e-9)
        solver.setOptionValue("primal_feasibility_tolerance", 1e-9)
        solver.passModel(lp)
        solver.run()
        info = solver.getInfo()
        if info.primal_solution_status != 2:
            return None
        bound = float(info.mip_dual_bound) if any(self.whole) else float(info.objective_function_value)
        return Solved(list(solver.getSolution().col_value), bound if abs(bound) < inf else -inf)


def new_solver() -> Any:
    """Return a solver that prints nothing and works in one thread."""
    import highspy

    # The solver greets on the process's standard output when made, whatever its options say.
    sys.stdout.flush()
    kept, nowhere = os.dup(1), os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    try:
        solver: Any = highspy.Highs()  # type: ignore[no-untyped-call]
    finally:
        os.dup2(kept, 1)
        os.close(kept)
        os.close(nowhere)
    solver.silent()
    solver.setOptionValue("threads", 1)
    return solver
