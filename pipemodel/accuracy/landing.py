"""Where the finish lands, by the linear law of errors: how it moves with each bend, and its covariance.

The start end, the direction of the first leg and the plane of the first bend are as drawn, and the tube is as long.
"""

import numpy as np

from pipemodel.accuracy.errors import Errors
from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.geometry.arrays import Floats


def finish_moves(table: BendTable) -> Floats:
    """Return how the finish moves with each bend's start, angle and turn; (3, 3 n), mm per mm and mm per radian.

    In closed form. Begun later, a bend moves all that follows along the leg before it and back along the leg after it.
    Bent further, it turns all that follows about the centre of the bend and takes its longer arc out of the leg after
    it. Turned further, it turns all that follows about the leg before it.
    """
    line = centreline_of(table)
    legs, finish = line.straights, np.array(line.finish)
    starts, angles, turns = [], [], []
    for before, arc, after in zip(legs, line.arcs, legs[1:], strict=False):
        one, two = np.array(before.direction), np.array(after.direction)
        starts.append(one - two)
        angles.append(np.cross(arc.axis, finish - arc.centre) - arc.radius * two)
        turns.append(np.cross(one, finish - before.finish))
    return np.array([*starts, *angles, *turns]).reshape(-1, 3).T


def shares(table: BendTable, errors: Errors) -> Floats:
    """Return what each source adds to the mean square of how far the finish is off; (3 n,), mm2."""
    moves = finish_moves(table) @ errors.to_turns * errors.sd
    out: Floats = np.einsum("ij,ij->j", moves, moves)
    return out


def finish_covariance(table: BendTable, errors: Errors) -> Floats:
    """Return the covariance of the finish by the linear law; (3, 3), mm2, in the room's axes."""
    moves = finish_moves(table) @ errors.to_turns * errors.sd
    out: Floats = moves @ moves.T
    return out
