"""How likely a run is to fit, against pieces that another program bends, and against what is known in closed form."""

import hands_simulator
import numpy as np
import pytest
from made_runs import made_run
from scipy.stats import binomtest, norm

from pipemodel.accuracy.fit import fit_of, pieces_for, run_errors
from pipemodel.accuracy.simulate import simulate
from pipemodel.accuracy.values import Chance
from pipemodel.bending.schedule import Schedule, SolvedRun
from pipemodel.job.model import Hands, Job, Run
from pipemodel.results.results import Results
from pipemodel.trade.fittings import Ending, Ends, Within

HANDS = Hands(1.0, 1.0, 1.0)
TWISTED = made_run([200, 300, 250, 300], [90, 45, 60], [90, -37])


def with_ends(solved, within=None, trim=0.0):
    """The same run with its finish to lie within something, and something left on."""
    run = solved.run
    finish = Ending(within=within or Within())
    made = Run(run.name, run.tube, run.former, run.route, ends=Ends(finish=finish, trim_mm=trim))
    return SolvedRun(made, solved.table, solved.centreline)


def fit(solved, hands=HANDS, count=20_000, **more):
    errors = run_errors(solved, hands)
    return fit_of(solved, hands, errors, simulate(solved.table, errors, count), **more)


def off(solved, hands, count, seed):
    """Finishes by the other program: how far off sideways, and along the last leg."""
    record = Results(Schedule(Job("job", (solved.run,)), (solved,))).schedule_record["runs"][0]
    away = hands_simulator.many(record, hands, count, seed, record["plan"]["pulls"]) - record["finish"]
    leg = np.array(record["legs"][-1]["direction"])
    return np.linalg.norm(away - np.outer(away @ leg, leg), axis=1), away @ leg


@pytest.mark.slow
@pytest.mark.parametrize("hands", [Hands(1, 1, 1), Hands(2, 0.5, 1), Hands(0, 3, 6)])
@pytest.mark.parametrize("within", [Within(5, 10), Within(20, 3), Within(30, 30)])
def test_the_chance_is_that_of_another_programs_pieces(hands, within):
    solved, count = with_ends(TWISTED, within), 4000
    sideways, along = off(solved, hands, count, 11)
    hits = int(((sideways <= within.sideways_mm) & (abs(along) <= within.along_mm)).sum())
    found = fit(solved, hands).chance
    # Two samples: the other's 99.9 % interval, widened by the tool's own.
    interval = binomtest(hits, count).proportion_ci(0.999, "wilson")
    assert interval.low - (found.value - found.low) <= found.value <= interval.high + (found.high - found.value)


@pytest.mark.slow
def test_nineteen_in_twenty_land_where_it_says():
    sideways, along = off(TWISTED, HANDS, 4000, 12)
    found = fit(TWISTED)
    assert np.mean(sideways <= found.sideways_mm) == pytest.approx(0.95, abs=0.015)
    assert np.mean(abs(along) <= found.along_mm) == pytest.approx(0.95, abs=0.015)


def test_a_mark_alone_is_a_plain_normal_figure():
    # One bend of 90 held by its start side: the mark moves the finish along the first leg, which is sideways to the
    # last, and back along the last.
    found = fit(with_ends(made_run([300, 300], [90]), Within(2.0, 3.0)), Hands(1.5, 0.0, 0.0))
    right = norm.cdf(2.0 / 1.5) - norm.cdf(-2.0 / 1.5)
    assert found.chance.low < right < found.chance.high
    assert found.sideways_mm == pytest.approx(1.959964 * 1.5, rel=0.03)
    assert found.linear == pytest.approx(np.array([[2.25, -2.25, 0], [-2.25, 2.25, 0], [0, 0, 0]]), abs=1e-9)
    assert found.chance.value == pytest.approx(found.linear_chance.value, abs=1e-9)
    assert [axis.sd_mm for axis in found.axes] == pytest.approx([1.5 * 2**0.5, 0.0, 0.0], abs=1e-6)


def test_what_is_left_on_at_the_finish_gives_along_and_takes_all_that_is_too_long():
    solved = made_run([300, 300], [90])
    narrow = Within(100.0, 0.5)
    plain = fit(with_ends(solved, narrow), Hands(2.0, 0.0, 0.0)).chance.value
    trimmed = fit(with_ends(solved, narrow, trim=10.0), Hands(2.0, 0.0, 0.0)).chance.value
    assert plain == pytest.approx(norm.cdf(0.25) - norm.cdf(-0.25), abs=0.015)
    assert trimmed == pytest.approx(norm.cdf(10.5 / 2.0), abs=0.001)


def test_hands_that_never_err_and_straight_runs_land_where_drawn():
    for solved, hands in ((TWISTED, Hands(0, 0, 0)), (made_run([500], []), HANDS)):
        found = fit(solved, hands, 2000)
        assert found.chance == Chance(2000, 2000)
        assert not np.array(found.linear).any()
        assert (found.shares, found.best_reading, found.linear_holds) == ((), None, True)


def test_shares_say_what_to_get_better_at():
    """The largest share is of what leaves the least scatter once it is never out: by what the other program bends."""
    found = fit(TWISTED)
    assert sum(one.part for one in found.shares) == pytest.approx(1.0)
    parts = {tuple(one.source): one.part for one in found.shares}
    angles = sum(part for (_, what), part in parts.items() if what == "angle")
    whole = np.trace(np.array(found.linear))
    assert angles == pytest.approx(np.trace(np.array(fit(TWISTED, Hands(0, 1, 0)).linear)) / whole)
    assert found.shares[0].part == max(parts.values())


def test_large_errors_are_said_not_to_be_linear():
    assert fit(TWISTED).linear_holds
    assert not fit(TWISTED, Hands(1.0, 20.0, 40.0)).linear_holds


def test_the_same_job_gives_the_same_answer():
    assert fit(TWISTED, count=500) == fit(TWISTED, count=500)


def test_a_card_on_the_only_bend_leaves_what_the_card_leaves():
    # Prior 1 degree, read to 0.7 degrees 19 times in 20: what is left of the variance is 1 / (1 + 1 / 0.35 ** 2) of it.
    found = fit(made_run([300, 300], [60]), Hands(0.0, 1.0, 0.0))
    best = found.best_reading
    assert best is not None
    assert best.measure.unit == "deg"
    assert best.left == pytest.approx(0.35**2 / (1 + 0.35**2), rel=1e-3)


def test_what_is_not_known_of_the_target_adds_to_the_scatter():
    plain, found = fit(TWISTED), fit(TWISTED, target_cov_mm2=9.0 * np.eye(3))
    assert np.array(found.linear) - np.array(plain.linear) == pytest.approx(9.0 * np.eye(3))
    assert np.trace(np.array(found.simulated)) == pytest.approx(np.trace(np.array(plain.simulated)) + 27.0, rel=0.05)


@pytest.mark.parametrize(("hits", "n"), [(0, 1000), (1, 1000), (930, 1000), (1000, 1000), (3, 7)])
def test_intervals_are_wilsons(hits, n):
    right = binomtest(hits, n).proportion_ci(0.95, "wilson")
    assert (Chance(hits, n).low, Chance(hits, n).high) == pytest.approx((right.low, right.high), abs=1e-9)


def test_many_runs_have_fewer_pieces_each():
    assert [pieces_for(n) for n in (0, 1, 25, 50, 10_000)] == [20_000, 20_000, 20_000, 10_000, 2_000]
