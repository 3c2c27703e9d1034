"""Distances to plates with holes, against the kernel, and against the flat figure a plate is carried from (shapely)."""

import math

import numpy as np
import pytest
import shapely
from distance_specimens import (  # fmt: skip
    KERNEL_MM,
    direction,
    kernel_distance,
    kernel_tube,
    moved,
    rng,
    seeds,
    straight_line,
    stub,
    wandering,
)
from wide import few_or_many

from pipemodel.geometry.centreline import Arc, Centreline
from pipemodel.geometry.distance import Surroundings, least_distances
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.shapes.plan import rectangle_less
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.vectors import add, along, any_normal, cross, scale

WIDE, TALL = 300.0, 200.0
THICKNESSES = (0.5, 18.0, 44.0, 300.0)


def plate_about(dice, place, through=None, radius=None):
    """A plate with a round hole and mostly an opening or a notch; a place lies somewhere about the hole."""
    normal = through or direction(dice)
    across = any_normal(normal)
    up = cross(normal, across)
    thick = dice.choice(THICKNESSES)
    radius = radius or dice.choice([3.0, 12.0, 40.0, 90.0])
    cut = dice.choice(
        [[], [((220.0, 40.0), (280.0, 120.0))], [((-5.0, 90.0), (50.0, 130.0))], [((200.0, 150.0), (250.0, 300.0))]]
    )
    hole = Round(100.0, 100.0, radius if not cut or cut[0][0][0] > 0.0 else min(radius, 45.0))
    spot = (
        hole.x + dice.choice([0.0, 0.3, 1.0, 1.3]) * radius * dice.choice([-1.0, 1.0]),
        hole.y,
        dice.uniform(-10.0, thick + 10.0),
    )
    origin = add(place, scale(add(add(scale(across, spot[0]), scale(up, spot[1])), scale(normal, spot[2])), -1.0))
    outlines = rectangle_less((0.0, 0.0), (WIDE, TALL), cut)
    return Plate(origin, across, up, thick, outlines, (hole,)), cut


