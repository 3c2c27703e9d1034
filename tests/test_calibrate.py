"""Calibration: known formers recovered from synthetic readings, honest intervals, wrong readings found.

The synthetic readings are made by bending a straight tube with `bend_corners` and measuring the finished
centreline in space, so that the fit's own formulae are not used to make what it is tested on.
"""

import math

import numpy as np
import pytest

from pipemodel.bending.bends import Bend, BendTable, centreline_of
from pipemodel.bending.calibrate import ContradictionError, TestPiece, calibrate

OUTSIDE = 15.0
TRUE = {"radius": 54.2, "mark": 38.0, "fixed": 1.5, "per_degree": 0.05}


def measured(name, angle, rng=None, tape=0.5, protractor=0.5, cut=500.0, mark=200.0):
    """Bend one piece on the true former and measure it in space, with noise if a generator is given."""
    radius = TRUE["radius"]
    start = mark - TRUE["mark"]
    arc = radius * math.radians(angle)
    bend = Bend(1, start, start, angle, 0.0, radius, arc, 0.0)
    table = BendTable((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), (bend,), cut - start - arc)
    line = centreline_of(table)
    # The back: where the outside lines of the two legs meet. Outside of a left-hand bend is the right.
    first, last = np.array([1.0, 0.0]), np.array(line.pieces[-1].direction[:2])
    p = np.array([0.0, 0.0]) + OUTSIDE / 2 * np.array([0.0, -1.0])
    q = np.array(line.finish[:2]) + OUTSIDE / 2 * np.array([last[1], -last[0]])
    along, back = np.linalg.solve(np.array([first, -last]).T, q - p)
    noise = (lambda s: rng.normal(0, s)) if rng else (lambda s: 0.0)
    pull = angle + TRUE["fixed"] + TRUE["per_degree"] * angle
    return TestPiece(
        name, cut, mark, angle + noise(protractor), along + noise(tape), -back + noise(tape), pull + noise(protractor)
    )


def figures(result):
    return (result.radius_mm, result.mark_mm, result.fixed_deg, result.per_degree)


def test_perfect_readings_give_the_former_back():
    result = calibrate([measured("a", 30), measured("b", 90), measured("c", 120)], OUTSIDE)
    for estimate, true in zip(figures(result), TRUE.values(), strict=True):
        assert estimate.value == pytest.approx(true, abs=1e-6)
    assert result.spread < 1e-6
    assert result.doubts == ()


def test_two_test_bends_give_the_springback_law():
    """Tube-bending machine maker's note: two test bends and the two-constant law; 90 wants 96."""
    pieces = [TestPiece("a", 400, 150, 20, pull_deg=22.5), TestPiece("b", 400, 150, 120, pull_deg=127.5)]
    result = calibrate(pieces, OUTSIDE)
    assert 90 + result.fixed_deg.value + result.per_degree.value * 90 == pytest.approx(96.0, abs=1e-6)
    assert result.radius_mm is None


def test_a_single_90_gives_radius_and_mark():
    result = calibrate([measured("a", 90)], OUTSIDE)
    assert result.radius_mm.value == pytest.approx(TRUE["radius"], abs=1e-6)
    assert result.mark_mm.value == pytest.approx(TRUE["mark"], abs=1e-6)
    assert result.per_degree is None
    assert any("no reading is spare" in note for note in result.notes)


def test_the_stated_uncertainty_covers_the_truth_as_often_as_it_says():
    """95 % intervals over 400 trials: the count is binomial, so 0.95 +- 0.033 holds with 3 sigma."""
    rng = np.random.default_rng(11)
    trials, hits = 400, np.zeros(4)
    for _ in range(trials):
        result = calibrate([measured(n, a, rng) for n, a in zip("abcd", (90, 90, 30, 120), strict=True)], OUTSIDE)
        for k, (estimate, true) in enumerate(zip(figures(result), TRUE.values(), strict=True)):
            hits[k] += abs(estimate.value - true) <= estimate.uncertainty
    assert np.all(np.abs(hits / trials - 0.95) < 0.033), hits / trials


def test_as_many_more_pieces_as_it_says_halve_the_uncertainty():
    few = [measured(n, a) for n, a in zip("abcd", (90, 90, 30, 120), strict=True)]
    result = calibrate(few, OUTSIDE)
    more = result.radius_mm.more_to_halve
    assert more == 3 * len(few)
    many = calibrate(few * (1 + more // len(few)), OUTSIDE)
    for before, after in zip(figures(result), figures(many), strict=True):
        assert after.uncertainty == pytest.approx(before.uncertainty / 2, rel=1e-6)


@pytest.mark.parametrize("reading", ["start_to_back_mm", "finish_to_back_mm", "pull_deg"])
def test_the_wrong_reading_is_pointed_out(reading):
    rng = np.random.default_rng(3)
    pieces = [measured(n, a, rng) for n, a in zip("abcdef", (90, 90, 30, 120, 60, 45), strict=True)]
    wrong = pieces[2].__class__(**{**vars(pieces[2]), reading: getattr(pieces[2], reading) + 10})
    doubts = calibrate([*pieces[:2], wrong, *pieces[3:]], OUTSIDE).doubts
    assert [(d.piece, d.reading) for d in doubts] == [("c", reading.rsplit("_", 1)[0].replace("_", " ").strip())]
    assert doubts[0].off_by == pytest.approx(10, abs=5)
    assert calibrate(pieces, OUTSIDE).doubts == ()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"pull_deg": 60.0}, "swapped"),
        ({"start_to_back_mm": 50.0}, "add up to"),
        ({"mark_mm": 900.0}, "not on a tube"),
        ({"angle_deg": 190.0}, "between 0 and 180"),
    ],
)
def test_contradictions_name_the_value_and_what_would_be_right(changes, words):
    good = measured("a", 90)
    with pytest.raises(ContradictionError, match=words):
        calibrate([TestPiece(**{**vars(good), **changes})], OUTSIDE)
