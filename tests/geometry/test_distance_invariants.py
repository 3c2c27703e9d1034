"""What no distance may depend on: where the job stands, which end is first, which run is first, what else is there."""

import math

import numpy as np
import pytest
from distance_specimens import box_near, cylinder_near, direction, moved, rng, seeds, stub, tip_near_end, wandering
from tube_lines import FAR

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.distance import (
    Surroundings,
    distances_between_runs,
    least_distances,
    self_distances,
    tube_distance,
)
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace, Mesh
from pipemodel.geometry.vectors import add, rotate, scale, sub

CORNERS = np.array([[x, y, z] for x in (0, 1) for y in (0, 1) for z in (0, 1)])
QUADS = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
SIDES = [triangle for a, b, c, d in QUADS for triangle in ((a, b, c), (a, c, d))]
"""Two triangles to each side of a block, outward by the right hand."""


def as_mesh(box, place=lambda p: p, closed=True):
    low, high = np.array(box.low), np.array(box.high)
    vertices = np.array([place(tuple(low + c * (high - low))) for c in CORNERS])
    return Mesh(vertices, np.array(SIDES), closed, "block")


def room_near(dice, line):
    return [
        *(box_near(dice, line) for _ in range(3)),
        *(cylinder_near(dice, line) for _ in range(3)),
        HalfSpace(add(line.point_at(0.0), scale(direction(dice), 200.0)), direction(dice)),
    ]


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(8))
@pytest.mark.parametrize("shift", [300.0, FAR], ids=["near", "far out"])
def test_moving_and_turning_all(seed, shift):
    """A box that is turned is no box any more, but a mesh of the same faces."""
    dice = rng(seed)
    line = wandering(dice, 2)
    axis, angle, offset = direction(dice), dice.uniform(0.0, 360.0), scale(direction(dice), shift)

    def place(p):
        return add(rotate(p, axis, angle), offset)

    def placed(shape):
        match shape:
            case Box():
                return as_mesh(shape, place)
            case Cylinder():
                return Cylinder(place(shape.start), place(shape.finish), shape.diameter)
            case HalfSpace():
                return HalfSpace(place(shape.point), rotate(shape.normal, axis, angle))

    shapes = room_near(dice, line)
    before = least_distances(line, 15.0, shapes)
    after = least_distances(moved(line, axis, angle, offset), 15.0, [placed(s) for s in shapes])
    for b, a in zip(before, after, strict=True):
        # Depth inside a mesh is closed in on by steps; all else is exact.
        assert a.distance == pytest.approx(b.distance, abs=1e-6 if b.distance > 0.0 else 2e-3)
        if b.distance > 0.0:
            assert a.point == pytest.approx(place(b.point), abs=1e-3)


def other_way(line):
    """The same line travelled the other way."""
    out = []
    for piece in reversed(line.pieces):
        if isinstance(piece, Straight):
            out.append(Straight(piece.finish, scale(piece.direction, -1.0), piece.length))
        else:
            spoke = scale(sub(piece.finish, piece.centre), 1.0 / piece.radius)
            out.append(Arc(piece.centre, scale(piece.axis, -1.0), spoke, piece.radius, piece.angle_deg))
    return Centreline(tuple(out))


@pytest.mark.parametrize("seed", seeds(8))
def test_given_from_the_other_end(seed):
    dice = rng(seed)
    line = wandering(dice, 3)
    back = other_way(line)
    shapes = room_near(dice, line)
    for there, again in zip(least_distances(line, 15.0, shapes), least_distances(back, 15.0, shapes), strict=True):
        assert again.distance == pytest.approx(there.distance, abs=1e-7)
        assert line.length - again.at == pytest.approx(there.at, abs=1e-3)


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(30))
def test_which_run_comes_first(seed):
    dice = rng(seed)
    (a, outside_a), (b, outside_b) = stub(dice), stub(dice)
    b = moved(b, direction(dice), dice.uniform(0.0, 360.0), scale(direction(dice), dice.uniform(5.0, 40.0)))
    one, other = tube_distance(a, outside_a, b, outside_b), tube_distance(b, outside_b, a, outside_a)
    assert one.distance == pytest.approx(other.distance, abs=1e-9)
    for line, outside, found in ((a, outside_a, one), (b, outside_b, other)):
        # The point lies on the tube whose place along the run is given: on its side, an end, or in it.
        off = math.dist(line.point_at(found.at), found.point)
        assert off <= outside / 2.0 + 1e-6
        if found.distance > 0.0 and 1e-6 < found.at < line.length - 1e-6:
            assert off == pytest.approx(outside / 2.0, abs=1e-6)


