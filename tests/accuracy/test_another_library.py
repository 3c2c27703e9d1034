"""The covariance of the finish against pytransform3d, which carries uncertain transforms from frame to frame.

Each bend is one uncertain transform, from where it begins to where it ends, with the tube kept as long. T. D. Barfoot
and P. T. Furgale, Associating uncertainty with three-dimensional poses, IEEE Transactions on Robotics 30, 2014.
"""

import numpy as np
import pytest
from pytransform3d.transformations import adjoint_from_transform, transform_from_exponential_coordinates
from pytransform3d.uncertainty import concat_globally_uncertain_transforms
from test_landing import FINE, RUNS, record_of

from pipemodel.accuracy.errors import BentPart, errors_of
from pipemodel.accuracy.landing import finish_covariance
from pipemodel.pulls.plan import plan_pulls

# Of unit size: rotation about x, y, z, then a step along x, y, z. The tube goes along x and bends about z, to its left.
ALONG, ROLL = np.eye(6)[3], np.eye(6)[0]


def bending(radius):
    """One radian about the centre of a bend, seen from where it begins."""
    return np.array([0.0, 0.0, 1.0, radius, 0.0, 0.0])


def uncertain_bend(bend, turned, hands, held):
    """The transform over one bend, and the covariance of what the hands do to it, in the frame before its turn."""
    roll = transform_from_exponential_coordinates(np.radians(bend["turn_deg"]) * ROLL)
    arc = transform_from_exponential_coordinates(np.radians(bend["angle_deg"]) * bending(bend["radius_mm"]))
    whole = roll @ arc
    before, after = adjoint_from_transform(roll), adjoint_from_transform(whole)
    # Begun later, it has more tube before it and less after; bent further, its longer arc leaves less after it.
    mark = ALONG - after @ ALONG
    angle = before @ bending(bend["radius_mm"]) - bend["radius_mm"] * (after @ ALONG)
    if held == "finish":
        angle -= bend["radius_mm"] * mark
    sources = [hands.mark_mm * mark, np.radians(hands.angle_deg) * angle]
    if turned:
        sources.append(np.radians(hands.turn_deg) * ROLL)
    return whole, sum(np.outer(one, one) for one in sources)


def covariance_of_finish(run, hands, held):
    """In the frame of the start: x along the first leg, z the axis of the first bend."""
    none = np.zeros((6, 6))
    here, spread = transform_from_exponential_coordinates(run["straight_after_mm"] * ALONG), none
    for i, bend in reversed(list(enumerate(run["bends"]))):
        for transform, doubt in (
            uncertain_bend(bend, i > 0, hands, held[i]),
            (transform_from_exponential_coordinates(bend["straight_before_mm"] * ALONG), none),
        ):
            here, spread = concat_globally_uncertain_transforms(here, spread, transform, doubt)
    x, y, z = here[:3, 3]
    # A turn about the start moves the finish by w x p.
    moves = np.hstack([[[0.0, z, -y], [-z, 0.0, x], [y, -x, 0.0]], np.eye(3)])
    return moves @ spread @ moves.T


@pytest.mark.parametrize("by_plan", [False, True])
@pytest.mark.parametrize("name", RUNS)
def test_the_finish_scatters_as_another_library_has_it(name, by_plan):
    solved = RUNS[name]
    pulls = plan_pulls(solved).pulls if by_plan else ()
    held = {pull.bend - 1: pull.held for pull in pulls}
    held = [held.get(i, "start") for i in range(len(solved.table.bends))]
    right = covariance_of_finish(record_of(solved), FINE, held)
    ours = finish_covariance(
        solved.table, errors_of(solved.table.bends, [BentPart(0, len(solved.table.bends), pulls)], FINE)
    )
    # Runs made for the tests lie in that frame; what the library has of the fourth order is left over.
    assert ours == pytest.approx(right, abs=1e-4 * np.trace(right))
