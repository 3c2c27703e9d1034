"""The tube against itself through its pulls, against a walk along it in small steps and every order there is.

What the walk shares with the planner is the bend table; `self_sweep` says how it bends the tube.
"""

import functools
import itertools
import math
import random
import re

import pytest
from made_runs import SPRINGY, made_run
from pulls.plan_costs import straights
from self_sweep import gap, least_gap
from wide import few_or_many

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.bender import bender as bender_check
from pipemodel.job.model import Job
from pipemodel.pulls.clear_of_itself import Itself
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.model import Springback

OUTSIDE = 15.0


@functools.cache
def case(seed):
    """A run that comes back near itself, and its plan; one in three is pulled far over, so that legs close."""
    dice = random.Random(seed)
    if seed % 3 == 0:
        legs = [dice.choice([120, 250, 400]) + dice.random() for _ in range(3)]
        return planned(legs, [180, dice.choice([60, 90, 180])], [dice.choice([0, 20, 90, 180])], Springback(0.0, 18.0))
    n = dice.choice([3, 4, 4, 5])
    legs = [dice.choice([40, 60, 80, 120, 200, 350]) + dice.random() for _ in range(n + 1)]
    angles = [dice.choice([45, 90, 90, 120, 180]) for _ in range(n)]
    turns = [dice.choice([0, 0, 90, 180, -90, 30, -20, 10]) for _ in range(n - 1)]
    springback = dice.choice([SPRINGY, Springback(0.02, 0.0), Springback()])
    return planned(legs, angles, turns, springback)


def planned(legs, angles, turns, springback=SPRINGY):
    run = made_run(legs, angles, turns, hold_mm=30.0, guide_mm=10.0, springback=springback)
    return run, plan_pulls(run)


CASES = range(90)
TRIED = few_or_many(CASES[::3], CASES)
"""Those that are followed step by step."""


def some_order(run, margin):
    """Whether any order has straights enough and stays clear of itself by `margin`, pull after pull."""
    n, former = len(run.table.bends), run.former

    @functools.cache
    def comes_apart(made):
        for bend, held in itertools.product(made, ("start", "finish")):
            hold, guide = straights(run, bend, held, made - {bend})
            if hold < former.hold_mm or guide < former.guide_mm:
                continue
            least = least_gap(run, made - {bend}, bend, held, 2.0, OUTSIDE + margin)
            if least >= OUTSIDE + margin and comes_apart(made - {bend}):
                return True
        return not made

    # From the finished piece: what crosses itself there does in every order.
    everything = frozenset(range(1, n + 1))
    return gap(run, everything) >= OUTSIDE + margin and comes_apart(everything)


@pytest.mark.slow
@pytest.mark.parametrize("seed", TRIED)
def test_possible_is_clear_all_the_way_and_impossible_is_not_in_any_order(seed):
    run, plan = case(seed)
    if plan.possible:
        made = frozenset()
        for pull in plan.pulls:
            assert least_gap(run, made, pull.bend, pull.held, 2.0) >= OUTSIDE - 1e-3, pull
            made |= {pull.bend}
        assert len(made) == len(run.table.bends)
    else:
        assert {h.kind for h in plan.hindrances} <= {"itself", "straight"}
        assert not some_order(run, 1.0), plan.why_not


def test_the_runs_hold_every_kind():
    plans = [case(seed)[1] for seed in CASES]
    crossing = [str(p.why_not[0]) for p in plans if p.hindrances and p.hindrances[0].kind == "itself"]
    assert sum(p.possible for p in plans) >= 50
    assert sum(why.startswith("bent as drawn") for why in crossing) >= 5
    assert sum("can't be pulled" in why for why in crossing) >= 4
    # Another order was found where the best by the former's limits alone would cross itself.
    assert sum(_other_order(*case(seed)) for seed in CASES) >= 5


def _other_order(run, plan):
    """Whether 1 to n held by the start side would have crossed itself, and another order does not."""
    made = frozenset()
    for bend in range(1, len(run.table.bends) + 1):
        if not plan.possible or plan.in_number_order:
            return False
        if not Clearance(PieceToBend.of(run), None).clear(bend - 1, 0, sum(1 << m - 1 for m in made)):
            return True
        made |= {bend}
    return False


