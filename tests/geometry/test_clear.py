"""Whether tubes are clear of all things, against the least distance from each tube to each thing."""

import pytest
from distance_specimens import box_near, cylinder_near, direction, rng, seeds, stub, wandering

from pipemodel.geometry.distance import Surroundings, least_distances
from pipemodel.geometry.shapes import Box, Extrusion, HalfSpace
from pipemodel.geometry.vectors import add, scale

OUTSIDE = 15.0


def things(dice, line):
    """Some near a tube, one round all of it, one without end, and some far off."""
    at = line.point_at(0.0)
    x, y, z = at
    near = [box_near(dice, line), cylinder_near(dice, line)]
    plate = [(x + 20.0, y), (x + 400.0, y + 10.0), (x + 90.0, y + 300.0)]
    others = [
        Extrusion(tuple(plate), z - 30.0, z + 30.0),
        HalfSpace(add(at, scale(direction(dice), 700.0)), direction(dice)),
        Box((x - 9000.0, y - 9000.0, z - 9000.0), (x + 9000.0, y + 9000.0, z + 9000.0)),
        *(Box((x + far, y, z), (x + far + 50.0, y + 50.0, z + 50.0)) for far in (4000.0, -7000.0)),
    ]
    return [thing for thing in (*near, *others) if dice.random() < 0.4]


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(12))
def test_clear_is_no_distance_below_nothing(seed):
    dice = rng(seed)
    tubes = [(wandering(dice, 2), OUTSIDE), stub(dice), (wandering(dice, 1), OUTSIDE)]
    shapes = things(dice, tubes[0][0])
    clear = Surroundings(shapes).clear(*zip(*tubes, strict=True))
    for (line, outside), said in zip(tubes, clear, strict=True):
        assert said == all(near.distance > -1e-6 for near in least_distances(line, outside, shapes))


def test_nothing_to_ask():
    assert Surroundings([Box((0.0, 0.0, 0.0), (1.0, 1.0, 1.0))]).clear([], []) == []
    (line,) = [wandering(rng(1), 1)]
    assert Surroundings([]).clear([line], [OUTSIDE]) == [True]
