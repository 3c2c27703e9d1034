"""What DEVELOPERS.md says is done to add something, done in a copy of the program; what was added then works.

Things of the room and lists are left out: how they are added is being changed.
"""

import json
import os
import re
import shutil
import subprocess
import sys

import pytest
from command_line import ROOT

PAGE = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TABLE = dict(re.findall(r"^\| ([^|]+) \| (.+) \|$", PAGE[PAGE.index("## Where things go") :], re.MULTILINE))
JOB = "job: x\ntube: 13\nformer: 13 mm test former\nruns: {a: {points: [[0, 0, 0], [400, 0, 0], [400, 400, 0]]}}\n"

CHECK = '''\
"""Is a run long?

| code | severity | what |
|---|---|---|
| Z901 | warning | a run is longer than 100 mm |
"""

from pipemodel.bending.schedule import Schedule
from pipemodel.checks.findings import Finding
from pipemodel.messages.values import Name, message


def long_runs(schedule: Schedule) -> tuple[Finding, ...]:
    """Name every run longer than 100 mm."""
    long = [solved.name for solved in schedule.runs if solved.centreline_mm > 100.0]
    return tuple(Finding("Z901", "long", "warning", message("long.run", run=Name(name)), name) for name in long)
'''
DOCUMENT = '''\
"""The names of the runs."""

from typing import Any

from pipemodel.output.file_names import Folder


def write_names(answered: Any, folder: Folder) -> tuple[str, ...]:
    """Write names.txt."""
    (folder / "names.txt").write_text("".join(f"{run.name}\\n" for run in answered.schedule.runs))
    return ()
'''
COMMAND = '''\
"""`pipemodel hello`."""

import click


@click.command()
def command() -> None:
    """Say hello."""
    click.echo("hello")
'''
STANDARD = """

@cache
def _plain(row: Row) -> Tube:
    outside, wall = float(row["outside_mm"]), float(row["wall_mm"])
    return Tube(outside, wall, f"{outside:g} x {wall:g} brass", material="brass", source=row["source"])
"""


@pytest.fixture(scope="module")
def copy(tmp_path_factory):
    """The program with everything added."""
    folder = tmp_path_factory.mktemp("copy")
    shutil.copytree(ROOT / "pipemodel", folder / "pipemodel", ignore=shutil.ignore_patterns("__pycache__"))
    package = folder / "pipemodel"
    data = package / "trade" / "data"
    _append(data / "tubes_en1057.csv", '13,0.7,R250,0.04,0.09,10,8900,yes,"a test"\n')
    _append(data / "formers.csv", "13 mm test former,hand bender,13,yes,48,0.02,0,0,30,9,80,200,a test\n")
    (data / "tubes_test.csv").write_text("outside_mm,wall_mm,source\n77,1.5,a test\n", encoding="utf-8")
    table = package / "trade" / "tube_table.py"
    _append(table, STANDARD.replace("@cache\n", ""))
    _put_in(table, '        *(_en1057(row) for row in read_rows("tubes_en1057.csv")),\n',
            '        *(_plain(row) for row in read_rows("tubes_test.csv")),\n')  # fmt: skip
    (package / "checks" / "long_runs.py").write_text(CHECK, encoding="utf-8")
    _put_in(package / "checks" / "table.py", '    "bender": bender,\n', '    "long": long_runs,\n')
    _put_in(package / "checks" / "table.py", "from pipemodel.checks.findings import Finding, Report\n",
            "from pipemodel.checks.long_runs import long_runs\n")  # fmt: skip
    for language in ("english", "german"):
        _put_in(
            package / "messages" / language / "findings.py", "FINDINGS = {\n", '    "long.run": "run {run} is long",\n'
        )
    (package / "documents" / "names.py").write_text(DOCUMENT, encoding="utf-8")
    _put_in(package / "documents" / "formats.py", "FORMATS: dict[str, Format] = {\n",
            '    "names": Format("documents.names:write_names", "names.txt", "the names of the runs"),\n')  # fmt: skip
    (package / "cli" / "hello.py").write_text(COMMAND, encoding="utf-8")
    _put_in(package / "cli" / "__init__.py", "COMMANDS: dict[str, tuple[str, str]] = {\n",
            '    "hello": ("pipemodel.cli.hello", "Say hello."),\n')  # fmt: skip
    (folder / "job.yaml").write_text(JOB, encoding="utf-8")
    return folder


def _append(path, text):
    path.write_text(path.read_text(encoding="utf-8") + text, encoding="utf-8")


def _put_in(path, after, line):
    """Put a line behind one that is there once."""
    text = path.read_text(encoding="utf-8")
    assert text.count(after) == 1, (path, after)
    path.write_text(text.replace(after, after + line), encoding="utf-8")


def pipemodel(folder, *args, code=0):
    done = subprocess.run(
        [sys.executable, "-m", "pipemodel", *args], cwd=folder, env={**os.environ, "PYTHONPATH": str(folder)},
        capture_output=True, text=True, timeout=100,
    )  # fmt: skip
    assert done.returncode == code, done.stderr
    return done.stdout


def test_every_row_names_places_that_are_there():
    rows = {**TABLE}
    rows.pop("you want to add")
    assert len(rows) >= 9
    for row in rows.values():
        for name in re.findall(r"`((?:[\w./]|…)+(?:/|\.py|\.csv|\.yaml))`", row):
            places = [ROOT / name, ROOT / "pipemodel" / name, ROOT / "pipemodel" / "trade" / "data" / name]
            assert "…" in name or any(place.exists() for place in places), (name, row)


@pytest.mark.slow
def test_a_tube_a_standard_and_a_former(copy):
    (run,) = json.loads(pipemodel(copy, "schedule", "job.yaml", "--format", "json"))["runs"]
    assert (run["tube"]["outside_mm"], run["tube"]["wall_mm"]) == (13, 0.7)
    assert [(b["radius_mm"], b["pull_deg"]) for b in run["bends"]] == [(48, pytest.approx(91.8))]
    assert "77 x 1.5 brass" in pipemodel(copy, "tables", "tubes", "--format", "csv")


@pytest.mark.slow
def test_a_check(copy):
    found = json.loads(pipemodel(copy, "check", "job.yaml", "--format", "json"))["findings"]
    assert [(f["code"], f["run"]) for f in found if f["check"] == "long"] == [("Z901", "a")]


@pytest.mark.slow
def test_a_document(copy):
    assert "names.txt" in pipemodel(copy, "make", "job.yaml", "--only", "names", "--out", "out")
    assert (copy / "out" / "names.txt").read_text() == "a\n"


def test_a_command(copy):
    assert pipemodel(copy, "hello") == "hello\n"
    assert "Say hello." in pipemodel(copy, "--help")
