"""Runs that cannot be one piece: the fewest joints, and pieces that fit, can be pulled and together are the run."""

import math
import random
from itertools import pairwise

import pytest

from pipemodel.bending.corner_faults import UnbendableError
from pipemodel.bending.schedule import solve_run
from pipemodel.cutting.joint_places import FreePart, parts_beside_bends
from pipemodel.cutting.joints_and_stock import Long, plan_together
from pipemodel.cutting.split import Divisible, Split
from pipemodel.geometry.vectors import distance
from pipemodel.job.model import Route, Run
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.fittings import Fitting
from pipemodel.trade.model import Former, Tube

TUBE = Tube(15.0, 0.7, "15 x 0.7")
COUPLING = Fitting("capillary", 10.6)
BESIDE, STUB = 10.0, 100.0
"""Straight between a coupling and a bend, and the shortest piece, as docs/bending.md says."""


def solved(corners, hold=60.0, guide=45.0):
    corners = tuple(tuple(map(float, c)) for c in corners)
    return solve_run(Run("flow", TUBE, Former(55.0, hold_mm=hold, guide_mm=guide), Route(corners)))


def divisible(run, within=None):
    """A run whose joints may be anywhere beside the bends, or there only where `within` says: (from, to)."""
    parts = parts_beside_bends(run, COUPLING.depth_mm)
    if within is not None:
        low, high = within
        cut = [p for p in parts if p.low <= high and p.high >= low]
        parts = [type(p)(p.leg, max(p.low, low), min(p.high, high), p.leg_low, p.leg_high) for p in cut]
    return Divisible.of(run, COUPLING, parts)


def split(run, longest, within=None):
    """The pieces with the fewest joints, None where there are none."""
    made = divisible(run, within)
    joints = made.fewest(longest)
    if joints is None:
        return None
    found = plan_together([Long(made, joints, joints)], [], longest, (), 0.0)
    out = made.divided([place for place, _ in found.joints[0]], [at for _, at in found.joints[0]])
    assert isinstance(out, Split)
    return out


def assert_whole(run, split, longest):
    assert sum(p.cut_length_mm for p in split.pieces) == pytest.approx(run.cut_length_mm, abs=1e-6)
    assert distance(split.pieces[0].centreline.start, run.centreline.start) < 1e-6
    assert distance(split.pieces[-1].centreline.finish, run.centreline.finish) < 1e-6
    for piece, plan in zip(split.pieces, split.plans, strict=True):
        assert piece.cut_length_mm <= longest + 1e-6
        assert piece.cut_length_mm >= STUB - 1e-6
        assert plan.possible
        assert plan_pulls(piece).possible
    for one, other, joint in zip(split.pieces, split.pieces[1:], split.joints, strict=False):
        assert distance(one.centreline.finish, other.centreline.start) < 1e-6
        assert distance(joint.point, one.centreline.finish) < 1e-6
        # The coupling and a little straight beside it lie on the leg of both pieces.
        for straight in (one.centreline.straights[-1], other.centreline.straights[0]):
            assert straight.length >= COUPLING.depth_mm - 1e-6
        for piece, side in ((one, -1), (other, 0)):
            if piece.table.bends:
                assert piece.centreline.straights[side].length >= COUPLING.depth_mm + BESIDE - 1e-6
    numbers = sum(len(p.table.bends) for p in split.pieces)
    assert numbers == len(run.table.bends)


def can_pull(bends, begin, end, hold, guide):
    """Some order of pulls, tried one bend at a time and back again: the straights beside each, as they stand then."""

    def onward(made):
        if len(made) == len(bends):
            return True
        for i in range(len(bends)):
            if i in made:
                continue
            before = max([begin, *(bends[k][1] for k in made if k < i)])
            after = min([end, *(bends[k][0] for k in made if k > i)])
            left, right = bends[i][0] - before + 1e-6, after - bends[i][1] + 1e-6
            if ((left >= hold and right >= guide) or (right >= hold and left >= guide)) and onward(made | {i}):
                return True
        return False

    return onward(frozenset())


def fewest_on_a_grid(run, longest, step, hold=60.0, guide=45.0):
    """The fewest joints with joints only every so often: never fewer than there truly are."""
    bends = [(b.start_mm, b.finish_mm) for b in run.table.bends]
    length = run.table.length_mm
    need = COUPLING.depth_mm + BESIDE

    def free(x):
        return all(x <= a - need or x >= b + need for a, b in bends)

    places = [0.0, *(x for x in (k * step for k in range(1, int(length / step) + 1)) if free(x) and x < length), length]
    joints = {0: -1}
    for j, x in enumerate(places[1:], 1):
        ways = []
        for i in range(j - 1, -1, -1):
            if x - places[i] > longest:
                break
            inside = [b for b in bends if places[i] <= b[0] and b[1] <= x]
            long_enough = x - places[i] >= STUB or (i, j) == (0, len(places) - 1)
            if i in joints and long_enough and can_pull(inside, places[i], x, hold, guide):
                ways.append(joints[i] + 1)
        if ways:
            joints[j] = min(ways)
    return joints.get(len(places) - 1)


