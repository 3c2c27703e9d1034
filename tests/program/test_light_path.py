"""A schedule or a check loads no CAD kernel, no renderer, no document library and no scipy."""

import json
import subprocess
import sys

import pytest
from command_line import CUPBOARD, ROOT

HEAVY = ("OCP", "cadquery", "vtkmodules", "pyvista", "trimesh", "scipy", "matplotlib", "PIL", "reportlab", "ezdxf",
         "manifold3d", "numba", "jinja2", "highspy")  # fmt: skip


RECORD = "{former: mine, outside: 15, wall: 0.7, bend: 1, radius: 55, angle: 90, pulled: 92, got: 88, mark: 300}"
TAUGHT = """\
job: a
tube: {outside: 15, wall: 0.7}
former: {name: mine, radius: 55, history: bends.yaml}
hands: {file: bends.yaml}
runs: {a: {points: [[0, 0, 0], [500, 0, 0], [500, 400, 0]]}}
"""
TO_FIND = """\
job: a
tube: 15
former: {radius: 55, hold: 60, guide: 45}
runs: {a: {find: {from: [0, 0, 0], heading: east, to: [800, 0, 500], arriving: up}}}
"""
SCRIPT = """\
import contextlib, io, json, sys
from pipemodel.cli import main
loaded = []
for command in json.loads(sys.argv[1]):
    sys.argv = ["pipemodel", *command]
    with contextlib.redirect_stdout(io.TextIOWrapper(io.BytesIO())):
        try:
            main()
        except SystemExit as end:
            assert end.code == 0, (command, end.code)
    loaded.append(sorted(sys.modules))
print(json.dumps(loaded))
"""


def loaded_by(*commands):
    """All that one process has loaded after each of some commands, each a list of arguments."""
    asked = json.dumps([list(map(str, command)) for command in commands])
    done = subprocess.run([sys.executable, "-c", SCRIPT, asked], cwd=ROOT, capture_output=True, check=True, timeout=60)
    return [set(modules) for modules in json.loads(done.stdout)]


def packages(modules):
    return {name.partition(".")[0] for name in modules}


@pytest.fixture(scope="module")
def light(tmp_path_factory):
    """What is loaded after each command that is light, one after the other in one process, the lightest first."""
    folder = tmp_path_factory.mktemp("light")
    (folder / "bends.yaml").write_text(f"- {RECORD}\n")
    (folder / "taught.yaml").write_text(TAUGHT)
    (folder / "find.yaml").write_text(TO_FIND)
    commands = [
        ["--help"],
        *(["schedule", CUPBOARD, "--format", form] for form in ("text", "json", "csv")),
        *(["check", CUPBOARD, "--format", form] for form in ("text", "json")),
        *([command, folder / "taught.yaml"] for command in ("schedule", "check")),
        ["learn", "--history", folder / "bends.yaml"],
        ["route", folder / "find.yaml"],
    ]
    return [(command[0], loaded) for command, loaded in zip(commands, loaded_by(*commands), strict=True)]


@pytest.mark.slow
def test_help_reads_no_job(light):
    ((_, modules), *_) = light
    assert "pipemodel.job.read" not in modules


@pytest.mark.slow
def test_no_light_command_loads_what_is_heavy(light):
    assert [command for command, modules in light if not packages(modules).isdisjoint(HEAVY)] == []
    assert light[-1][0] == "route"
    assert "numpy" in light[-1][1]


@pytest.mark.slow
def test_a_schedule_loads_no_numpy(light):
    first_check = [command for command, _ in light].index("check")
    assert first_check == 4
    assert "numpy" not in light[first_check - 1][1]


@pytest.mark.slow
def test_a_way_is_looked_for_only_where_one_is_asked_for(light):
    found = [any(name.startswith("pipemodel.finding") for name in modules) for _, modules in light]
    assert found == [*([False] * (len(light) - 1)), True]


@pytest.mark.slow
@pytest.mark.kernel
def test_solids_load_no_renderer(tmp_path):
    (modules,) = loaded_by(("make", CUPBOARD, "--only", "step,stl", "--out", tmp_path / "out"))
    assert "OCP" in packages(modules)
    others = {"cadquery", "pyvista", "vtkmodules", "trimesh", "scipy", "reportlab", "PIL", "jinja2"}
    assert packages(modules).isdisjoint(others)
    assert "pipemodel.documents.page.page" not in modules


def test_the_door_opens_lazily():
    script = "import sys, pipemodel; print(sorted(m for m in sys.modules if m.startswith('pipemodel')))"
    done = subprocess.run([sys.executable, "-c", script], cwd=ROOT, capture_output=True, check=True, timeout=60)
    assert done.stdout.strip() == b"['pipemodel']"
