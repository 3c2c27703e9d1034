"""Mesh and STEP files of the room: read, placed, turned outward; what is broken is explained in plain words."""

import math
import zipfile

import numpy as np
import pytest
import trimesh
from distance_specimens import straight_line

from pipemodel.geometry.distance import least_distances
from pipemodel.geometry.shapes import MeshFile
from pipemodel.geometry.vectors import ORIGIN, rotate
from pipemodel.solids.meshfile import MeshError, load_mesh

SIZES = (20.0, 30.0, 50.0)
TURN = tuple(zip(*(rotate(v, (0.0, 0.0, 1.0), 90.0) for v in ((1.0, 0, 0), (0, 1.0, 0), (0, 0, 1.0))), strict=True))
"""A quarter turn to the left: the rows of its matrix."""


def block():
    return trimesh.creation.box(SIZES)


def volume(mesh):
    a, b, c = (mesh.vertices[mesh.faces[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->", a, np.cross(b, c))) / 6.0


def written(folder, thing, ending, **more):
    path = folder / f"thing.{ending}"
    data = thing.export(file_type=ending, **more)
    path.write_bytes(data.encode() if isinstance(data, str) else data)
    return str(path)


@pytest.mark.slow
@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "off", "3mf", "glb"])
def test_each_kind_of_mesh_file(tmp_path, ending):
    mesh = load_mesh(MeshFile(written(tmp_path, block(), ending), offset=(100.0, 0.0, 0.0)))
    assert mesh.closed
    assert mesh.flats_mm == 0.0
    assert volume(mesh) == pytest.approx(math.prod(SIZES), rel=1e-6)
    assert mesh.vertices.min(axis=0) == pytest.approx((90.0, -15.0, -25.0), abs=1e-4)
    assert len(mesh.vertices) == 8


def test_text_stl(tmp_path):
    path = tmp_path / "thing.stl"
    path.write_text(trimesh.exchange.stl.export_stl_ascii(block()))
    assert volume(load_mesh(MeshFile(str(path)))) == pytest.approx(math.prod(SIZES))


def test_scaled_turned_and_moved_in_that_order(tmp_path):
    mesh = load_mesh(MeshFile(written(tmp_path, block(), "ply"), TURN, (0.0, 0.0, 1000.0), 25.4))
    assert mesh.vertices.max(axis=0) == pytest.approx((15 * 25.4, 10 * 25.4, 1000 + 25 * 25.4), rel=1e-6)
    line = straight_line((-900, 0, 1000), (-500, 0, 1000))
    assert least_distances(line, 15.0, [mesh])[0].distance == pytest.approx(500 - 15 * 25.4, abs=1e-4)


def test_inside_out_is_turned_outward(tmp_path):
    thing = block()
    thing.invert()
    mesh = load_mesh(MeshFile(written(tmp_path, thing, "stl")))
    assert mesh.closed
    assert volume(mesh) > 0.0


def test_a_side_wound_the_wrong_way_is_mended(tmp_path):
    thing = block()
    faces = thing.faces.copy()
    faces[:2] = faces[:2, ::-1]
    mesh = load_mesh(MeshFile(written(tmp_path, trimesh.Trimesh(thing.vertices, faces, process=False), "off")))
    assert mesh.closed
    assert volume(mesh) == pytest.approx(math.prod(SIZES))


def test_a_missing_side_leaves_it_open(tmp_path):
    thing = block()
    mesh = load_mesh(MeshFile(written(tmp_path, trimesh.Trimesh(thing.vertices, thing.faces[2:]), "stl")))
    assert not mesh.closed
    assert len(mesh.faces) == 10


def test_3mf_says_its_own_unit(tmp_path):
    path = written(tmp_path, block(), "3mf")
    changed = tmp_path / "inch.3mf"
    with zipfile.ZipFile(path) as old, zipfile.ZipFile(changed, "w") as new:
        for item in old.infolist():
            text = old.read(item.filename).replace(b'unit="millimeter"', b'unit="inch"')
            new.writestr(item.filename, text)
    extent = np.ptp(load_mesh(MeshFile(str(changed))).vertices, axis=0)
    assert extent == pytest.approx(np.array(SIZES) * 25.4)


@pytest.mark.parametrize("ending", ["stl", "obj", "ply", "off", "3mf", "glb"])
@pytest.mark.parametrize("content", [b"", b"solid", b"\x00\xff" * 200, b"not a mesh at all\n" * 9, b"v 1 2\nf 1 2 9\n"])
def test_broken_files(tmp_path, ending, content):
    path = tmp_path / f"broken.{ending}"
    path.write_bytes(content)
    with pytest.raises(MeshError, match=f"broken.{ending}"):
        load_mesh(MeshFile(str(path)))


def test_a_missing_file(tmp_path):
    with pytest.raises(MeshError, match="cannot be read"):
        load_mesh(MeshFile(str(tmp_path / "none.stl")))


@pytest.mark.parametrize("bad", ["nan", "inf", "-inf"])
def test_coordinates_that_are_no_numbers(tmp_path, bad):
    path = tmp_path / "thing.obj"
    path.write_text(f"v 0 0 0\nv 1 0 0\nv 0 {bad} 0\nf 1 2 3\n")
    with pytest.raises(MeshError, match="not numbers"):
        load_mesh(MeshFile(str(path)))


def test_absurdly_far_out(tmp_path):
    path = tmp_path / "thing.obj"
    path.write_text("v 0 0 0\nv 1e30 0 0\nv 0 1 0\nf 1 2 3\n")
    with pytest.raises(MeshError, match="is its unit right"):
        load_mesh(MeshFile(str(path)))


def test_an_archive_that_unpacks_to_too_much(tmp_path, monkeypatch):
    from pipemodel.solids import meshfile

    path = written(tmp_path, block(), "3mf")
    monkeypatch.setattr(meshfile, "MOST_BYTES", 2000)
    with pytest.raises(MeshError, match="unpacks to"):
        load_mesh(MeshFile(path))


@pytest.mark.slow
@pytest.mark.kernel
def test_step_of_a_curved_solid_is_as_near_as_it_truly_is(tmp_path):
    """A cylinder of 40 across and 80 high, measured as flats; the true distance follows from its radius."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder

    path = step_of(tmp_path, BRepPrimAPI_MakeCylinder(20.0, 80.0).Shape())
    mesh = load_mesh(MeshFile(path, offset=(0.0, 50.0, -40.0)))
    assert mesh.closed
    assert 0.0 < mesh.flats_mm <= 0.005
    assert volume(mesh) == pytest.approx(math.pi * 400.0 * 80.0, rel=1e-3)
    for tilt in (0.0, 3.0, 11.0):
        line = straight_line((-200, 0, tilt), (200, 0, -tilt))
        found = least_distances(line, 15.0, [mesh])[0]
        assert found.distance == pytest.approx(50.0 - 20.0 - 7.5, abs=0.01)


@pytest.mark.kernel
def test_step_of_flat_faces_is_exact_and_turned_in_place(tmp_path):
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox

    path = step_of(tmp_path, BRepPrimAPI_MakeBox(*SIZES).Shape())
    mesh = load_mesh(MeshFile(path, TURN, (5.0, 0.0, 0.0), 2.0))
    assert mesh.closed
    assert mesh.flats_mm == 0.0
    assert volume(mesh) == pytest.approx(8.0 * math.prod(SIZES))
    assert mesh.vertices.min(axis=0) == pytest.approx((5.0 - 60.0, 0.0, 0.0), abs=1e-9)
    assert mesh.file.path == mesh.source == path


@pytest.mark.kernel
def test_step_of_a_bare_face_is_open(tmp_path):
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.gp import gp_Pln

    path = step_of(tmp_path, BRepBuilderAPI_MakeFace(gp_Pln(), -10.0, 10.0, -10.0, 10.0).Shape())
    assert not load_mesh(MeshFile(path)).closed


@pytest.mark.kernel
@pytest.mark.parametrize("content", ["", "ISO-10303-21;\nnonsense", "\x00\x01" * 100])
def test_broken_step(tmp_path, content):
    path = tmp_path / "broken.step"
    path.write_text(content)
    with pytest.raises(MeshError, match=r"broken\.step"):
        load_mesh(MeshFile(str(path)))


def step_of(folder, shape):
    from OCP.STEPControl import STEPControl_AsIs, STEPControl_Writer

    from pipemodel.solids.kernel import quiet

    path = folder / "thing.step"
    writer = STEPControl_Writer()
    with quiet():
        writer.Transfer(shape, STEPControl_AsIs)
        writer.Write(str(path))
    return str(path)


def test_origin_stays_where_it_is(tmp_path):
    mesh = load_mesh(MeshFile(written(tmp_path, block(), "off"), offset=ORIGIN))
    assert mesh.vertices.sum(axis=0) == pytest.approx((0.0, 0.0, 0.0), abs=1e-9)


def test_slivers_and_doubled_triangles_do_not_open_a_solid(tmp_path):
    thing = block()
    sliver = [[0.0, 0.0, 0.0], [1.0, 0.0, 0.0], [2.0, 0.0, 0.0]]
    corners = np.vstack([thing.vertices, sliver])
    more = np.arange(len(thing.vertices), len(corners))
    faces = np.vstack([thing.faces, [more], thing.faces[:3]])
    mesh = load_mesh(MeshFile(written(tmp_path, trimesh.Trimesh(corners, faces, process=False), "stl")))
    assert mesh.closed
    assert volume(mesh) == pytest.approx(math.prod(SIZES))
