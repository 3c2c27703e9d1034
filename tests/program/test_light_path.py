"""A schedule or a check loads no CAD kernel, no renderer, no document library and no scipy."""

import json
import subprocess
import sys

import pytest
from command_line import CUPBOARD, EXAMPLES, ROOT

HEAVY = ("OCP", "cadquery", "vtkmodules", "pyvista", "trimesh", "scipy", "matplotlib", "PIL", "reportlab", "ezdxf",
         "manifold3d", "numba", "jinja2", "highspy")  # fmt: skip


def loaded_by(*commands):
    """All that one process has loaded after some commands, each a list of arguments."""
    script = (
        "import contextlib, io, json, sys\n"
        "from pipemodel.cli import main\n"
        f"for command in {[list(map(str, command)) for command in commands]!r}:\n"
        "    sys.argv = ['pipemodel', *command]\n"
        "    with contextlib.redirect_stdout(io.TextIOWrapper(io.BytesIO())):\n"
        "        try:\n"
        "            main()\n"
        "        except SystemExit as end:\n"
        "            assert end.code == 0, end.code\n"
        "print(json.dumps(sorted(sys.modules)))\n"
    )
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=True, timeout=60)
    return {name.partition(".")[0] for name in json.loads(done.stdout)}, set(json.loads(done.stdout))


@pytest.mark.slow
def test_schedule_is_light():
    packages, _ = loaded_by(*(("schedule", CUPBOARD, "--format", form) for form in ("text", "json", "csv")))
    assert packages.isdisjoint(HEAVY)
    assert "numpy" not in packages


@pytest.mark.slow
def test_check_is_light():
    packages, _ = loaded_by(*(("check", CUPBOARD, "--format", form) for form in ("text", "json")))
    assert packages.isdisjoint(HEAVY)


@pytest.mark.slow
def test_a_way_is_found_lightly_and_only_where_one_is_asked_for():
    bath = EXAMPLES / "hot-and-cold-to-the-bath.yaml"
    packages, _ = loaded_by(("schedule", bath), ("route", bath))
    assert packages.isdisjoint(HEAVY)
    _, modules = loaded_by(("schedule", CUPBOARD), ("check", CUPBOARD))
    assert not [name for name in modules if name.startswith("pipemodel.finding")]


@pytest.mark.slow
def test_learning_is_light(tmp_path):
    record = "{former: mine, outside: 15, wall: 0.7, bend: 1, radius: 55, angle: 90, pulled: 92, got: 88, mark: 300}"
    (tmp_path / "bends.yaml").write_text(f"- {record}\n")
    job = tmp_path / "job.yaml"
    job.write_text(
        "job: a\ntube: {outside: 15, wall: 0.7}\nformer: {name: mine, radius: 55, history: bends.yaml}\n"
        "hands: {file: bends.yaml}\nruns: {a: {points: [[0, 0, 0], [500, 0, 0], [500, 400, 0]]}}\n"
    )
    packages, _ = loaded_by(("schedule", job), ("check", job), ("learn", "--history", tmp_path / "bends.yaml"))
    assert packages.isdisjoint(HEAVY)


def test_help_reads_no_job():
    _, modules = loaded_by(["--help"])
    assert "pipemodel.job.read" not in modules


@pytest.mark.slow
@pytest.mark.kernel
def test_solids_load_no_renderer(tmp_path):
    packages, modules = loaded_by(("make", CUPBOARD, "--only", "step,stl", "--out", tmp_path / "out"))
    assert "OCP" in packages
    assert packages.isdisjoint({"cadquery", "pyvista", "vtkmodules", "trimesh", "scipy", "reportlab", "PIL", "jinja2"})
    assert "pipemodel.documents.page.page" not in modules


def test_the_door_opens_lazily():
    script = "import sys, pipemodel; print(sorted(m for m in sys.modules if m.startswith('pipemodel')))"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=True, timeout=60)
    assert done.stdout.strip() == b"['pipemodel']"
