"""Mesh files in the room, from the command line: read for a check, never for a schedule, and faults at their place."""

import json

import pytest
import trimesh
from command_line import LEAST, TOO_TIGHT, run

import pipemodel
from pipemodel import story
from pipemodel.geometry.shapes import Mesh
from pipemodel.job.model import JobError

BOX = "boxing:     {box: {from: [700, 100, 0], to: [900, 160, 400]}}"
FILE = "boxing:     {mesh: {file: boxing.stl, at: [700, 100, 0]}}"


@pytest.fixture
def folder(tmp_path):
    trimesh.creation.box(bounds=[[0, 0, 0], [200, 60, 400]]).export(tmp_path / "boxing.stl")
    (tmp_path / "box.yaml").write_text(LEAST)
    (tmp_path / "mesh.yaml").write_text(LEAST.replace(BOX, FILE))
    return tmp_path


@pytest.mark.slow
def test_a_box_out_of_a_file_is_as_near_as_a_box(folder):
    least = [
        {
            d["against"]: d["distance_mm"]
            for d in json.loads(run("check", folder / name, "--format", "json").out)["distances"]
        }
        for name in ("box.yaml", "mesh.yaml")
    ]
    assert least[0] == pytest.approx(least[1], abs=1e-6)


@pytest.mark.slow
def test_a_schedule_never_opens_it(folder):
    (folder / "boxing.stl").write_bytes(b"no mesh at all")
    assert run("schedule", folder / "mesh.yaml").code == 0
    assert run("check", folder / "mesh.yaml").code == 2


def test_a_file_that_is_no_mesh_is_named_at_its_place(folder):
    (folder / "boxing.stl").write_bytes(b"no mesh at all")
    path = folder / "mesh.yaml"
    line = path.read_text().splitlines().index("  " + FILE) + 1
    for command in ("check", "make"):
        said = run(command, path, *(["--out", folder / "out"] if command == "make" else []))
        assert (said.code, said.out) == (2, "")
        assert said.err.startswith(f"{path}:{line}:")
        assert "boxing" in said.err
    assert not (folder / "out").exists()


def test_what_is_wrong_with_files_and_corners_comes_in_one_go(folder):
    (folder / "boxing.stl").write_bytes(b"no mesh at all")
    path = folder / "mesh.yaml"
    path.write_text(TOO_TIGHT.replace(BOX, FILE))
    lines = run("check", path).err.splitlines()
    assert len(lines) == 2
    assert "boxing" in lines[0]
    assert "missing" in lines[1]


def test_outside_the_folder_only_when_allowed(folder, tmp_path_factory):
    away = tmp_path_factory.mktemp("away") / "boxing.stl"
    (folder / "boxing.stl").rename(away)
    path = folder / "mesh.yaml"
    path.write_text(LEAST.replace(BOX, FILE.replace("boxing.stl", f"'{away}'")))
    assert run("check", path).code == 2
    assert run("check", path, "--allow-outside").code == 0
    with pytest.raises(JobError):
        pipemodel.load(path)
    assert pipemodel.load(path, allow_outside=True).name == "return to the towel rail"


def test_furnishing_reads_files_and_nothing_else(folder):
    plain, meshed = (story.read(folder / name) for name in ("box.yaml", "mesh.yaml"))
    assert story.furnish(plain) is plain
    assert isinstance(story.furnish(meshed).things[1].shape, Mesh)
    assert story.furnish(meshed).things[0] is meshed.things[0]
