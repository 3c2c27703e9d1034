"""Tube and room as triangles: closed, outward, never further from the true surface than asked, and few."""

import math

import numpy as np
import pytest
import trimesh
from tube_lines import SPECIMENS, distance_to_axis, exact_volume, line, random_line

from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile
from pipemodel.solids.mesh import tube_mesh

OUTSIDE, WALL = 15.0, 0.7
RUNS = {**SPECIMENS, **{f"random {seed}": random_line(seed) for seed in range(6)}}
EXTENT = Extent((0.0, 0.0, 0.0), (1000.0, 500.0, 300.0))


def solid(mesh):
    """The triangles as they are: nothing merged, nothing put right."""
    return trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)


def strays(mesh, centreline, outside, wall):
    """How far points all over the triangles of the skin and of the bore lie off the true surfaces, at most."""
    weights = np.array([(i, j, 8 - i - j) for i in range(9) for j in range(9 - i)]) / 8.0
    corners = mesh.vertices[mesh.faces]
    flat_ends = np.ptp(distance_to_axis(centreline, corners.reshape(-1, 3)).reshape(-1, 3), axis=1) > wall / 2.0
    corners = corners[~flat_ends]
    points = np.einsum("wc,mcx->mwx", weights, corners)
    away = distance_to_axis(centreline, points.reshape(-1, 3)).reshape(points.shape[:2])
    at_corners = distance_to_axis(centreline, corners.reshape(-1, 3)).reshape(-1, 3).mean(axis=1)
    radius = np.where(at_corners > (outside - wall) / 2.0, outside / 2.0, outside / 2.0 - wall)
    return np.abs(away - radius[:, None]).max()


@pytest.mark.parametrize("name", RUNS)
@pytest.mark.parametrize("chord", [1.0, 0.05])
def test_closed_outward_and_of_the_right_volume(name, chord):
    """Within what a skin and a bore that stray by the tolerance can enclose."""
    run = RUNS[name]
    mesh = solid(tube_mesh(run, OUTSIDE, WALL, chord))
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    exact = exact_volume(run, OUTSIDE, WALL)
    skin = math.pi * (OUTSIDE + OUTSIDE - 2.0 * WALL) * run.length
    mesh.vertices -= run.start
    assert 0.0 < exact - mesh.volume < skin * chord


@pytest.mark.slow
@pytest.mark.parametrize("name", SPECIMENS)
def test_a_pinched_tube_would_show_in_its_volume(name):
    """At a fine tolerance nothing is missing at bends in different planes, where a twisting frame pinches."""
    run = SPECIMENS[name]
    mesh = solid(tube_mesh(run, OUTSIDE, WALL, 0.002))
    mesh.vertices -= run.start
    assert mesh.volume == pytest.approx(exact_volume(run, OUTSIDE, WALL), rel=1e-3)


@pytest.mark.slow
@pytest.mark.parametrize("name", SPECIMENS)
@pytest.mark.parametrize("chord", [2.0, 0.5, 0.05])
def test_no_triangle_strays_further_than_asked(name, chord):
    run = SPECIMENS[name]
    assert strays(tube_mesh(run, OUTSIDE, WALL, chord), run, OUTSIDE, WALL) <= chord * (1.0 + 1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["one 90", "set", "two planes", "return bend of 180", "tight"])
@pytest.mark.parametrize("chord", [0.5, 0.05])
def test_the_tolerance_is_made_use_of(name, chord):
    """Triangles that stray far less than they may are more than are needed."""
    run = SPECIMENS[name]
    assert strays(tube_mesh(run, OUTSIDE, WALL, chord), run, OUTSIDE, WALL) >= 0.9 * chord


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.parametrize("name", RUNS)
@pytest.mark.parametrize("chord", [0.5, 0.05])
def test_no_more_triangles_than_the_kernel_s_mesher(name, chord):
    """At the same linear tolerance, and the coarsest angle by which the kernel lets its triangles turn."""
    from kernel_measures import faces
    from OCP.BRep import BRep_Tool
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.TopLoc import TopLoc_Location

    from pipemodel.solids.brep import tube_solid

    shape = tube_solid(RUNS[name], OUTSIDE, WALL)
    BRepMesh_IncrementalMesh(shape, chord, False, 1.5, False)
    kernel = sum(BRep_Tool.Triangulation_s(face, TopLoc_Location()).NbTriangles() for face in faces(shape))
    assert len(tube_mesh(RUNS[name], OUTSIDE, WALL, chord).faces) <= kernel


