"""Whether tubes are clear of all things, against the least distance from each tube to each thing."""

import numpy as np
import pytest
from distance_specimens import box_near, cylinder_near, direction, rng, seeds, straight_line, stub, wandering

from pipemodel.geometry.distance import Surroundings, least_distances
from pipemodel.geometry.shapes import Box, Extrusion, HalfSpace, Mesh
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


@pytest.mark.parametrize("seed", seeds(6))
def test_straight_tubes_in_a_skin_of_triangles(seed):
    """Each triangle is strewn with points; how deep each lies in a tube is plain trigonometry."""
    dice = np.random.default_rng(seed)
    places = dice.normal(size=(12, 2, 3)) * 80.0
    sizes = 4 * [4.0, 15.0, 54.0]
    tubes = [(straight_line(*map(tuple, ends.tolist())), size) for ends, size in zip(places, sizes, strict=True)]
    corner = dice.normal(size=(30, 3, 3)) * 40.0 + dice.normal(size=(30, 1, 3)) * 60.0
    skin = Mesh(corner.reshape(-1, 3), np.arange(90).reshape(-1, 3), closed=False)
    i, j = np.divmod(np.arange(81 * 81), 81)
    share = np.stack([i, j, 80 - i - j], axis=1)[i + j <= 80] / 80.0
    points = (share @ corner).reshape(-1, 3)
    close = float(np.linalg.norm(corner - np.roll(corner, 1, axis=1), axis=2).max()) / 80.0
    for (line, outside), clear in zip(tubes, Surroundings([skin]).clear(*zip(*tubes, strict=True)), strict=True):
        start, ahead = np.array(line.start), np.array(line.direction_at(0.0))
        along = (points - start) @ ahead
        aside = np.linalg.norm(points - start - along[:, None] * ahead, axis=1)
        deepest = float(np.min([along, line.length - along, outside / 2.0 - aside], axis=0).max())
        assert clear or deepest > -close
        assert not clear or deepest < 1e-6


def test_a_tube_that_ends_at_a_skin_is_clear_and_one_that_ends_in_it_is_not():
    for over, clear in ((-0.01, True), (0.0, True), (1e-7, True), (0.01, False)):
        line = straight_line((0.0, 0.0, -100.0), (0.0, 0.0, over))
        square = np.array([[-90.0, -90.0, 0.0], [90.0, -90.0, 0.0], [90.0, 90.0, 0.0], [-90.0, 90.0, 0.0]])
        skin = Mesh(square, np.array([[0, 1, 2], [0, 2, 3]]), closed=False)
        assert Surroundings([skin]).clear([line], [OUTSIDE]) == [clear]


@pytest.mark.parametrize("seed", seeds(4))
def test_the_nearest_of_hundreds_of_blocks(seed):
    """To blocks that lie beside or beyond a tube along the x axis the distance is school geometry."""
    dice = np.random.default_rng(seed)
    low = dice.uniform(-3000.0, 3000.0, size=(400, 3))
    low[:, 1] = np.where(low[:, 1] > 0.0, low[:, 1] + 40.0, low[:, 1] - 90.0)
    high = low + dice.uniform(10.0, 50.0, size=(400, 3))
    line = straight_line((-600.0, 0.0, 0.0), (500.0, 0.0, 0.0))
    ahead = np.maximum(np.maximum(low[:, 0] - 500.0, -600.0 - high[:, 0]), 0.0)
    aside = np.maximum(np.maximum(low, -high), 0.0)[:, 1:]
    far = np.hypot(ahead, np.maximum(np.linalg.norm(aside, axis=1) - OUTSIDE / 2.0, 0.0))
    shapes = [Box(tuple(a), tuple(b)) for a, b in zip(low.tolist(), high.tolist(), strict=True)]
    number, (_, y, z) = Surroundings(shapes).nearest(line, OUTSIDE)
    assert number == int(np.argmin(far))
    assert abs(np.hypot(y, z) - np.linalg.norm(aside[number])) < 1e-9