def test_twice_the_size_is_twice_the_distance():
    dice = rng(5)
    line = wandering(dice, 2, 55.0)
    twice = Centreline(
        tuple(
            p._replace(start=scale(p.start, 2.0), length=2.0 * p.length)
            if hasattr(p, "start") and not hasattr(p, "centre")
            else p._replace(centre=scale(p.centre, 2.0), radius=2.0 * p.radius)
            for p in line.pieces
        )
    )
    shapes = [cylinder_near(dice, line) for _ in range(5)]
    doubled = [Cylinder(scale(s.start, 2.0), scale(s.finish, 2.0), 2.0 * s.diameter) for s in shapes]
    for one, two in zip(least_distances(line, 15.0, shapes), least_distances(twice, 30.0, doubled), strict=True):
        assert two.distance == pytest.approx(2.0 * one.distance, abs=1e-8)


@pytest.mark.slow
def test_many_at_once_are_as_each_alone():
    """Ruling things out early, and many runs in one go, change nothing."""
    dice = rng(7)
    lines = [moved(wandering(dice, 3), offset=scale(direction(dice), 400.0)) for _ in range(6)]
    shapes = [make(dice, line) for line in lines for make in (box_near, cylinder_near)]
    shapes += [as_mesh(box_near(dice, line)) for line in lines]
    together = Surroundings(shapes).distances(lines, [15.0] * 6)
    for line, row in zip(lines, together, strict=True):
        for shape, nearest in zip(shapes, row, strict=True):
            assert least_distances(line, 15.0, [shape])[0].distance == pytest.approx(nearest.distance, abs=1e-9)
    pairs = distances_between_runs(lines, [15.0] * 6)
    assert [(p.first, p.second) for p in pairs] == [(i, j) for i in range(6) for j in range(i + 1, 6)]
    for p in pairs:
        alone = tube_distance(lines[p.first], 15.0, lines[p.second], 15.0)
        assert p.from_first.distance == p.from_second.distance == pytest.approx(alone.distance, abs=1e-9)


def test_only_far_pairs_are_left_out():
    dice = rng(11)
    lines = [moved(wandering(dice, 3), offset=scale(direction(dice), 900.0)) for _ in range(8)]
    every = {(p.first, p.second): p.from_first.distance for p in distances_between_runs(lines, [15.0] * 8)}
    near = {(p.first, p.second): p.from_first.distance for p in distances_between_runs(lines, [15.0] * 8, 400.0)}
    assert near == {pair: d for pair, d in every.items() if d < 400.0}
    assert 0 < len(near) < len(every)


@pytest.mark.slow
def test_a_run_within_a_limit_of_itself_is_as_near_as_without_one():
    """With a limit just above the distance nothing changes, however the run is turned; with one just below, none is."""
    dice = rng(23)
    counted = 0
    for _ in range(10):
        line = wandering(dice, 6)
        for turned in (
            line,
            moved(line, axis=(0.6, 0.0, 0.8), angle=180.0),
            moved(line, axis=(1.0, 0.0, 0.0), angle=90.0),
        ):
            free = self_distances([turned], [15.0])[0]
            if free is None:
                continue
            limited = self_distances([turned, turned], [15.0] * 2, free.distance + 0.01)
            assert [found.distance for found in limited] == pytest.approx([free.distance] * 2, abs=1e-9)
            assert self_distances([turned], [15.0], free.distance - 0.01) == [None]
            counted += 1
    assert counted > 12


