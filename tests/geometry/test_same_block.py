"""One block is as deep however it is written: as box, outline, plate or triangles, few or many, in place or turned."""

import numpy as np
import pytest
import trimesh
from distance_specimens import direction, moved, rng, straight_line, stub, wandering
from test_distance_invariants import as_mesh
from wide import few_or_many

from pipemodel.geometry.distance import least_distances
from pipemodel.geometry.shapes import Box, Extrusion, Mesh
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.polyhedron import MOST_TRIANGLES, polyhedron_of
from pipemodel.geometry.vectors import rotate

SAME_MM = 1e-6


def tube(dice):
    """A tube along an axis, slantwise, bent, or a stub; and its diameter."""
    kind, outside = dice.choice(["axis", "slant", "bent", "stub"]), dice.choice([8.0, 15.0, 22.0])
    if kind == "stub":
        return stub(dice)
    if kind == "bent":
        return wandering(dice, 1), outside
    start = np.array([dice.choice([0.0, dice.uniform(-50.0, 50.0)]) for _ in range(3)])
    way = np.eye(3)[dice.randrange(3)] * dice.choice([-1, 1]) if kind == "axis" else np.array(direction(dice))
    return straight_line(tuple(start.tolist()), tuple((start + way * dice.uniform(5.0, 200.0)).tolist())), outside


def block_at(dice, line, outside):
    """A block at an end of a tube or along it; one in five has a face just where the axis ends, or lies."""
    place = np.array(line.point_at(dice.choice([0.0, line.length, dice.uniform(0.0, line.length)])))
    half = np.array([dice.choice([2.0, 5.0, 20.0, 60.0, 100.0]) * dice.uniform(0.5, 1.5) for _ in range(3)])
    far = half + outside * dice.choice([0.0, 0.5, 1.0])
    middle = place + np.array([dice.uniform(-1.0, 1.0) for _ in range(3)]) * far
    if dice.random() < 0.2:
        k = dice.randrange(3)
        middle[k] = place[k] + dice.choice([-1.0, 1.0]) * half[k]
    return Box(tuple((middle - half).tolist()), tuple((middle + half).tolist()))


def outlined(box):
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    return Extrusion(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), z0, z1)


@pytest.mark.slow
def test_as_it_stands():
    inside = flush = 0
    for seed in range(few_or_many(45, 3000)):
        dice = rng(seed)
        line, outside = tube(dice)
        box = block_at(dice, line, outside)
        found, *others = least_distances(line, outside, [box, outlined(box), as_mesh(box)])
        for other in others:
            assert other.distance == pytest.approx(found.distance, abs=SAME_MM), seed
        inside += found.distance < 0.0
        flush += found.distance < 0.0 and found.at in (0.0, line.length)
    assert inside > 22
    assert flush > 5


@pytest.mark.slow
def test_turned_and_in_many_triangles():
    for seed in range(few_or_many(12, 600)):
        dice = rng(seed)
        line, outside = tube(dice)
        box = block_at(dice, line, outside)
        axis, by, off = direction(dice), dice.uniform(0.0, 360.0), np.array([dice.uniform(-500, 500) for _ in "xyz"])
        solid = trimesh.creation.box(bounds=[box.low, box.high])
        for _ in range(dice.choice([0, 1, 2])):
            solid = solid.subdivide()
        points = np.array([rotate(tuple(v), axis, by) for v in solid.vertices.tolist()]) + off
        wide, broad, thick = (b - a for a, b in zip(box.low, box.high, strict=True))
        across, up = (rotate(way, axis, by) for way in ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
        origin = tuple((np.array(rotate(box.low, axis, by)) + off).tolist())
        plate = Plate(origin, across, up, thick, (((0.0, 0.0), (wide, 0.0), (wide, broad), (0.0, broad)),))
        mesh = Mesh(points, np.array(solid.faces, np.int64), True, "block")
        (found,) = least_distances(line, outside, [box])
        for other in least_distances(moved(line, axis, by, tuple(off)), outside, [mesh, plate]):
            assert other.distance == pytest.approx(found.distance, abs=SAME_MM), seed


def test_what_is_no_convex_solid_with_flat_sides_is_not_taken_for_one():
    def of(solid):
        return polyhedron_of(np.array(solid.triangles), lambda: None)

    cube, ball = trimesh.creation.box(extents=(10, 20, 30)), trimesh.creation.icosphere(subdivisions=2)
    found = of(cube.subdivide())
    assert (len(found.normal), len(found.tips)) == (6, 26 - 6)
    assert sorted(map(tuple, np.abs(found.normal).round(12).tolist())) == sorted(2 * [(1, 0, 0), (0, 1, 0), (0, 0, 1)])
    assert of(ball) is not None
    assert len(ball.faces) <= MOST_TRIANGLES < len(ball.subdivide().faces)
    assert of(ball.subdivide()) is None
    beside = trimesh.util.concatenate([cube, cube.copy().apply_translation((50, 0, 0))])
    hollow = trimesh.util.concatenate([cube, trimesh.creation.box(extents=(5, 5, 5))])
    void = trimesh.creation.box(extents=(5, 5, 5))
    void.invert()
    notched = trimesh.creation.extrude_polygon(
        trimesh.path.polygons.Polygon([(0, 0), (9, 0), (9, 9), (5, 9), (5, 5), (0, 5)]), 4.0
    )
    for solid in (beside, hollow, trimesh.util.concatenate([cube, void]), notched):
        assert of(solid) is None
    assert polyhedron_of(np.array(cube.triangles)[1:], lambda: None) is None


def test_a_point_against_trimesh():
    """Signed distance of points to a random convex hull, by the triangles that trimesh makes of it."""
    dice = np.random.default_rng(5)
    solid = trimesh.convex.convex_hull(dice.normal(size=(14, 3)) * [30.0, 60.0, 90.0])
    points = dice.uniform(-1.3, 1.3, size=(300, 3)) * [40.0, 90.0, 130.0]
    nearest, off, _ = trimesh.proximity.closest_point(solid, points)
    within = solid.contains(points)
    found = polyhedron_of(np.array(solid.triangles), lambda: lambda p: (off[~within], nearest[~within]))
    value, away = found.field(np.zeros(len(points), dtype=int), points)
    assert value == pytest.approx(np.where(within, -off, off), abs=1e-9)
    assert 30 < within.sum() < 250
    assert np.linalg.norm(away, axis=1) == pytest.approx(1.0)
