"""Tube ends that reach into things, by trigonometry and by points laid out closely over the outside of the tube.

Whatever a thing is written as, an end that lies in it overlaps it: the distance is below zero, and the tube not clear.
"""

import math
from itertools import product

import numpy as np
import pytest
from distance_specimens import direction, kernel_distance, kernel_thing, kernel_tube, rng, seeds, straight_line
from test_distance_depth import depth_in, sampled
from test_distance_invariants import as_mesh
from test_distance_surfaces import extruded
from wide import few_or_many

from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance import Surroundings, least_distances, tube_distance
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.shapes.plan import rectangle_less
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import add, scale

EAST, NORTH = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
SEEN_MM = 1e-3
"""What lies deeper than this in a thing overlaps it, by the points laid out."""
NOTHING_MM = 1e-6


def plated(box, *holes):
    wide, broad, thick = (b - a for a, b in zip(box.low, box.high, strict=True))
    return Plate(box.low, EAST, NORTH, thick, rectangle_less((0.0, 0.0), (wide, broad), []), holes)


def same_block(box):
    """One block in every way it can be written; the last is its surface only."""
    return [box, extruded(box), plated(box), as_mesh(box), as_mesh(box, closed=False)]


def tube_ending(end, way, length, at_start):
    """A tube that comes along `way` and stops at `end`, by its finish or by its start."""
    far = add(end, scale(way, -length))
    return straight_line(end, far) if at_start else straight_line(far, end)


SLANTWISE = list(
    product([-0.5, 0.0, 0.02, 0.5, 0.98, 1.0, 1.02, 3.0], [2.0, 20.0, 45.0, 70.0, 90.0], [4.0, 54.0]),
)


@pytest.mark.slow
@pytest.mark.parametrize(("share", "tilt", "radius"), few_or_many(SLANTWISE[::3], SLANTWISE))
def test_an_end_slantwise_in_a_face_is_as_deep_as_its_rim(share, tilt, radius):
    """By trigonometry: the lowest point of the rim lies the radius times the sine of the tilt below the axis."""
    dice = rng(int(1000.0 * share + tilt))
    down = radius * math.sin(math.radians(tilt))
    turn = dice.uniform(0.0, 2.0 * math.pi)
    level = math.sin(math.radians(tilt))
    way = (level * math.cos(turn), level * math.sin(turn), -math.cos(math.radians(tilt)))
    line = tube_ending((3.0, -5.0, share * down), way, 300.0, dice.random() < 0.5)
    block = Box((-400.0, -380.0, -390.0), (410.0, 420.0, 0.0))
    closed = [
        *same_block(block)[:4],
        plated(block, Round(200.0, 200.0, 30.0)),
        HalfSpace((7.0, 7.0, 0.0), (0.0, 0.0, 1.0)),
        Cylinder((0.0, 0.0, 0.0), (0.0, 0.0, -400.0), 900.0),
        Cone((0.0, 0.0, 0.0), (0.0, 0.0, -400.0), (900.0, 1000.0)),
    ]
    things = [*closed, as_mesh(block, closed=False)]
    found = [nearest.distance for nearest in least_distances(line, 2.0 * radius, things)]
    if share >= 1.0:
        assert found == pytest.approx([(share - 1.0) * down] * len(things), abs=1e-9)
    elif share > 0.0:
        assert found[:-1] == pytest.approx([(share - 1.0) * down] * len(closed), abs=2e-3)
    else:
        # Of an end whose axis went in the side may tell as well, and of a surface alone the lines between its pieces.
        assert max(found[:-1]) <= (share - 1.0) * down + 2e-3
    overlaps = share < 1.0
    assert [distance < -NOTHING_MM for distance in found] == [overlaps] * len(things)
    assert [Surroundings([thing]).clear([line], [2.0 * radius])[0] for thing in things] == [not overlaps] * len(things)


def end_and_block(dice):
    """A tube that stops at the origin, and a block with a corner, an edge, a face or its inside about there."""
    radius = dice.choice([4.0, 7.5, 14.0, 54.0])
    way = direction(dice) if dice.random() < 0.8 else dice.choice([EAST, NORTH, (0.0, 0.0, -1.0)])
    line = tube_ending((0.0, 0.0, 0.0), way, dice.choice([20.0, 300.0]), dice.random() < 0.5)
    size = [dice.choice([0.5, 4.0, 20.0, 200.0]) * dice.uniform(0.5, 1.5) for _ in range(3)]
    share = [dice.choice([0.0, 1.0, dice.random()]) for _ in range(3)]
    off = scale(direction(dice), radius * dice.choice([0.0, 0.3, 0.6, 0.9, 0.99, 1.0, 1.05]))
    low = tuple(o - s * k for o, s, k in zip(off, size, share, strict=True))
    return line, 2.0 * radius, Box(low, add(low, tuple(size)))


