"""Room files: shared, placed, checked like a job; and each fault at its own file, line and column."""

import json
import re
from cmath import exp
from math import radians

import jsonschema
import numpy as np
import pytest
from command_line import run
from hypothesis import given
from hypothesis import strategies as st

from pipemodel import story
from pipemodel.geometry.extent import Extent
from pipemodel.geometry.placing import Placing
from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace, MeshFile
from pipemodel.geometry.shapes.cone import Cone
from pipemodel.geometry.shapes.mesh import Mesh
from pipemodel.geometry.shapes.plan import rectangle_less
from pipemodel.geometry.shapes.plate import Plate
from pipemodel.geometry.shapes.signed_plan import Round
from pipemodel.job import room_files
from pipemodel.job.model import JobError
from pipemodel.job.schema import json_schema, room_file_schema
from pipemodel.job.yaml_tree import read_tree
from pipemodel.live.watch import files_of

JOB = """\
job: along the landing
tube: 15
room:
  file: {files}
  waste: {{box: {{from: [0, 0, 500], to: [1, 1, 501]}}}}
runs:
  flow: {{points: [[0, 0, 300], [900, 0, 300]]}}
"""
FLOOR = """\
parameters: {deep: 200}
room:
  joist: {box: {from: [0, 0, "${-deep}"], to: [50, 600, 0]}, clearance: 3}
  stack: {cylinder: {from: [300, 80, 0], to: [300, 80, 600], diameter: 110}}
"""