@pytest.mark.parametrize(("outside", "wall"), [(15.0, 1e-3), (15.0, 7.4), (6.0, 0.6), (108.0, 2.5)])
@pytest.mark.parametrize("chord", [0.5, 0.05])
def test_bore_and_skin_never_touch(outside, wall, chord):
    """However thin the wall beside the tolerance: the bore's triangles stay inside the skin's by most of the wall."""
    run = line([(0, 0, 0), (500, 0, 0), (500, 500, 0), (500, 500, 500)], radius=2.0 * outside)
    mesh = tube_mesh(run, outside, wall, chord)
    half = len(mesh.vertices) // 2
    apart = np.linalg.norm(mesh.vertices[:half] - mesh.vertices[half:], axis=1)
    assert apart == pytest.approx(wall, rel=1e-6)
    assert 0.0 < solid(mesh).volume < exact_volume(run, outside, wall)


def test_however_coarse_a_bend_does_not_fold():
    run = SPECIMENS["return bend of 180"]
    mesh = solid(tube_mesh(run, OUTSIDE, WALL, 1000.0))
    assert mesh.is_watertight
    assert mesh.volume > 0.7 * exact_volume(run, OUTSIDE, WALL)


def test_moving_the_run_changes_no_triangle():
    corners = np.array([(0, 0, 0), (300, 0, 0), (300, 300, 0), (300, 300, 300)], dtype=float)
    here = tube_mesh(line(corners), OUTSIDE, WALL, 0.1)
    there = tube_mesh(line(corners + [1e6, -1e6, 1e6]), OUTSIDE, WALL, 0.1)
    assert np.array_equal(here.faces, there.faces)
    assert np.abs(there.vertices - [1e6, -1e6, 1e6] - here.vertices).max() < 1e-6


@pytest.mark.parametrize(("wall", "chord"), [(0.0, 0.1), (7.5, 0.1), (0.7, 0.0), (0.7, -1.0), (0.7, math.nan)])
def test_what_makes_no_tube_is_refused(wall, chord):
    with pytest.raises(ValueError, match=r"bore|tolerance"):
        tube_mesh(SPECIMENS["one 90"], OUTSIDE, wall, chord)


@pytest.mark.parametrize(
    ("shape", "volume", "stray"),
    [
        (Box((1.0, 2.0, 3.0), (11.0, 22.0, 33.0)), 6000.0, 0.0),
        (Cylinder((0.0, 0.0, 0.0), (30.0, 40.0, 120.0), 50.0), math.pi * 625.0 * 130.0, math.pi * 50.0 * 130.0 * 0.05),
        (Extrusion(((0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (5.0, 2.0), (0.0, 10.0)), -1.0, 4.0), 300.0, 0.0),
        (Extrusion(((0.0, 10.0), (5.0, 2.0), (10.0, 10.0), (10.0, 0.0), (0.0, 0.0)), -1.0, 4.0), 300.0, 0.0),
        (Extrusion(((0.0, 0.0), (5.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)), 0.0, 1.0), 100.0, 0.0),
    ],
    ids=["box", "cylinder", "extrusion", "extrusion the other way round", "extrusion with a corner in line"],
)
def test_things_in_the_room(shape, volume, stray):
    mesh = solid(shape.mesh(0.05, EXTENT))
    assert mesh.is_watertight
    assert mesh.is_winding_consistent
    assert volume - stray - 1e-9 * volume <= mesh.volume <= volume + 1e-9 * volume


@pytest.mark.parametrize("normal", [(0.0, 0.0, 1.0), (-1.0, 0.0, 0.0), (0.6, 0.0, 0.8), (0.48, -0.6, 0.64)])
def test_a_half_space_is_a_slab_behind_its_face_that_reaches_past_the_job(normal):
    wall = HalfSpace((500.0, 250.0, 150.0), normal)
    mesh = solid(wall.mesh(0.05, EXTENT))
    assert mesh.is_watertight
    assert mesh.volume > 0.0
    out = (mesh.vertices - wall.point) @ np.array(normal)
    assert out.max() == pytest.approx(0.0, abs=1e-9)
    assert out.min() < -9.0
    # Every corner of the job, dropped square onto the face, meets the slab.
    corners = np.array(EXTENT.corners())
    dropped = corners - np.outer((corners - wall.point) @ np.array(normal), normal)
    hull = mesh.convex_hull
    inside = hull.face_normals @ dropped.T - np.sum(hull.face_normals * hull.triangles[:, 0], axis=1)[:, None]
    assert inside.max() < 1e-6


def test_a_mesh_stays_as_it_is_and_a_file_must_be_read_first():
    ball = trimesh.creation.icosphere(1, 10.0)
    mesh = Mesh(np.asarray(ball.vertices), np.asarray(ball.faces), True, "ball.stl").mesh(0.05, EXTENT)
    assert np.array_equal(mesh.vertices, ball.vertices)
    with pytest.raises(TypeError, match=r"boiler\.stl"):
        MeshFile("boiler.stl").mesh(0.05, EXTENT)
