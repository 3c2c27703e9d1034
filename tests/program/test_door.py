"""The public door: its page is run block by block, and its objects are measured by the libraries they are made for."""

import doctest
import importlib
import math
import re
import shutil
import subprocess
import sys

import numpy as np
import pytest
from command_line import EXAMPLES, LEAST, ROOT

import pipemodel
from pipemodel.geometry.shapes import Box, Cylinder, HalfSpace
from pipemodel.job.model import Thing

PAGE = (ROOT / "docs" / "python.md").read_text(encoding="utf-8")
BLOCKS = re.findall(r"```python\n(.*?)```", PAGE, re.DOTALL)
JOB = """\
job: two radii
tube: {outside: 15, wall: 0.7}
former: {radius: 55, springback: {fixed: 1}, hold: 60, guide: 45}
room:
  waste pipe: {cylinder: {from: [300, -200, 80], to: [300, 800, 80], diameter: 50}}
  boxing:     {box: {from: [700, 100, 0], to: [900, 160, 400]}}
  wall:       {face: {at: [0, 0, -100], facing: up}}
runs:
  a:
    points:
      - [0, 0, 0]
      - [400, 0, 0]
      - {at: [400, 400, 0], former: {radius: 110, hold: 60, guide: 45}}
      - [400, 400, 350]
"""


@pytest.mark.slow
@pytest.mark.kernel
@pytest.mark.render
def test_every_block_of_the_page_runs(tmp_path, monkeypatch, capsys):
    assert len(BLOCKS) >= 11
    shutil.copy(EXAMPLES / "towel-rail-with-a-jig.yaml", tmp_path)
    files = re.findall(r"```yaml\n# (\S+)\n(.*?)```", PAGE, re.DOTALL)
    assert len(files) == PAGE.count("```yaml")
    for name, text in files:
        (tmp_path / name).write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    names = {"out": tmp_path}
    for block in BLOCKS:
        assert len(block.splitlines()) <= 6
        exec(block, names)
    said = capsys.readouterr().out
    assert "Solid " in said
    assert "True " in said
    assert (tmp_path / "run.vtp").stat().st_size > 1000
    assert list((tmp_path / "jigs").glob("*-jig.3mf"))


def test_the_page_names_all_that_is_behind_the_door():
    for name in pipemodel.__all__:
        assert getattr(pipemodel, name) is not None
        if name != "assembly":  # the schedule's own `cadquery()`
            assert name in PAGE


@pytest.fixture
def schedule(tmp_path):
    (tmp_path / "job.yaml").write_text(JOB)
    return pipemodel.schedule(pipemodel.load(tmp_path / "job.yaml"))


def axis_length():
    return 345 + 55 * math.pi / 2 + 235 + 110 * math.pi / 2 + 240


@pytest.mark.slow
@pytest.mark.kernel
def test_cadquery_has_exact_solids(schedule):
    """Volumes by Pappus and by hand, taken by CadQuery; the tube's section is pi / 4 (15^2 - 13.6^2)."""
    run, (pipe, boxing, wall) = schedule.runs[0], schedule.job.things
    section = math.pi / 4 * (15**2 - 13.6**2)
    solid = run.cadquery()
    assert solid.isValid()
    assert solid.Volume() == pytest.approx(section * axis_length(), rel=1e-9)
    assert {face.geomType() for face in solid.Faces()} == {"PLANE", "CYLINDER", "TORUS"}
    assert pipe.cadquery().Volume() == pytest.approx(math.pi * 25**2 * 1000, rel=1e-9)
    assert boxing.cadquery().Volume() == pytest.approx(200 * 60 * 400)
    with pytest.raises(ValueError, match="'wall' goes on for ever"):
        wall.cadquery()
    assert [part.name for part in schedule.cadquery().children] == ["a", "waste pipe", "boxing", "wall"]


def test_trimesh_has_closed_surfaces(schedule):
    run, (pipe, boxing, wall) = schedule.runs[0], schedule.job.things
    section = math.pi / 4 * (15**2 - 13.6**2)
    for chord, give in ((0.2, 0.08), (0.01, 0.005)):
        mesh = run.trimesh(chord_mm=chord)
        assert mesh.is_watertight
        assert mesh.volume == pytest.approx(section * axis_length(), rel=give)
    assert mesh.bounds[1] == pytest.approx([407.5, 407.5, 350], abs=0.02)
    assert boxing.trimesh().bounds.tolist() == [[700, 100, 0], [900, 160, 400]]
    assert pipe.trimesh(0.001).volume == pytest.approx(math.pi * 25**2 * 1000, rel=1e-3)
    scene = schedule.trimesh()
    assert list(scene.geometry) == ["a", "waste pipe", "boxing", "wall"]
    assert scene.geometry["wall"].bounds[1][2] == pytest.approx(-100)
    with pytest.raises(ValueError, match="only as part of a whole schedule"):
        wall.trimesh()


@pytest.mark.render
def test_pyvista_has_the_same_surfaces(schedule):
    run = schedule.runs[0]
    surface = run.pyvista(chord_mm=0.05)
    assert surface.is_all_triangles
    assert surface.n_open_edges == 0
    assert surface.volume == pytest.approx(run.trimesh().volume, rel=1e-6)
    blocks = schedule.pyvista()
    assert blocks.keys() == ["a", "waste pipe", "boxing", "wall"]
    assert np.allclose(blocks["boxing"].bounds, [700, 900, 100, 160, 0, 400])


def test_a_thing_made_in_a_script_has_them_too():
    """No file is needed; without a word of `pipemodel.story` there is nothing that could make them."""
    assert Thing("post", Box((0.0, 0.0, 0.0), (10.0, 20.0, 30.0))).trimesh().volume == pytest.approx(6000)
    round_ = Thing("pipe", Cylinder((0.0, 0.0, 0.0), (0.0, 0.0, 10.0), 4.0)).trimesh(1e-4)
    assert round_.volume == pytest.approx(40 * math.pi, rel=1e-3)
    with pytest.raises(ValueError, match="goes on for ever"):
        Thing("wall", HalfSpace((0.0, 0.0, 0.0), (1.0, 0.0, 0.0))).pyvista()
    script = (
        "from pipemodel.job.model import Thing; from pipemodel.geometry.shapes import Box\n"
        "try: Thing('post', Box((0, 0, 0), (1, 1, 1))).trimesh()\n"
        "except RuntimeError as error: print(error)\n"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=True, timeout=60)
    assert b"import pipemodel.story first" in done.stdout


def test_two_runs_jigs_and_a_name_that_is_not_there(schedule, tmp_path):
    with pytest.raises(ValueError, match="there is no run called 'b'; there is 'a'"):
        pipemodel.jig(schedule.job, tmp_path / "jigs", run="b")
    assert not (tmp_path / "jigs").exists()


DOCTESTED = [path for path in sorted((ROOT / "pipemodel").rglob("*.py")) if ">>> " in path.read_text(encoding="utf-8")]


@pytest.mark.parametrize("path", DOCTESTED, ids=lambda path: path.stem)
def test_examples_in_docstrings_say_what_is_so(path, tmp_path, monkeypatch):
    """The job they load is the least that there is: east 600, north 400, up 350, its bends of radius 55."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "job.yaml").write_text(LEAST)
    module = ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
    found = doctest.testmod(importlib.import_module(module))
    assert found.attempted >= 1
    assert found.failed == 0


def test_what_people_copy_from_has_examples():
    assert {"__init__", "bends", "formers", "model", "segments", "tubes", "units", "vectors"} <= {
        path.stem for path in DOCTESTED
    }
