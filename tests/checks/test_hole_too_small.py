"""A run in a hole that is too small: the hole that is named, drilled about the tube, clears it."""

import random
import re

import pytest

from pipemodel.bending.schedule import solve
from pipemodel.checks.clash import clash
from pipemodel.job.read import job_of_text

JOB = """job: x
tube: {{outside: {outside}, wall: 1}}
former: {{radius: 60, hold: 0, guide: 0}}
clearance: {clearance}
insulation: {insulation}
room:
  floor: {{box: {{from: [-900, -900, -{thick}], to: [900, 900, 0]}}, holes: [{{at: [{x}, {y}, 0], diameter: {hole}}}]}}
runs: {{a: {{points: [[0, 0, 300], [{lean}, 0, -400], [500, 0, -400]]}}}}
"""


def found(**job):
    findings, _ = clash(solve(job_of_text(JOB.format(**job), "job.yaml")))
    return [f.message for f in findings if f.severity == "error"]


def named(sentence):
    return re.search(r"; a hole of ([\d.]+) mm with the tube in its middle clears it; or ", sentence)


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(8))
def test_a_hole_as_large_as_is_said_clears_the_run(seed):
    dice = random.Random(seed)
    outside, clearance, insulation = dice.choice([12, 15, 28]), dice.choice([0, 2, 7.3]), dice.choice([0, 9])
    lean, thick = dice.choice([0, 0, 60]), dice.choice([12, 22, 150])
    at = {"x": lean * (300 + thick / 2) / 700, "y": 0}
    asked = outside + 2 * (clearance + insulation)
    job = {"outside": outside, "clearance": clearance, "insulation": insulation, "lean": lean, "thick": thick}
    (sentence,) = found(**job, **at, hole=asked - dice.choice([0.2, 3, 9]))
    hole = float(named(sentence)[1])
    assert asked <= hole <= asked + 0.11 * thick + 2
    assert not found(**job, **at, hole=hole)


def test_a_hole_that_is_large_enough_and_lies_aside_is_no_cure():
    common = {"outside": 15, "clearance": 2, "insulation": 0, "lean": 0, "thick": 18, "x": 0}
    (sentence,) = found(**common, y=3, hole=20)
    assert named(sentence) is None
    assert "moving leg 1 by 2.5 mm north clears it" in sentence
    (sentence,) = found(**common, y=3, hole=18.5)
    assert named(sentence)[1] == "19"
    assert not found(**common, y=0, hole=19)
