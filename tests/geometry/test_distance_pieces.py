"""Pieces of runs against each other where only one of several ways of measuring sees what is nearest; by sampling."""

import numpy as np
import pytest
from scipy.spatial import cKDTree

from pipemodel.bending.bends import bend_corners, centreline_of
from pipemodel.geometry.distance.itself import self_distances
from pipemodel.geometry.distance.runs import tube_distance

OUTSIDE = 15.0


def line(*corners, radius=55.0):
    return centreline_of(bend_corners([tuple(map(float, c)) for c in corners], radius)[0])


def axis(run, step=0.25):
    return np.array([run.point_at(min(s, run.length)) for s in np.arange(0.0, run.length + step, step)])


@pytest.mark.parametrize("seed", range(6))
def test_two_bends_nested_or_crossing_are_as_near_as_their_axes_less_the_tube(seed):
    """Two square bends whose nearest places lie in both arcs: neither a leg nor an end comes near."""
    dice = np.random.default_rng(seed)
    a = line((-300, 0, 0), (0, 0, 0), (0, 300, 0))
    shift = dice.uniform(5, 12, 3) * [1, -1, 1] + [0, 0, dice.uniform(16, 30)]
    b = line(*(np.array([(-300, 0, 0), (0, 0, 0), (0, 300, 0)]) + shift))
    found = tube_distance(a, OUTSIDE, b, OUTSIDE)
    least = np.min(cKDTree(axis(a)).query(axis(b))[0])
    assert found.distance == pytest.approx(least - OUTSIDE, abs=2e-3)
    back = tube_distance(b, OUTSIDE, a, OUTSIDE)
    assert back.distance == pytest.approx(found.distance, abs=1e-9)


def test_a_tail_that_comes_back_over_the_first_leg():
    """Four legs round a square that climbs: the last passes 25 above the first."""
    run = line((0, 0, 0), (400, 0, 0), (400, 200, 12.5), (200, 200, 25), (200, -200, 25))
    assert self_distances([run], [OUTSIDE])[0].distance == pytest.approx(25 - OUTSIDE, abs=0.2)


@pytest.mark.slow
def test_pieces_with_one_piece_between_are_measured_when_a_bend_is_one_of_them():
    """A hook: a bend of 175 degrees, 24 of straight, then a bend that brings the tail back across its own first leg."""
    a = np.radians(100)
    run = line((0, 0, 0), (600, 0, 0), (600 + 300 * np.cos(a), 300 * np.sin(a), 0), (350, 20, 0), (350, 20, 300))
    found = self_distances([run], [OUTSIDE])[0]
    points = axis(run, 0.5)
    at = np.arange(len(points)) * 0.5
    gap = np.linalg.norm(points[:, None] - points[None], axis=2)
    apart = np.abs(at[:, None] - at[None]) > 250
    assert found.distance == pytest.approx(np.min(gap[apart]) - OUTSIDE, abs=2e-2)


@pytest.mark.parametrize("gap", [9.0, 30.0])
@pytest.mark.parametrize("end", ["start", "finish"])
def test_beyond_the_flat_end_of_a_bend_without_a_tail(end, gap):
    """A square bend and nothing else; a tube across its end, `gap` from the end disc to the axis."""
    bare = line((-55, 0, 0), (0, 0, 0), (0, 55, 0))
    place = (-55 - gap, 0) if end == "start" else (0, 55 + gap)
    across = line((*place, -200), (*place, 200))
    assert tube_distance(bare, OUTSIDE, across, OUTSIDE).distance == pytest.approx(gap - OUTSIDE / 2)


@pytest.mark.parametrize("seed", range(8))
def test_bends_that_run_into_each_other_are_as_deep_seen_from_either(seed):
    """Overlapping bends of two sizes of tube: the depth does not hang on which run is named first."""
    dice = np.random.default_rng(seed)
    a = line((-300, 0, 0), (0, 0, 0), (0, 300, 0))
    b = line(*(np.array([(-300, 0, 0), (0, 0, 0), (0, 300, 0)]) + dice.uniform(-9, 9, 3)), radius=77.0)
    there, back = tube_distance(a, 15.0, b, 22.0), tube_distance(b, 22.0, a, 15.0)
    assert there.distance < 0
    assert there.distance == pytest.approx(back.distance, abs=1e-6)
