"""Where a coupling can be made, against collisions of bodies by python-fcl."""

import math

import fcl
import numpy as np
import pytest

from pipemodel.bending.schedule import solve_run
from pipemodel.cutting.joint_places import SIDES_DEG, JointRoom, parts_beside_bends, side_of
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.geometry.vectors import rotate
from pipemodel.job.model import Route, Run, Thing
from pipemodel.trade.model import Former, Tube

DEPTH = 10.6
OUTER = 15.0 / 2.0 + 1.5
"""The coupling's radius. Common practice, no source; as docs/bending.md says, like the reach of 25."""


def straight(length=4000.0, tube=15.0):
    route = Route(((0.0, 0.0, 0.0), (length, 0.0, 0.0)))
    return solve_run(Run("flow", Tube(tube, 0.7, "tube"), Former(55.0), route))


def covered(parts, at):
    return [p for p in parts if p.low <= at <= p.high]


def body(x, side):
    """What a coupling with its middle at x wants: all round without a side, else half of it, in front."""
    radius, aside = (OUTER + 25.0, np.zeros(3)) if side is None else (OUTER + 12.5, 12.5 * np.array(side))
    turn = np.array([[0.0, 0.0, 1.0], [0.0, 1.0, 0.0], [-1.0, 0.0, 0.0]])  # fcl's cylinder lies along z
    return fcl.CollisionObject(fcl.Cylinder(radius, 2 * DEPTH), fcl.Transform(turn, np.array([x, 0, 0]) + aside))


def hit(x, side, boxes):
    one = body(x, side)
    return any(fcl.collide(one, box, fcl.CollisionRequest(), fcl.CollisionResult()) for box in boxes)


def as_fcl(low, high):
    low, high = np.array(low), np.array(high)
    return fcl.CollisionObject(fcl.Box(*(high - low)), fcl.Transform(np.eye(3), (low + high) / 2))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_stretches_are_free_and_what_is_left_out_is_not(seed):
    dice = np.random.default_rng(seed)
    # The wall at the back is nearest everywhere, so that the side away from it is the first of those tried.
    lows_highs = [((-500.0, -60.0, -500.0), (4500.0, -OUTER - 0.5, 500.0))]
    for _ in range(5):
        low = np.array([dice.uniform(0, 3800), dice.uniform(-9, 40), dice.uniform(-60, 40)])
        high = low + dice.uniform(3, 60, 3) * [4, 1, 1]
        if np.hypot(max(low[1], -high[1], 0), max(low[2], -high[2], 0)) > OUTER + 1.0:
            lows_highs.append((tuple(low), tuple(high)))
    things = [Thing(f"thing {i}", Box(*(tuple(map(float, c)) for c in b))) for i, b in enumerate(lows_highs)]
    boxes = [as_fcl(*b) for b in lows_highs]
    parts = JointRoom(things).free_parts([straight()], DEPTH)[0]
    sides = [rotate((0.0, 1.0, 0.0), (1.0, 0.0, 0.0), a) for a in (0, 45, -45, 90, -90, 135, -135, 180)]
    looked = [0, 0]
    for x in np.arange(DEPTH + 1.0, 4000.0 - DEPTH, 7.3):
        here = covered(parts, x)
        if here:
            looked[0] += 1
            assert all(not hit(x, p.side, boxes) or min(x - p.low, p.high - x) < 0.1 for p in here)
        elif not covered(parts, x - 1.0) and not covered(parts, x + 1.0):
            looked[1] += 1
            assert all(hit(x, side, boxes) for side in (None, *sides))
    assert looked[0] > 200
    assert looked[1] > 0


def test_along_a_wall_it_is_made_from_the_side_away_from_it():
    wall = Thing("wall", HalfSpace((0.0, -15.0, 0.0), (0.0, 1.0, 0.0)))
    (part,) = JointRoom([wall]).free_parts([straight()], DEPTH)[0]
    assert (part.low, part.high) == pytest.approx((DEPTH, 4000.0 - DEPTH))
    assert part.side == pytest.approx((0.0, 1.0, 0.0))
    assert part.away_from == "wall"


def test_in_a_corner_it_is_made_from_between_the_two():
    wall = Thing("wall", HalfSpace((0.0, -14.0, 0.0), (0.0, 1.0, 0.0)))
    floor = Thing("floor", HalfSpace((0.0, 0.0, -15.0), (0.0, 0.0, 1.0)))
    (part,) = JointRoom([wall, floor]).free_parts([straight()], DEPTH)[0]
    assert part.side == pytest.approx((0.0, math.sqrt(0.5), math.sqrt(0.5)))
    assert str(side_of(part.side)) == "the north and above"


@pytest.mark.slow
@pytest.mark.parametrize(("clear", "free"), [(25.2, True), (24.8, False)])
def test_twenty_five_in_front_of_the_coupling_are_wanted(clear, free):
    """Between two walls, one as near as the coupling lets it be."""
    back = Thing("back", HalfSpace((0.0, -OUTER - 0.1, 0.0), (0.0, 1.0, 0.0)))
    front = Thing("front", HalfSpace((0.0, OUTER + clear, 0.0), (0.0, -1.0, 0.0)))
    parts = JointRoom([back, front]).free_parts([straight()], DEPTH)[0]
    # Sideways, between the walls, there is as much room as one likes.
    assert (parts[0].side == pytest.approx((0.0, 1.0, 0.0))) if free else not parts


