"""How the bender stands, as a job says it: for all runs, or for one; and what then lies below."""

import pytest

from pipemodel import story
from pipemodel.job.model import JobError
from pipemodel.job.read import read_job

JOB = """\
job: upright
tube: 15
{job}
runs:
  rise:
    {run}
    points: [[0, 0, 0], [500, 0, 0], [500, 0, 400]]
"""


def run_of(tmp_path, job="", run=""):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(job=job, run=run))
    return read_job(path).runs[0]


@pytest.mark.parametrize(
    ("job", "run", "stands"),
    [
        ("", "", "flat"),
        ("bender stands: flat", "", "flat"),
        ("bender stands: upright", "", "upright"),
        ("bender stands: upright", "bender stands: flat", "flat"),
        ("", "bender stands: upright", "upright"),
    ],
)
def test_the_run_says_it_or_else_the_job(tmp_path, job, run, stands):
    assert run_of(tmp_path, job, run).stance == stands


@pytest.mark.parametrize("word", ["sideways", "1", "[flat]", "Upright"])
def test_anything_else_is_refused_at_its_place(tmp_path, word):
    with pytest.raises(JobError, match=r"job\.yaml:3:16: .*flat"):
        run_of(tmp_path, f"bender stands: {word}")


def test_upright_the_floor_lies_below_the_tube_and_a_long_end_pulled_down_meets_it(tmp_path):
    """Pulled down by 90 a leg of 1200 hangs 1200 under where it was; the floor lies 900 under the former."""
    bender = "bender: {like: 15 mm hand bender, lever: {handle: none}, body: {fixed handle: none}}"
    points = "points: [[0, 0, 0], [500, 0, 0], [500, 0, {leg}]]"
    for leg, stands, possible in ((1200, "flat", True), (1200, "upright", False), (700, "upright", True)):
        # Held by its longer side it would swing the shorter: the other end is too short to be held.
        text = JOB.format(job=f"{bender}\nbender stands: {stands}", run="")
        text = text.replace("points: [[0, 0, 0], [500, 0, 0], [500, 0, 400]]", points.format(leg=leg))
        path = tmp_path / "job.yaml"
        path.write_text(text.replace("[0, 0, 0], [500", f"[0, 0, 0], [{leg}").replace("[500,", f"[{leg},"))
        (plan,) = story.plans(story.schedule(story.load(path)))
        assert plan.possible == possible, (leg, stands)
