"""What a job gives for its title blocks: as it is, nothing made up, and wrong input at its line."""

import pytest
from command_line import run

import pipemodel
from pipemodel.job.drawing_fields import DrawingFields

JOB = """\
job: rail
tube: 15
revision: C
drawing: {DRAWING}
runs:
  rail: {points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]}
"""


def job_with(tmp_path, drawing):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.replace("{DRAWING}", drawing), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("drawing", "given"),
    [
        ("", DrawingFields()),
        ("{number: 12, drawn by: A. B.}", DrawingFields(number="12", drawn_by="A. B.")),
        (
            "{owner: Hill, number: H-1, drawn by: A, checked by: C, date: 2026-11-25}",
            DrawingFields("Hill", "H-1", "", "2026-11-25", "A", "C"),
        ),
    ],
)
def test_what_is_given_is_read_and_nothing_is_added(tmp_path, drawing, given):
    assert pipemodel.load(job_with(tmp_path, drawing)).drawing == given


@pytest.mark.parametrize(
    ("drawing", "says"),
    [
        ("{date: 25.11.2026}", "write a date as year, month and day, such as 2026-11-25"),
        ("{date: 2026-02-30}", "write a date as year, month and day, such as 2026-11-25"),
        ("{number: [1]}", "write a short text, at most 40 letters and figures"),
        ("{owner: ''}", "write a short text, at most 40 letters and figures"),
        (f"{{owner: {'x' * 41}}}", "write a short text, at most 40 letters and figures"),
        ("{drawn: A}", "drawn by"),
    ],
)
def test_wrong_input_is_refused_at_its_line(tmp_path, drawing, says):
    said = run("check", job_with(tmp_path, drawing))
    assert said.code == 2
    assert "job.yaml:4:" in said.err
    assert says in said.err


@pytest.mark.slow
def test_the_drawing_shows_it_with_the_revision_and_the_date_of_the_command(tmp_path):
    path = job_with(tmp_path, "{number: H-77, checked by: C. Hill, date: 2026-11-01}")
    assert run("make", path, "--out", tmp_path / "out", "--only", "svg", "--date", "2026-11-25").code == 0
    text = (tmp_path / "out" / "rail.svg").read_text(encoding="utf-8")
    for value in (">H-77<", ">C. Hill<", ">C<", ">2026-11-25<", ">3 of 3<"):
        assert value in text
    assert "2026-11-01" not in text