def kernel_plate(plate, cut):
    """A block, less blocks and cylinders, by the kernel's own cutting."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    def axes(x, y, z):
        return gp_Ax2(gp_Pnt(*plate.place(x, y, z)), gp_Dir(*plate.normal), gp_Dir(*plate.across))

    made = BRepPrimAPI_MakeBox(axes(0.0, 0.0, 0.0), WIDE, TALL, plate.thickness).Shape()
    for (a, b), (c, d) in cut:
        made = BRepAlgoAPI_Cut(
            made, BRepPrimAPI_MakeBox(axes(a, b, -1.0), c - a, d - b, plate.thickness + 2.0).Shape()
        ).Shape()
    for hole in plate.rounds:
        tool = BRepPrimAPI_MakeCylinder(axes(hole.x, hole.y, -1.0), hole.radius, plate.thickness + 2.0).Shape()
        made = BRepAlgoAPI_Cut(made, tool).Shape()
    return [made]


def carried_from(plate, cut, points):
    """Signed distances from points, from the flat figure (shapely; circles of 4096 sides) and the two broad faces."""
    figure = shapely.box(0.0, 0.0, WIDE, TALL)
    for (a, b), (c, d) in cut:
        figure = figure.difference(shapely.box(a, b, c, d))
    for hole in plate.rounds:
        figure = figure.difference(shapely.Point(hole.x, hole.y).buffer(hole.radius, quad_segs=1024))
    rel = np.asarray(points) - plate.origin
    flat = shapely.points(rel @ np.array(plate.across), rel @ np.array(plate.up))
    out = shapely.distance(flat, figure)
    plan = np.where(out > 0.0, out, -shapely.distance(flat, figure.boundary))
    z = rel @ np.array(plate.normal)
    over = np.maximum(-z, z - plate.thickness)
    return np.where(
        (plan > 0.0) | (over > 0.0), np.hypot(np.maximum(plan, 0.0), np.maximum(over, 0.0)), np.maximum(plan, over)
    )


@pytest.mark.parametrize("seed", seeds(4))
def test_points_by_the_flat_figure(seed):
    dice, inside, in_hole = rng(seed), 0, 0
    for _ in range(12):
        plate, cut = plate_about(dice, (0.0, 0.0, 0.0))
        spots = [
            (dice.uniform(-60.0, 360.0), dice.uniform(-60.0, 260.0), dice.uniform(-60.0, plate.thickness + 60.0))
            for _ in range(40)
        ]
        spots += [
            (100.0, 100.0, 0.5 * plate.thickness),
            (100.0, 100.0, -7.0),
            (0.0, 0.0, 0.0),
            (20.0, 20.0, 0.4 * plate.thickness),
        ]
        points = [plate.place(*spot) for spot in spots]
        expected = carried_from(plate, cut, points)
        assert [plate.distance(p) for p in points] == pytest.approx(expected.tolist(), abs=1e-4)
        assert obstacle_of(plate).field(np.array(points)) == pytest.approx(expected, abs=1e-4)
        inside += (expected < -1e-6).sum()
        in_hole += sum(
            d > 0.0 and 0.0 < s[2] < plate.thickness and abs(s[0] - 100.0) < 90.0
            for d, s in zip(expected, spots, strict=True)
        )
    assert inside >= 20
    assert in_hole >= 10


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("seed", seeds(few_or_many(1, 4)))
def test_tubes_by_the_kernel(seed):
    """Runs through holes and past rims and faces, short pieces with an end in one: the distance, or an overlap."""
    dice, apart, overlapping = rng(100 + seed), 0, 0
    for _ in range(20):
        kind = dice.random()
        if kind < 0.35:
            line, outside = wandering(dice, 1), 15.0
        elif kind < 0.7:
            line, outside = stub(dice)
        else:
            line, outside = wandering(dice, 2, 25.0), 6.0
        at = dice.choice([0.0, line.length, dice.uniform(0.0, line.length)])
        through = line.direction_at(at) if dice.random() < 0.4 else None
        plate, cut = plate_about(dice, line.point_at(at), through, dice.choice([None, outside / 2.0 + 4.0, 90.0]))
        found = least_distances(line, outside, [plate])[0]
        expected = kernel_distance(kernel_tube(line, outside), kernel_plate(plate, cut))
        if carried_from(plate, cut, [line.start])[0] < 0.0:
            expected = 0.0  # of a tube wholly within, the kernel measures to the surface
        assert max(found.distance, 0.0) == pytest.approx(expected, abs=KERNEL_MM), (line, outside, plate, cut)
        apart, overlapping = apart + (expected > 0.0), overlapping + (expected == 0.0)
        if found.distance > 0.0:
            assert abs(plate.distance(found.other)) < 1e-6
            assert plate.distance(found.point) == pytest.approx(found.distance, abs=1e-6)
            assert math.dist(found.point, found.other) == pytest.approx(found.distance, abs=1e-6)
            on_tube = math.dist(line.point_at(found.at), found.point)
            assert on_tube <= outside / 2.0 + 1e-6
    assert apart >= 2
    assert overlapping >= 1


def bowl(angle, bend):
    """A bend with its crown at the origin, its middle above it, in the plane of x and z."""
    half = math.radians(angle / 2.0)
    spoke = (-math.sin(half), 0.0, -math.cos(half))
    return Centreline((Arc((0.0, 0.0, bend), (0.0, -1.0, 0.0), spoke, bend, angle),))


def board(thickness, *rounds, size=400.0):
    """A level plate about the origin, its top at 0."""
    at = (-size / 2.0, -size / 2.0, -thickness)
    holes = tuple(Round(x + size / 2.0, y + size / 2.0, r) for x, y, r in rounds)
    return Plate(at, (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), thickness, rectangle_less((0.0, 0.0), (size, size), []), holes)


@pytest.mark.parametrize("off", [0.0, 3.0, 7.5])
def test_a_tube_through_a_hole_is_clear_by_the_ring_round_it(off):
    line = straight_line((off, 0.0, -300.0), (off, 0.0, 300.0))
    found = least_distances(line, 15.0, [board(20.0, (0.0, 0.0, 20.0))])[0]
    assert found.distance == pytest.approx(20.0 - 7.5 - off, abs=1e-9)


def test_of_no_points_there_are_no_distances():
    plate = Plate((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0), 50.0, (((0.0, 0.0), (9.0, 0.0), (9.0, 9.0)),))
    assert obstacle_of(plate).field(np.zeros((0, 3))).shape == (0,)


def test_a_tube_askew_through_a_hole_is_nearest_at_a_rim():
    """Seen square to tube and hole, the rim's nearest point is a corner, 20 across and 10 up from the middle."""
    way = (math.sin(math.radians(30.0)), 0.0, math.cos(math.radians(30.0)))
    line = straight_line(along((0.0, 0.0, -10.0), way, -200.0), along((0.0, 0.0, -10.0), way, 200.0))
    found = least_distances(line, 6.0, [board(20.0, (0.0, 0.0, 20.0))])[0]
    assert found.distance == pytest.approx(20.0 * way[2] - 10.0 * way[0] - 3.0, abs=1e-9)


