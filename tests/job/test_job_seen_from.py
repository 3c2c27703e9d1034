"""The side on which the fitter stands, as a job file says it."""

import math

import pytest

from pipemodel.job.model import JobError
from pipemodel.job.read import read_job

JOB = """\
job: a view
tube: 15
parameters: {{a: 90}}
{line}
runs:
  rise:
    points: [[0, 0, 0], [500, 0, 0], [500, 0, 400]]
"""


def side(tmp_path, line):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(line=line))
    return read_job(path).seen_from


@pytest.mark.parametrize(
    ("line", "bearing"),
    [
        ("seen from: north", 0.0),
        ("seen from: East", 90.0),
        ("seen from: south", 180.0),
        ("seen from: west", 270.0),
        ("seen from: south-west", 225.0),
        ("seen from: north east", 45.0),
        ("seen from: 200", 200.0),
        ("seen from: 12.5 deg", 12.5),
        ("seen from: ${a}", 90.0),
        ("seen from: [3, -4, 0]", 90.0 + math.degrees(math.atan2(4.0, 3.0))),
    ],
)
def test_where_somebody_stands(tmp_path, line, bearing):
    """A bearing counts clockwise from north, x points east and y north."""
    right = (math.sin(math.radians(bearing)), math.cos(math.radians(bearing)), 0.0)
    assert side(tmp_path, line) == pytest.approx(right, abs=1e-12)


def test_nothing_is_said(tmp_path):
    assert side(tmp_path, "") is None


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("seen from: up", "nobody stands above or below a run; write the side you stand on: north, south, east, west"),
        ("seen from: [1, 0, 0.5]", "nobody stands above or below"),
        ("seen from: left", "'left' is no side of the room; write the side you stand on: north, south"),
        ("seen from: front", "'front' is no side of the room; write the side you stand on: north, south"),
        ("seen from: [0, 0, 0]", "a direction of no length"),
        ("seen from: {x: 1}", "this is no heading"),
    ],
)
def test_nobody_stands_there(tmp_path, line, words):
    with pytest.raises(JobError) as caught:
        side(tmp_path, line)
    (fault,) = caught.value.faults
    assert words in fault.message
    assert fault.place.line == 4
