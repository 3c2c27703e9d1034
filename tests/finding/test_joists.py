"""Joists are crossed through their holes, and only where the rules of the job allow a hole."""

from pathlib import Path

import pytest

from pipemodel import story
from pipemodel.job.model import JobError

JOB = """\
job: across the joists
tube: 15
former: {radius: 55, hold: 60, guide: 45}
clearance: 5
rules: [NHBC 2020]
room:
  boards: {floor: {from: [-200, 0], to: [1400, 2400], top: 0, thickness: 20}}
  joists:
    joists:
      {first: [200, 0], along: north, row: east, spacing: 400, number: 3, length: 2400, size: [50, 200], top: -20,
       holes: [HOLES]}
  ceiling: {face: {at: [0, 0, -220], facing: up}}
runs:
  flow:
    find: {from: [-150, 300, -120], heading: east, to: [1350, 300, -120], arriving: east,
           within: {from: [-200, 0, -220], to: [1400, 2400, 0]}}
"""
# Table 6 allows holes from 0.25 to 0.4 of the span of 2400 mm: from 600 to 960.
WRONG, RIGHT = "{at: 300, down: 100, diameter: 40}", "{at: 800, down: 100, diameter: 40}"


def corners(holes, tmp_path: Path):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.replace("HOLES", holes))
    job = story.read(path)
    [run] = story.schedule(job).runs
    assert not [one for one in story.check(job).findings if one.severity == "error" and one.run]
    return run.run.route.corners


def test_straight_through_holes_in_line(tmp_path: Path):
    line = JOB.replace(", 300, -120]", ", 800, -120]")
    path = tmp_path / "job.yaml"
    path.write_text(line.replace("HOLES", RIGHT))
    [run] = story.schedule(story.read(path)).runs
    assert not run.bends


@pytest.mark.slow
def test_the_hole_that_the_rules_allow_is_taken(tmp_path: Path):
    """Straight on there are holes too, nearer to the support than table 6 allows."""
    found = corners(f"{WRONG}, {RIGHT}", tmp_path)
    at_joists = [a[1] for a, b in zip(found, found[1:], strict=False) if a[0] <= 200 <= b[0]]
    assert at_joists == [800.0]


@pytest.mark.slow
def test_with_no_hole_that_is_allowed_there_is_no_way(tmp_path: Path):
    with pytest.raises(JobError, match="nearest miss is too near to 'joists 1'"):
        corners(WRONG, tmp_path)
