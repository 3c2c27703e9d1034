"""STL read back by a general library: closed, of the right volume, the same bytes, and not rounded out of shape."""

import numpy as np
import pytest
import trimesh
from tube_lines import FAR, SPECIMENS, exact_volume, random_line

from pipemodel.geometry.shapes import Mesh
from pipemodel.solids.mesh import tube_mesh
from pipemodel.solids.stl import FAR_MM, write_stl

OUTSIDE, WALL, CHORD = 15.0, 0.7, 0.05
RUNS = {**SPECIMENS, "random": random_line(3)}


@pytest.mark.parametrize("name", RUNS)
def test_read_back_it_is_closed_and_has_the_volume(tmp_path, name):
    run = RUNS[name]
    path = tmp_path / "run.stl"
    mesh = tube_mesh(run, OUTSIDE, WALL, CHORD)
    origin = write_stl(path, mesh, name)
    read = trimesh.load_mesh(path)
    assert read.is_watertight
    assert read.is_winding_consistent
    assert len(read.faces) == len(mesh.faces)
    assert read.volume == pytest.approx(exact_volume(run, OUTSIDE, WALL), rel=0.02)
    here = trimesh.Trimesh(mesh.vertices - origin, mesh.faces, process=False)
    assert read.volume == pytest.approx(here.volume, rel=1e-3)
    assert np.abs(read.bounds - here.bounds).max() < 0.002


def test_normals_point_out(tmp_path):
    path = tmp_path / "run.stl"
    write_stl(path, tube_mesh(RUNS["two planes"], OUTSIDE, WALL, CHORD), "run")
    count = int.from_bytes(path.read_bytes()[80:84], "little")
    rows = np.frombuffer(path.read_bytes(), dtype="<f4,(3,3)<f4,<u2".replace("<f4,(", "3<f4,("), offset=84)
    assert len(rows) == count
    normals, corners = rows["f0"].astype(float), rows["f1"].astype(float)
    right_hand = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    right_hand /= np.linalg.norm(right_hand, axis=1, keepdims=True)
    assert np.abs(normals - right_hand).max() < 1e-5


def test_same_mesh_same_bytes(tmp_path):
    for name in ("a.stl", "b.stl"):
        write_stl(tmp_path / name, tube_mesh(RUNS["random"], OUTSIDE, WALL, CHORD), "run")
    assert (tmp_path / "a.stl").read_bytes() == (tmp_path / "b.stl").read_bytes()


def test_far_out_it_is_written_about_an_origin_of_its_own_and_says_so(tmp_path):
    path = tmp_path / "far.stl"
    origin = write_stl(path, tube_mesh(SPECIMENS["far out"], OUTSIDE, WALL, CHORD), "far out")
    assert all(value % 1000.0 == 0.0 for value in origin)
    assert np.abs(np.subtract(origin, (FAR, -FAR, FAR))).max() <= 1000.0
    header = path.read_bytes()[:80].decode("ascii")
    assert " ".join(f"{value:.0f}" for value in origin) in header
    vertices = np.asarray(trimesh.load_mesh(path).vertices)
    assert np.abs(vertices).max() < 2000.0


def test_near_by_it_stays_where_it_is(tmp_path):
    """A room as large as single precision serves keeps the room's own zero."""
    mesh = Mesh(np.array([[0.0, 0, 0], [FAR_MM, 0, 0], [0, FAR_MM, 0]]), np.array([[0, 1, 2]]))
    assert write_stl(tmp_path / "a.stl", mesh, "a") == (0.0, 0.0, 0.0)
    assert np.spacing(np.float32(FAR_MM)) / 2.0 <= 0.002


@pytest.mark.parametrize("name", ["solid", "é – ①" * 40, ""])
def test_no_name_makes_it_look_like_a_text_file(tmp_path, name):
    path = tmp_path / "a.stl"
    mesh = tube_mesh(SPECIMENS["straight"], OUTSIDE, WALL, 1.0)
    write_stl(path, mesh, name)
    data = path.read_bytes()
    assert len(data) == 84 + 50 * len(mesh.faces)
    assert not data.startswith(b"solid")
    assert trimesh.load_mesh(path).is_watertight
