"""How well a person bends, as a job file says it."""

import pytest

from pipemodel.job.model import Hands, JobError
from pipemodel.job.read import read_job

JOB = """\
job: hands
tube: 15
parameters: {{a: 1.5}}
{hands}
runs:
  rise:
    points: [[0, 0, 0], [500, 0, 0], [500, 0, 400]]
"""


def hands(tmp_path, line):
    path = tmp_path / "job.yaml"
    path.write_text(JOB.format(hands=line))
    return read_job(path).hands


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("", None),
        ("hands:", Hands(1.0, 1.0, 1.0)),
        ("hands: {}", Hands(1.0, 1.0, 1.0)),
        ("hands: {mark: 0.5, angle: 2, turn: 3}", Hands(0.5, 2.0, 3.0)),
        ("hands: {mark: 0, angle: 0, turn: 0}", Hands(0.0, 0.0, 0.0)),
        ("hands: {mark: 0.5 cm, angle: 2 deg, turn: '${a}'}", Hands(5.0, 2.0, 1.5)),
        ("hands: {mark: 20, angle: 20, turn: 45}", Hands(20.0, 20.0, 45.0)),
    ],
)
def test_hands(tmp_path, line, right):
    assert hands(tmp_path, line) == right


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("hands: {mark: -1}", "-1 must not be less than 0"),
        ("hands: {angle: -0.1}", "-0.1 must be an angle of 0 or more"),
        ("hands: {turn: 45.1}", "45.1 degrees is more than any hand is out by"),
        ("hands: {mark: 20.5}", "20.5 mm is more than any hand is out by"),
        ("hands: {angle: 21}", "21 degrees is more than any hand is out by"),
        ("hands: {roll: 1}", "roll"),
        ("hands: 1", "hands"),
    ],
)
def test_no_hand_does_that(tmp_path, line, words):
    with pytest.raises(JobError) as caught:
        hands(tmp_path, line)
    (fault,) = caught.value.faults
    assert words in fault.message
    assert fault.place.line == 4
