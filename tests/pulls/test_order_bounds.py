"""What the rest of an order costs at the least, against every order there is; and when a change frees a piece."""

import itertools
import random
from dataclasses import replace

import pytest
from made_runs import made_run

from pipemodel.messages.values import NOTHING
from pipemodel.pulls.bend_by_bend import any_order, by_bends
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.obstructions import Clearance
from pipemodel.pulls.order import Ahead, Task, cost_of, works
from pipemodel.pulls.order_search import _best_by_limits, _by_modes
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.way_out import _Blocked, _hindrance, _longer, _Trials
from pipemodel.pulls.window import Window
from pipemodel.trade.model import Springback

BENDS = 4


def tasks():
    """Small tasks of every kind: bends that others block on one side or both, several sides up and formers."""
    for seed in range(60):
        dice = random.Random(seed)
        blocks = [
            [sum(1 << i for i in range(BENDS) if i != b and dice.random() < 0.25) for _ in "sf"] for b in range(BENDS)
        ]
        up = [dice.randrange(3) for _ in range(BENDS)]

        def allowed(bend, held, made, blocks=blocks):
            return not made & blocks[bend][held]

        yield Task(
            [(2 * u, 2 * u + 1) for u in up],
            [(dice.randint(1, 9) / 8, dice.randint(1, 9) / 8) for _ in range(BENDS)],
            allowed,
            None,
            [dice.randrange(2) for _ in range(BENDS)] if seed % 2 else (),
        )


def orders(task):
    for order in itertools.permutations(range(BENDS)):
        for helds in itertools.product((0, 1), repeat=BENDS):
            steps = list(zip(order, helds, strict=True))
            if works(task, steps):
                yield steps


def test_no_order_costs_less_than_what_is_ahead_and_some_cost_just_that():
    """The bends still to be taken out are the first ones of an order, and the last pull is the mode one starts in."""
    everything, counted, met = (1 << BENDS) - 1, 0, {"rounds": 0, "changes": 0, "overs": 0, "mass": 0}
    for task in tasks():
        found = list(orders(task))
        if not found:
            continue
        ahead = Ahead(task, (0, 1))
        for held in (0, 1):
            ending = [steps for steps in found if steps[-1][1] == held]
            if not ending:
                continue
            # With no mode set up, what all the bends cost.
            rounds, overs, mass = (min(cost_of(task, s)[k] for s in ending) for k in range(3))
            bounds = (
                ahead.rounds(everything, held) + len(set(task.formers) or {0}) - 1,
                ahead.overs(everything, held, None, False),
                ahead.mass(everything, held, False),
            )
            assert bounds[0] <= rounds
            assert bounds[1] <= overs
            assert bounds[2] <= mass + 1e-6
            met["rounds"] += bounds[0] == rounds
            # From the last pull of an order on, backwards.
            for steps in random.Random(1).sample(ending, min(8, len(ending))):
                (last, last_held), made = steps[-1], everything ^ 1 << steps[-1][0]
                same = [s for s in found if s[-1] == (last, last_held)]
                side, former = task.sides[last][last_held], task.former(last)
                rest = [
                    [a - b for a, b in zip(cost_of(task, s), (0, 0, task.masses[last][last_held]), strict=True)]
                    for s in same
                ]
                turns = [sum(a[1] != b[1] for a, b in itertools.pairwise(s)) for s in same]
                changes = ahead.changes(made, former)
                assert ahead.rounds(made, last_held) <= min(turns)
                assert changes <= min(r[0] - t for r, t in zip(rest, turns, strict=True))
                assert changes == (
                    len({task.former(b) for b in range(BENDS) if b != last} - {former}) if task.formers else 0
                )
                assert ahead.overs(made, last_held, side, False) <= min(r[1] for r in rest)
                assert ahead.mass(made, last_held, False) <= min(r[2] for r in rest) + 1e-6
                fixed = [r for r, s in zip(rest, same, strict=True) if len({h for _, h in s}) == 1]
                if fixed:
                    assert ahead.overs(made, last_held, side, True) <= min(r[1] for r in fixed)
                    assert ahead.mass(made, last_held, True) == pytest.approx(min(r[2] for r in fixed))
                    met["overs"] += ahead.overs(made, last_held, side, True) == min(r[1] for r in fixed)
                met["rounds"] += ahead.rounds(made, last_held) == min(turns)
                met["changes"] += changes > 0
                met["mass"] += ahead.mass(made, last_held, False) > 0.5
                counted += 1
    assert counted > 100
    assert min(met.values()) > 30, met


CROSSING, CLEAR = [300, 200, 200, 500], [300, 200, 261, 500]
"""Three square bends one way: the finish tail comes down on the start tail, or past its end."""


def piece(legs):
    run = made_run(legs, [90] * 3, [0] * 2, hold_mm=30.0, guide_mm=10.0, springback=Springback())
    return PieceToBend.of(run)


def test_a_change_frees_a_piece_where_an_order_clears_and_is_not_tried_when_out_of_trials():
    for legs, free in ((CROSSING, False), (CLEAR, True)):
        trials = _Trials(None, 3, 10_000)
        assert trials.frees(Window(piece(legs), 0, 3)) is free
        assert trials.possible(piece(legs)) is free
        assert (trials.left, trials.whole_left) == (39, 5)
        trials.left = trials.whole_left = 0
        assert not trials.frees(Window(piece(legs), 0, 3))
        assert not trials.possible(piece(legs))
    # Two bends of it alone have nothing to meet.
    assert _Trials(None, 3, 10_000).frees(Window(piece(CROSSING), 0, 2))
    assert [_Trials(None, bends, 1).left for bends in (1, 6, 7, 9, 10, 12)] == [40, 40, 20, 5, 3, 3]
    # What the former's limits refuse is not searched.
    short = PieceToBend.of(made_run([20, 20], [90], hold_mm=60.0, guide_mm=45.0))
    trials = _Trials(None, 1, 10_000)
    assert not trials.possible(short)
    assert trials.whole_left == 6


