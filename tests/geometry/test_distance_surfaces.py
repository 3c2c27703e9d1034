"""Meshes and outlines against general libraries: python-fcl between meshes, trimesh for what is inside."""

import math
import warnings

import fcl
import numpy as np
import pytest
import trimesh
from distance_specimens import box_near, moved, rng, seeds, straight_line, stub, tip_near_end, wandering
from test_distance_invariants import as_mesh

from pipemodel.geometry.distance import Surroundings, least_distances
from pipemodel.geometry.distance.meshes import Meshes, SignedSurface
from pipemodel.geometry.shapes import Box, Extrusion, Mesh, MeshFile
from pipemodel.geometry.shapes.signed_plan import SignedPlan
from pipemodel.geometry.shapes.triangles import triangles_of
from pipemodel.solids.mesh import tube_mesh

CHORD_MM = 0.002
"""How far the facets of the tube's own mesh stand off its surface."""


def meshed(thing, closed=True):
    return Mesh(np.array(thing.vertices, float), np.array(thing.faces, np.int64), closed, "made")


def extruded(box):
    (x0, y0, z0), (x1, y1, z1) = box.low, box.high
    return Extrusion(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), z0, z1)


def knot(dice):
    """A closed surface with holes and hollows."""
    ring = trimesh.creation.torus(dice.uniform(40.0, 80.0), dice.uniform(8.0, 20.0), 24, 12)
    ring.apply_transform(trimesh.transformations.random_rotation_matrix(np.array([dice.random() for _ in range(3)])))
    return ring


def fcl_distance(one, other):
    models = []
    for mesh in (one, other):
        model = fcl.BVHModel()
        model.beginModel(len(mesh.vertices), len(mesh.faces))
        model.addSubModel(np.array(mesh.vertices), np.array(mesh.faces))
        model.endModel()
        models.append(fcl.CollisionObject(model, fcl.Transform()))
    return fcl.distance(*models, fcl.DistanceRequest(), fcl.DistanceResult())


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(12))
def test_a_mesh_of_a_box_and_its_outline_are_as_near_as_the_box(seed):
    dice = rng(seed)
    line = wandering(dice, 2)
    boxes = [box_near(dice, line) for _ in range(6)]
    boxes.append(Box((-2000.0, -2000.0, -2000.0), (1500.0, 1600.0, 1700.0)))
    kinds = [least_distances(line, 15.0, [make(b) for b in boxes]) for make in (lambda b: b, as_mesh, extruded)]
    for box, *others in zip(*kinds, strict=True):
        for other in others:
            assert other.distance == pytest.approx(box.distance, abs=1e-9 if box.distance > 0.0 else 2e-3)


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(20))
def test_flat_ends_against_a_mesh_of_a_box(seed):
    dice = rng(seed)
    line, outside = stub(dice)
    boxes = [s for s in (tip_near_end(dice, line, outside) for _ in range(8)) if isinstance(s, Box)]
    plain, meshes = (least_distances(line, outside, kind) for kind in (boxes, [as_mesh(b) for b in boxes]))
    for box, mesh in zip(plain, meshes, strict=True):
        assert (mesh.distance < -1e-9) == (box.distance < -1e-9)
        if box.distance > 0.0:
            assert mesh.distance == pytest.approx(box.distance, abs=1e-9)


@pytest.mark.slow
@pytest.mark.parametrize("seed", seeds(4))
def test_meshes_by_fcl(seed):
    dice = rng(seed)
    line = wandering(dice, 2)
    thing = knot(dice)
    thing.apply_translation(np.array(line.point_at(dice.uniform(0.0, line.length))) + [dice.uniform(-150, 150)] * 3)
    made = tube_mesh(line, 15.0, 0.7, CHORD_MM)
    tube = trimesh.Trimesh(made.vertices, made.faces, process=False)
    nearest = least_distances(line, 15.0, [meshed(thing)])[0]
    if nearest.distance > 0.0:
        assert nearest.distance == pytest.approx(fcl_distance(tube, thing), abs=2.0 * CHORD_MM)
    else:
        assert fcl_distance(tube, thing) <= 2.0 * CHORD_MM


def test_through_the_hole_of_a_ring_is_clear():
    ring = meshed(trimesh.creation.torus(60.0, 10.0, 96, 48))
    clear = least_distances(straight_line((0, 0, -200), (0, 0, 200)), 15.0, [ring])[0]
    # 60 - 10 - 7.5, and the facets of the ring lie inside the true ring where it is nearest.
    assert clear.distance == pytest.approx(42.5, abs=0.1)
    assert least_distances(straight_line((60, 0, -200), (60, 0, 200)), 15.0, [ring])[0].distance < -15.0