def skin_of(line, outside):
    """Points over both discs, and over the side near the finish and the start."""
    short = min(line.length, 4.0 * outside)
    near = [
        straight_line(line.start, line.point_at(short)),
        straight_line(line.point_at(line.length - short), line.finish),
    ]
    return np.concatenate([sampled(part, outside)[1] for part in near])


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("part", range(few_or_many(1, 4)))
def test_a_block_overlaps_an_end_in_whatever_way_it_is_written(part):
    """Where points laid out over the tube lie in the block it overlaps; where not, the kernel has to see a touch."""
    overlapping = 0
    for seed in seeds(16):
        line, outside, box = end_and_block(rng(100 * part + seed))
        things = same_block(box)
        found = [nearest.distance for nearest in least_distances(line, outside, things)]
        clear = [Surroundings([thing]).clear([line], [outside])[0] for thing in things]
        if float(depth_in(box, skin_of(line, outside)).max()) > SEEN_MM:
            overlapping += 1
            assert max(found) < -NOTHING_MM, (seed, found)
            assert not any(clear), (seed, clear)
        elif min(found) < -NOTHING_MM or not all(clear):
            assert kernel_distance(kernel_tube(line, outside), kernel_thing(box)) <= NOTHING_MM, (seed, found, clear)
    assert overlapping > 5


def depth_in_turned(points, tall, first, last):
    """How deep points lie in a cylinder or a cone that stands on the origin; below zero outside."""
    z, rho = points[:, 2], np.hypot(points[:, 0], points[:, 1])
    slope = (last - first) / tall
    return np.minimum(np.minimum(z, tall - z), (first + slope * z - rho) / math.hypot(1.0, slope))


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(16))
def test_an_end_in_a_round_thing_overlaps_it(seed):
    """In a cylinder, in a cone, and in another tube, near its side, its rims and its flat ends."""
    dice = rng(seed)
    radius, tall, first = dice.choice([4.0, 14.0]), dice.choice([3.0, 60.0]), dice.choice([1.0, 10.0, 80.0])
    last = first * dice.choice([0.2, 0.7, 1.5])
    turn, rho = dice.uniform(0.0, 6.3), first + radius * dice.uniform(-1.2, 1.2)
    end = (rho * math.cos(turn), rho * math.sin(turn), dice.choice([0.0, tall, 0.5 * tall]) + dice.uniform(-4.0, 4.0))
    line = tube_ending(end, direction(dice), dice.choice([10.0, 200.0]), dice.random() < 0.5)
    skin = skin_of(line, 2.0 * radius)
    start, top = (0.0, 0.0, 0.0), (0.0, 0.0, tall)
    things = [Cylinder(start, top, 2.0 * first), Cone(start, top, (2.0 * first, 2.0 * last))]
    found = [nearest.distance for nearest in least_distances(line, 2.0 * radius, things)]
    found.append(tube_distance(line, 2.0 * radius, straight_line(start, top), 2.0 * first).distance)
    for distance, finish in zip(found, (first, last, first), strict=True):
        if float(depth_in_turned(skin, tall, first, finish).max()) > SEEN_MM:
            assert distance < -NOTHING_MM


@pytest.mark.slow
@pytest.mark.parametrize("part", range(few_or_many(1, 4)))
def test_an_end_in_the_hole_of_a_plate_overlaps_what_is_left_of_it(part):
    """In the hole, in its wall, over its rim, through the face beside it: by the formula for a point in the plate."""
    overlapping = 0
    for seed in seeds(30):
        dice = rng(100 * part + seed)
        radius, thick = dice.choice([4.0, 7.5, 14.0]), dice.choice([0.5, 4.0, 18.0, 100.0])
        hole = radius * dice.choice([0.3, 0.8, 1.0, 1.05, 1.3, 3.0])
        plate = plated(Box((-150.0, -150.0, -thick), (150.0, 150.0, 0.0)), Round(150.0, 150.0, hole))
        turn, rho = dice.uniform(0.0, 6.3), hole + radius * dice.uniform(-1.2, 1.2)
        level = dice.choice([0.0, -thick, dice.uniform(-thick - radius, radius)]) + radius * dice.uniform(-1.0, 1.0)
        way = direction(dice) if dice.random() < 0.7 else dice.choice([EAST, (0.0, 0.0, 1.0), (0.0, 0.0, -1.0)])
        end = (rho * math.cos(turn), rho * math.sin(turn), level)
        line: Centreline = tube_ending(end, way, dice.choice([1.0, 20.0, 300.0]), dice.random() < 0.5)
        skin = skin_of(line, 2.0 * radius)
        z, off = skin[:, 2], np.hypot(skin[:, 0], skin[:, 1])
        aside = 150.0 - np.abs(skin[:, :2]).max(axis=1)
        if float(np.min([z + thick, -z, off - hole, aside], axis=0).max()) > SEEN_MM:
            overlapping += 1
            assert least_distances(line, 2.0 * radius, [plate])[0].distance < -NOTHING_MM, seed
            assert Surroundings([plate]).clear([line], [2.0 * radius]) == [False], seed
    assert overlapping > 8
