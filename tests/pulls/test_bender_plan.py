"""Plans in a bender: the best of all orders that clear it, and a way out that really is one."""

import functools
import itertools
import re

import pytest
from made_runs import made_run, random_run
from pulls.plan_costs import swung, turned
from self_sweep import least_gap
from test_bender_sweep import Simulation, straights
from wide import few_or_many

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.bender import bender as bender_check
from pipemodel.geometry.shapes import Box
from pipemodel.job.build_bender import bender_named
from pipemodel.job.model import Job
from pipemodel.pulls.piece import kg_per_mm
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.benders import Bender, BenderPart

VICE = "15 mm hand bender in a vice"


def costs(run, fat, gap_mm):
    """The cost of every order that has its straights and clears the bender, as a simulation with meshes sees it."""
    simulation = Simulation(run, run.run.bender, fat=fat, plugged=fat > 0.0)
    bends, former = run.table.bends, run.former

    @functools.cache
    def clear(bend, held, made):
        hold, guide = straights(run, bend, held, made)
        if hold < former.hold_mm or guide < former.guide_mm or simulation.overlaps(bend, held, made):
            return False
        return least_gap(run, made, bend, held, 3.0, gap_mm) >= gap_mm

    for order in itertools.permutations(range(1, len(bends) + 1)):
        for helds in itertools.product(("start", "finish"), repeat=len(bends)):
            pulls = list(zip(order, helds, strict=True))
            if all(clear(bend, held, frozenset(order[:i])) for i, (bend, held) in enumerate(pulls)):
                ups = [sum(b.turn_deg for b in bends[:n]) + (180 if h == "finish" else 0) for n, h in pulls]
                free = [
                    run.cut_length_mm - bends[n - 1].finish_mm if h == "start" else bends[n - 1].start_mm
                    for n, h in pulls
                ]
                yield (
                    sum(a != b for a, b in itertools.pairwise(helds)),
                    sum(min((a - b) % 360, (b - a) % 360) > 0.5 for a, b in itertools.pairwise(ups)),
                    round(sum(free) * kg_per_mm(run.tube), 6),
                )


SEEDS = (5, 7, 11, 43)


@pytest.mark.slow
@pytest.mark.parametrize("seed", few_or_many(SEEDS[::3], SEEDS))
def test_the_plan_is_the_best_order_that_clears_the_bender(seed):
    """No dearer than the best order that clears by some tenths of a mm, no cheaper than the best that clears at all."""
    run = random_run(seed, 3, bender=bender_named(VICE), hold_mm=30.0, guide_mm=10.0)
    plan = plan_pulls(run)
    cost = (*turned(plan), round(swung(run, plan), 6))
    clear_by_far, clear_at_all = (list(costs(run, *by)) for by in ((0.7, 16.0), (0.0, 15.0)))
    if plan.possible:
        assert min(clear_at_all) <= cost
        assert not clear_by_far or cost <= min(clear_by_far)
    else:
        assert not clear_by_far


def test_some_of_those_plans_are_possible_and_some_are_not():
    plans = [
        plan_pulls(random_run(s, 3, bender=bender_named(VICE), hold_mm=30.0, guide_mm=10.0)).possible for s in SEEDS
    ]
    assert 1 <= sum(plans) < len(SEEDS)


def hindered(bends, seeds):
    """Random runs that their straights would allow, and the bender does not."""
    runs = (random_run(s, bends, bender=bender_named(VICE), hold_mm=30.0, guide_mm=10.0) for s in range(seeds))
    return [
        (run, plan) for run in runs if not (plan := plan_pulls(run)).possible and plan.hindrances[0].kind == "bender"
    ]


def longer(run, words, less=0.0):
    """The run with the legs a way out names made as much longer as it says."""
    legs = [b.straight_before_mm for b in run.table.bends] + [run.table.straight_after_mm]
    names = {"start tail": 0, "finish tail": len(legs) - 1}
    names |= {f"leg between bends {i} and {i + 1}": i for i in range(1, len(legs) - 1)}
    for name, more in re.findall(r"(start tail|finish tail|leg between bends \d+ and \d+) (\d+) mm longer", words):
        legs[names[name]] += float(more) - less
    turns = [b.turn_deg for b in run.table.bends][1:]
    former = {"hold_mm": run.former.hold_mm, "guide_mm": run.former.guide_mm}
    return made_run(legs, [b.angle_deg for b in run.table.bends], turns, bender=run.run.bender, **former)


