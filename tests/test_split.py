"""Runs that cannot be one piece: every piece fits, can be pulled, and together they are the run."""

import math
import random

import pytest

from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.plan import plan_pulls
from pipemodel.bending.schedule import solve_run
from pipemodel.bending.split import BESIDE_BEND_MM, Unsplittable, split_run
from pipemodel.geometry.vectors import distance
from pipemodel.job.model import Route, Run
from pipemodel.trade.fittings import Fitting
from pipemodel.trade.model import Former, Tube

TUBE = Tube(15.0, 0.7, "15 x 0.7")
COUPLING = Fitting("capillary", 10.6)


def solved(corners, hold=60.0, guide=45.0):
    corners = tuple(tuple(map(float, c)) for c in corners)
    return solve_run(Run("flow", TUBE, Former(55.0, hold_mm=hold, guide_mm=guide), Route(corners)))


def assert_whole(run, split, longest):
    assert sum(p.cut_length_mm for p in split.pieces) == pytest.approx(run.cut_length_mm, abs=1e-6)
    assert distance(split.pieces[0].centreline.start, run.centreline.start) < 1e-6
    assert distance(split.pieces[-1].centreline.finish, run.centreline.finish) < 1e-6
    for piece, plan in zip(split.pieces, split.plans, strict=True):
        assert piece.cut_length_mm <= longest
        assert plan.possible
        assert plan_pulls(piece).possible
    for one, other, joint in zip(split.pieces, split.pieces[1:], split.joints, strict=False):
        assert distance(one.centreline.finish, other.centreline.start) < 1e-6
        assert distance(joint.point, one.centreline.finish) < 1e-6
        # The coupling and a little straight beside it lie on the leg of both pieces.
        for straight in (one.centreline.straights[-1], other.centreline.straights[0]):
            assert straight.length >= COUPLING.depth_mm - 1e-9
        for piece, side in ((one, -1), (other, 0)):
            if piece.table.bends:
                assert piece.centreline.straights[side].length >= COUPLING.depth_mm + BESIDE_BEND_MM - 1e-9
    numbers = sum(len(p.table.bends) for p in split.pieces)
    assert numbers == len(run.table.bends)


def test_a_run_that_fits_stays_whole():
    run = solved([(0, 0, 0), (600, 0, 0), (600, 400, 0)])
    split = split_run(run, 3000.0, COUPLING)
    assert split.joints == ()
    assert split.pieces == (run,)


def test_seven_metres_straight_takes_two_joints():
    split = split_run(solved([(0, 0, 0), (7000, 0, 0)]), 3000.0, COUPLING)
    assert len(split.joints) == 2
    assert_whole(solved([(0, 0, 0), (7000, 0, 0)]), split, 3000.0)


def test_a_long_run_is_jointed_on_a_straight_with_the_most_room():
    run = solved([(0, 0, 0), (600, 0, 0), (600, 2600, 0), (600, 2600, 500)])
    split = split_run(run, 3000.0, COUPLING)
    assert_whole(run, split, 3000.0)
    assert [j.leg for j in split.joints] == [1]
    # The middle of the long leg is as far from both bends as can be.
    assert split.joints[0].point[1] == pytest.approx(1300.0, abs=30.0)


def test_a_set_too_tight_to_bend_in_one_piece_is_jointed_elsewhere_or_refused():
    """Legs of 25 between bends can be neither held nor guided, and no coupling fits there either."""
    tight = solved([(0, 0, 0), (500, 0, 0), (500, 135, 0), (1000, 135, 0)])
    assert not plan_pulls(tight).possible
    assert isinstance(split_run(tight, 3000.0, COUPLING), Unsplittable)


def test_a_coupling_between_close_bends_leaves_tails_too_short_to_pull():
    # 44 between the bends takes a coupling (two depths and room beside need 41.2), but leaves each piece a tail of
    # 22, which is neither 60 to hold nor 50 to guide.
    run = solved([(0, 0, 0), (500, 0, 0), (500, 154, 0), (1000, 154, 0)], hold=60.0, guide=50.0)
    assert not plan_pulls(run).possible
    assert isinstance(split_run(run, 3000.0, COUPLING), Unsplittable)


def test_a_joint_that_cannot_be_reached_is_not_used():
    run = solved([(0, 0, 0), (600, 0, 0), (600, 2600, 0), (600, 2600, 500)])
    split = split_run(run, 3000.0, COUPLING, reachable=lambda places: [at < 900.0 for at in places])
    assert_whole(run, split, 3000.0)
    assert all(j.at_mm < 900.0 for j in split.joints)
    nowhere = split_run(run, 3000.0, COUPLING, reachable=lambda places: [False for _ in places])
    assert isinstance(nowhere, Unsplittable)


def test_a_run_of_kilometres_is_not_searched_for_joints():
    split = split_run(solved([(0, 0, 0), (6e7, 0, 0), (6e7, 500, 0)]), 3000.0, COUPLING)
    assert isinstance(split, Unsplittable)
    assert "several runs" in split.why


def test_random_long_runs():
    rng = random.Random(5)
    tried = 0
    while tried < 40:
        corners = [(0.0, 0.0, 0.0)]
        for _ in range(rng.randint(3, 8)):
            p, axis = corners[-1], rng.randrange(3)
            step = rng.choice([-1, 1]) * rng.uniform(150, 1800)
            corners.append(tuple(c + (step if k == axis else 0.0) for k, c in enumerate(p)))
        try:
            run = solved(corners)
        except UnbendableError:
            continue
        tried += 1
        split = split_run(run, 3000.0, COUPLING)
        if isinstance(split, Unsplittable):
            continue
        assert_whole(run, split, 3000.0)
        assert len(split.pieces) >= math.ceil(run.cut_length_mm / 3000.0)
