"""Every kind of thing in the room gives every answer, and its answers agree with each other."""

import numpy as np
import pytest
import trimesh

from pipemodel.geometry.centreline import Centreline
from pipemodel.geometry.distance.obstacle import obstacle_of
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.rounding import rounded
from pipemodel.geometry.shapes import KINDS, Box, Cylinder, Extrusion, HalfSpace, Mesh, MeshFile, Shape
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.shapes.plan import rectangle_less
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.geometry.shapes.tube import Tube
from pipemodel.geometry.vectors import unit
from pipemodel.job.room_forms import SHAPES, ThingForm

EXTENT = Extent((-300.0, -300.0, -300.0), (300.0, 300.0, 300.0))
CORNER = ((0.0, 0.0), (120.0, 0.0), (120.0, 40.0), (50.0, 40.0), (50.0, 110.0), (0.0, 110.0))
BALL = trimesh.creation.icosphere(2, 70.0)
SPECIMENS: dict[str, Shape] = {
    "box": Box((-50.0, 10.0, 0.0), (120.0, 60.0, 90.0)),
    "cylinder": Cylinder((-40.0, 0.0, 10.0), (100.0, 80.0, 60.0), 64.0),
    "cone": Cone((-40.0, 0.0, 10.0), (100.0, 80.0, 60.0), (90.0, 30.0)),
    "face": HalfSpace((20.0, 30.0, 40.0), unit((1.0, -2.0, 0.5))),
    "extrusion": Extrusion(CORNER, -20.0, 90.0),
    "plate": Plate(
        (-60.0, 40.0, -30.0),
        unit((1.0, 0.5, 0.2)),
        unit((-0.5, 1.0, 0.0)),
        60.0,
        rectangle_less((0.0, 0.0), (200.0, 110.0), [((120.0, 70.0), (160.0, 130.0)), ((150.0, 20.0), (190.0, 50.0))]),
        (Round(60.0, 55.0, 30.0),),
    ),
    "tube": Tube(
        Centreline(
            tuple(
                rounded(
                    [(-40.0, 0.0, 10.0), (100.0, 0.0, 10.0), (100.0, 90.0, 10.0), (60.0, 90.0, 200.0)], [50.0, 30.0]
                )
            )
        ),
        48.0,
    ),
    "mesh": Mesh(np.array(BALL.vertices, float), np.array(BALL.faces, np.int64)),
}


def kinds_of_the_program():
    return {name: kind for name, kind in KINDS.items() if kind.__module__.startswith("pipemodel.")}


def test_there_is_a_specimen_of_every_kind():
    assert set(kinds_of_the_program()) == {*SPECIMENS, "mesh file"}
    assert {type(shape) for shape in SPECIMENS.values()} == {*kinds_of_the_program().values()} - {MeshFile}


def test_every_kind_has_a_form_in_a_job_under_its_own_name():
    assert set(SHAPES) == set(SPECIMENS) - {"tube"}
    bent = {"points": [[0, 0, 0], [100, 0, 0], [100, 100, 0]], "diameter": 15, "radius": 30}
    assert ThingForm.model_validate({"pipe": bent}).term.parts()[0].shape.kind == "tube"
    written = {
        "box": {"from": [0, 0, 0], "to": [1, 1, 1]},
        "cylinder": {"from": [0, 0, 0], "to": [1, 1, 1], "diameter": 5},
        "cone": {"from": [0, 0, 0], "to": [1, 1, 1], "diameters": [5, 3]},
        "face": {"at": [0, 0, 0], "facing": "up"},
        "plate": {
            "at": [0, 0, 0],
            "across": "east",
            "up": "up",
            "outline": [[0, 0], [1, 0], [0, 1]],
            "thickness": 2,
        },
        "extrusion": {"outline": [[0, 0], [1, 0], [0, 1]], "from": 0, "to": 2},
    }
    assert set(written) == set(SHAPES) - {"mesh"}
    for key, value in written.items():
        assert getattr(ThingForm.model_validate({key: value}), key).shape().kind == key


@pytest.mark.kernel
def test_every_kind_has_a_solid():
    from pipemodel.solids.room import SOLIDS, thing_solid

    assert set(SOLIDS) == set(kinds_of_the_program().values())
    for shape in SPECIMENS.values():
        assert not thing_solid(shape, EXTENT).shape.IsNull()


ANSWERS = ("kind", "colour", "convex", "placed", "reach", "distance", "flat_faces", "mesh")


@pytest.mark.parametrize("left_out", ANSWERS)
def test_a_kind_that_leaves_an_answer_out_cannot_be_made(left_out):
    answers = {name: getattr(Box, name) for name in (*ANSWERS, "targets") if name != left_out}
    with pytest.raises(TypeError, match=f"does not say: {left_out}$"):
        type("Half", (Shape,), answers)
    assert not any(kind.__name__ == "Half" for kind in KINDS.values())


def test_a_kind_that_no_tube_could_be_measured_against_cannot_be_made():
    answers = {name: getattr(Box, name) for name in ANSWERS}
    with pytest.raises(TypeError, match="targets or corners"):
        type("Half", (Shape,), answers)


