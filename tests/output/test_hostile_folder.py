"""A folder from somebody else, full of files named like libraries: no command runs any of them."""

import json
import os
import signal
import subprocess
import sys
import urllib.request

import pytest
import trimesh
from command_line import LEAST, ROOT
from ifc_made import MadeModel
from measured_pieces import measured
from wide import few_or_many

from pipemodel import story
from pipemodel.cli import COMMANDS

LIBRARIES = ("pickle", "numpy", "json", "yaml", "click", "pydantic", "scipy", "trimesh", "OCP", "cadquery", "pyvista",
             "vtk", "PIL", "ezdxf", "reportlab", "reportlab_mods", "local_reportlab_settings", "xlsxwriter", "jinja2",
             "markupsafe", "manifold3d", "mapbox_earcut", "highspy", "networkx", "lxml", "matplotlib", "shapely",
             "sitecustomize", "usercustomize", "random", "tempfile", "subprocess", "hashlib", "difflib", "signal",
             "queue", "ctypes", "zipfile", "ifcopenshell", "http", "html", "webbrowser", "importlib_metadata", "tests",
             "conftest")  # fmt: skip
ARGUMENTS = {
    "check": ["job.yaml"],
    "schedule": ["job.yaml"],
    "make": ["job.yaml", "--out", "out"],
    "show": ["job.yaml"],
    "route": ["way.yaml"],
    "measured": ["small.yaml", "--readings", "readings.yaml"],
    "cut": ["job.yaml"],
    "jig": ["small.yaml", "--out", "jig"],
    "bend": ["set", "--offset", "60", "--angle", "30"],
    "new": ["made.yaml"],
    "calibrate": ["pieces.yaml"],
    "room": ["model.ifc", "--out", "room.yaml"],
    "learn": ["small.yaml", "--readings", "finished.yaml", "--history", "history.yaml"],
    "tables": ["tubes"],
    "schema": [],
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A job with a mesh in its room, and a file for every library that says so when it runs."""
    folder = tmp_path_factory.mktemp("from somebody")
    says_so = f"open({str(folder / 'ran')!r}, 'a')"
    for name in LIBRARIES:
        (folder / f"{name}.py").write_text(f"{says_so}.write('{name} ')\nraise SystemExit(77)\n")
    (folder / "ezdxf.ini").write_bytes("[core]\n".encode("utf-16"))  # the library ends the program when it finds this
    boiler = "  boiler: {mesh: {file: b.stl, at: [0, 900, 0]}}\n"
    (folder / "job.yaml").write_text(LEAST.replace("  boxing:", f"{boiler}  boxing:"))
    way = "find: {from: [0, 0, 0], heading: east, to: [600, 400, 0], arriving: north}"
    (folder / "way.yaml").write_text(LEAST.split("    points:")[0] + f"    {way}\n")
    (folder / "small.yaml").write_text(LEAST.replace("former: {", "former: {name: mine, "))
    pieces = (measured(str(angle), angle) for angle in (30, 90, 120))
    keys = ("cut", "mark", "angle", "start to back", "finish to back", "pull")
    rows = [dict(zip(keys, list(vars(piece).values())[1:], strict=True)) for piece in pieces]
    (folder / "pieces.yaml").write_text(json.dumps({"tube": 15, "pieces": rows}))
    first = story.cards(story.schedule(story.load(folder / "small.yaml")).runs[0])[0].measures[0]
    (folder / "readings.yaml").write_text(json.dumps({"after": 1, "readings": {"1a": first.value}}))
    (folder / "finished.yaml").write_text(json.dumps({"bends": [{"bend": 1, "angle": 90}]}))
    model = MadeModel()
    model.element([model.extruded(model.rectangle(100, 100), 100)])
    model.written(folder / "model.ifc")
    trimesh.creation.box((100, 100, 100)).export(folder / "b.stl")
    return folder


@pytest.fixture(scope="module")
def script(tmp_path_factory):
    """The command as an installer writes it."""
    path = tmp_path_factory.mktemp("bin") / "pipemodel"
    path.write_text("import sys\nfrom pipemodel.__main__ import main\nsys.exit(main())\n")
    return path


def started(begin, *args, folder):
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    return subprocess.Popen(
        [sys.executable, *begin, *args], cwd=folder, env=environment, stdout=subprocess.PIPE, stderr=subprocess.PIPE
    )


def begun(how, script):
    return [str(script)] if how == "command" else ["-m", "pipemodel"]


def test_no_command_is_left_out():
    assert set(ARGUMENTS) == set(COMMANDS)


NAMES = [name for name in COMMANDS if name != "show"]
STARTED = few_or_many(
    [("module", "check"), ("command", "schedule")],
    [*(("module", name) for name in NAMES), ("command", "make"), ("command", "schedule")],
)
"""`python -m` puts the current folder first, so in the wide run every command is tried with it; the command as
installed does not, and `make` imports whatever the others do."""

ONE_BY_ONE = """
import runpy, sys
failed = []
for words in {!r}:
    sys.path.insert(0, {!r})
    sys.argv = ["pipemodel", *words]
    try:
        runpy.run_module("pipemodel", run_name="__main__", alter_sys=True)
    except SystemExit as end:
        failed += [words[0]] * bool(end.code)
sys.exit(" ".join(failed) or 0)
"""
"""Every command in one process, each with the current folder put first as `python -m` does it. With it stay what the
commands before imported: what a command imports before it forgets the folder is seen in a process of its own."""


@pytest.mark.slow
@pytest.mark.parametrize(("how", "name"), STARTED, ids=["-".join(one) for one in STARTED])
def test_no_file_of_the_current_folder_is_run(folder, script, name, how):
    tried(folder, started(begun(how, script), name, *ARGUMENTS[name], folder=folder))


@pytest.mark.slow
def test_no_file_of_it_is_run_by_any_command(folder):
    script = ONE_BY_ONE.format([[name, *ARGUMENTS[name]] for name in NAMES], str(folder))
    tried(folder, started(["-P", "-c", script], folder=folder))


def tried(folder, process):
    out, err = process.communicate(timeout=240)
    assert not (folder / "ran").exists(), (folder / "ran").read_text()
    assert process.returncode == 0, err
    assert out or process.args[-2] == "new"
    for made in ("out", "jig"):
        if (folder / made).exists():
            subprocess.run(["rm", "-r", str(folder / made)], check=True)
    for made in ("room.yaml", "history.yaml"):
        (folder / made).unlink(missing_ok=True)
    (folder / "made.yaml").unlink(missing_ok=True)


@pytest.mark.slow
@pytest.mark.skipif(os.name != "posix", reason="signals as on POSIX")
@pytest.mark.parametrize("how", few_or_many(["module"], ["module", "command"]))
def test_nor_by_the_live_view(folder, script, how):
    process = started(begun(how, script), "show", *ARGUMENTS["show"], folder=folder)
    try:
        address = process.stdout.readline().decode().strip()
        with urllib.request.urlopen(address, timeout=30) as page:
            assert b"boiler" in page.read()
        process.send_signal(signal.SIGINT)
        assert process.wait(30) == 0
    finally:
        process.kill()
        process.communicate()
    assert not (folder / "ran").exists()


def test_a_file_of_that_kind_does_run_where_nothing_is_done_about_it(folder):
    """The trap itself works: what is started without care runs it."""
    subprocess.run([sys.executable, "-c", "import pickle"], cwd=folder, check=False, capture_output=True)
    ran = folder / "ran"
    assert ran.read_text() == "pickle "
    ran.unlink()