def test_a_run_that_fits_stays_whole():
    run = solved([(0, 0, 0), (600, 0, 0), (600, 400, 0)])
    found = split(run, 3000.0)
    assert found.joints == ()
    assert found.pieces == (run,)


@pytest.mark.parametrize(
    ("length", "pieces"),
    [(3000, 1), (3001, 2), (5990, 2), (6000, 2), (6001, 3), (7000, 3), (9000, 3), (12000, 4)],
)
def test_a_straight_takes_as_few_pieces_as_its_length_says(length, pieces):
    run = solved([(0, 0, 0), (length, 0, 0)])
    found = split(run, 3000.0)
    assert len(found.pieces) == pieces
    if pieces > 1:
        assert_whole(run, found, 3000.0)


def test_a_joint_stands_clear_of_bends_where_it_can():
    run = solved([(0, 0, 0), (600, 0, 0), (600, 2600, 0), (600, 2600, 500)])
    found = split(run, 3000.0)
    assert_whole(run, found, 3000.0)
    assert [j.leg for j in found.joints] == [1]
    leg = 545.0 + 55.0 * math.pi / 2.0
    (joint,) = found.joints
    assert min(joint.at_mm - leg, leg + 2490.0 - joint.at_mm) >= 299.0


def test_a_set_too_tight_to_bend_in_one_piece_is_jointed_elsewhere_or_refused():
    """Legs of 25 between bends can be neither held nor guided, and no coupling fits there either."""
    tight = solved([(0, 0, 0), (500, 0, 0), (500, 135, 0), (1000, 135, 0)])
    assert not plan_pulls(tight).possible
    assert split(tight, 3000.0) is None


def test_a_coupling_between_close_bends_leaves_tails_too_short_to_pull():
    # 44 between the bends takes a coupling (two depths and room beside need 41.2), but leaves each piece a tail of
    # 22, which is neither 60 to hold nor 50 to guide.
    run = solved([(0, 0, 0), (500, 0, 0), (500, 154, 0), (1000, 154, 0)], hold=60.0, guide=50.0)
    assert not plan_pulls(run).possible
    assert split(run, 3000.0) is None


def test_a_joint_that_cannot_be_reached_is_not_used():
    run = solved([(0, 0, 0), (600, 0, 0), (600, 2600, 0), (600, 2600, 500)])
    found = split(run, 3000.0, within=(0.0, 900.0))
    assert_whole(run, found, 3000.0)
    assert all(j.at_mm <= 900.0 for j in found.joints)
    assert split(run, 3000.0, within=(-5.0, -1.0)) is None


def test_the_place_may_be_as_narrow_as_it_likes():
    """Only 2 mm serve a run of 5,999, wherever a grid of places lies."""
    run = solved([(0, 0, 0), (5999, 0, 0)])
    assert len(split(run, 3000.0, within=(2999.3, 2999.9)).joints) == 1
    assert split(run, 3000.0, within=(2998.0, 2998.9)) is None


def test_a_piece_is_no_stub():
    run = solved([(0, 0, 0), (3050, 0, 0)])
    assert min(p.cut_length_mm for p in split(run, 3000.0).pieces) >= STUB
    assert split(run, 3000.0, within=(2951.0, 3040.0)) is None
    assert len(split(run, 3000.0, within=(2940.0, 2949.0)).joints) == 1


def test_trim_is_on_the_last_piece():
    run = solved([(0, 0, 0), (5990, 0, 0)])
    ends = type(run.run.ends)(trim_mm=20.0)
    longer = solve_run(type(run.run)(**{**vars(run.run), "ends": ends}))
    assert divisible(run).fewest(3000.0) == 1
    assert divisible(longer).fewest(3000.0) == 2
    found = split(longer, 3010.0)
    assert found.pieces[-1].cut_length_mm == pytest.approx(5990.0 + 20.0 - found.joints[0].at_mm)
    assert found.pieces[-1].cut_length_mm <= 3010.0


def test_why_it_cannot_be_is_said():
    far = divisible(solved([(0, 0, 0), (6e7, 0, 0), (6e7, 500, 0)]))
    assert "several runs" in far.why_not(3000.0)
    assert "no straight with room" in divisible(solved([(0, 0, 0), (3500, 0, 0)]), (-9.0, -1.0)).why_not(3000.0)