@pytest.mark.parametrize(("gap", "free"), [(1.6, True), (1.4, False)])
def test_a_coupling_stands_off_its_tube(gap, free):
    wall = Thing("wall", HalfSpace((0.0, -7.5 - gap, 0.0), (0.0, 1.0, 0.0)))
    assert bool(JointRoom([wall]).free_parts([straight()], DEPTH)[0]) == free


@pytest.mark.slow
def test_a_post_takes_its_own_width_and_the_coupling_and_no_more():
    # It stands behind and in front, so that no side helps: 100 wide, the coupling 21.2 long.
    posts = [
        Thing(f"post {y}", Box((2000.0, y, -500.0), (2100.0, y + 40.0, 500.0))) for y in (OUTER + 3.0, -OUTER - 43.0)
    ]
    one, other = JointRoom(posts).free_parts([straight()], DEPTH)[0]
    assert one.high == pytest.approx(2000.0 - DEPTH, abs=0.5)
    assert one.high <= 2000.0 - DEPTH
    assert other.low == pytest.approx(2100.0 + DEPTH, abs=0.5)
    assert other.low >= 2100.0 + DEPTH


def test_ten_are_left_between_a_coupling_and_a_bend():
    run = Run(
        "flow", Tube(15.0, 0.7, "tube"), Former(55.0), Route(((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 900.0, 0.0)))
    )
    first, second = parts_beside_bends(solve_run(run), DEPTH)
    assert (first.low, first.high) == pytest.approx((DEPTH, 545.0 - DEPTH - 10.0))
    arc = 55.0 * math.pi / 2.0
    assert (second.low, second.high) == pytest.approx((545.0 + arc + DEPTH + 10.0, 545.0 + arc + 845.0 - DEPTH))


def test_nothing_fits_within_a_solid():
    block = Thing("block", Box((-100.0, -500.0, -500.0), (5000.0, 500.0, 500.0)))
    assert JointRoom([block]).free_parts([straight()], DEPTH)[0] == []


@pytest.mark.parametrize(
    ("side", "words"),
    [((1, 0, 0), "the east"), ((-1, 0, 0), "the west"), ((0, 1, 0), "the north"), ((0, -1, 0), "the south"),
     ((0, 0, 1), "above"), ((0, 0, -1), "below"), ((-0.7, 0, -0.7), "the west and below"),
     ((0, -0.7, 0.7), "the south and above"), ((0.97, 0.2, -0.1), "the east")],
)  # fmt: skip
def test_sides_in_words(side, words):
    assert str(side_of(tuple(map(float, side)))) == words


def test_all_eight_sides_are_tried_the_nearest_to_straight_away_first():
    assert sorted(turn % 360.0 for turn in SIDES_DEG) == [45.0 * k for k in range(8)]
    assert [abs(turn) for turn in SIDES_DEG] == sorted(abs(turn) for turn in SIDES_DEG)


@pytest.mark.slow
@pytest.mark.parametrize("turn", [0, 45, 90, 135, 180, 225, 270, 315])
def test_a_coupling_is_made_from_the_one_side_that_is_open(turn):
    """Three rods leave one side open; which is tried first is set by a peg that is nearest, far along the tube.

    A hand in front of the coupling is 21.5 round a place 12.5 off the axis. A rod 15 off behind it and two 26 off
    beside it are clear of that by 4 and 5, and in the way from every other eighth of a turn.
    """

    def rod(name, way, off, begin, end, thick):
        y, z = (off * f(math.radians(way)) for f in (math.cos, math.sin))
        return Thing(name, Cylinder((begin, y, z), (end, y, z), thick))

    peg = rod("peg", 180.0, 10.5, 1440.0, 1500.0, 2.0)
    rods = [rod(f"rod {at}", turn + at, off, 1000.0, 1080.0, 4.0) for at, off in ((90, 26.0), (180, 15.0), (270, 26.0))]
    (part,) = covered(JointRoom([peg, *rods]).free_parts([straight(1500.0)], DEPTH)[0], 1040.0)
    assert part.side == pytest.approx((0.0, math.cos(math.radians(turn)), math.sin(math.radians(turn))), abs=1e-6)
    assert part.away_from == "peg"


def test_a_joint_on_the_legs_beyond_the_first_is_on_its_own_leg():
    run = Run(
        "flow", Tube(15.0, 0.7, "tube"), Former(55.0), Route(((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 900.0, 0.0)))
    )
    floor = Thing("floor", HalfSpace((0.0, 0.0, -15.0), (0.0, 0.0, 1.0)))
    first, second = JointRoom([floor]).free_parts([solve_run(run)], DEPTH)[0]
    arc = 55.0 * math.pi / 2.0
    assert (first.leg, first.leg_low, first.leg_high) == (0, 0.0, 545.0)
    assert (second.leg, second.leg_low, second.leg_high) == (1, pytest.approx(545.0 + arc), pytest.approx(1390.0 + arc))
    assert second.side == pytest.approx((0.0, 0.0, 1.0))
    assert (second.low, second.high) == pytest.approx((545.0 + arc + DEPTH + 10.0, 1390.0 + arc - DEPTH))
