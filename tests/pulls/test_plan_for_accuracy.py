"""The plan of pulls for the best fit: against every order there is, and pieces that another program bends."""

from dataclasses import replace
from itertools import permutations, product

import hands_simulator
import numpy as np
import pytest
from made_runs import made_run, random_run
from wide import few_or_many

from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.job.model import Job
from pipemodel.job.read import read_job
from pipemodel.pulls.for_accuracy import angle_weights
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import plan_pulls
from pipemodel.results.results import Results


def accurate(solved):
    return SolvedRun(replace(solved.run, for_accuracy=True), solved.table, solved.centreline)


def scatter(solved, plan):
    """The sum of what the angles' errors add."""
    weights = angle_weights(solved.table)
    return sum(weights[pull.bend - 1][pull.held == "finish"] for pull in plan.pulls)


def least_by_trying_all(solved):
    """The least sum over every order of pulls that keeps the former's limits."""
    piece, weights = PieceToBend.of(solved), angle_weights(solved.table)
    least = np.inf
    n = len(piece.bends)
    for order in permutations(range(n)):
        for helds in product((START, FINISH), repeat=n):
            made, fine = 0, True
            for bend in order:
                fine = fine and piece.limits.allow(bend, helds[bend], made)
                made |= 1 << bend
            if fine:
                least = min(least, sum(weights[i][helds[i]] for i in range(n)))
    return least


@pytest.mark.parametrize("seed", few_or_many(range(12), range(150)))
def test_no_order_by_the_limits_lands_better(seed):
    solved = random_run(seed, bends=seed % 3 + 2)
    plain, plan = plan_pulls(solved), plan_pulls(accurate(solved))
    assert plan.possible == plain.possible
    if plan.possible:
        assert scatter(solved, plan) <= scatter(solved, plain) * (1 + 1e-6)
        assert scatter(solved, plan) >= least_by_trying_all(solved) * (1 - 1e-6)


@pytest.mark.parametrize("bends", [2, 3, 4])
def test_with_room_all_round_it_is_the_best_of_all(bends):
    solved = made_run([300.0] * (bends + 1), [90.0] * bends, [90.0] * (bends - 1))
    assert scatter(solved, plan_pulls(accurate(solved))) == pytest.approx(least_by_trying_all(solved))


@pytest.mark.slow
def test_pieces_of_another_program_land_better_by_it():
    solved = made_run([244, 300, 286], [90, 90], [90])
    mean = []
    for run in (solved, accurate(solved)):
        record = Results(Schedule(Job("job", (run.run,)), (run,))).schedule_record["runs"][0]
        # The same errors for both.
        finishes = hands_simulator.many(record, (0.0, 1.0, 0.0), 2000, 3, record["plan"]["pulls"])
        mean.append(((finishes - record["finish"]) ** 2).sum(axis=1).mean())
    weights = [scatter(solved, plan_pulls(run)) for run in (solved, accurate(solved))]
    assert weights[1] < weights[0]
    assert mean[1] / mean[0] == pytest.approx(weights[1] / weights[0], abs=0.03)


def test_a_job_and_a_run_ask_for_it(tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(
        "job: a\ntube: 15\nplan: for accuracy\nruns:\n  one: {points: [[0, 0, 0], [500, 0, 0]]}\n"
        "  two: {points: [[0, 0, 0], [0, 500, 0]], plan: for ease}\n"
    )
    assert [run.for_accuracy for run in read_job(path).runs] == [True, False]
