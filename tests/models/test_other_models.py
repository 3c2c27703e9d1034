"""Models of named parts that are no IFC: made with trimesh and CadQuery, read back as rooms."""

from io import BytesIO
from itertools import product
from zipfile import ZIP_DEFLATED, ZipFile

import cadquery
import numpy as np
import pytest
import trimesh
import yaml
from command_line import run
from wide import few_or_many

from pipemodel import story
from pipemodel.geometry.distance.obstacle import obstacle_of

pytestmark = pytest.mark.slow

TILT = trimesh.transformations.rotation_matrix(0.7, [1, 2, 3])
TILT[:3, 3] = [1500, -400, 900]


def plant():
    """A ball, tilted and moved, and a block that stands square, in mm with z up."""
    ball = trimesh.creation.icosphere(subdivisions=2, radius=150.0)
    ball.apply_transform(TILT)
    return {"vessel": ball, "plinth": trimesh.creation.box(bounds=[[0, 0, 0], [600, 300, 120]])}


def things(path, tmp_path, *more):
    out = tmp_path / "made" / "room.yaml"
    out.parent.mkdir(exist_ok=True)
    said = run("room", path, "--out", out, *more)
    assert said.code == 0, said.err
    (out.parent / "job.yaml").write_text(
        "job: x\ntube: 15\nroom: {file: room.yaml}\nruns: {a: {points: [[0, 0, 9000], [99, 0, 9000]]}}\n"
    )
    return {thing.name: thing.shape for thing in story.furnish(story.read(out.parent / "job.yaml")).things}


def assert_same(shape, mesh, near=0.01):
    assert np.array(shape.bounds()) == pytest.approx(mesh.bounds, abs=near)
    points = np.random.default_rng(5).uniform(mesh.bounds[0] - 50, mesh.bounds[1] + 50, (400, 3))
    field = obstacle_of(shape).field(points)
    sure = np.abs(field) > near
    assert np.array_equal(field[sure] < 0.0, mesh.contains(points[sure]))


def glb(folder):
    """glTF has metres with y up: x, z, -y; the vessel's node is placed by a matrix, turned and moved."""
    scene = trimesh.Scene()
    upright = np.array([[1, 0, 0, 0], [0, 0, 1, 0], [0, -1, 0, 0], [0, 0, 0, 1]]) * [[1e-3], [1e-3], [1e-3], [1]]
    ball = trimesh.creation.icosphere(subdivisions=2, radius=150.0)
    scene.add_geometry(ball, node_name="vessel", geom_name="ball", transform=upright @ TILT)
    scene.add_geometry(plant()["plinth"], node_name="plinth", geom_name="block", transform=upright)
    path = folder / "plant.glb"
    path.write_bytes(scene.export(file_type="glb"))
    return path


def obj(folder):
    lines, first = [], 1
    for name, mesh in plant().items():
        lines += [f"o {name}", *(f"v {x!r} {y!r} {z!r}" for x, y, z in mesh.vertices.tolist())]
        lines += ["f " + " ".join(str(i + first) for i in face) for face in mesh.faces.tolist()]
        first += len(mesh.vertices)
    path = folder / "plant.obj"
    path.write_text("\n".join(lines) + "\n")
    return path


def threemf(folder):
    scene = trimesh.Scene()
    for name, mesh in plant().items():
        scene.add_geometry(mesh, node_name=name, geom_name=name)
    path = folder / "plant.3mf"
    path.write_bytes(scene.export(file_type="3mf"))
    return path


@pytest.mark.parametrize("made", [glb, obj, threemf], ids=lambda made: made.__name__)
def test_named_parts(made, tmp_path):
    found = things(made(tmp_path), tmp_path)
    assert set(found) == {"vessel", "plinth"}
    for name, mesh in plant().items():
        assert_same(found[name], mesh)