def test_only_a_tail_made_longer_can_be_cut_off_afterwards():
    """Legs 0 and 3 of three bends are the tails."""
    said = [str(_longer(leg, 12.0, 3)) for leg in range(4)]
    assert ["cut off" in words for words in said] == [True, False, False, True]
    assert [words.partition(" 12 mm longer")[0] for words in said] == [
        "start tail", "leg between bends 1 and 2", "leg between bends 2 and 3", "finish tail"]  # fmt: skip


def test_sides_up_are_one_where_the_same_side_of_the_tube_faces_up_and_pair_off_in_planes():
    """Held by the finish the tube lies turned end for end, so a bend has its other side up: half a turn on top."""
    same = opposite = 0
    for seed in range(60):
        dice = random.Random(seed)
        turns = [dice.choice([0, 90, 180, -90, 37, 143, -143]) for _ in range(4)]
        turns[0] += dice.choice([0.0, 0.3, 0.8])
        piece = PieceToBend.of(made_run([200] * 6, [90] * 5, turns))
        up = [[sum(turns[:i]) + half for half in (0.0, 180.0)] for i in range(5)]
        flat = [(up[i][h], side) for i, pair in enumerate(piece.sides_up()) for h, side in enumerate(pair)]
        for (a, one), (b, other) in itertools.combinations(flat, 2):
            apart = abs((a - b + 180.0) % 360.0 - 180.0)
            assert (one == other) == (apart <= 0.5), (turns, a, b)
            assert (one >> 1 == other >> 1) == (min(apart, 180.0 - apart) <= 0.5), (turns, a, b)
            same += one == other
            opposite += one ^ other == 1
    assert min(same, opposite) > 200


def test_a_former_is_changed_once_less_than_there_are_formers():
    sides, masses = [(0, 1)] * 3, [(1.0, 1.0)] * 3
    for formers, fewest in (((), 0), ((0, 0, 0), 0), ((0, 1, 0), 1), ((2, 0, 1), 2)):
        assert Task(sides, masses, lambda *_: True, None, formers).fewest_changes == fewest


def test_the_search_by_modes_finds_the_best_of_all_orders_and_of_those_held_by_one_side():
    """It is exact for turn-rounds and turn-overs; the whole search for the mass as well."""
    found = none = 0
    for task in tasks():
        every = list(orders(task))
        for helds in ((0,), (1,), (0, 1)):
            some = [steps for steps in every if {held for _, held in steps} <= set(helds)]
            order = _by_modes(task, helds, 100_000)
            assert (order is None) == (not some)
            if order is None:
                none += 1
                continue
            assert list(order.steps) in some
            assert order.cost == cost_of(task, order.steps)
            assert order.cost[:2] == min(cost_of(task, steps) for steps in some)[:2]
            found += 1
        best = _best_by_limits(task, 100_000)
        if every:
            assert best.cost == min(cost_of(task, steps) for steps in every)
    assert found > 60
    assert none > 20


def test_bend_by_bend_the_best_that_clears_is_found_and_any_order_where_there_is_one():
    """What a bender leaves clear is no rule of the made bends: here it is drawn for every pull and every set made."""
    found = none = 0
    for seed, limits in enumerate(tasks()):
        dice = random.Random(seed)
        clears = {
            (bend, held, made): dice.random() < 0.7
            for bend in range(BENDS)
            for held in (0, 1)
            for made in range(1 << BENDS)
        }
        task = replace(limits, clear=lambda *pull, clears=clears: clears[pull])
        costs = [cost_of(task, steps) for steps in orders(task)]
        some = any_order(task, 100_000)
        assert (some.steps is None) == (not costs)
        if not costs:
            assert some.complete
            none += 1
            continue
        best = by_bends(task, 100_000)
        assert works(task, best.steps)
        assert works(task, some.steps)
        assert best.cost == min(costs)
        found += 1
    assert found > 20
    assert none > 5


@pytest.mark.parametrize("held", [START, FINISH])
def test_what_is_in_the_way_of_a_last_pull_names_how_it_is_held_and_what_it_meets(held):
    """A tail of 300 that sweeps through the last leg of 900, which begins where bend 3 ends, when bend 1 is last."""
    run = made_run([300, 450, 240, 900], [135, 90, 90], [0, 0], hold_mm=30.0, guide_mm=10.0)
    whole = PieceToBend.of(run)
    touch = Clearance(whole, None).touch(0, held, 0b110)
    found = _hindrance(Window(whole, 0, 3), _Blocked(0, held, 0b110, touch), NOTHING)
    side = "start" if held == START else "finish"
    assert f"bend 1 after bends 2 and 3, held by the {side} side" in str(found.message)
    assert f"the {touch.side} side's {'finish' if touch.flat_mm > 300 else 'start'} tail goes 15.0 mm" in str(
        found.message
    )
    into = "start" if touch.flat_mm > 300 else "finish"
    assert f"into the tube's own {into} tail" in str(found.message)
    assert (found.kind, found.bend, found.has, found.needs) == ("itself", 1, pytest.approx(-15.0, abs=0.1), 0.0)
    assert found.at_mm == touch.flat_mm