@pytest.mark.slow
def test_random_long_runs_have_the_fewest_joints():
    rng = random.Random(5)
    tried = jointed = equal = refused = 0
    while tried < 25:
        corners = [(0.0, 0.0, 0.0)]
        for _ in range(rng.randint(3, 7)):
            p, axis = corners[-1], rng.randrange(3)
            step = rng.choice([-1, 1]) * rng.choice([rng.uniform(130, 320), rng.uniform(200, 1900)])
            corners.append(tuple(c + (step if k == axis else 0.0) for k, c in enumerate(p)))
        try:
            run = solved(corners)
        except UnbendableError:
            continue
        if len(run.table.bends) > 5:
            continue
        tried += 1
        longest = rng.choice([1500.0, 2000.0, 3000.0])
        found, grid = split(run, longest), fewest_on_a_grid(run, longest, 29.0)
        if found is None:
            refused += 1
            assert grid is None
            continue
        if found.joints:
            jointed += 1
            assert_whole(run, found, longest)
        assert grid is None or len(found.joints) <= grid
        equal += len(found.joints) == grid
        assert len(found.pieces) >= math.ceil(run.cut_length_mm / longest - 1e-9)
        assert all(a.at_mm < b.at_mm for a, b in pairwise(found.joints))
    assert jointed >= 10
    assert equal >= 12


def test_why_not_in_whole_sentences():
    """41 is twice a depth of 10.6 and the 10 beside each mouth."""
    assert str(divisible(solved([(0, 0, 0), (6e7, 0, 0), (6e7, 500, 0)])).why_not(3000.0)) == (
        "that is more than 50 pieces: write it as several runs"
    )
    assert str(divisible(solved([(0, 0, 0), (3500, 0, 0)]), (-9.0, -1.0)).why_not(3000.0)) == (
        "run 'flow' has no straight with room for a coupling: one needs 41 mm of straight between bends, and to be "
        "reached from one side"
    )
    assert str(divisible(solved([(0, 0, 0), (3500, 0, 0)]), (20.0, 90.0)).why_not(3000.0)) == (
        "run 'flow' cannot be divided, where a coupling can be got at, into pieces of at most 3000 mm and at least "
        "100 mm that can all be bent: make room for one, lengthen the legs the plan of pulls names, or take longer "
        "stock"
    )


@pytest.mark.parametrize(
    ("low", "high", "at"),
    # Clear of the bends it would stand as near to the start as it may; the next half millimetre is above, or below.
    [(110.1, 110.7, 110.5), (110.3, 110.7, 110.5), (110.0, 110.7, 110.0), (110.6, 110.8, 110.6), (110.9, 111.2, 111.0)],
)
def test_a_joint_stands_on_a_half_millimetre_where_its_place_has_one(low, high, at):
    run = solved([(0, 0, 0), (1000, 0, 0)])
    made = Divisible.of(run, COUPLING, [FreePart(0, low, high, -1000.0, 111.3)])
    (((_, where),),) = plan_together([Long(made, 1, 1)], [], 950.0, (), 2.0).joints
    assert where == pytest.approx(at, abs=1e-6)


def test_a_joint_knows_its_leg_and_its_mouths():
    """2600 from the start of the leg, and the coupling's depth to each side."""
    run = solved([(0, 0, 0), (600, 0, 0), (600, 3000, 0), (600, 3000, 500)])
    made = divisible(run)
    leg = 545.0 + 55.0 * math.pi / 2.0
    place = max(k for k in range(made.finish) if made.places[k].leg == 1 and made.places[k].low <= leg + 2600.0)
    joint = made.joint(place, leg + 2600.0)
    assert (joint.leg, joint.depth_mm) == (1, 10.6)
    assert joint.mouths_mm == pytest.approx((leg + 2589.4, leg + 2610.6))
    assert joint.point == pytest.approx((600.0, 55.0 + 2600.0, 0.0))


def test_pieces_bear_the_marks_of_their_own_run_and_go_into_their_couplings():
    """The bend at 2945 of the whole is at 945 of a piece that begins at 2000."""
    run = solved([(0, 0, 0), (3000, 0, 0), (3000, 600, 0), (3000, 600, 600)])
    made = divisible(run)
    place = next(k for k in range(made.finish) if made.places[k].low <= 2000.0 <= made.places[k].high)
    out = made.divided([place], [2000.0])
    first, second = out.pieces
    assert (first.name, second.name) == ("flow piece 1", "flow piece 2")
    assert (first.bends, first.cut_length_mm) == ((), 2000.0)
    one, two = second.bends
    assert (one.number, one.start_mm, one.turn_deg, one.straight_before_mm) == (
        1,
        pytest.approx(945.0),
        0.0,
        pytest.approx(945),
    )
    assert (two.number, two.angle_deg, abs(two.turn_deg)) == (2, pytest.approx(90.0), pytest.approx(90.0))
    assert two.turn_deg == pytest.approx(run.bends[1].turn_deg)
    assert second.start == pytest.approx((2000.0, 0.0, 0.0))
    assert second.finish == pytest.approx((3000.0, 600.0, 600.0))
    assert (first.run.ends.start.fitting, first.run.ends.finish.fitting) == (None, COUPLING)
    assert (second.run.ends.start.fitting, second.run.ends.finish.fitting) == (COUPLING, None)


@pytest.mark.parametrize("length", [40.0, 80.0, 99.0, 101.0])
def test_a_run_shorter_than_the_shortest_piece_needs_no_joint(length):
    assert divisible(solved([(0, 0, 0), (length, 0, 0)])).fewest(3000.0) == 0