@pytest.mark.parametrize("named", ["o", "g", "o one\ng"])
def test_objects_or_else_groups_of_an_obj_file(named, tmp_path):
    """Where objects have names they count, whatever groups are in them; one alone keeps its name, two get numbers."""
    text = obj(tmp_path).read_text().replace("o ", f"{named} ")
    (tmp_path / "plant.obj").write_text(text)
    both = {"one (1)", "one (2)"} if "one" in named else {"vessel", "plinth"}
    assert set(things(tmp_path / "plant.obj", tmp_path)) == both
    (tmp_path / "plant.obj").write_text(text.split(f"{named} plinth")[0])
    assert set(things(tmp_path / "plant.obj", tmp_path)) == ({"one"} if "one" in named else {"vessel"})


UNITS, ENDINGS = {"cm": 10.0, "m": 1000.0, "in": 25.4, None: 1.0}, ("stl", "ply", "off")
"""By day each unit with one kind of file, and each kind with one unit."""


@pytest.mark.parametrize(
    ("unit", "ending"), few_or_many(list(zip(UNITS, (*ENDINGS, "stl"), strict=True)), list(product(UNITS, ENDINGS)))
)
def test_files_without_parts_or_units(unit, ending, tmp_path):
    mm = UNITS[unit]
    trimesh.creation.box(bounds=[[0, 0, 0], [6, 3, 1]]).export(tmp_path / f"plinth.{ending}")
    found = things(tmp_path / f"plinth.{ending}", tmp_path, *(["--unit", unit] if unit else []))
    assert found["plinth"].kind == "box"
    assert found["plinth"].bounds()[1] == pytest.approx((6 * mm, 3 * mm, mm))


@pytest.mark.kernel
def test_a_step_assembly_with_names_and_places(tmp_path):
    """The same bracket twice under one name, and a tank of which triangles stand off by half a millimetre at most."""
    bracket = cadquery.Workplane().box(40, 60, 80, centered=False)
    inner = cadquery.Assembly(name="pair")
    inner.add(bracket, name="bracket", loc=cadquery.Location((100, 0, 0)))
    inner.add(cadquery.Workplane().cylinder(900, 200), name="tank", loc=cadquery.Location((0, 0, 700), (1, 0, 0), 90))
    whole = cadquery.Assembly(name="plant").add(inner, loc=cadquery.Location((1000, 0, 0), (0, 0, 1), 90))
    path = tmp_path / "plant.step"
    whole.export(str(path))
    found = things(path, tmp_path)
    assert set(found) == {"bracket", "tank"}
    # Turned by 90 degrees, (100..140, 0..60) goes to (-60..0, 100..140); then 1000 east.
    assert found["bracket"].bounds() == ((940.0, 100.0, 0.0), (1000.0, 140.0, 80.0))
    tank = trimesh.creation.cylinder(200, 900, sections=256)
    tank.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, [0, 1, 0]))
    tank.apply_translation([1000, 0, 700])
    assert_same(found["tank"], tank, near=0.6)


def test_what_it_says_and_refuses(tmp_path):
    path = glb(tmp_path)
    out = tmp_path / "plant.yaml"
    answer = run("room", path, "--out", out)
    assert answer.code == 2
    assert "plant.glb was not written here" in answer.err
    answer = run("room", path, "--out", tmp_path / "room.yaml", "--class", "IfcWall")
    assert (answer.code, "only an IFC model has classes" in answer.err) == (2, True)
    whole = trimesh.creation.box((6, 3, 1)).export(file_type="stl")
    for name, data in (
        ("bad.glb", b"glTF and no more"),
        ("bad.step", b"ISO-10303-21;"),
        ("bad.3mf", b"PK"),
        ("e.stl", b""),
        ("cut.stl", whole[:-30]),
        ("cut.ply", b"ply\nformat ascii 1.0\nelement vertex 9\nproperty float x\nend_header\n0\n"),
    ):
        (tmp_path / name).write_bytes(data)
        answer = run("room", tmp_path / name, "--out", tmp_path / "room.yaml")
        assert (answer.code, answer.out) == (2, "")
        assert answer.err.startswith(f"{tmp_path / name}:1:1: ")
    assert not (tmp_path / "room.yaml").exists()


