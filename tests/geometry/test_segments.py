"""Distances between segments, against a bounded least-squares solver that knows nothing of the closed formula."""

import numpy as np
import pytest
from scipy.optimize import lsq_linear

from pipemodel.geometry.segments import segment_distance


@pytest.mark.slow
def test_two_segments_are_as_far_apart_as_a_solver_finds():
    """Over random segments, long and short, crossing, parallel or of no length; the shares lead to the two places."""
    dice = np.random.default_rng(3)
    inside = clamped = 0
    for k in range(300):
        a, b, c, d = dice.uniform(-100.0, 100.0, (4, 3))
        if k % 5 == 1:
            d = c + (b - a) * dice.uniform(-2.0, 2.0)
        elif k % 5 == 2:
            b = a
        elif k % 5 == 3:
            d = c if k % 2 else c + 0.01 * (d - c)
        found, s, t = segment_distance(*(tuple(p.tolist()) for p in (a, b, c, d)))
        # |a + s (b - a) - c - t (d - c)|, s and t from 0 to 1.
        best = lsq_linear(np.column_stack([b - a, c - d]), c - a, bounds=(0.0, 1.0), tol=1e-12)
        wanted = np.linalg.norm(a + best.x[0] * (b - a) - c - best.x[1] * (d - c))
        assert found == pytest.approx(wanted, abs=1e-5), k
        assert 0.0 <= s <= 1.0
        assert 0.0 <= t <= 1.0
        assert np.linalg.norm(a + s * (b - a) - c - t * (d - c)) == pytest.approx(found)
        inside += 0.0 < s < 1.0 and 0.0 < t < 1.0
        clamped += s in (0.0, 1.0) or t in (0.0, 1.0)
    assert inside > 20
    assert clamped > 100


def test_two_segments_by_hand():
    """A square 3-4-5: the near ends are 3 apart one way and 4 another."""
    assert segment_distance((0, 0, 0), (10, 0, 0), (13, 4, 0), (20, 4, 0)) == (5.0, 1.0, 0.0)
    assert segment_distance((0, 0, 0), (10, 0, 0), (5, -5, 2), (5, 5, 2)) == (2.0, 0.5, 0.5)
    assert segment_distance((0, 0, 0), (0, 0, 0), (3, 4, 0), (3, 4, 0)) == (5.0, 0.0, 0.0)