@pytest.fixture
def job(tmp_path):
    """Writes a job and the room files beside it, and returns the job's path."""

    def write(files="floor.yaml", **rooms):
        for name, text in {"floor": FLOOR, **rooms}.items():
            (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
        path = tmp_path / "job.yaml"
        path.write_text(JOB.format(files=files), encoding="utf-8")
        return path

    return write


def faults(path, language=None):
    with pytest.raises(JobError) as error:
        story.read(path)
    return [line.removeprefix(f"{path.parent}/") for line in error.value.lines(language)]


def test_things_come_in_under_their_names_after_the_jobs_own(job):
    read = story.read(job())
    assert [t.name for t in read.things] == ["waste", "joist", "stack"]
    assert read.things[1].shape == Box((0.0, 0.0, -200.0), (50.0, 600.0, 0.0))
    assert read.things[1].clearance_mm == 3.0


def test_a_room_may_be_files_alone_and_several(job):
    path = job("[floor.yaml, {file: other.yaml}]", other="room: {post: {box: {from: [0, 0, 0], to: [1, 2, 3]}}}")
    text = re.sub(r"  waste.*\n", "", path.read_text())
    path.write_text(text)
    assert [t.name for t in story.read(path).things] == ["joist", "stack", "post"]


def test_the_clash_with_a_shared_thing_is_found(job):
    """The stack of 110 at y = 80 and the tube of 15 along y = 0: 80 - 55 - 7.5."""
    found = {d.against: d.distance_mm for d in story.check(story.load(job())).distances}
    assert found["stack"] == pytest.approx(17.5, abs=1e-9)


def test_a_quarter_turn_keeps_a_box_exact(job):
    read = story.read(job("{file: floor.yaml, at: [1000, 20, -7], turned: 90}"))
    assert read.things[1].shape == Box((400.0, 20.0, -207.0), (1000.0, 70.0, -7.0))
    assert read.things[2].shape == Cylinder((920.0, 320.0, -7.0), (920.0, 320.0, 593.0), 110.0)


def test_one_file_in_two_places(job):
    read = story.read(job("[{file: floor.yaml, at: [500, 0, 0]}, {file: floor.yaml, called: second}]"))
    assert [t.name for t in read.things] == ["waste", "joist", "stack", "second joist", "second stack"]


def test_a_room_file_names_another_from_its_own_folder(job, tmp_path):
    (tmp_path / "rooms").mkdir()
    (tmp_path / "rooms" / "bay.yaml").write_text("room: {file: {file: ../floor.yaml, at: [0, 0, 10]}}")
    read = story.read(job("{file: rooms/bay.yaml, at: [0, 0, 5]}"))
    assert read.things[1].shape == Box((0.0, 0.0, -185.0), (50.0, 600.0, 15.0))
    assert files_of(tmp_path / "job.yaml") == tuple(tmp_path / n for n in ("job.yaml", "rooms/bay.yaml", "floor.yaml"))


@pytest.mark.parametrize(
    ("files", "rooms", "said"),
    [
        ("gone.yaml", {}, ["job.yaml:4:9: there is no file 'gone.yaml'; the path goes from the folder of this file"]),
        (".", {}, ["job.yaml:4:9: '.' is a folder; give a file"]),
        ("../x.yaml", {}, ["job.yaml:4:9: '../x.yaml' lies outside the job's folder; copy it beside the job"]),
        ("job.yaml", {}, ["job.yaml:4:9: the room file 'job.yaml' would hold itself (job.yaml -> job.yaml)"]),
        (
            "a.yaml",
            {"a": "room: {file: b.yaml}", "b": "room:\n  file: [a.yaml]"},
            ["b.yaml:2:10: the room file 'a.yaml' would hold itself (a.yaml -> b.yaml -> a.yaml)"],
        ),
        ("a.yaml", {"a": "- 1"}, ["a.yaml:1:1: a room file is a group of keys, with room"]),
        ("a.yaml", {"a": ""}, ["a.yaml:1:1: a room file is a group of keys, with room"]),
        ("a.yaml", {"a": "rooms: {}"}, [
            "a.yaml:1:1: unknown key 'rooms'", "a.yaml:1:1: a room file is a group of keys, with room"]),
        ("a.yaml", {"a": "room: 5"}, ["a.yaml:1:7: room is a group of names"]),
        ("a.yaml", {"a": "room:\n  x: {bax: 1}"}, ["a.yaml:2:7: unknown key 'bax'"]),
        ("a.yaml", {"a": "room: {x: [}"}, ["a.yaml:1:12: a value is missing here"]),
        ("a.yaml", {"a": 'room: {x: {face: {at: [0, 0, "${deep}"], facing: up}}}'}, ["a.yaml:1:30: "]),
        ("a.yaml", {"a": "room:\n  waste: {face: {at: [0, 0, 0], facing: up}}"}, ["a.yaml:2:3: there is a thing"]),
        ("[floor.yaml, floor.yaml]", {}, ["floor.yaml:3:3: 'joist' stands in", "floor.yaml:4:3: 'stack'"]),
        ("a.yaml", {"a": "room:\n  ' x': {face: {at: [0, 0, 0], facing: up}}"}, ["a.yaml:2:3: the name ' x' begins"]),
        ("{file: floor.yaml, turned: east}", {}, ["job.yaml:4:36: 'east' is no angle"]),
        ("{fiel: floor.yaml}", {}, ["job.yaml:4:3: item 1 of file lacks 'file'", "job.yaml:4:10: unknown key 'fiel'"]),
        ("[]", {}, []),
    ],
)  # fmt: skip
def test_faults_stand_at_their_own_file_line_and_column(job, files, rooms, said):
    path = job(files, **rooms)
    if not said:
        assert [t.name for t in story.read(path).things] == ["waste"]
        return
    lines = faults(path)
    assert len(lines) == len(said)
    for line, begins in zip(lines, said, strict=True):
        assert line.startswith(begins)


@pytest.mark.parametrize(
    ("files", "rooms", "said"),
    [
        ("gone.yaml", {}, "job.yaml:4:9: eine Datei „gone.yaml“ gibt es nicht"),
        (".", {}, "job.yaml:4:9: „.“ ist ein Ordner"),
        ("../x.yaml", {}, "job.yaml:4:9: „../x.yaml“ liegt außerhalb des Ordners des Auftrags"),
        ("a.yaml", {"a": "room:\n  file: [a.yaml]"},
            "a.yaml:2:10: die Raumdatei „a.yaml“ würde sich selbst enthalten (a.yaml -> a.yaml)"),
        ("a.yaml", {"a": "room:\n  waste: {face: {at: [0, 0, 0], facing: up}}"},
            "a.yaml:2:3: ein Ding „waste“ gibt es schon ("),
        ("[floor.yaml, floor.yaml]", {}, "floor.yaml:3:3: „joist“ steht zweimal im Raum"),
        ("a.yaml", {"a": "room:\n  w: {extrusion: {outline: [[0, 0], [9, 9], [9, 0], [0, 9]], from: 0, to: 9}}"},
            "a.yaml:2:7: der Umriss kreuzt oder berührt sich selbst: die Seite ab Ecke 1 trifft die ab Ecke 3"),
        ("a.yaml", {"a": "room:\n  w: {extrusion: {outline: [[0, 0], [9, 9], [9, 9], [0, 9]], from: 0, to: 9}}"},
            "a.yaml:2:7: Ecke 2 des Umrisses kommt zweimal vor"),
    ],
)  # fmt: skip
def test_faults_of_room_files_in_german(job, files, rooms, said):
    lines = faults(job(files, **rooms), "de")
    assert any(line.startswith(said) for line in lines), lines
    assert not any(word in line for line in lines for word in (" the ", " there ", " twice"))


def test_of_things_in_a_file_that_cannot_be_read_nothing_more_is_said(job):
    path = job("gone.yaml")
    path.write_text(
        path.read_text().replace(
            "points: [[0, 0, 300], [900, 0, 300]]", "start: [0, 0, 0], route: [{east: {past: rack, gap: 5}}]"
        )
    )
    assert len(faults(path)) == 1


@pytest.mark.slow
def test_a_damaged_mesh_of_a_room_file_is_named_there(job, tmp_path):
    path = job("a.yaml", a="room:\n  boiler: {mesh: {file: boiler.stl}}\n")
    (tmp_path / "boiler.stl").write_bytes(b"no mesh at all")
    said = run("check", path)
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"{tmp_path / 'a.yaml'}:2:3: ")


