"""Distances against the kernel's exact ones (OCCT, BRepExtrema_DistShapeShape) between true solids.

The kernel says 0 for all that overlap; so does ours, cut off at 0, and only then is it below zero. Its search misses
a minimum now and then: where ours is the lesser, the kernel has to confirm
that our two points lie on the solids it was asked about.

`--wide` asks for twenty times as many cases.
"""

import math

import pytest
from distance_specimens import (
    KERNEL_MM,
    box_near,
    cylinder_near,
    direction,
    kernel_distance,
    kernel_point,
    kernel_thing,
    kernel_tube,
    moved,
    rng,
    seeds,
    stub,
    tip_near_end,
    wandering,
)
from wide import few_or_many

from pipemodel.geometry.distance import least_distances, tube_distance
from pipemodel.geometry.vectors import add, scale, sub

pytestmark = pytest.mark.kernel


def agrees(nearest, some, others):
    kernel = kernel_distance(some, others)
    ours = max(nearest.distance, 0.0)
    assert ours <= kernel + KERNEL_MM
    if nearest.distance >= 0.0:
        assert math.dist(nearest.point, nearest.other) == pytest.approx(nearest.distance, abs=1e-9)
    if ours < kernel - KERNEL_MM:
        assert nearest.distance > 0.0
        assert kernel_distance([kernel_point(nearest.point)], some) <= KERNEL_MM
        assert kernel_distance([kernel_point(nearest.other)], others) <= KERNEL_MM


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(4))
def test_run_to_boxes_and_cylinders(seed):
    dice = rng(seed)
    line = wandering(dice, dice.randint(0, 3), dice.choice([30.0, 55.0]))
    shapes = [make(dice, line) for make in (box_near, cylinder_near) for _ in range(3)]
    tube = kernel_tube(line, 15.0)
    for shape, nearest in zip(shapes, least_distances(line, 15.0, shapes), strict=True):
        agrees(nearest, tube, kernel_thing(shape))


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(few_or_many(6, 12)))
def test_flat_ends_and_tight_bends(seed):
    """Corners, rims and faces within some mm of a flat end: ahead of the disc, beside its rim, in it, flush with it."""
    dice = rng(seed)
    line, outside = stub(dice)
    shapes = [tip_near_end(dice, line, outside) for _ in range(8)]
    tube = kernel_tube(line, outside)
    for shape, nearest in zip(shapes, least_distances(line, outside, shapes), strict=True):
        agrees(nearest, tube, kernel_thing(shape))


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(few_or_many(4, 8)))
def test_run_to_run(seed):
    dice = rng(seed)
    a, b = (wandering(dice, dice.randint(0, 2), dice.choice([30.0, 55.0])) for _ in "ab")
    b = brought_near(dice, a, b, dice.uniform(15.0, 60.0))
    nearest = tube_distance(a, 15.0, b, 22.0)
    agrees(nearest, kernel_tube(a, 15.0), kernel_tube(b, 22.0))


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(few_or_many(6, 12)))
def test_stub_to_stub(seed):
    """Bends against bends, ends against ends, a few mm apart or in each other."""
    dice = rng(seed)
    (a, outside_a), (b, outside_b) = stub(dice), stub(dice)
    b = brought_near(dice, a, b, dice.uniform(0.3, 1.5) * (outside_a + outside_b) / 2.0)
    nearest = tube_distance(a, outside_a, b, outside_b)
    agrees(nearest, kernel_tube(a, outside_a), kernel_tube(b, outside_b))


def brought_near(dice, a, b, apart):
    """Turn b whichever way and bring a place on it near to a place on a."""
    b = moved(b, direction(dice), dice.uniform(0.0, 360.0))
    place_a, place_b = (dice.choice([0.0, x.length, dice.uniform(0.0, x.length)]) for x in (a, b))
    there = add(a.point_at(place_a), scale(direction(dice), apart))
    return moved(b, offset=sub(there, b.point_at(place_b)))