@pytest.mark.parametrize("seed", seeds(4))
def test_inside_and_how_deep_by_trimesh(seed):
    dice = rng(seed)
    thing = knot(dice)
    meshes = Meshes(triangles_of(np.array(thing.triangles), np.zeros(len(thing.faces), np.int64)))
    signed = SignedSurface(meshes, 0)
    points = np.array([[dice.uniform(-90.0, 90.0) for _ in range(3)] for _ in range(60)])
    found, nearest = signed(points)
    # Theirs is above zero inside.
    assert found == pytest.approx(-trimesh.proximity.signed_distance(thing, points), abs=1e-6)
    assert np.linalg.norm(points - nearest, axis=1) == pytest.approx(np.abs(found), abs=1e-9)
    # Asked again beside them, and only for what is no farther off than 30.
    beside = points + 7.0
    near, _ = meshes.nearest(0, beside, np.full(60, 30.0))
    true = np.abs(trimesh.proximity.signed_distance(thing, beside))
    assert 0 < (true < 30.0).sum() < 60
    assert near[true < 30.0] == pytest.approx(true[true < 30.0], abs=1e-6)
    assert (near[true > 30.0] > true[true > 30.0] - 1e-6).all()


@pytest.mark.slow
def test_inside_of_a_fine_sphere_seen_from_its_middle_and_from_far_off():
    """Most of its 1,280 triangles are small and far: what counts as one block must count, with its sign."""
    sphere = trimesh.creation.icosphere(3, 500.0)
    meshes = Meshes(triangles_of(np.array(sphere.triangles), np.zeros(len(sphere.faces), np.int64)))
    dice = np.random.default_rng(4)
    ways = dice.normal(size=(60, 3))
    reach = np.append(dice.uniform(0.0, 495.0, 30), dice.uniform(501.0, 860.0, 30))
    points = np.vstack([np.zeros(3), ways / np.linalg.norm(ways, axis=1)[:, None] * reach[:, None]])
    assert meshes.is_inside(0, points).tolist() == [True] * 31 + [False] * 30
    line = straight_line((-50.0, 0.0, 0.0), (50.0, 0.0, 0.0))
    within = least_distances(line, 15.0, [meshed(sphere)])[0].distance
    # The axis' deepest place is the middle, as deep as the facets are from there, and the tube's radius.
    apothem = float(np.abs(np.einsum("ij,ij->i", sphere.face_normals, sphere.triangles[:, 0])).min())
    assert within == pytest.approx(-apothem - 7.5, abs=2e-3)


@pytest.mark.parametrize("turned", [False, True])
@pytest.mark.parametrize(
    ("plan", "area"),
    [
        (((0, 0), (30, 0), (30, 20), (0, 20)), 600.0),
        (((0, 0), (40, 0), (0, 30)), 600.0),
        (((0, 0), (100, 0), (100, 30), (40, 30), (40, 70), (100, 70), (100, 100), (0, 100)), 7600.0),
    ],
)
def test_an_outline_written_either_way_round_bounds_the_same_solid(plan, area, turned):
    """Area times height by hand, volume by trimesh: above zero only where every triangle faces outward."""
    shape = Extrusion(tuple((float(x), float(y)) for x, y in (plan[::-1] if turned else plan)), -5.0, 5.0)
    solid = trimesh.Trimesh(**trimesh.triangles.to_kwargs(shape.corners()))
    assert solid.is_winding_consistent
    assert solid.is_watertight
    assert solid.volume == pytest.approx(10.0 * area, rel=1e-12)


def test_an_outline_by_trimesh():
    plan = ((0, 0), (100, 0), (100, 30), (40, 30), (40, 70), (100, 70), (100, 100), (0, 100))
    dice = rng(1)
    points = np.array([[dice.uniform(-40.0, 140.0) for _ in range(3)] for _ in range(200)])
    found, nearest = SignedPlan([tuple((float(x), float(y)) for x, y in plan)], [], 0.0, 60.0)(points)
    blocks = [((0, 0), (40, 100)), ((40, 0), (100, 30)), ((40, 70), (100, 100))]
    solid = trimesh.boolean.union(
        [trimesh.creation.box(bounds=[(*a, 0), (*b, 60)]) for a, b in blocks], engine="manifold"
    )
    assert found == pytest.approx(-trimesh.proximity.signed_distance(solid, points), abs=1e-6)
    assert np.linalg.norm(points - nearest, axis=1) == pytest.approx(np.abs(found), abs=1e-9)


