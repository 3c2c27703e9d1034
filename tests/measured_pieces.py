"""Test pieces bent on a known former and measured in space, for the tests of calibration."""

import math

import numpy as np

from pipemodel.bending.bends import Bend, BendTable, centreline_of
from pipemodel.bending.calibrate import TestPiece

OUTSIDE = 15.0
TRUE = {"radius": 54.2, "mark": 38.0, "fixed": 1.5, "per_degree": 0.05}


def measured(name, angle, rng=None, tape=0.5, protractor=0.5, cut=500.0, mark=200.0):
    """Bend one piece on the true former and measure it in space, with noise if a generator is given."""
    radius = TRUE["radius"]
    start = mark - TRUE["mark"]
    arc = radius * math.radians(angle)
    bend = Bend(1, start, start, angle, 0.0, radius, arc, 0.0)
    table = BendTable((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (bend,), cut - start - arc)
    line = centreline_of(table)
    # The back: where the outside lines of the two legs meet. Outside of a left-hand bend is the right.
    first, last = np.array([1.0, 0.0]), np.array(line.pieces[-1].direction[:2])
    p = np.array([0.0, 0.0]) + OUTSIDE / 2 * np.array([0.0, -1.0])
    q = np.array(line.finish[:2]) + OUTSIDE / 2 * np.array([last[1], -last[0]])
    along, back = np.linalg.solve(np.array([first, -last]).T, q - p)
    noise = (lambda s: rng.normal(0, s)) if rng else (lambda s: 0.0)
    pull = angle + TRUE["fixed"] + TRUE["per_degree"] * angle
    return TestPiece(
        name,
        cut,
        mark,
        angle + noise(protractor),
        float(along) + noise(tape),
        -float(back) + noise(tape),
        pull + noise(protractor),
    )
