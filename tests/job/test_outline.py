"""Outlines in plan against shapely: which of them bound a piece of ground, and which way round they run."""

import random

import pytest
from shapely.geometry import LinearRing, Polygon

from pipemodel.job.outline import counter_clockwise, opened, outline_fault


def test_an_outline_is_refused_just_where_its_ring_is_not_simple():
    """On a small grid, so that sides cross, touch at corners, run along each other and lie in line apart."""
    dice = random.Random(12)
    good = bad = 0
    for _ in range(4000):
        n = dice.choice([3, 4, 4, 5, 6])
        points = [(float(dice.randint(0, 3)), float(dice.randint(0, 3))) for _ in range(n)]
        if any(a == b for a, b in zip(points, [*points[1:], points[0]], strict=True)):
            continue
        simple = LinearRing(points).is_simple and Polygon(points).area > 0.0
        assert (outline_fault(points) is None) == simple, points
        good += simple
        bad += not simple
    assert good > 300
    assert bad > 300


@pytest.mark.parametrize(
    ("points", "meet"),
    [
        ([(0, 0), (4, 0), (4, 3), (2, -1)], "the side from corner 1 meets the one from corner 3"),
        ([(0, 0), (4, 4), (4, 0), (0, 4)], "the side from corner 1 meets the one from corner 3"),
        ([(0, 0), (4, 0), (2, 0), (2, 3)], "the side from corner 1 meets the one from corner 2"),
    ],
)
def test_the_two_sides_that_meet_are_named(points, meet):
    said = str(outline_fault(points))
    assert meet in said
    assert said.startswith("the outline crosses or touches itself")


def test_too_few_and_repeated_corners_are_named():
    assert str(outline_fault([(0, 0), (1, 0), (0, 0)])) == "an outline needs at least three corners"
    assert str(outline_fault([(0, 0), (1, 0), (1, 0), (0, 1)])) == "corner 2 of the outline is repeated; leave one out"
    assert outline_fault([(0, 0), (1, 0), (1, 1), (0, 1), (0, 0)]) is None
    assert opened([(0, 0), (1, 0), (1, 1), (0, 0)]) == [(0, 0), (1, 0), (1, 1)]


def test_it_is_turned_counter_clockwise():
    dice = random.Random(5)
    turned = 0
    for _ in range(200):
        points = [(dice.uniform(0.0, 9.0), dice.uniform(0.0, 9.0)) for _ in range(3)]
        found = counter_clockwise([*points, points[0]])
        assert sorted(found) == sorted(points)
        assert LinearRing(found).is_ccw
        turned += list(found) != points
    assert 50 < turned < 150