@pytest.mark.slow
def test_single_pulls_against_the_walk():
    """Pull by pull, whatever is made already: what is clear stays clear at every step, what is not comes to a touch."""
    dice, clear, touching = random.Random(4), 0, 0
    for seed in range(300, 345):
        run, _ = case(seed)
        itself, n = Itself(PieceToBend.of(run)), len(run.table.bends)
        for _ in range(1):
            bend, held = dice.randrange(n), dice.randrange(2)
            made = frozenset(b for b in range(1, n + 1) if b != bend + 1 and dice.random() < 0.8)
            if straights(run, bend + 1, ("start", "finish")[held], made)[1] < 0.0:
                continue
            # Bends that were made before and touch already say nothing about this pull.
            if gap(run, made) < OUTSIDE + 1.0:
                continue
            bits = sum(1 << b - 1 for b in made)
            if itself.clear(bend, held, bits):
                least = least_gap(run, made, bend + 1, ("start", "finish")[held], 1.5)
                assert least >= OUTSIDE - 1e-3
                clear += 1
            else:
                least = least_gap(run, made, bend + 1, ("start", "finish")[held], 1.0)
                # A tail of 600 goes 10 mm in a step, 5 to either side of where it was nearest.
                assert least <= math.hypot(OUTSIDE + 0.5, 5.0)
                touch = itself.touch(bend, held, bits)
                assert touch.depth_mm <= OUTSIDE
                assert OUTSIDE - touch.depth_mm <= least + 1.2
                touching += 1
    assert clear >= 20
    assert touching >= 4


# ---- worked by hand


def test_a_tail_across_the_other_is_named_with_the_leg_that_clears_it():
    """Start tail of 300 and its corner at 355; two sides of 200 + 2 x 55; so the finish tail comes down at x = 45.

    It crosses the start tail, axis through axis. Past the tail's end by one diameter it would be clear: 45 + 15 more
    for the leg before it, and no length of the leg before that.
    """
    run, plan = planned([300, 200, 200, 500], [90] * 3, [0] * 2, Springback())
    (why,) = map(str, plan.why_not)
    assert why.startswith("bent as drawn, the finish tail goes ")
    assert "mm into the tube's own start tail, whatever the order of pulls" in why
    assert plan.hindrances[0].has == pytest.approx(-15.0, abs=1.0)
    assert re.search(r"leg between bends 2 and 3 6[01] mm longer keeps it clear$", why)
    (found,) = bender_check(Schedule(Job("test", (run.run,)), (run,)))
    assert (found.code, found.severity, found.required_mm) == ("B107", "error", 0.0)
    assert planned([300, 200, 261, 500], [90] * 3, [0] * 2, Springback())[1].possible
    assert not planned([300, 200, 259, 500], [90] * 3, [0] * 2, Springback())[1].possible


def test_a_return_bend_that_springs_back_far_is_pulled_into_its_own_leg():
    """Legs 110 apart after 180 degrees; pulled 20 further they would close on each other 110 / sin 20 = 322 on.

    The groove is smaller by 180 / 200, so a little sooner. Legs of 200 still clear one tube, legs of 400 do not.
    """
    springback = Springback(0.0, 20.0)
    assert plan_pulls(made_run([200, 200], [180], springback=springback, hold_mm=30.0, guide_mm=10.0)).possible
    plan = plan_pulls(made_run([400, 400], [180], springback=springback, hold_mm=30.0, guide_mm=10.0))
    assert not plan.possible
    assert "the free side's" in plan.why_not[0]
    assert "into the tube's own" in plan.why_not[0]


def test_straight_tube_and_few_bends_have_nothing_to_meet():
    piece = PieceToBend.of(made_run([500], []))
    assert Itself(piece).always_clear
    assert Clearance(piece, None).allowed is None
    assert Clearance(PieceToBend.of(made_run([2000, 2000], [90])), None).allowed is None
    assert Clearance(PieceToBend.of(made_run([2000, 200, 2000], [90, 90])), None).allowed is not None


