"""Where a tail left long is worth it, against a search piece by piece, and the other program's pieces."""

from dataclasses import replace

import hands_simulator
import numpy as np
import pytest
from made_runs import made_run
from scipy.stats import norm
from wide import few_or_many

from pipemodel.accuracy.fit import PIECES, fit_of, run_errors
from pipemodel.accuracy.simulate import simulate
from pipemodel.accuracy.tails import fits, tails_of
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.job.model import Hands, Job
from pipemodel.results.results import Results
from pipemodel.trade.fittings import Ending, Ends, Within


def with_ends(solved, within, trim=0.0):
    run = replace(solved.run, ends=Ends(finish=Ending(within=within), trim_mm=trim))
    return SolvedRun(run, solved.table, solved.centreline)


def by_search(solved, off, start, finish):
    """Whether each finish can be brought within its place, by trying every half millimetre of cutting the start."""
    legs, within = solved.centreline.straights, solved.run.ends.finish.within
    first, last = np.array(legs[0].direction), np.array(legs[-1].direction)
    moves = np.arange(-legs[0].length, start + 0.01, 0.05) if start else np.array([0.0])
    out = []
    for one in off.T:
        moved = one + moves[:, None] * first
        along = moved @ last
        aside = np.linalg.norm(moved - along[:, None] * last, axis=1)
        short = within.along_mm + solved.run.ends.trim_mm + finish
        far = np.inf if solved.run.ends.trim_mm + finish > 0 else within.along_mm
        out.append(((aside <= within.sideways_mm) & (along >= -short) & (along <= far)).any())
    return np.array(out)


@pytest.mark.parametrize("seed", few_or_many(range(8), range(60)))
def test_a_tail_gains_what_a_search_finds(seed):
    dice = np.random.default_rng(seed)
    n = seed % 3 + 1
    angles = [float(a) for a in dice.choice([45, 90, 90, 180, 30], n)]
    turns = [float(t) for t in dice.choice([0, 90, 180, -50], n)][1:]
    solved = made_run([float(v) for v in dice.uniform(100, 400, n + 1)], angles, turns)
    solved = with_ends(
        solved, Within(float(dice.choice([2, 5, 20])), float(dice.choice([1, 10]))), float(seed % 4 == 3)
    )
    off = dice.normal(0.0, 8.0, (3, 150))
    assert np.count_nonzero(fits(solved, off) != by_search(solved, off, 0.0, 0.0)) == 0
    for tail in tails_of(solved, off):
        start = tail.long_mm if tail.end != "finish" else 0.0
        finish = tail.long_mm if tail.end != "start" else 0.0
        # The search misses what only a hair of the way fits.
        assert abs(tail.chance.hits - np.count_nonzero(by_search(solved, off, start, finish))) <= 1
        assert tail.chance.hits >= np.count_nonzero(fits(solved, off))


def test_a_mark_that_is_out_is_cured_by_cutting_the_start():
    # One bend of 90 whose mark alone is out by x: the finish is x aside, along the first leg, and x short.
    solved = with_ends(made_run([300, 300], [90]), Within(2.0, 50.0))
    found = fit_of(solved, *_pieces(solved, Hands(4.0, 0.0, 0.0)))
    finish, start, both = found.tails
    assert found.chance.value == pytest.approx(norm.cdf(0.5) - norm.cdf(-0.5), abs=0.015)
    assert finish.chance.value == pytest.approx(found.chance.value)
    # A tail of 5 puts right a bend begun 7 too early, for it may be 2 out; 10 all but one in 770.
    assert start.long_mm == 10.0
    assert start.chance.value == pytest.approx(norm.cdf(12.0 / 4.0), abs=0.002)
    assert found.leave == start
    assert both.chance.value >= start.chance.value


@pytest.mark.slow
def test_the_other_programs_pieces_fit_as_often():
    solved = with_ends(made_run([200, 300, 250, 300], [90, 45, 60], [90, -37]), Within(20.0, 3.0))
    hands = Hands(1.0, 1.0, 1.0)
    record = Results(Schedule(Job("job", (solved.run,)), (solved,))).schedule_record["runs"][0]
    off = (hands_simulator.many(record, hands, 1500, 5, record["plan"]["pulls"]) - record["finish"]).T
    for tail in fit_of(solved, *_pieces(solved, hands)).tails:
        start = tail.long_mm if tail.end != "finish" else 0.0
        finish = tail.long_mm if tail.end != "start" else 0.0
        share = by_search(solved, off, start, finish).mean()
        assert tail.chance.value == pytest.approx(share, abs=4.0 * np.sqrt(0.25 / 1500))


def test_hands_that_never_err_need_no_tail():
    solved = made_run([300, 300], [90])
    assert fit_of(solved, *_pieces(solved, Hands(0.0, 0.0, 0.0))).tails == ()


def _pieces(solved, hands):
    errors = run_errors(solved, hands)
    return hands, errors, simulate(solved.table, errors, PIECES)
