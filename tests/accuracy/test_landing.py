"""Where the finish lands: the linear law against pieces bent up one by one by a program that shares nothing with it."""

import hands_simulator
import numpy as np
import pytest
from made_runs import made_run
from wide import few_or_many

from pipemodel.accuracy.errors import BentPart, errors_of
from pipemodel.accuracy.landing import finish_covariance, finish_moves, shares
from pipemodel.accuracy.simulate import bent, simulate
from pipemodel.bending.bends import BendTable, centreline_of
from pipemodel.bending.schedule import Schedule
from pipemodel.job.model import Hands, Job
from pipemodel.pulls.plan import plan_pulls
from pipemodel.results.results import Results

FINE = Hands(0.3, 0.2, 0.2)
"""So steady that what is not linear is lost in the scatter of a few thousand pieces."""
COUNT = 3000
SPREAD = 5.0
"""Standard deviations that a sample may be off."""


def random_run(seed):
    dice = np.random.default_rng(seed)
    n = seed % 8 + 1
    legs = dice.uniform(120, 600, n + 1)
    angles = dice.choice([15, 30, 45, 60, 90, 90, 120], n)
    turns = dice.choice([0, 90, 180, -90, 37, -140], n)[1:]
    return made_run([float(v) for v in legs], [float(v) for v in angles], [float(v) for v in turns])


EDGES = {
    "one bend": made_run([300, 300], [90]),
    "a return": made_run([300, 200, 400], [180, 90], [90]),
    "a first bend at 0": made_run([0, 300, 400], [45, 90], [180], hold_mm=0.0),
    "no tail": made_run([300, 300, 0], [45, 90], [180], guide_mm=0.0),
    "bends that touch": made_run([300, 0, 400], [45, 90], [90], hold_mm=0.0, guide_mm=0.0),
    "finish first": made_run([30, 300, 400], [90, 90], [90], guide_mm=20.0),
}
RUNS = {**EDGES, **{f"random {seed}": random_run(seed) for seed in few_or_many(range(4), range(24))}}


def record_of(solved):
    job = Job("job", (solved.run,))
    return Results(Schedule(job, (solved,))).schedule_record["runs"][0]


def agrees(sample, covariance):
    """Hold a sample's covariance against one: each figure of it within what so many pieces scatter by."""
    off = np.cov(sample.T) - covariance
    scatter = np.sqrt((np.outer(np.diag(covariance), np.diag(covariance)) + covariance**2) / len(sample))
    size = np.trace(covariance) * 1e-9 + 1e-12
    # 3 % for what is not linear.
    assert (np.abs(off) <= SPREAD * scatter + 0.03 * np.trace(covariance) + size).all(), (off, scatter)


@pytest.mark.slow
@pytest.mark.parametrize("name", RUNS)
@pytest.mark.parametrize("hands", [FINE, Hands(0.5, 0.0, 0.0), Hands(0.0, 0.3, 0.0), Hands(0.0, 0.0, 0.3)])
def test_by_number_as_an_independent_simulation_has_it(name, hands):
    solved = RUNS[name]
    sample = hands_simulator.many(record_of(solved), hands, COUNT, 7)
    assert abs(sample.mean(axis=0) - solved.finish).max() < 3.0
    agrees(sample, finish_covariance(solved.table, errors_of(solved.table.bends, (), hands)))


@pytest.mark.slow
@pytest.mark.parametrize("by_rolls", [False, True])
@pytest.mark.parametrize("name", RUNS)
def test_by_the_plan_of_pulls_as_an_independent_simulation_has_it(name, by_rolls):
    solved = RUNS[name]
    pulls = plan_pulls(solved).pulls
    if not pulls:
        pytest.skip("no order of pulls works, so none is followed")
    run = record_of(solved)
    sample = hands_simulator.many(run, FINE, COUNT, 8, run["plan"]["pulls"], by_rolls)
    agrees(
        sample,
        finish_covariance(
            solved.table, errors_of(solved.table.bends, [BentPart(0, len(solved.table.bends), pulls)], FINE, by_rolls)
        ),
    )


def test_held_by_the_finish_side_the_mark_fixes_the_far_end():
    solved = made_run([30, 300], [90], hold_mm=60.0, guide_mm=20.0)
    (pull,) = plan_pulls(solved).pulls
    assert pull.held == "finish"
    errors = errors_of(solved.table.bends, [BentPart(0, 1, (pull,))], Hands(0.0, 1.0, 0.0))
    # By hand: bent by a further, R 55: the bend begins 55 a earlier (x -55 a, and the leg after, along y, 55 a longer);
    # the rest turns by a about the centre at (30, 55): its end 300 up turns by -(300) a in x; the longer arc takes 55 a
    # out of the leg again.
    a = np.radians(1.0)
    moves = finish_moves(solved.table) @ errors.to_turns[:, 1] * a
    assert moves == pytest.approx([(-55 - 300) * a, 55 * a, 0.0])


@pytest.mark.parametrize("name", RUNS)
def test_simulated_pieces_agree_with_the_tables_own_centreline(name):
    table = RUNS[name].table
    n = len(table.bends)
    pieces = bent(table, np.zeros((3 * n, 1)))
    line = centreline_of(table)
    assert pieces.finish[:, 0] == pytest.approx(line.finish, abs=1e-6)
    assert [tuple(p[:, 0]) for p in pieces.arc_starts] == [pytest.approx(arc.start, abs=1e-6) for arc in line.arcs]


@pytest.mark.parametrize("name", RUNS)
def test_the_finish_moves_as_differences_say(name):
    table = RUNS[name].table
    n = len(table.bends)
    step = np.eye(3 * n) * 1e-5
    moves = (bent(table, step).finish - bent(table, -step).finish) / 2e-5
    right = finish_moves(table)
    # The first turn is no turn of the piece: its plane is as drawn.
    some = [i for i in range(3 * n) if i != 2 * n]
    assert right[:, some] == pytest.approx(moves[:, some], abs=1e-4)


def test_hands_that_are_never_out_land_where_drawn():
    table = RUNS["random 3"].table
    errors = errors_of(table.bends, (), Hands(0.0, 0.0, 0.0))
    assert not finish_covariance(table, errors).any()
    assert simulate(table, errors, 10).finish.std(axis=1).max() < 1e-9


def test_a_straight_piece_lands_where_drawn():
    table = BendTable((1.0, 2.0, 3.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (), 500.0)
    errors = errors_of((), (), Hands())
    assert not finish_covariance(table, errors).any()
    assert pytest.approx(np.array([[501.0, 2.0, 3.0]] * 5)) == simulate(table, errors, 5).finish.T


def test_a_piece_in_one_plane_with_errors_of_marks_alone_stays_in_it():
    solved = made_run([300, 300, 300], [90, 45], [0])
    covariance = finish_covariance(solved.table, errors_of(solved.table.bends, (), Hands(1.0, 0.0, 0.0)))
    assert np.linalg.matrix_rank(covariance) == 2
    assert covariance[2] == pytest.approx(0.0)


def test_shares_add_up_to_the_mean_square():
    table = RUNS["random 3"].table
    errors = errors_of(table.bends, (), Hands())
    assert shares(table, errors).sum() == pytest.approx(np.trace(finish_covariance(table, errors)))
