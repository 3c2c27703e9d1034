"""`pipemodel new --ask`: a few answers make a job that checks clean, and breaking off leaves nothing."""

import pytest
from click.testing import CliRunner

from pipemodel import load, schedule
from pipemodel.cli import pipemodel as program


def run(*words, input=None):
    return CliRunner().invoke(program, [str(word) for word in words], input=input)


def bends(job):
    return [round(b.angle_deg, 6) for r in schedule(load(job)).runs for b in r.bends]


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize(("case", "angles"), [("1", [45, 45]), ("2", [22.5, 45, 22.5]), ("3", [90])])
def test_the_usual_answers_make_a_job_that_checks_clean(tmp_path, case, angles, language):
    job = tmp_path / "a.yaml"
    done = run("new", job, "--ask", "--language", language, input=case + "\n" * 10)
    assert done.exit_code == 0, done.output
    assert bends(job) == angles
    assert run("check", job).exit_code == 0


def test_a_set_takes_the_difference_of_two_readings_off_the_wall(tmp_path):
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input="9\n1\n15\n400\n2 cm\nfar away\n85\n30\n-4\n300\n").exit_code == 0
    corners = load(job).runs[0].route.corners
    assert corners[-1][2] == pytest.approx(65.0)
    assert bends(job) == [30, 30]


def test_breaking_off_leaves_nothing(tmp_path):
    job = tmp_path / "a.yaml"
    assert run("new", job, "--ask", input="1\n15\n").exit_code != 0
    assert not job.exists()