def test_an_open_mesh_has_no_inside():
    """The axis through a sheet is as deep as the tube is wide; within an open box nothing overlaps."""
    line = straight_line((0, 0, 0), (100, 0, 0))
    sheet = Mesh(np.array([[50.0, -30, -30], [50, 30, -30], [50, 0, 60]]), np.array([[0, 1, 2]]), False, "sheet")
    assert least_distances(line, 15.0, [sheet])[0].distance == pytest.approx(-7.5, abs=1e-9)
    around = Box((-50.0, -50.0, -50.0), (150.0, 50.0, 50.0))
    assert least_distances(line, 15.0, [as_mesh(around, closed=False)])[0].distance == pytest.approx(42.5, abs=1e-9)
    assert least_distances(line, 15.0, [as_mesh(around)])[0].distance < -50.0


def test_a_spike_through_the_end_disc_that_misses_the_rim():
    line = straight_line((0, 0, 0), (100, 0, 0))
    spike = trimesh.creation.cone(2.0, 30.0, sections=16)
    spike.apply_transform(trimesh.transformations.rotation_matrix(math.pi / 2.0, [0, 1, 0]))
    for ahead, overlaps in ((5.0, False), (-5.0, True), (-29.0, True)):
        placed = spike.copy()
        placed.apply_translation([-30.0 - ahead, 1.0, 1.0])
        found = least_distances(line, 15.0, [meshed(placed)])[0]
        assert (found.distance < 0.0) == overlaps
        if not overlaps:
            assert found.distance == pytest.approx(ahead, abs=1e-9)


def test_triangles_with_no_area_change_nothing():
    line = straight_line((0, 0, 0), (100, 0, 0))
    block = as_mesh(Box((20.0, 20.0, -10.0), (40.0, 40.0, 10.0)))
    faces = np.vstack([block.faces, [[0, 0, 0], [0, 1, 1], [0, 3, 3]]])
    worn = Mesh(block.vertices, faces, True, "worn")
    with np.errstate(all="raise"):
        found = least_distances(line, 15.0, [block, worn])
    assert found[0].distance == found[1].distance == pytest.approx(12.5, abs=1e-9)


def test_two_solids_in_one_mesh_and_one_hollow():
    """A block with a hollow in it: a tube that stays in the hollow is clear of it, one in the wall is not."""
    outer, inner = as_mesh(Box((-90.0, -90.0, -90.0), (90.0, 90.0, 90.0))), as_mesh(Box((-60.0,) * 3, (60.0,) * 3))
    hollow = Mesh(
        np.vstack([outer.vertices, inner.vertices]), np.vstack([outer.faces, inner.faces[:, ::-1] + 8]), True, "hollow"
    )
    within, wall = straight_line((-40, 0, 0), (40, 0, 0)), straight_line((-70, 75, 0), (70, 75, 0))
    (clear,), (deep,) = Surroundings([hollow]).distances([within, wall], [15.0, 15.0])
    assert clear.distance == pytest.approx(20.0, abs=1e-9)
    assert deep.distance == pytest.approx(-22.5, abs=2e-3)


def test_surfaces_after_things_without_any_are_laid_out_without_a_warning():
    one, other = (as_mesh(Box((at, 0.0, 0.0), (at + 50.0, 50.0, 50.0))) for at in (0.0, 300.0))
    plain = [Box((0.0, at, 0.0), (9.0, at + 9.0, 9.0)) for at in (500.0, 700.0)]
    line = straight_line((150.0, 25.0, 25.0), (200.0, 25.0, 25.0))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        _, near, _, far = least_distances(line, 15.0, (plain[0], one, plain[1], other))
    assert (near.distance, far.distance) == pytest.approx((100.0, 100.0))  # by the flat ends


def test_a_file_not_read_yet_has_no_distance():
    with pytest.raises(TypeError, match="has not been read"):
        least_distances(straight_line((0, 0, 0), (100, 0, 0)), 15.0, [MeshFile("boiler.stl")])


@pytest.mark.parametrize("seed", seeds(6))
def test_a_turned_mesh_far_out(seed):
    dice = rng(seed)
    line, thing = wandering(dice, 1), knot(dice)
    thing.apply_translation(np.array(line.point_at(100.0)) + [0.0, 0.0, 120.0])
    far = (1e5, -1e5, 1e5)
    there = thing.copy()
    there.apply_translation(far)
    one = least_distances(line, 15.0, [meshed(thing)])[0]
    two = least_distances(moved(line, offset=far), 15.0, [meshed(there)])[0]
    assert two.distance == pytest.approx(one.distance, abs=1e-7 if one.distance > 0.0 else 2e-3)
