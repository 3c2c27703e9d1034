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


def test_readings_that_all_scatter_more_than_was_stated_are_not_doubted_one_by_one():
    """A mm and a degree where half of each was stated: in 200 trials no more than a few readings are pointed out."""
    rng = np.random.default_rng(5)
    doubted = covered = 0
    for _ in range(200):
        pieces = [measured(n, a, rng, 1.0, 1.0) for n, a in zip("abcd", (90, 90, 45, 120), strict=True)]
        result = calibrate(pieces, OUTSIDE)
        doubted += bool(result.doubts)
        covered += abs(result.radius_mm.value - TRUE["radius"]) <= result.radius_mm.uncertainty
    assert doubted <= 6
    assert covered >= 0.9 * 200


def test_pieces_of_one_angle_give_the_springback_there_and_no_law():
    rng = np.random.default_rng(2)
    result = calibrate([measured(n, 90, rng) for n in "abc"], OUTSIDE)
    assert result.per_degree is None
    # 90 wants 96: 6 degrees there.
    assert result.fixed_deg.value == pytest.approx(6, abs=1.5)
    assert any("holds near 90 degrees" in note for note in result.notes)
    held = calibrate([measured(n, 90) for n in "ab"], OUTSIDE, per_degree=TRUE["per_degree"])
    assert held.fixed_deg.value == pytest.approx(TRUE["fixed"])


def test_what_two_readings_from_one_side_hardly_tell_apart_is_not_settled():
    """Start to back alone, on bends of nearly one angle: radius and mark go together."""
    pieces = [
        TestPiece(n, 500, 200, a, start_to_back_mm=measured(n, a).start_to_back_mm) for n, a in (("a", 90), ("b", 90.4))
    ]
    result = calibrate(pieces, OUTSIDE)
    assert not result.radius_mm.settled
    assert not result.mark_mm.settled
    assert result.radius_mm.more_to_halve is None


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"start_to_back_mm": 450.0}, "cannot give more than"),
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