@pytest.mark.parametrize("beyond", [1e-6, 0.03, 0.09, 0.39, 0.5])
def test_the_crown_of_a_bend_over_the_face_right_beside_a_hole(beyond):
    """The triangles begin 2 % of a radius further out; what lies between is measured all the same."""
    line = moved(bowl(90.0, 55.0), offset=(20.0 + beyond, 0.0, 7.5 + 4.0))
    found = least_distances(line, 15.0, [board(20.0, (0.0, 0.0, 20.0))])[0]
    assert found.distance == pytest.approx(4.0, abs=1e-9)
    assert found.at == pytest.approx(line.length / 2.0, abs=1e-5)


def test_the_back_of_a_bend_against_the_wall_of_a_hole():
    """A bend whose plane holds the hole's axis: its crown looks at the wall, half way down."""
    line = moved(bowl(40.0, 60.0), axis=(0.0, 1.0, 0.0), angle=90.0, offset=(-12.0, 0.0, -150.0))
    line = moved(line, axis=(0.0, 0.0, 1.0), angle=33.0)
    found = least_distances(line, 10.0, [board(300.0, (0.0, 0.0, 40.0))])[0]
    crown = line.point_at(line.length / 2.0)
    assert found.distance == pytest.approx(40.0 - 5.0 - math.hypot(*crown[:2]), abs=1e-9)
    assert found.distance == pytest.approx(23.0, abs=1e-9)


@pytest.mark.parametrize("left", [0.2, 1e-3])
def test_holes_with_next_to_nothing_between_them(left):
    """Two beside each other, and one beside the edge: what is left between is met all the same."""
    plate = board(20.0, (-30.0, 0.0, 30.0 - left / 2.0), (30.0, 0.0, 30.0 - left / 2.0), (170.0 - left, 0.0, 30.0))
    corners = plate.corners()
    area = np.linalg.norm(np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0]), axis=1).sum() / 2.0
    rings = [0.5 * n * r * r * math.sin(2.0 * math.pi / n) for n, r in plate.rings]
    assert area == pytest.approx(2.0 * (400.0**2 - sum(rings)) + 4.0 * 400.0 * 20.0, abs=1e-3)
    for x in (0.0, 200.0 - left / 2.0):
        drop = straight_line((x, 0.0, 40.0), (x, 0.0, 7.0))
        assert least_distances(drop, 12.0, [plate])[0].distance == pytest.approx(7.0, abs=1e-6)


def test_a_tube_from_hole_to_hole_within_a_plate_overlaps_it():
    line = straight_line((-30.0, 0.0, -150.0), (30.0, 0.0, -150.0))
    holes = board(300.0, (-40.0, 0.0, 30.0), (40.0, 0.0, 30.0))
    assert least_distances(line, 6.0, [holes])[0].distance == pytest.approx(-13.0, abs=1e-3)
    assert not Surroundings([holes]).clear([line], [6.0])[0]


def test_a_tube_wider_than_the_hole_that_fills_it_overlaps():
    line = straight_line((0.0, 0.0, -160.0), (0.0, 0.0, -150.0))
    assert least_distances(line, 28.0, [board(300.0, (0.0, 0.0, 12.0))])[0].distance == pytest.approx(-2.0, abs=1e-6)


def test_a_tube_clear_in_its_hole_is_clear():
    line = straight_line((0.0, 0.0, -300.0), (0.0, 0.0, 300.0))
    around = Surroundings([board(20.0, (0.0, 0.0, 20.0)), board(20.0, (0.0, 6.0, 13.0))])
    assert around.clear([line], [15.0]) == [False]
    assert Surroundings([board(20.0, (0.0, 0.0, 20.0))]).clear([line], [15.0]) == [True]
