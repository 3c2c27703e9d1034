"""Distances to cones against the kernel, and against the flat figure a cone is turned from (shapely)."""

import math

import numpy as np
import pytest
import shapely
from distance_specimens import (  # fmt: skip
    KERNEL_MM,
    direction,
    kernel_distance,
    kernel_point,
    kernel_tube,
    rng,
    seeds,
    straight_line,
    stub,
    wandering,
)
from wide import few_or_many

from pipemodel.geometry.distance import least_distances
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.vectors import add, any_normal, scale

FUNNEL = Cone((0.0, 0.0, 0.0), (0.0, 0.0, 100.0), (40.0, 160.0))
DIAMETERS = ((110.0, 50.0), (50.0, 110.0), (0.0, 80.0), (80.0, 0.0), (60.0, 59.0), (200.0, 4.0))
LENGTHS = (0.5, 30.0, 200.0)


def cone_at(dice, place):
    """A cone somewhere about a place: reducers, points, flat rings, needles."""
    first, last = dice.choice(DIAMETERS)
    size = dice.choice([0.2, 1.0])
    way = direction(dice)
    start = add(place, scale(direction(dice), dice.uniform(0.0, 120.0)))
    return Cone(start, add(start, scale(way, dice.choice(LENGTHS))), (size * first, size * last))


def turned_from(cone, points):
    """Signed distances from points, measured in the plane through the axis: the cone is its own trapezium there."""
    start, way = np.array(cone.start), np.array(cone.finish) - cone.start
    tall = np.linalg.norm(way)
    first, last = (d / 2.0 for d in cone.diameters)
    figure = shapely.Polygon([(-first, 0.0), (first, 0.0), (last, tall), (-last, tall)])
    rel = np.asarray(points) - start
    z = rel @ way / tall
    rho = np.linalg.norm(rel - z[:, None] * way / tall, axis=1)
    flat = shapely.points(rho, z)
    outside = shapely.distance(flat, figure)
    return np.where(outside > 0.0, outside, -shapely.distance(flat, figure.exterior))


def kernel_cone(cone):
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCone
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt

    way = np.array(cone.finish) - cone.start
    axes = gp_Ax2(gp_Pnt(*cone.start), gp_Dir(*way))
    return [BRepPrimAPI_MakeCone(axes, *(d / 2.0 for d in cone.diameters), float(np.linalg.norm(way))).Shape()]


def faces_of(solid):
    """Its faces one by one: of a solid the kernel does not say reliably whether a point lies within."""
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopExp import TopExp_Explorer

    found, faces = TopExp_Explorer(solid, TopAbs_FACE), []
    while found.More():
        faces.append(found.Current())
        found.Next()
    return faces


