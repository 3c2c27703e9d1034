"""What the rest of an order costs at the least, against every order there is; and when a change frees a piece."""

import itertools
import random

import pytest
from made_runs import made_run

from pipemodel.pulls.order import Ahead, Task, cost_of, works
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.way_out import _Trials
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
