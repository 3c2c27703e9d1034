"""A starter job: it reads and passes as written, for every tube; asks in a terminal; never overwrites."""

import io
import os
import subprocess
import sys

import command_line
import pytest
import yaml
from click.testing import CliRunner

from pipemodel.cli import pipemodel
from pipemodel.job.read import job_of_text
from pipemodel.job.routing.forms import RouteItem
from pipemodel.job.starter.blank import Wishes, starter
from pipemodel.story import check
from pipemodel.trade.tubes import all_tubes


def run(*args, **more):
    return CliRunner().invoke(pipemodel, list(args), **more)


def test_it_takes_the_usual_when_nobody_can_be_asked(tmp_path):
    job = tmp_path / "first.yaml"
    done = run("new", str(job), input="ignored\n")
    assert (done.exit_code, done.stdout) == (0, f"{job}\n")
    assert job.read_text().count("#") > 15
    assert run("check", str(job)).exit_code == 0


def test_its_file_has_a_usual_name():
    with CliRunner().isolated_filesystem():
        assert run("new").exit_code == 0
        assert os.listdir() == ["job.yaml"]


def test_what_is_there_already_is_not_overwritten(tmp_path):
    job = tmp_path / "first.yaml"
    job.write_text("mine")
    done = run("new", str(job))
    assert done.exit_code == 2
    assert "there already" in done.stderr
    assert job.read_text() == "mine"


@pytest.mark.parametrize("tube", [f"{t.outside_mm:g} x {t.wall_mm:g} {t.material}" for t in all_tubes()[::7]])
def test_it_passes_for_any_tube(tube):
    assert check(job_of_text(starter(Wishes(tube=tube)).text, "job.yaml")).verdict == "pass"


@pytest.mark.parametrize(("radius", "clearance"), [("30 cm", "5"), ("2 1/2 in", "60")])
def test_it_passes_for_the_users_own_figures(radius, clearance):
    job = job_of_text(starter(Wishes(radius=radius, clearance=clearance)).text, "job.yaml")
    assert check(job).verdict == "pass"


def test_what_its_comments_offer_is_right_too():
    text = starter(Wishes()).text
    offered = [line.removeprefix("#   - ") for line in text.splitlines() if line.startswith("#   - ")]
    assert len(offered) == 8
    for line in offered:
        RouteItem.model_validate(yaml.safe_load(line.split("   ")[0]))
    (former,) = (line.removeprefix("# ") for line in text.splitlines() if line.startswith("# former: {"))
    job = job_of_text(text.replace("# former: {", "former: {"), "job.yaml")
    assert job.runs[0].former.hold_mm == yaml.safe_load(former)["former"]["hold"]
    assert check(job).verdict == "pass"


def test_wrong_wishes_are_given_by_their_flags(tmp_path):
    job = tmp_path / "first.yaml"
    done = run("new", str(job), "--tube", "16", "--radius", "x", "--clearance", "-3", "--name", "a\x1bb")
    assert done.exit_code == 2
    for flag in ("--tube: ", "--radius: ", "--clearance: ", "--name: "):
        assert flag in done.stderr
    assert not job.exists()


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="a pseudo-terminal is needed")
def test_it_asks_in_a_terminal(tmp_path):
    import pty

    job = tmp_path / "first.yaml"
    ours, theirs = pty.openpty()
    command = [sys.executable, "-m", "pipemodel", "new", str(job), "--clearance", "3"]
    with subprocess.Popen(command, stdin=theirs, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        os.write(ours, b"larch row\n22\n\n")
        out, asked = process.communicate(timeout=60)
    os.close(ours)
    os.close(theirs)
    assert (process.returncode, out) == (0, f"{job}\n")
    assert "Name of the job" in asked
    assert "Clearance" not in asked
    written = job_of_text(job.read_text(), job)
    assert (written.name, written.runs[0].tube.outside_mm, written.clearance_mm) == ("larch row", 22.0, 3.0)


@pytest.mark.parametrize(("terminal", "name"), [(True, "larch row"), (False, Wishes().usual_name)])
def test_it_asks_only_where_somebody_can_answer(tmp_path, monkeypatch, terminal, name):
    class Typed(io.StringIO):
        def isatty(self):
            return terminal

    monkeypatch.setattr(sys, "stdin", Typed("larch row\n22\n\n3\n"))
    job = tmp_path / "first.yaml"
    said = command_line.run("new", job)
    assert said.code == 0
    assert job_of_text(job.read_text(), job).name == name
    for question in ("Name of the job", "Tube", "Finished radius of your former", "Clearance to everything else"):
        assert (question in said.err) is terminal


def test_without_any_input_it_takes_the_usual(tmp_path, monkeypatch):
    monkeypatch.setattr(sys, "stdin", None)
    job = tmp_path / "first.yaml"
    assert command_line.run("new", job).code == 0
    assert job_of_text(job.read_text(), job).name == Wishes().usual_name