@pytest.mark.slow
@pytest.mark.parametrize(("bends", "seeds"), [(3, 80), (5, few_or_many(40, 80))])
def test_the_lengthening_named_frees_the_run_and_clearly_less_does_not(bends, seeds):
    tried = 0
    for run, plan in hindered(bends, seeds):
        words = str(plan.why_not[0])
        if "longer" not in words.replace("neither longer", ""):
            continue
        tried += 1
        assert plan_pulls(longer(run, words)).possible, words
        if len(re.findall(r"\d mm longer", words)) == 1:
            assert not plan_pulls(longer(run, words, less=2.0)).possible, words
    assert tried >= 3


def test_what_stands_in_the_way_is_named_with_place_part_and_depth():
    """A post beside the former: the tail of a U swings into it whichever way the piece is pulled."""
    blocks = (Box((-90, -250, -400), (-60, -40, 400)), Box((130, -60, -400), (170, 20, 400)))
    post = Bender("posted", 55.0, body=tuple(BenderPart(f"post {i}", b) for i, b in enumerate(blocks, 1)))
    run = made_run([260, 40, 260], [90, 90], [0], hold_mm=30.0, guide_mm=10.0, bender=post)
    plan = plan_pulls(run)
    assert not plan.possible
    for hindrance in plan.hindrances:
        assert hindrance.kind == "bender"
        assert hindrance.has < 0
        assert 0 <= hindrance.at_mm <= run.table.length_mm
        assert re.search(
            r"bend \d after bend \d, held by the (start|finish) side, can't be pulled: the (held|free) side's .+ "
            r"goes \d+\.\d mm into the post \d at \d+(\.\d)? degrees",
            hindrance.message,
        )
    found = bender_check(Schedule(Job("test", (run.run,)), (run,)))
    assert {f.code: f.severity for f in found} == {"B105": "error", "B108": "note"}
    assert found[0].distance_mm == plan.hindrances[0].has
    assert found[0].required_mm == 0.0
    # Without the posts it is pulled at once.
    assert plan_pulls(made_run([260, 40, 260], [90, 90], [0], hold_mm=30.0, guide_mm=10.0)).possible


def test_a_bender_measured_with_another_former_is_said():
    run = made_run([300, 300], [90], radius_mm=77.0, bender=bender_named("15 mm hand bender"))
    assert [f.code for f in bender_check(Schedule(Job("test", (run.run,)), (run,)))] == ["B106"]


def test_a_wall_across_the_swing_stops_even_straight_tube():
    """The room counts for all of the tube, the straight end that swings included."""
    wall = Bender("walled", 55.0, room=(BenderPart("wall", Box((-2000, -200, -500), (2000, -150, 500))),))
    plan = plan_pulls(made_run([300, 300], [90], hold_mm=30.0, bender=wall))
    assert not plan.possible
    assert "into the wall" in plan.why_not[0]
    # 55 of bend and tail 300 - 5 below the centre: with a tail of 100 it stays 45 clear of 150.
    assert plan_pulls(made_run([300, 100], [90], hold_mm=30.0, bender=wall)).possible


def test_a_joint_is_not_named_where_the_pieces_cannot_be_pulled_either():
    """Half of 600 still reaches the wall 150 past the former, however it is jointed."""
    wall = Bender("walled", 55.0, room=(BenderPart("wall", Box((-2000, -200, -500), (2000, -150, 500))),))
    plan = plan_pulls(made_run([300, 600, 300], [90, 90], [180], hold_mm=30.0, bender=wall))
    assert "into the wall" in plan.why_not[0]
    assert "joint in" not in plan.why_not[0]


@pytest.mark.slow
def test_a_leg_of_a_thousand_kilometres_is_answered():
    """A slip of the pen must not take the machine's memory with it: stretches begin coarse on very long tube."""
    plan = plan_pulls(made_run([1e9, 400], [90], bender=bender_named("15 mm hand bender in a vice")))
    # What cannot be told apart from a touch within the cells there are room for counts as one.
    assert [h.kind for h in plan.hindrances] == ["bender"]
    # And nothing is said to go in by less than nothing: the tail lies well above the floor where it was looked at.
    (why,) = map(str, plan.why_not)
    assert "start tail comes too near to be told apart from touching the floor at" in why
    assert not re.search(r"-\d", why)
    assert plan.hindrances[0].has == 0.0