def test_an_archive_that_would_explode_is_not_unpacked(tmp_path):
    data = BytesIO()
    with ZipFile(data, "w", ZIP_DEFLATED) as archive, archive.open("3D/3dmodel.model", "w") as file:
        for _ in range(520):
            file.write(b"\0" * 1_000_000)
    path = tmp_path / "bomb.3mf"
    path.write_bytes(data.getvalue())
    assert "unpacks to 520 MB, at most 500" in run("room", path, "--out", tmp_path / "room.yaml").err


def test_a_part_of_nothing_is_listed(tmp_path):
    flat = trimesh.Trimesh([[0, 0, 0], [1, 0, 0], [0, 0, 0]], [[0, 1, 2]], process=False)
    scene = trimesh.Scene()
    scene.add_geometry(flat, node_name="nothing", geom_name="nothing")
    scene.add_geometry(plant()["plinth"], node_name="plinth", geom_name="plinth")
    (tmp_path / "some.glb").write_bytes(scene.export(file_type="glb"))
    things(tmp_path / "some.glb", tmp_path)
    text = (tmp_path / "made" / "room.yaml").read_text()
    assert "#   nothing: it has no face with an area" in text
    assert set(yaml.safe_load(text)["room"]) == {"plinth"}


def test_objects_of_one_name_are_things_of_their_own(tmp_path):
    text, first = "", 1
    for name, east in (("post", 0), ("post", 300), ("post 2", 600), ("post", 900)):
        block = trimesh.creation.box(bounds=[[east, 0, 0], [east + 100, 50, 70]])
        text += f"o {name}\n" + "".join(f"v {x:g} {y:g} {z:g}\n" for x, y, z in block.vertices)
        text += "".join(f"f {a + first} {b + first} {c + first}\n" for a, b, c in block.faces)
        first += 8
    (tmp_path / "posts.obj").write_text(text)
    found = things(tmp_path / "posts.obj", tmp_path)
    assert sorted(shape.bounds()[0][0] for shape in found.values()) == [0.0, 300.0, 600.0, 900.0]
    assert all(shape.kind == "box" for shape in found.values())
    assert found["post 2"].bounds()[0][0] == 600.0


def test_a_unit_that_is_none_is_said(tmp_path):
    data = trimesh.Scene({"block": plant()["plinth"]}).export(file_type="3mf")
    path = tmp_path / "block.3mf"
    with ZipFile(BytesIO(data)) as archive, ZipFile(path, "w") as out:
        for name in archive.namelist():
            out.writestr(name, archive.read(name).replace(b'unit="millimeter"', b'unit="furlong"'))
    answer = run("room", path, "--out", tmp_path / "room.yaml")
    assert answer.code == 2
    assert "the unit 'furlong', which is none of 3MF" in answer.err
    # The job's own word goes before it.
    found = things(path, tmp_path, "--unit", "cm")
    assert found["block"].bounds()[1] == pytest.approx((6000.0, 3000.0, 1200.0))


def test_a_part_scaled_flat_is_listed(tmp_path):
    scene = trimesh.Scene()
    block = plant()["plinth"].apply_scale(0.001)
    scene.add_geometry(block, node_name="flat", geom_name="flat", transform=np.diag([1.0, 1.0, 0.0, 1.0]))
    scene.add_geometry(block.copy(), node_name="thin", geom_name="thin", transform=np.diag([1.0, 1.0, 0.001, 1.0]))
    (tmp_path / "some.glb").write_bytes(scene.export(file_type="glb"))
    assert set(things(tmp_path / "some.glb", tmp_path)) == {"thin"}
    assert "#   flat: it has no face with an area, or is scaled flat" in (tmp_path / "made" / "room.yaml").read_text()