@pytest.mark.kernel
@pytest.mark.parametrize("seed", seeds(4))
def test_points_by_the_kernel_and_by_the_flat_figure(seed):
    dice, inside, outside = rng(seed), 0, 0
    for _ in range(10):
        cone = cone_at(dice, (0.0, 0.0, 0.0))
        surface = faces_of(*kernel_cone(cone))
        middle = scale(add(cone.start, cone.finish), 0.5)
        points = [add(middle, scale(direction(dice), dice.choice([2.0, 20.0, 80.0, 300.0]))) for _ in range(8)]
        points += [cone.start, cone.finish, middle]
        expected = turned_from(cone, points)
        for point, value in zip(points, expected.tolist(), strict=True):
            found = cone.distance(point)
            assert found == pytest.approx(value, abs=1e-7)
            assert abs(found) == pytest.approx(kernel_distance(surface, [kernel_point(point)]), abs=KERNEL_MM)
            inside, outside = inside + (value < -1e-9), outside + (value > 1e-9)
    assert inside >= 8
    assert outside >= 40


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("seed", seeds(few_or_many(2, 4)))
def test_tubes_by_the_kernel(seed):
    """Runs past cones and short pieces with an end at one: the least distance, and whether they overlap."""
    dice, apart, overlapping = rng(100 + seed), 0, 0
    for _ in range(7):
        line, outside = (wandering(dice, 1), 15.0) if dice.random() < 0.4 else stub(dice)
        place = line.point_at(dice.choice([0.0, line.length, dice.uniform(0.0, line.length)]))
        cone = cone_at(dice, place)
        found = least_distances(line, outside, [cone])[0]
        expected = kernel_distance(kernel_tube(line, outside), kernel_cone(cone))
        assert max(found.distance, 0.0) == pytest.approx(expected, abs=KERNEL_MM), (line, outside, cone)
        apart, overlapping = apart + (expected > 0.0), overlapping + (expected == 0.0)
        if found.distance > 0.0:
            ours = turned_from(cone, [found.other, found.point])
            assert ours == pytest.approx([0.0, found.distance], abs=1e-6)
            assert math.dist(found.point, found.other) == pytest.approx(found.distance, abs=1e-9)
    assert apart >= 2
    assert apart + overlapping == 7


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(4))
def test_depth_along_the_axis_by_brute_force(seed):
    """A tube that goes right through is as deep as its axis at the deepest place, and its radius."""
    dice, step, through = rng(200 + seed), 0.02, 0
    for _ in range(5):
        cone = cone_at(dice, (0.0, 0.0, 0.0))
        middle = scale(add(cone.start, cone.finish), 0.5)
        way = direction(dice)
        aside = scale(any_normal(way), dice.choice([0.0, 1.0, 10.0]))
        start, finish = (add(add(middle, aside), scale(way, k)) for k in (-400.0, 400.0))
        outside = dice.choice([6.0, 15.0, 54.0])
        line = straight_line(start, finish)
        axis = np.array(start) + np.arange(0.0, 800.0, step)[:, None] * np.array(line.direction_at(0.0))
        deepest = float(turned_from(cone, axis).min())
        found = least_distances(line, outside, [cone])[0]
        assert deepest - step - outside / 2.0 <= found.distance <= deepest - outside / 2.0 + 1e-7
        through += deepest < 0.0
    assert through >= 1


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(4))
def test_no_point_of_the_outside_lies_deeper_than_is_said(seed):
    dice, overlapping = rng(300 + seed), 0
    for _ in range(6):
        line, outside = stub(dice)
        cone = cone_at(dice, line.point_at(dice.uniform(0.0, line.length)))
        found = least_distances(line, outside, [cone])[0]
        places = np.linspace(0.0, line.length, 40).tolist()
        skin = []
        for s in places:
            u = any_normal(line.direction_at(s))
            v = np.cross(line.direction_at(s), u)
            turn = np.linspace(0.0, 2.0 * np.pi, 36, endpoint=False)
            ring = np.cos(turn)[:, None] * u + np.sin(turn)[:, None] * v
            shares = (1.0,) if 0.0 < s < line.length else (0.2, 0.5, 0.8, 1.0)
            skin += [np.array(line.point_at(s)) + share * outside / 2.0 * ring for share in shares]
        deepest = float(turned_from(cone, np.concatenate(skin)).min())
        assert found.distance <= deepest + 1e-6
        overlapping += found.distance < 0.0
    assert overlapping >= 1


