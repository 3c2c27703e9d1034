"""Test pieces bent on a known former and measured in the plane, for the tests of calibration.

Plain coordinates of its own: the tube is walked from its start end along the straight, round the circle and along
the straight beyond, and the tape goes to where the outside lines of the two legs meet.
"""

import math

import numpy as np

from pipemodel.calibration.values import TestPiece

OUTSIDE = 15.0
TRUE = {"radius": 54.2, "mark": 38.0, "fixed": 1.5, "per_degree": 0.05}


def measured(
    name, angle, rng=None, tape=0.5, protractor=0.5, cut=500.0, mark=200.0, true=None, outside=OUTSIDE, line="back"
):
    """Bend one piece on the true former and measure it, with noise if a generator is given.

    `line` is what the legs are measured to: the "back", the "centre" of the tube, or the "inside" of the bend.
    """
    true = true or TRUE
    radius, start, a = true["radius"], mark - true["mark"], math.radians(angle)
    first, last = np.array([1.0, 0.0]), np.array([math.cos(a), math.sin(a)])
    # The bend turns left about a centre above its beginning; the back lies to the right of the way.
    centre = np.array([start, radius])
    end = centre + radius * np.array([math.sin(a), -math.cos(a)])
    finish = end + (cut - start - radius * a) * last
    aside = {"back": 0.5, "centre": 0.0, "inside": -0.5}[line] * outside
    p, q = aside * np.array([0.0, -1.0]), finish + aside * np.array([last[1], -last[0]])
    along, back = np.linalg.solve(np.array([first, -last]).T, q - p)
    noise = (lambda s: rng.normal(0, s)) if rng else (lambda s: 0.0)
    pull = angle + true["fixed"] + true["per_degree"] * angle
    return TestPiece(
        name,
        cut,
        mark,
        angle + noise(protractor),
        float(along) + noise(tape),
        -float(back) + noise(tape),
        pull + noise(protractor),
    )
