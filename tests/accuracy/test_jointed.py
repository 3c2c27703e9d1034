"""Jointed runs: what follows a joint is rolled to fit, against a search by scipy on the other program's pieces."""

import hands_simulator
import numpy as np
import pytest
from made_runs import made_run
from scipy.optimize import least_squares

from pipemodel import check, load
from pipemodel.accuracy.errors import BentPart, errors_of
from pipemodel.accuracy.landing import finish_covariance
from pipemodel.accuracy.simulate import rolled_to_fit, simulate
from pipemodel.job.model import Hands

SOLVED = made_run([300, 400, 250, 500, 300], [90, 45, 60, 90], [90, -37, 120])


def by_search(table, deviations, rolled):
    """Finishes off where drawn, (3,), the rolls at joints found by scipy from the other program's pieces."""
    n = len(table.bends)
    bends = [{"radius_mm": bend.radius_mm} for bend in table.bends]
    figures = np.array([[b.start_mm for b in table.bends], np.radians([b.angle_deg for b in table.bends])])
    turns = np.radians([b.turn_deg for b in table.bends])
    drawn = hands_simulator.finish_of(bends, table.length_mm, *figures, turns)
    starts, angles, twists = deviations.reshape(3, n) + np.array([*figures, turns])

    def off(rolls):
        rolled_turns = twists.copy()
        rolled_turns[list(rolled)] += rolls
        return hands_simulator.finish_of(bends, table.length_mm, starts, angles, rolled_turns) - drawn

    # A radian counts as much as 50 mm.
    found = least_squares(lambda rolls: [*off(rolls), *(50.0 * rolls)], np.zeros(len(rolled)), xtol=1e-12)
    return np.linalg.norm(off(found.x))


@pytest.mark.parametrize("rolled", [(2,), (1, 3), (0,), (1, 2, 3)])
def test_rolled_to_where_it_fits_best(rolled):
    table = SOLVED.table
    dice = np.random.default_rng(len(rolled))
    deviations = dice.normal(0.0, 1.0, (12, 12)) * np.repeat([2.0, 0.03, 0.05], 4)[:, None]
    deviations[8] = 0.0
    pieces = rolled_to_fit(table, deviations, rolled)
    off = np.linalg.norm(pieces.finish - np.array(SOLVED.finish)[:, None], axis=0)
    right = [by_search(table, one, rolled) for one in deviations.T]
    assert off == pytest.approx(right, abs=0.05)


def test_the_linear_law_has_what_the_pieces_have():
    hands = Hands(0.5, 0.3, 0.3)
    bends = SOLVED.table.bends
    errors = errors_of(bends, [BentPart(0, 2), BentPart(2, 4)], hands, rolled=(2,))
    off = simulate(SOLVED.table, errors, 4000).finish - np.array(SOLVED.finish)[:, None]
    linear = finish_covariance(SOLVED.table, errors)
    assert np.cov(off) == pytest.approx(linear, abs=0.06 * np.trace(linear))
    # It takes most of one direction out of the scatter.
    plain = finish_covariance(SOLVED.table, errors_of(bends, (), hands))
    assert np.linalg.eigvalsh(linear)[0] < 0.3 * np.linalg.eigvalsh(plain)[0]
    assert np.trace(linear) < np.trace(plain)


JOB = """\
job: long
tube: 15
former: {{radius: 55, springback: {{per_degree: 0, fixed: 0}}, hold: 60, guide: 45}}
hands: {{mark: 1, angle: 1, turn: 1}}
stock: {{length: {stock}}}
runs:
  r:
    points: [[0, 0, 0], [1500, 0, 0], [1500, 900, 0], [1500, 900, 900], [2300, 900, 900]]
"""


def test_a_job_with_a_run_that_is_jointed(tmp_path):
    fits = {}
    for stock in (6000, 3000):
        path = tmp_path / f"{stock}.yaml"
        path.write_text(JOB.format(stock=stock))
        report = check(load(path))
        (fits[stock],) = report.fits
    assert fits[6000].joints == 0
    assert fits[3000].joints == 1
    assert fits[3000].chance.value > fits[6000].chance.value
    assert fits[3000].best_reading.piece in (1, 2)
    assert fits[6000].best_reading.piece is None
    assert "at 1 joint what follows is rolled to where the finish lands best" in " ".join(
        str(f.message) for f in report.findings
    )