def test_a_file_not_read_yet_says_so():
    file = MeshFile("boiler.stl")
    assert file.bounds() == ()
    assert not list(file.flat_faces())
    for ask in (
        lambda: file.distance((0, 0, 0)),
        lambda: file.reach((0, 0, 1)),
        lambda: file.mesh(1.0, EXTENT),
        file.corners,
    ):
        with pytest.raises(TypeError, match="has not been read"):
            ask()


@pytest.mark.parametrize("kind", SPECIMENS)
def test_one_distance_whoever_asks(kind):
    """From one point, from many at once, and with a direction: all the same, and the direction leads to the surface."""
    shape, dice = SPECIMENS[kind], np.random.default_rng(7)
    points = np.vstack([dice.uniform(-150.0, 250.0, (150, 3)), dice.uniform(-40.0, 100.0, (150, 3))])
    single = np.array([shape.distance(tuple(p)) for p in points.tolist()])
    assert (single < 0.0).sum() >= 8
    assert (single > 0.0).sum() >= 100
    assert obstacle_of(shape).field(points) == pytest.approx(single, abs=1e-9)
    if shape.corners() is None:
        rows = type(shape).targets([shape, shape], np.array([0, 1]))
        values = rows.values(points)
        both = np.column_stack([values[:, rows.owner == owner].min(axis=1) for owner in (0, 1)])
        assert both == pytest.approx(np.column_stack([single, single]), abs=1e-9)
        # Of a thing in several pieces the nearest tells.
        last = np.flatnonzero(rows.owner == 1)
        value, away = rows.field(last[np.argmin(values[:, last], axis=1)], points)
        assert value == pytest.approx(single, abs=1e-9)
        assert np.linalg.norm(away, axis=1) == pytest.approx(1.0, abs=1e-9)
        surface = [shape.distance(tuple(p)) for p in (points - value[:, None] * away).tolist()]
        assert max(map(abs, surface)) < 1e-9


@pytest.mark.parametrize("kind", SPECIMENS)
def test_triangles_faces_and_block_lie_on_the_shape(kind):
    shape, dice = SPECIMENS[kind], np.random.default_rng(5)
    mesh = shape.mesh(0.05, EXTENT)
    made = trimesh.Trimesh(mesh.vertices, mesh.faces, process=False)
    assert all((made.is_watertight, made.is_winding_consistent, mesh.closes))
    assert made.volume > 0.0
    assert (mesh.volume, mesh.area) == pytest.approx((made.volume, made.area))
    if shape.facing is None:
        assert max(abs(shape.distance(tuple(p))) for p in mesh.vertices.tolist()) < 1e-9
        low, high = shape.bounds()
        assert low == pytest.approx(mesh.vertices.min(axis=0), abs=0.1)
        assert high == pytest.approx(mesh.vertices.max(axis=0), abs=0.1)
        for _ in range(10):
            way = unit(tuple(dice.normal(size=3)))
            level = mesh.vertices @ np.array(way)
            assert shape.reach(way) == pytest.approx((level.min(), level.max()), abs=0.2)
    for face in shape.flat_faces():
        out = np.array(face.normal)
        middle = np.array(face.point)
        for off, sign in ((1e-3, 1.0), (-1e-3, -1.0)):
            if face.holds(tuple(middle)):
                assert shape.distance(tuple(middle + off * out)) * sign >= -1e-9


def test_half_spaces_reach_without_end():
    floor = HalfSpace((0.0, 0.0, 5.0), (0.0, 0.0, 1.0))
    assert floor.reach((0.0, 0.0, 1.0)) == (-np.inf, 5.0)
    assert floor.reach((0.0, 0.0, -1.0)) == (-5.0, np.inf)
    assert floor.reach((1.0, 0.0, 0.0)) == (-np.inf, np.inf)


@pytest.mark.parametrize(
    ("half", "depth"),
    [(10.0, 10.0), (50.0, 10.0), (150.0, 25.980762), (1000.0, 173.205081), (1300.0, 200.0), (9000.0, 200.0)],
)
def test_a_face_without_end_is_drawn_a_twentieth_of_the_job_thick_and_reaches_past_it(half, depth):
    """Of a cube of 300 the diagonal is 519.6, and a twentieth of that 26; no less than 10, no more than 200."""
    extent = Extent((-half,) * 3, (half,) * 3)
    slab = HalfSpace((0.0, 0.0, -half - 5.0), (0.0, 0.0, 1.0)).slab(extent)
    assert slab.depth_mm == pytest.approx(depth)
    assert (slab.width_mm, slab.height_mm) == pytest.approx((2.0 * (half + depth),) * 2)
    mesh = HalfSpace((0.0, 0.0, -half - 5.0), (0.0, 0.0, 1.0)).mesh(0.1, extent)
    assert mesh.vertices.min(axis=0) == pytest.approx((-half - depth, -half - depth, -half - 5.0 - depth))
    assert mesh.vertices.max(axis=0) == pytest.approx((half + depth, half + depth, -half - 5.0))
