"""Calibration: known formers recovered from synthetic readings, honest intervals, wrong readings found.

The synthetic readings are made by bending a straight tube with `bend_corners` and measuring the finished
centreline in space, so that the fit's own formulae are not used to make what it is tested on.
"""

import numpy as np
import pytest
from measured_pieces import OUTSIDE, TRUE, measured

from pipemodel.bending.calibrate import ContradictionError, TestPiece, calibrate


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