def test_files_that_hold_too_much_are_not_read(job, monkeypatch):
    monkeypatch.setattr(room_files, "MOST_BYTES", 100)
    assert "hold more than" in faults(job())[0]
    monkeypatch.undo()
    monkeypatch.setattr(room_files, "MOST_FILES", 3)
    many = "room: {file: [floor.yaml, {file: floor.yaml, called: b}, {file: floor.yaml, called: c}]}"
    assert "more than 3 room files" in faults(job("a.yaml", a=many))[0]


def test_the_schema_takes_what_the_reader_takes(job):
    def values(text):
        return read_tree(text).values

    whole = jsonschema.Draft202012Validator(json_schema())
    for files in ("floor.yaml", "[floor.yaml, {file: a.yaml, at: [1, 2, 3], turned: 90, called: x}]"):
        assert whole.is_valid(values(JOB.format(files=files)))
    assert whole.is_valid({**values(JOB.format(files="a.yaml")), "room": None})
    for files in ("5", "{file: a.yaml, turn: 90}", "{box: {from: [0, 0, 0], to: [1, 1, 1]}}"):
        assert not whole.is_valid(values(JOB.format(files=files)))
    said = run("schema", "--room-file")
    room = jsonschema.Draft202012Validator(json.loads(said.out))
    assert json.loads(said.out) == room_file_schema()
    assert room.is_valid(values(FLOOR))
    assert not room.is_valid({**values(FLOOR), "runs": {}})
    assert not room.is_valid({"room": {"x": {}}})


SHAPES = [
    Box((10.0, -20.0, 5.0), (60.0, 40.0, 90.0)),
    Cylinder((0.0, 10.0, 0.0), (80.0, -10.0, 40.0), 30.0),
    Cone((0.0, 10.0, 0.0), (80.0, -10.0, 40.0), (30.0, 0.0)),
    HalfSpace((5.0, 6.0, 7.0), (0.6, 0.0, 0.8)),
    Extrusion(((0.0, 0.0), (90.0, 0.0), (90.0, 20.0), (20.0, 20.0), (20.0, 70.0), (0.0, 70.0)), -10.0, 40.0),
    Plate(
        (10.0, -20.0, 5.0),
        (0.6, 0.8, 0.0),
        (0.0, 0.0, 1.0),
        30.0,
        rectangle_less((0, 0), (90, 80), [((50, 20), (70, 90))]),
        (Round(25.0, 40.0, 12.0),),
    ),
    Box((10.0, -20.0, 5.0), (60.0, 40.0, 90.0)).mesh(0.1, Extent((0, 0, 0), (1, 1, 1))),
]


@pytest.mark.slow
@pytest.mark.parametrize("shape", SHAPES, ids=lambda s: s.kind)
@given(
    st.sampled_from([0.0, 90.0, -90.0, 180.0, 270.0, 30.0]) | st.floats(-360.0, 360.0),
    st.tuples(*[st.floats(-1000.0, 1000.0)] * 3),
    st.integers(0, 2**32 - 1),
)
def test_a_placed_thing_is_as_far_from_placed_points(shape, turned, at, seed):
    """The points are turned as complex numbers: nothing here is made by the program."""
    placed = shape.placed(Placing(at, turned))
    for x, y, z in np.random.default_rng(seed).uniform(-120.0, 120.0, (20, 3)):
        w = complex(x, y) * exp(1j * radians(turned)) + complex(*at[:2])
        assert placed.distance((w.real, w.imag, z + at[2])) == pytest.approx(shape.distance((x, y, z)), abs=1e-8)


def test_a_mesh_file_is_placed_as_the_mesh_read_from_it_would_be():
    quarter = ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    file = MeshFile("boiler.stl", ((1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.0, 1.0, 0.0)), (7.0, 8.0, 9.0), 10.0)
    placed = file.placed(Placing((100.0, 0.0, 0.0), 90.0))
    points = np.array([[1.0, 2.0, 3.0], [-4.0, 5.0, 0.5]])
    before = 10.0 * points @ np.array(file.rotation).T + file.offset
    assert 10.0 * points @ np.array(placed.rotation).T + placed.offset == pytest.approx(
        before @ np.array(quarter).T + [100.0, 0.0, 0.0]
    )
    mesh = Mesh(before, np.array([[0, 1, 0]]), file=file).placed(Placing((100.0, 0.0, 0.0), 90.0))
    assert isinstance(mesh, Mesh)
    assert mesh.file == placed