def test_worked_by_hand():
    """A funnel of 40 below and 160 on top, 100 tall: its side leans by atan 0.6."""
    side = math.hypot(100.0, 60.0)

    def beside(start, finish, outside=20.0, cone=FUNNEL):
        return least_distances(straight_line(start, finish), outside, [cone])[0].distance

    # Level, past the top rim, over it, and under the bottom.
    assert beside((-300, 100, 100), (300, 100, 100)) == pytest.approx(10.0, abs=1e-9)
    assert beside((-300, 0, 130), (300, 0, 130)) == pytest.approx(20.0, abs=1e-9)
    assert beside((-300, 0, -30), (300, 0, -30)) == pytest.approx(20.0, abs=1e-9)
    # Touching the top rim, and under it beside the taper: (80 - 20) * 100 / side is how far the side is from (80, 0).
    assert beside((-300, 90, 100), (300, 90, 100)) == pytest.approx(0.0, abs=1e-9)
    assert beside((-300, 80, 0), (300, 80, 0)) == pytest.approx(60.0 * 100.0 / side - 10.0, abs=1e-9)
    # Along the taper, 25 off it.
    off = (25.0 * 100.0 / side, -25.0 * 60.0 / side)
    ends = [(0.0, 20.0 + 60.0 * k + off[0], 100.0 * k + off[1]) for k in (0.1, 0.9)]
    assert beside(*ends) == pytest.approx(15.0, abs=1e-9)
    # Through the middle: the axis lies 50 from either end, and nearer to the taper.
    assert beside((-300, 0, 50), (300, 0, 50)) == pytest.approx(-50.0 * 100.0 / side - 10.0, abs=1e-6)
    # Wholly within, along its axis: deepest where bottom, taper and top are equally far.
    assert beside((0, 0, 60), (0, 0, 80), outside=6.0) == pytest.approx(-max(
        min(z, 100.0 - z, (20.0 + 0.6 * z) * 100.0 / side) for z in np.linspace(60.0, 80.0, 2001)
    ) - 3.0, abs=1e-6)  # fmt: skip


def test_a_point_towards_a_tube():
    spike = Cone((0.0, 0.0, 0.0), (0.0, 0.0, 200.0), (100.0, 0.0))
    over = least_distances(straight_line((-100, 0, 230), (100, 0, 230)), 15.0, [spike])[0]
    assert over.distance == pytest.approx(22.5, abs=1e-9)
    assert over.other == pytest.approx((0.0, 0.0, 200.0), abs=1e-9)
    # Into the middle of a flat end, whose rim it does not touch.
    end = least_distances(straight_line((0, 0, 190), (0, 0, 400)), 15.0, [spike])[0]
    assert end.distance < -2.0
    apart = least_distances(straight_line((0, 0, 205), (0, 0, 400)), 15.0, [spike])[0]
    assert apart.distance == pytest.approx(5.0, abs=1e-9)


def test_very_flat():
    disc = Cone((0.0, 0.0, 0.0), (0.0, 0.0, 0.01), (200.0, 199.0))
    line = straight_line((-300, 0, 20), (300, 0, 20))
    assert least_distances(line, 15.0, [disc])[0].distance == pytest.approx(20.0 - 0.01 - 7.5, abs=1e-9)


def test_volume_by_the_formula_of_the_frustum():
    """pi h (R^2 + R r + r^2) / 3, any handbook."""
    for cone in (FUNNEL, Cone((1.0, 2.0, 3.0), (40.0, -20.0, 70.0), (0.0, 60.0)), Cone((0, 0, 0), (9, 0, 0), (60, 0))):
        tall = math.dist(cone.start, cone.finish)
        r, R = (d / 2.0 for d in cone.diameters)
        expected = math.pi * tall * (R * R + R * r + r * r) / 3.0
        mesh = cone.mesh(0.001, None)
        assert mesh.closes
        assert expected * 0.9998 < mesh.volume < expected
        assert len(mesh.vertices) == len(np.unique(mesh.vertices, axis=0))


@pytest.mark.kernel
def test_solid_in_the_kernel():
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    from pipemodel.solids.room import thing_solid

    for cone in (FUNNEL, Cone((1.0, 2.0, 3.0), (40.0, -20.0, 70.0), (0.0, 60.0))):
        found, (r, R) = GProp_GProps(), (d / 2.0 for d in cone.diameters)
        BRepGProp.VolumeProperties_s(thing_solid(cone, None).shape, found)
        tall = math.dist(cone.start, cone.finish)
        assert found.Mass() == pytest.approx(math.pi * tall * (R * R + R * r + r * r) / 3.0, rel=1e-9)


