"""Where the finish lands, by the linear law of errors: how it moves with each bend, and its covariance.

The start end, the direction of the first leg and the plane of the first bend are as drawn, and the tube is as long.
"""

import numpy as np

from pipemodel.accuracy.errors import Errors
from pipemodel.accuracy.simulate import ROLL_COSTS_MM
from pipemodel.bending.bends import BendTable
from pipemodel.bending.finish_moves import finish_moves as moves_of
from pipemodel.geometry.arrays import Floats


def finish_moves(table: BendTable) -> Floats:
    """Return how the finish moves with each bend's start, angle and turn; (3, 3 n), mm per mm and mm per radian."""
    out: Floats = np.array(moves_of(table)).reshape(-1, 3, 3).transpose(2, 1, 0).reshape(3, -1)
    return out


def source_moves(table: BendTable, errors: Errors) -> Floats:
    """Return how the finish moves with one standard deviation of each source; (3, 3 n), mm.

    What rolling at the joints takes out again is left out; see `simulate.rolled_to_fit`.
    """
    moves = finish_moves(table)
    out: Floats = moves @ errors.to_turns * errors.sd
    if errors.rolled:
        n = errors.bends
        ways = moves[:, [2 * n + i for i in errors.rolled]]
        out = out - ways @ np.linalg.solve(ways.T @ ways + ROLL_COSTS_MM**2 * np.eye(ways.shape[1]), ways.T @ out)
    return out


def shares(table: BendTable, errors: Errors) -> Floats:
    """Return what each source adds to the mean square of how far the finish is off; (3 n,), mm2."""
    moves = source_moves(table, errors)
    out: Floats = np.einsum("ij,ij->j", moves, moves)
    return out


def finish_covariance(table: BendTable, errors: Errors) -> Floats:
    """Return the covariance of the finish by the linear law; (3, 3), mm2, in the room's axes."""
    moves = source_moves(table, errors)
    out: Floats = moves @ moves.T
    return out