@pytest.mark.parametrize("seed", seeds(6))
def test_a_run_cut_in_two_is_as_near_to_a_thing_as_the_whole(seed):
    """Cut where a leg goes on, the two flat ends lie within the tube and add nothing."""
    dice = rng(seed)
    line = wandering(dice, 2)
    leg = line.pieces[2]
    first = leg._replace(length=0.5 * leg.length)
    second = leg._replace(start=first.finish, length=0.5 * leg.length)
    halves = (Centreline((*line.pieces[:2], first)), Centreline((second, *line.pieces[3:])))
    shapes = [box_near(dice, line) for _ in range(4)] + [cylinder_near(dice, line) for _ in range(4)]
    for whole, *parts in zip(*(least_distances(part, 15.0, shapes) for part in (line, *halves)), strict=True):
        if whole.distance > 0.0:
            assert min(p.distance for p in parts) == pytest.approx(whole.distance, abs=1e-9)


@pytest.mark.parametrize("seed", seeds(6))
def test_no_place_on_the_tube_is_nearer_than_what_is_said(seed):
    """Points strewn over the tube's side and ends, each measured to the box by clamping."""
    dice = rng(seed)
    line, outside = stub(dice)
    box = next(s for s in iter(lambda: tip_near_end(dice, line, outside), None) if isinstance(s, Box))
    stated = least_distances(line, outside, [box])[0].distance
    for _ in range(3000):
        at = dice.choice([0.0, line.length, dice.uniform(0.0, line.length)])
        along = line.direction_at(at)
        across = direction(dice)
        across = sub(across, scale(along, sum(a * b for a, b in zip(across, along, strict=True))))
        reach = outside / 2.0 if 0.0 < at < line.length else outside / 2.0 * math.sqrt(dice.random())
        p = add(line.point_at(at), scale(across, reach / math.hypot(*across)))
        clamped = tuple(min(max(c, low), high) for c, low, high in zip(p, box.low, box.high, strict=True))
        assert math.dist(p, clamped) >= stated - 1e-9


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(20))
def test_slats_under_a_bend(seed):
    """A slat in the hollow of a bend is near at both its edges, a hair further between: the nearer one is found.

    The axis is sampled every hundredth of a millimetre, and each place measured to the slats by clamping.
    """
    dice = rng(seed)
    angle = dice.uniform(100.0, 180.0)
    bend = Arc((0.0, 0.0, 0.0), (0.0, 0.0, 1.0), (1.0, 0.0, 0.0), 55.0, angle)
    leg = Straight(add(bend.start, (0.0, -300.0, 0.0)), (0.0, 1.0, 0.0), 300.0)
    line = Centreline((leg, bend, Straight(bend.finish, bend.finish_direction, 300.0)))
    turn = np.linspace(0.0, math.radians(angle), 17280)
    axis = [55.0 * np.stack([np.cos(turn), np.sin(turn), 0.0 * turn], axis=1)]
    axis += [np.linspace(p.start, p.finish, 30001) for p in (line.pieces[0], line.pieces[2])]
    axis = np.concatenate(axis)
    slats = []
    for _ in range(30):
        x, half, top = dice.uniform(-3.0, 3.0), dice.choice([0.5, 2.0, 4.0]), dice.uniform(5.0, 30.0)
        slats.append(Box((x - half, 0.0, -5.0), (x + half, top, 5.0)))
    for slat, found in zip(slats, least_distances(line, 15.0, slats), strict=True):
        clamped = np.clip(axis, slat.low, slat.high)
        sampled = np.linalg.norm(axis - clamped, axis=1).min() - 7.5
        assert found.distance <= sampled + 1e-9
        assert found.distance == pytest.approx(sampled, abs=1e-5)


def test_a_run_in_one_place_is_never_near_itself_wherever_it_stands():
    dice = rng(3)
    line = wandering(dice, 3)
    there = moved(line, direction(dice), 77.0, (FAR, 0.0, FAR))
    here, there = self_distances([line, there], [15.0, 15.0])
    assert (here is None) == (there is None)
    if here is not None:
        assert there.distance == pytest.approx(here.distance, abs=1e-6)