def test_a_joint_named_leaves_two_pieces_that_clear_themselves():
    tried = 0
    for seed in CASES:
        run, plan = case(seed)
        found = re.search(r"; a joint in the leg between bends (\d) and \d frees it", " ".join(map(str, plan.why_not)))
        if found is None:
            continue
        k = int(found[1])
        legs = [b.straight_before_mm for b in run.table.bends] + [run.table.straight_after_mm]
        angles, turns = [b.angle_deg for b in run.table.bends], [b.turn_deg for b in run.table.bends]
        parts = (
            planned([*legs[:k], legs[k] / 2], angles[:k], turns[1:k], run.former.springback),
            planned([legs[k] / 2, *legs[k + 1 :]], angles[k:], turns[k + 1 :], run.former.springback),
        )
        for part, its_plan in parts:
            made = frozenset()
            for pull in its_plan.pulls:
                assert least_gap(part, made, pull.bend, pull.held, 2.0) >= OUTSIDE - 1e-3
                made |= {pull.bend}
            assert len(made) == len(part.table.bends)
        tried += 1
    assert tried >= 3


@pytest.mark.parametrize(("end_below", "touches"), [(17.0, True), (30.0, False)])
def test_a_tail_curled_back_under_the_bend_that_is_pulled(end_below, touches):
    """Bends 2 to 4 are made, a square curl; bend 1 is pulled last, and its arc comes down on the end of the tail.

    With corner 1 at the origin and the next leg to the right, the arc of 55 has its centre at (55, -55); the tail comes
    up at x = 30 and ends 17 or 30 below. From the centre that is 45.5 or 35.4, so 9.5 or 19.6 from the arc's axis; the
    held leg runs down x = 0 and stays 30 away, the straight tube before the pull 17 or 30.
    """
    assert (55.0 - math.hypot(25.0, 55.0 - end_below) < OUTSIDE) == touches
    run = made_run([300, 60, 60, 30, 170 - 55 - end_below], [90] * 4, [0] * 3, hold_mm=30.0, guide_mm=10.0)
    assert (gap(run, frozenset({1, 2, 3, 4})) < OUTSIDE) == touches
    clearance = Clearance(PieceToBend.of(run), None)
    for held in (START, FINISH):
        assert clearance.clear(0, held, 0b1110) != touches


@pytest.mark.parametrize(
    ("angle", "springback"), [(90, Springback(0.05, 1.5)), (30, Springback(0.0, 12.0)), (180, Springback(0.1))]
)
def test_the_arc_leaves_its_groove_by_no_more_than_is_allowed_for(angle, springback):
    """All the tube in the groove, let go: bent evenly from the pull to the angle, each place against where it was."""
    motion = Itself(PieceToBend.of(made_run([400, 400], [angle], springback=springback)))._motion(0)
    taken = 55.0 * math.radians(angle)
    pull = math.radians(angle * (1 + springback.per_degree) + springback.fixed_deg)

    def place(share, turned):
        k = turned / taken
        return math.sin(k * share * taken) / k, (1 - math.cos(k * share * taken)) / k

    moved = max(
        math.dist(place(s / 20, pull), place(s / 20, math.radians(angle) + (pull - math.radians(angle)) * t / 10))
        for s in range(21)
        for t in range(11)
    )
    assert moved <= motion.swing.leaves <= 6.0 * moved
    assert motion.swing.groove == pytest.approx(taken / pull)
    assert motion.swing.turned == pytest.approx(pull)


@pytest.mark.parametrize(("tail", "held"), [(250, FINISH), (300, START), (300, FINISH)])
def test_a_tail_that_sweeps_across_another_leg_on_its_way_is_found_there(tail, held):
    """Let go it stands clear of everything by more than 3; half way through the pull it goes through the last leg."""
    run = made_run([tail, 450, 240, 900], [135, 90, 90], [0, 0], hold_mm=30.0, guide_mm=10.0)
    bend, made, side = run.table.bends[0], frozenset({2, 3}), ("start", "finish")[held]
    pull = run.pull_deg(bend)
    for share in (0.0, 0.5, 1.0):
        assert gap(run, made, 1, side, pull + (bend.angle_deg - pull) * share, bend.arc_mm) >= OUTSIDE + 3.0 - 1e-9
    itself = Itself(PieceToBend.of(run))
    assert not itself.clear(0, held, 0b110)
    touch = itself.touch(0, held, 0b110)
    assert 30.0 < touch.at_pull_deg < 120.0
    # The walk goes in steps: to a millimetre and a half.
    assert touch.depth_mm == pytest.approx(OUTSIDE - least_gap(run, made, 1, side, 1.0), abs=1.5)
    low, high = sorted((touch.flat_mm, touch.other_flat_mm))
    assert low <= tail
    assert high >= run.table.bends[2].finish_mm