def test_what_a_line_meets():
    """The flat along the near side, an end, or nothing."""
    side = math.hypot(100.0, 60.0)
    level = FUNNEL.met((-300.0, 0.0, 50.0), (1.0, 0.0, 0.0))
    assert level.normal == pytest.approx((-100.0 / side, 0.0, -60.0 / side))
    # Where the axis is met the flat touches the taper, 50 out at mid-height.
    assert level.height_of((-50.0, 0.0, 50.0)) == pytest.approx(0.0, abs=1e-9)
    # A line off the middle is measured to the same flat.
    aside = FUNNEL.met((-300.0, 30.0, 50.0), (1.0, 0.0, 0.0))
    assert (aside.point, aside.normal) == (level.point, level.normal)
    assert FUNNEL.met((0.0, 0.0, 300.0), (0.0, 0.0, -1.0)).normal == (0.0, 0.0, 1.0)
    # From below, outside the bottom: the taper itself.
    under = FUNNEL.met((60.0, 0.0, -50.0), (0.0, 0.0, 1.0))
    assert under.normal == pytest.approx((100.0 / side, 0.0, -60.0 / side))
    assert under.height_of((60.0, 0.0, 40.0 / 0.6)) == pytest.approx(0.0, abs=1e-9)
    assert FUNNEL.met((-300.0, 90.0, 50.0), (1.0, 0.0, 0.0)) is None
    assert FUNNEL.met((0.0, 0.0, 50.0), (1.0, 0.0, 0.0)) is None  # starts inside


@pytest.mark.parametrize("seed", seeds(3))
def test_what_a_line_meets_is_where_it_goes_in(seed):
    """Aimed at the axis, the flat met is reached exactly where the line enters the cone."""
    dice, met = rng(400 + seed), 0
    for _ in range(30):
        cone = cone_at(dice, (0.0, 0.0, 0.0))
        share = dice.uniform(0.05, 0.95)
        target = add(scale(cone.start, 1.0 - share), scale(cone.finish, share))
        way = direction(dice)
        origin = add(target, scale(way, -500.0))
        face = cone.met(origin, way)
        assert face is not None
        at = face.height_of(origin) / -float(np.dot(face.normal, way))
        steps = np.linspace(max(at - 1.0, 0.0), at + 1.0, 201)
        value = turned_from(cone, np.array(origin) + steps[:, None] * np.array(way))
        assert value[: 100 - 1].min() > -1e-6
        assert turned_from(cone, [add(origin, scale(way, at))])[0] == pytest.approx(0.0, abs=1e-6)
        met += face.radius is None
    assert met >= 8


def test_blocks_and_round_faces_are_those_of_the_rims():
    """A cone reaches as far as the farther of its two rims along each axis; its flat faces are as wide as those."""
    dice, cones = rng(3), []
    cones = [cone_at(dice, (10.0, -20.0, 30.0)) for _ in range(40)]
    rows = Cone.targets(cones, np.arange(len(cones)))
    turn = np.linspace(0.0, 2.0 * np.pi, 3601)[:, None]
    for k, cone in enumerate(cones):
        way = np.array(cone.finish) - cone.start
        way /= np.linalg.norm(way)
        u = np.array(any_normal(tuple(map(float, way))))
        spokes = np.cos(turn) * u + np.sin(turn) * np.cross(way, u)
        rims = np.vstack(
            [np.array(m) + d / 2.0 * spokes for m, d in zip((cone.start, cone.finish), cone.diameters, strict=True)]
        )
        for low, high in (tuple(corner[k] for corner in rows.rows), cone.bounds()):
            assert np.array(low) == pytest.approx(rims.min(axis=0), abs=1e-3)
            assert np.array(high) == pytest.approx(rims.max(axis=0), abs=1e-3)
        for face in cone.flat_faces():
            at_start = np.dot(face.normal, way) < 0.0
            radius = cone.diameters[0 if at_start else 1] / 2.0
            assert face.point == (cone.start if at_start else cone.finish)
            edges = (face.across_from, face.across_to, face.up_from, face.up_to)
            assert edges == pytest.approx((-radius, radius, -radius, radius))
            assert face.radius == pytest.approx(radius)
        assert len(list(cone.flat_faces())) == sum(d > 0.0 for d in cone.diameters)
