"""Things in the room as the kernel's solids: valid, of the right volume, in the right place."""

import math
import subprocess
import sys

import numpy as np
import pytest
import trimesh
from kernel_measures import listed, measured, surfaces, valid

from pipemodel.geometry.extent import Extent
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile

pytestmark = pytest.mark.kernel

EXTENT = Extent((0.0, 0.0, 0.0), (1000.0, 500.0, 300.0))
TURNED = ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
"""A quarter turn about z, as the rows of a matrix."""


def made(shape):
    from pipemodel.solids.room import thing_solid

    return thing_solid(shape, EXTENT)


def as_mesh(mesh, closed=True, file=None):
    return Mesh(np.asarray(mesh.vertices, dtype=float), np.asarray(mesh.faces), closed, "thing.stl", file)


@pytest.mark.parametrize(
    ("shape", "volume", "centre"),
    [
        (Box((1.0, 2.0, 3.0), (11.0, 22.0, 33.0)), 6000.0, (6.0, 12.0, 18.0)),
        (Cylinder((0.0, 0.0, 0.0), (30.0, 40.0, 120.0), 50.0), math.pi * 625.0 * 130.0, (15.0, 20.0, 60.0)),
        (Extrusion(((0.0, 0.0), (10.0, 0.0), (10.0, 4.0), (0.0, 4.0)), -1.0, 4.0), 200.0, (5.0, 2.0, 1.5)),
        (Extrusion(((0.0, 4.0), (10.0, 4.0), (10.0, 0.0), (0.0, 0.0)), -1.0, 4.0), 200.0, (5.0, 2.0, 1.5)),
    ],
    ids=["box", "cylinder", "extrusion", "extrusion the other way round"],
)
def test_shapes_with_a_size(shape, volume, centre):
    solid, note = made(shape)
    assert valid(solid)
    assert not note
    found, middle = measured(solid)
    assert found == pytest.approx(volume, rel=1e-9)
    assert math.dist(middle, centre) < 1e-6


@pytest.mark.parametrize("normal", [(0.0, 0.0, 1.0), (-1.0, 0.0, 0.0), (0.48, -0.6, 0.64)])
def test_a_half_space_is_the_same_slab_as_in_triangles(normal):
    wall = HalfSpace((500.0, 250.0, 150.0), normal)
    solid = made(wall).shape
    assert valid(solid)
    volume, centre = measured(solid)
    slab = wall.slab(EXTENT)
    assert volume == pytest.approx(slab.width_mm * slab.height_mm * slab.depth_mm, rel=1e-9)
    mesh = wall.mesh(1.0, EXTENT)
    assert math.dist(centre, mesh.vertices.mean(axis=0)) < 1e-6
    # Its middle lies behind the face, by half its depth.
    assert np.dot(np.subtract(centre, wall.point), normal) == pytest.approx(-slab.depth_mm / 2.0, rel=1e-6)


def test_a_closed_mesh_is_a_faceted_solid():
    ball = trimesh.creation.icosphere(2, 10.0)
    ball.apply_translation([100.0, 0.0, 0.0])
    solid, note = made(as_mesh(ball))
    assert valid(solid)
    assert not note
    volume, centre = measured(solid)
    assert volume == pytest.approx(ball.volume, rel=1e-9)
    assert math.dist(centre, ball.center_mass) < 1e-6
    assert surfaces(solid) == {"Plane": len(ball.faces)}


def test_an_open_mesh_is_a_surface_and_says_so():
    from OCP.TopAbs import TopAbs_SOLID

    ball = trimesh.creation.icosphere(1, 10.0)
    ball.update_faces(np.arange(len(ball.faces)) > 3)
    shape, note = made(as_mesh(ball, closed=False))
    assert "do not close" in note
    assert listed(shape, TopAbs_SOLID).Extent() == 0
    assert surfaces(shape) == {"Plane": len(ball.faces)}


def test_a_mesh_of_very_many_triangles_is_its_block_and_says_so():
    ball = trimesh.creation.icosphere(5, 10.0)
    shape, note = made(as_mesh(ball))
    assert str(len(ball.faces)) in note
    assert measured(shape)[0] == pytest.approx(np.prod(np.ptp(ball.vertices, axis=0)), rel=1e-9)


@pytest.fixture
def step_file(tmp_path):
    """A cylinder standing 10 out along x, in a STEP file of another program's kind, its name not ASCII."""
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

    writer = STEPControl_Writer()
    cylinder = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(10, 0, 0), gp_Dir(0, 0, 1)), 2.0, 6.0).Solid()
    writer.Transfer(cylinder, STEPControl_StepModelType.STEPControl_AsIs)
    plain = tmp_path / "plain.step"
    writer.Write(str(plain))
    return str(plain.rename(tmp_path / "Ventil – groß.STP"))


@pytest.mark.parametrize("scale", [1.0, 25.4])
def test_a_step_file_is_read_exact_and_placed(step_file, scale):
    """Round again, not faceted; turned first, then moved."""
    file = MeshFile(step_file, TURNED, (100.0, 200.0, 300.0), scale)
    solid, note = made(file)
    assert valid(solid)
    assert not note
    assert surfaces(solid) == {"Plane": 2, "Cylinder": 1}
    volume, centre = measured(solid)
    assert volume == pytest.approx(math.pi * 4.0 * 6.0 * scale**3, rel=1e-9)
    assert math.dist(centre, (100.0, 200.0 + 10.0 * scale, 300.0 + 3.0 * scale)) < 1e-6
    again = made(as_mesh(trimesh.creation.box(), file=file)).shape
    assert surfaces(again) == {"Plane": 2, "Cylinder": 1}


def test_a_step_file_that_is_none_is_refused(tmp_path):
    from pipemodel.solids.room import UnreadableError

    path = tmp_path / "not.step"
    path.write_text("nothing of the kind")
    with pytest.raises(UnreadableError, match=r"not\.step"):
        made(MeshFile(str(path)))


def test_a_mesh_file_must_be_read_first():
    with pytest.raises(TypeError, match=r"boiler\.stl"):
        made(MeshFile("boiler.stl"))


@pytest.mark.slow
def test_casts_have_their_name_in_a_process_that_loads_nothing_else():
    """Reading a STEP file's faces asks for them; some versions name them only on a second import."""
    code = "from pipemodel.solids.kernel import TopoDS; TopoDS.TopoDS.Face_s"
    subprocess.run([sys.executable, "-c", code], check=True)
