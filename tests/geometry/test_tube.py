"""Tubes that are in the room already, bends and all: against the kernel's cylinders and tori."""

import math

import pytest
from distance_specimens import (  # fmt: skip
    KERNEL_MM,
    direction,
    kernel_distance,
    kernel_point,
    kernel_tube,
    moved,
    rng,
    seeds,
    straight_line,
    stub,
    wandering,
)
from wide import few_or_many

from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance import least_distances, tube_distance
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.vectors import add, scale


def tube_near(dice, line):
    """A short tube, straight or with one bend, beside a run or beyond one of its ends."""
    own, outside = stub(dice)
    at = dice.choice([0.0, line.length, dice.uniform(0.0, line.length)])
    away = scale(direction(dice), dice.uniform(20.0, 120.0))
    return Tube(moved(own, offset=add(line.point_at(at), away)), outside)


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("seed", seeds(few_or_many(1, 2)))
def test_runs_and_points_beside_bent_tubes_by_the_kernel(seed):
    dice, apart = rng(seed), 0
    line = wandering(dice, 2)
    tubes = [tube_near(dice, line) for _ in range(4)]
    for tube, nearest in zip(tubes, least_distances(line, 15.0, tubes), strict=True):
        true = kernel_distance(kernel_tube(line, 15.0), kernel_tube(tube.line, tube.diameter))
        assert max(nearest.distance, 0.0) == pytest.approx(true, abs=KERNEL_MM)
        apart += true > 0.0
        point = add(line.point_at(nearest.at), scale(direction(dice), dice.uniform(0.0, 60.0)))
        true = kernel_distance([kernel_point(point)], kernel_tube(tube.line, tube.diameter))
        assert max(tube.distance(point), 0.0) == pytest.approx(true, abs=KERNEL_MM)
    assert apart >= 1


@pytest.mark.parametrize("seed", seeds(6))
def test_a_tube_that_is_there_is_as_far_and_as_deep_as_a_run_in_its_place(seed):
    """The two are laid out and measured by different means; that of two runs is held against the kernel elsewhere."""
    dice = rng(100 + seed)
    line, own = wandering(dice, 2), wandering(dice, 1)
    at = dice.uniform(0.0, own.length)
    shifted = moved(own, offset=add(line.point_at(dice.uniform(0.0, line.length)), scale(own.point_at(at), -1.0)))
    shifted = moved(shifted, offset=scale(direction(dice), dice.choice([3.0, 10.0, 30.0])))
    (found,) = least_distances(line, 15.0, [Tube(shifted, 22.0)])
    other = tube_distance(line, 15.0, shifted, 22.0)
    if other.distance > 0.0:
        assert found.distance == pytest.approx(other.distance, abs=1e-6)
    else:
        # How deep is found to be no less than from either side, and no end of the tube is deeper than its thickness.
        assert -18.5 - 1e-6 <= found.distance <= 0.0
        assert found.distance == pytest.approx(other.distance, abs=0.2)


def test_where_a_leg_goes_on_into_a_bend_nothing_is_less_deep():
    """Across the seam between leg and bend: as deep as the two radii together, 11 + 7.5."""
    tube = Tube(Centreline(tuple(rounded([(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 300.0, 0.0)], [66.0]))), 22.0)
    for x in (233.9, 234.0, 234.1):
        (found,) = least_distances(straight_line((x, 0.0, -100.0), (x, 0.0, 100.0)), 15.0, [tube])
        assert found.distance == pytest.approx(-18.5, abs=1e-4)


@pytest.mark.parametrize(
    ("origin", "ahead", "point"),
    [
        ((100.0, -200.0, 0.0), (0.0, 1.0, 0.0), (100.0, -11.0, 0.0)),
        ((100.0, -200.0, 5.0), (0.0, 1.0, 0.0), (100.0, -11.0, 0.0)),
        ((500.0, 250.0, 0.0), (-1.0, 0.0, 0.0), (311.0, 250.0, 0.0)),
        ((-50.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 0.0)),
        # On the back of the bend at 45 degrees: R + r from its centre.
        ((434.0, -134.0, 0.0), (-math.sqrt(0.5), math.sqrt(0.5), 0.0), None),
    ],
)
def test_a_measure_is_taken_to_the_flat_against_its_near_side(origin, ahead, point):
    tube = Tube(Centreline(tuple(rounded([(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 300.0, 0.0)], [66.0]))), 22.0)
    face = tube.met(origin, ahead)
    if point is None:
        spot = tuple(c + s * 77.0 * math.sqrt(0.5) for c, s in zip((234.0, 66.0, 0.0), (1.0, -1.0, 0.0), strict=True))
        point = spot
    assert face.height_of(point) == pytest.approx(0.0, abs=1e-6)
    assert sum(a * b for a, b in zip(face.normal, ahead, strict=True)) == pytest.approx(-1.0, abs=1e-6)


def test_a_line_that_misses_meets_nothing():
    tube = Tube(Centreline(tuple(rounded([(0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 300.0, 0.0)], [66.0]))), 22.0)
    assert tube.met((100.0, -200.0, 20.0), (0.0, 1.0, 0.0)) is None
    assert tube.met((100.0, -200.0, 0.0), (0.0, -1.0, 0.0)) is None


@pytest.mark.kernel
@pytest.mark.parametrize("seed", seeds(2))
def test_its_solid_is_valid_and_as_large_as_disc_times_way(seed):
    """Pappus: what a disc sweeps, square to its way, is its area times the way of its middle."""
    from OCP.BRepCheck import BRepCheck_Analyzer
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    from pipemodel.solids.room import thing_solid

    line = wandering(rng(seed), 3)
    solid = thing_solid(Tube(line, 15.0), Extent((0, 0, 0), (1, 1, 1))).shape
    assert BRepCheck_Analyzer(solid).IsValid()
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(solid, props)
    assert props.Mass() == pytest.approx(math.pi * 7.5**2 * line.length, rel=1e-6)
